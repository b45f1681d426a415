"""A simulation's figures by the hour, the shift and the week, for the reader: scaling, and sums of states."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from millhand.formulas.hours import WEEK_H
from millhand.model.cell import Cell
from millhand.model.performance import Figure, Output

SHIFT_H = 8.0
ALONE = "good parts, alone"
WALKING = ("travelling", "carrying", "slowed")
AWAY = ("off", "break")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """One kind of parts: an hour and a shift of the time they belong to, and what that makes in a whole week."""

    parts: str
    share: float  # of the horizon that the hours belong to: attended, alone, or all of it
    per_h: Figure
    per_shift: Figure
    per_week: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Intervention:
    """One duty in a shift: how often it ended, and how long somebody was at it."""

    duty: str
    times: Figure
    minutes: Figure


def scaled(figure: Figure, factor: float) -> Figure:
    """The same figure in another unit."""
    return Figure(mean=figure.mean * factor, low=figure.low * factor, high=figure.high * factor)


def rates(output: Output) -> tuple[Rate, ...]:
    """All parts and good ones; what of them left attended and alone, where there was time of both kinds; each type.

    The weeks of attended and alone add up to that of all parts; their hours and shifts do not.
    """
    found = [_rate("parts", output.parts_per_h, share=1.0), _rate("good parts", output.good_per_h, share=1.0)]
    here = output.attended_share
    if 0.0 < here < 1.0:
        told = (
            ("parts, attended", "attended", here),
            ("parts, alone", "unattended", 1.0 - here),
            (ALONE, "good_unattended", 1.0 - here),
        )
        found += [_rate(words, output.counts[name], share=share) for words, name, share in told]
    found += [_rate(f"good, {name}", figure, share=1.0) for name, figure in output.by_part.items()]
    return tuple(found)


def good_alone(output: Output) -> Rate | None:
    """Good parts that leave with nobody there; None where somebody always or never is."""
    return next((rate for rate in rates(output) if rate.parts == ALONE), None)


def _rate(parts: str, per_horizon_h: Figure, *, share: float) -> Rate:
    """From a count per hour of the horizon."""
    per_h = scaled(per_horizon_h, 1.0 / share)
    return Rate(
        parts=parts,
        share=share,
        per_h=per_h,
        per_shift=scaled(per_h, SHIFT_H),
        per_week=scaled(per_horizon_h, WEEK_H),
    )


def shift_share(output: Output) -> float:
    """The share of the horizon whose hours make up shifts: the attended ones, and all where nobody has hours."""
    return output.attended_share or 1.0


def interventions(output: Output) -> tuple[Intervention, ...]:
    """Duties in 8 h with somebody there."""
    hours = SHIFT_H / shift_share(output)
    return tuple(
        Intervention(
            duty=name,
            times=scaled(output.duties[name], hours),
            minutes=scaled(output.duty_share[name], hours * 60.0),
        )
        for name in output.duties
    )


def operators(cell: Cell) -> tuple[str, ...]:
    """The people of a cell, in file order."""
    return tuple(name for name, who in cell.attendants.items() if who.kind == "operator")


def parts_left(cell: Cell, output: Output) -> float:
    """Parts of the cell's lots that have neither left nor been scrapped in a run, on average; 0 without lots."""
    lots = sum(part.lot.size * part.lot.count for part in cell.parts.values() if part.lot)
    return max(0.0, lots - output.parts_per_h.mean * output.horizon_s / 3600.0)  # scrap is among the parts


def minutes_of_people(output: Output, people: Sequence[str]) -> Mapping[str, Mapping[str, float]]:
    """What each person does in 8 h of own hours, breaks not counted: minutes of duties, handling, walking; and free.

    `free` is the rest: idle, waiting, or stopped. Who has no states or no hours is left out.
    """
    found = {}
    for name in people:
        states = output.states.get(name, {})
        there = sum(states.values()) - sum(states.get(state, 0.0) for state in AWAY)
        if there <= 0.0:
            continue
        minutes = SHIFT_H * 60.0 / there
        duties, handling = (states.get(state, 0.0) * minutes for state in ("on_duty", "handling"))
        walking = sum(states.get(state, 0.0) for state in WALKING) * minutes
        free = max(0.0, SHIFT_H * 60.0 - duties - handling - walking)
        found[name] = {"duties": duties, "handling": handling, "walking": walking, "free": free}
    return found
