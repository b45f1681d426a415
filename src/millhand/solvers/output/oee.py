"""The standard's key figures of one station, from its state shares and what it made (ISO 22400-2, iso22400)."""

from collections.abc import Mapping
from dataclasses import dataclass

from millhand.formulas.oee import availability, effectiveness, oee, quality

# Where the standard leaves room: the actual cycle is process and loading; every wait, stop and set-up is a delay.
PRODUCING = ("working", "handled")
DELAYED = ("waiting_attendant", "starved", "blocked", "failed", "in_repair", "worn")
SET_UP = ("setup", "warming")
UNPLANNED = ("off",)
STATES = (*PRODUCING, *DELAYED, *SET_UP, *UNPLANNED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Effectiveness:
    """A station's times and key figures, by the standard's names; None where nothing was planned or made."""

    planned_busy_s: float  # PBT: the horizon without `off`
    production_s: float  # APT: process and loading
    delay_s: float  # ADET: waits and stops
    set_up_s: float  # AUST: set-ups and warming up
    availability: float | None  # APT / PBT
    effectiveness: float | None  # PRI x PQ / APT; often called performance
    quality: float | None  # GQ / PQ
    oee: float | None  # the product of the three, good parts x ideal time / planned time


def station_effectiveness(
    states: Mapping[str, float], *, horizon_s: float, ideal_s: float, made: float, good: float
) -> Effectiveness:
    """Key figures of a station whose states took these shares of the horizon; ideal_s is one part's planned time.

    Whether waits count as delay, as here, or as slow production moves a loss between availability and effectiveness;
    the product is the same.
    """
    if unknown := set(states) - set(STATES):
        raise ValueError(f"no states of a station: {', '.join(sorted(unknown))}")
    produced, delayed, set_up = (_time_s(states, group, horizon_s) for group in (PRODUCING, DELAYED, SET_UP))
    planned = produced + delayed + set_up
    known = planned > 0.0
    up = availability(produced, planned_busy_s=planned) if known else None
    pace = effectiveness(ideal_s, produced_parts=made, production_s=produced) if produced > 0.0 else None
    right = quality(good, produced_parts=made) if made > 0.0 else None
    whole = None
    if up is not None and pace is not None and right is not None:
        whole = oee(up, effectiveness_share=pace, quality_share=right)
    return Effectiveness(
        planned_busy_s=planned,
        production_s=produced,
        delay_s=delayed,
        set_up_s=set_up,
        availability=up,
        effectiveness=pace,
        quality=right,
        oee=whole if whole is not None or not known else 0.0,
    )


def _time_s(states: Mapping[str, float], group: tuple[str, ...], horizon_s: float) -> float:
    """Time in any of these states."""
    return sum(states.get(state, 0.0) for state in group) * horizon_s
