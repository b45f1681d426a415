"""Key figures of equipment use, with the names of the standard on manufacturing key figures."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(source="iso22400, availability", unit="1", valid={"production_s": NOT_NEGATIVE, "planned_busy_s": POSITIVE})
def availability(production_s: float, *, planned_busy_s: float) -> float:
    """Share of the planned busy time in which the machine really produces, APT / PBT [0..1].

    Source: iso22400.  Valid for a planned busy time above zero.
    """
    return production_s / planned_busy_s


@formula(
    source="iso22400, effectiveness",
    unit="1",
    valid={"planned_s_per_part": NOT_NEGATIVE, "produced_parts": NOT_NEGATIVE, "production_s": POSITIVE},
    units={"planned_s_per_part": "s"},
)
def effectiveness(planned_s_per_part: float, *, produced_parts: float, production_s: float) -> float:
    """Planned time of the parts made over the time in which they were made, PRI x PQ / APT [1].

    Source: iso22400.  Valid for a production time above zero; above 1 the planned time is too long.
    """
    return planned_s_per_part * produced_parts / production_s


@formula(
    source="own_computation, shares of states times the time simulated",
    unit="s",
    valid={"state_shares": SHARE, "horizon_s": POSITIVE},
)
def production_time_s(state_shares: Sequence[float], *, horizon_s: float) -> float:
    """Time in which machines cut or are loaded, APT of all of them, from the shares of these states [s].

    Source: own_computation.  Valid for shares of the same horizon, each state of each machine once.

    >>> production_time_s([0.5, 0.25, 0.25], horizon_s=3600.0)
    3600.0
    """
    return math.fsum(state_shares) * horizon_s


@formula(
    source="own_computation, effectiveness turned round",
    valid={"effectiveness_shares": NOT_NEGATIVE, "stations_s": NOT_NEGATIVE, "planned_s_per_part": POSITIVE},
    units={"effectiveness_shares": "1", "planned_s_per_part": "s"},
)
def produced_parts(
    effectiveness_shares: Sequence[float], *, stations_s: Sequence[float], planned_s_per_part: float
) -> float:
    """Parts that machines made in their production times, PQ, when each used so much of its time as planned [parts].

    Source: own_computation.  Valid for machines that make the same part in the same planned time.

    >>> produced_parts([0.9, 0.8], stations_s=[1000.0, 2000.0], planned_s_per_part=100.0)
    25.0
    """
    planned_s = math.fsum(share * time for share, time in zip(effectiveness_shares, stations_s, strict=True))
    return planned_s / planned_s_per_part


@formula(
    source="own_computation, machines times hours",
    valid={"machines": FROM_ONE, "covered_h": POSITIVE},
)
def planned_busy_s(machines: float, *, covered_h: float) -> float:
    """Time in which machines are meant to produce, PBT of all of them: the hours with somebody there [s].

    Source: own_computation.  Valid for machines that nobody plans to run alone.

    >>> planned_busy_s(2.0, covered_h=80.0)
    576000.0
    """
    return machines * covered_h * 3600.0


@formula(
    source="own_computation, losses multiply",
    unit="1",
    valid={
        "availability_share": (0.0, 1.5),
        "set_up_share": SHARE,
        "available_share": SHARE,
    },
)
def availability_after_losses(
    availability_share: float, *, set_up_share: float, available_share: float, loss_share: float
) -> float:
    """Availability when set-ups, long stops and a loss that nothing explains each take their share of every hour [1].

    Below 0 the loss says that more is shipped than the times can make.
    Source: own_computation.  Valid for losses that are independent of each other.

    >>> availability_after_losses(0.8, set_up_share=0.5, available_share=1.0, loss_share=0.5)
    0.2
    """
    return availability_share * (1.0 - set_up_share) * available_share * (1.0 - loss_share)


@formula(source="iso22400, quality ratio", unit="1", valid={"good_parts": NOT_NEGATIVE, "produced_parts": POSITIVE})
def quality(good_parts: float, *, produced_parts: float) -> float:
    """Share of the parts that are good at the first go, GQ / PQ [0..1].

    Source: iso22400.  Valid for at least one part.
    """
    return good_parts / produced_parts


@formula(
    source="iso22400, OEE index",
    unit="1",
    valid={"availability_share": SHARE, "effectiveness_share": (0.0, 1.5), "quality_share": SHARE},
)
def oee(availability_share: float, *, effectiveness_share: float, quality_share: float) -> float:
    """Overall equipment effectiveness: availability times effectiveness times quality [0..1].

    Source: iso22400.  Valid for shares of the same period.
    """
    return availability_share * effectiveness_share * quality_share


@formula(
    source="own_computation, mean up and down times",
    unit="1",
    valid={"between_faults_h": POSITIVE, "repair_h": NOT_NEGATIVE},
)
def steady_availability(between_faults_h: float, *, repair_h: float) -> float:
    """Share of time a thing is up in the long run, MTBF / (MTBF + MTTR) [0..1].

    Source: own_computation.  Valid when between_faults_h counts running time only.
    """
    return between_faults_h / (between_faults_h + repair_h)
