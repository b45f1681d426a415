"""The output of a lot's phases one after the other, from the simulation of each: as many loads are made in each phase.

A phase has the share of the time that its loads take, so everything that is counted by time or by the hour is the mean
of the phases with these shares; the parts an hour are then those of n loads over the sum of their times. The phases
are simulated with the same numbers drawn, so the ends of their intervals go together.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import fsum

from millhand.model.performance import Alone, Figure, Output

Shares = Sequence[float]


def output_in_turn(phases: Sequence[Output], cell: str) -> Output:
    """What all phases come to, under the hash of the cell of their mean."""
    parts = time_shares([each.parts_per_h.mean for each in phases])
    return replace(
        phases[0],
        cell=cell,
        parts_per_h=_figure([each.parts_per_h for each in phases], parts),
        good_per_h=_figure([each.good_per_h for each in phases], parts),
        states=_by_owner([each.states for each in phases], parts),
        duties=_figures([each.duties for each in phases], parts),
        duty_share=_figures([each.duty_share for each in phases], parts),
        counts=_figures([each.counts for each in phases], parts),
        attended_share=_mean([each.attended_share for each in phases], parts),
        alone_s=_typical([each.alone_s for each in phases], parts),
        alone=_alone([each.alone for each in phases], parts),
        levels=_sums([each.levels for each in phases], parts),
        cycles=_by_owner([each.cycles for each in phases], [1.0 / len(phases)] * len(phases)),
        effectiveness=_effectiveness([each.effectiveness for each in phases], parts),
        by_part=_figures([each.by_part for each in phases], parts),
        late_at=_figures([each.late_at for each in phases], parts),
    )


def time_shares(rates_per_h: Sequence[float]) -> list[float]:
    """The share of the time that each phase takes; where one of them never makes anything, it takes all of it.

    >>> time_shares([30.0, 10.0])
    [0.25, 0.75]
    """
    for rate in rates_per_h:
        if rate <= 0.0:
            return [1.0 / rates_per_h.count(rate) if each == rate else 0.0 for each in rates_per_h]
    whole = fsum(1.0 / each for each in rates_per_h)
    return [1.0 / each / whole for each in rates_per_h]


def _mean(values: Sequence[float], parts: Shares) -> float:
    """The mean with the shares of the phases."""
    return fsum(value * part for value, part in zip(values, parts, strict=True))


def _figure(each: Sequence[Figure], parts: Shares) -> Figure:
    """The mean of figures, and of the ends of their intervals."""
    return Figure(
        mean=_mean([one.mean for one in each], parts),
        low=_mean([one.low for one in each], parts),
        high=_mean([one.high for one in each], parts),
    )


def _names(maps: Sequence[Mapping[str, object]]) -> list[str]:
    """What any of the maps names, in their order."""
    return list(dict.fromkeys(name for each in maps for name in each))


def _sums(maps: Sequence[Mapping[str, float]], parts: Shares) -> dict[str, float]:
    """The means of shares and counts; what a phase does not have is nought in it."""
    return {name: _mean([each.get(name, 0.0) for each in maps], parts) for name in _names(maps)}


def _figures(maps: Sequence[Mapping[str, Figure]], parts: Shares) -> dict[str, Figure]:
    """The same of figures."""
    nought = Figure(mean=0.0, low=0.0, high=0.0)
    return {name: _figure([each.get(name, nought) for each in maps], parts) for name in _names(maps)}


def _by_owner(maps: Sequence[Mapping[str, Mapping[str, float]]], parts: Shares) -> dict[str, Mapping[str, float]]:
    """The same of each station and attendant."""
    return {name: _sums([each.get(name, {}) for each in maps], parts) for name in _names(maps)}


def _typical(maps: Sequence[Mapping[str, float]], parts: Shares) -> dict[str, float]:
    """Means of quantiles, over the phases that have them: between those of the phases, and no quantile of all."""
    found = {}
    for name in _names(maps):
        known = [(each[name], part) for each, part in zip(maps, parts, strict=True) if name in each]
        whole = fsum(part for _, part in known)
        found[name] = fsum(value * part for value, part in known) / whole if whole > 0.0 else known[0][0]
    return found


def _alone(each: Sequence[Alone | None], parts: Shares) -> Alone | None:
    """Absences of all people, as many of them in each phase as it has of the time."""
    known = [one for one in each if one is not None]
    if len(known) < len(each):
        return None
    return Alone(
        absences=round(_mean([one.absences for one in known], parts)),
        ran_through=_mean([one.ran_through for one in known], parts),
        until_end_s=_typical([one.until_end_s for one in known], parts),
        parts=_figure([one.parts for one in known], parts),
        first_need=_sums([one.first_need for one in known], parts),
        ended_by=_sums([one.ended_by for one in known], parts),
    )


def _effectiveness(maps: Sequence[Mapping[str, Mapping[str, float]]], parts: Shares) -> dict[str, Mapping[str, float]]:
    """Key figures of each station: shares of time in the mean, the pace over the time of production, so that they
    multiply up to the same whole."""
    found: dict[str, Mapping[str, float]] = {}
    for name in _names(maps):
        each = [one.get(name, {}) for one in maps]
        figures = _sums([{key: value or 0.0 for key, value in one.items()} for one in each], parts)
        made = [(one.get("availability") or 0.0) * part for one, part in zip(each, parts, strict=True)]
        if fsum(made) > 0.0:
            paces = [one.get("effectiveness") or 0.0 for one in each]
            figures["effectiveness"] = _mean(paces, made) / fsum(made)
        found[name] = figures
    return found
