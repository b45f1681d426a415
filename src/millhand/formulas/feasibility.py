"""What a concept is asked for and what it offers: margin, places for parts, pace, lifts, masses of two hands."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(source="own_computation, share of the limit", unit="1", valid={"demand": NOT_NEGATIVE, "limit": NOT_NEGATIVE})
def margin_share(demand: float, *, limit: float) -> float:
    """How much of the limit is left, as a share of it; below 0 the demand goes beyond it [1].

    With nothing on offer (limit 0) the margin is -1, and 0 where nothing is asked either.
    Source: own_computation, share of the limit.  Valid for demand and limit in the same unit.

    >>> margin_share(15.0, limit=20.0)
    0.25
    """
    if limit <= 0.0:
        return -1.0 if demand > 0.0 else 0.0
    return (limit - demand) / limit


@formula(
    source="own_computation, whole layers in a height",
    unit="1",
    valid={"stand_height_m": POSITIVE, "part_height_m": POSITIVE, "extra_m": NOT_NEGATIVE, "most": FROM_ONE},
)
def stack_layers(stand_height_m: float, *, part_height_m: float, extra_m: float, most: float) -> float:
    """Drawers above each other on a stand: whole ones in its height, and no more than are built [1].

    Source: own_computation, whole layers.  Valid for drawers of one pitch, part height and extra_m together.

    >>> stack_layers(1.2, part_height_m=0.04, extra_m=0.06, most=14.0)
    12.0
    """
    return float(min(math.floor(stand_height_m / (part_height_m + extra_m) + 1e-9), most))


@formula(
    source="own_computation, whole parts in a mass",
    unit="parts",
    valid={"mass_max_kg": NOT_NEGATIVE, "tray_kg": NOT_NEGATIVE, "part_kg": POSITIVE},
)
def places_by_mass(mass_max_kg: float, *, part_kg: float, tray_kg: float = 0.0) -> float:
    """Parts that a tray, drawer, lane or box may carry by their mass [parts].

    Source: own_computation, whole parts.  Valid for parts of one mass.

    >>> places_by_mass(60.0, tray_kg=3.0, part_kg=2.0)
    28.0
    """
    return float(max(math.floor((mass_max_kg - tray_kg) / part_kg + 1e-9), 0))


@formula(
    source="own_computation, volume over the box round a part",
    unit="parts",
    valid={
        "volume_m3": NOT_NEGATIVE,
        "fill_share": SHARE,
        "length_m": POSITIVE,
        "width_m": POSITIVE,
        "height_m": POSITIVE,
    },
)
def places_by_volume(volume_m3: float, *, fill_share: float, length_m: float, width_m: float, height_m: float) -> float:
    """Parts that lie loose in a hopper or box, by the volume of the box round each part [parts].

    Source: own_computation.  Valid for parts much smaller than the hopper; the fill share is a judgement.

    >>> places_by_volume(0.1, fill_share=0.5, length_m=0.1, width_m=0.1, height_m=0.1)
    50.0
    """
    return float(math.floor(volume_m3 * fill_share / (length_m * width_m * height_m) + 1e-9))


@formula(
    source="own_computation, least limit times layers",
    unit="parts",
    valid={"layers": NOT_NEGATIVE},
    units={"places": "parts"},
)
def layered_parts(layers: float, *, places: Sequence[float]) -> float:
    """Parts in all layers, when the least of several limits fills each of them [parts].

    Source: own_computation.  Valid for layers that are alike.

    >>> layered_parts(10.0, places=[12.0, 15.0])
    120.0
    """
    return layers * min(places)


@formula(
    source="own_computation, limit of each machine times machines",
    unit="parts",
    valid={"each_parts": NOT_NEGATIVE, "machines": FROM_ONE},
)
def limit_of_machines_parts(each_parts: float, *, machines: float) -> float:
    """Parts that equal machines make together until each has made its own limit (tool life, chip box) [parts].

    Source: own_computation.  Valid for machines that share the parts evenly.
    """
    return each_parts * machines


@formula(source="own_computation, mass times hands", valid={"each_kg": NOT_NEGATIVE, "hands": FROM_ONE})
def mass_of_hands_kg(each_kg: float, *, hands: float) -> float:
    """Mass of the fingers of all hands of a gripper [kg].

    Source: own_computation.  Valid for hands that are alike.
    """
    return each_kg * hands


@formula(
    source="own_computation, machine time a part",
    unit="s",
    units={"processes_s": "s", "gaps_s": "s", "parts_per_load": "parts"},
)
def machine_time_per_part_s(
    processes_s: Sequence[float], *, gaps_s: Sequence[float], parts_per_load: Sequence[float]
) -> float:
    """Time that one machine gives to a part, over all operations that the part has on machines of its kind [s].

    Source: own_computation.  Valid when the attendant stands ready each time.

    >>> machine_time_per_part_s([300.0], gaps_s=[40.0], parts_per_load=[2.0])
    170.0
    """
    return math.fsum(
        (process + gap) / parts for process, gap, parts in zip(processes_s, gaps_s, parts_per_load, strict=True)
    )


@formula(source="own_computation, attendant time a part", unit="s", units={"works_s": "s", "parts_per_load": "parts"})
def attendant_time_per_part_s(works_s: Sequence[float], *, parts_per_load: Sequence[float]) -> float:
    """Time that the attendant works for a part, over all its operations [s].

    Source: own_computation.  Valid when the attendant does one thing at a time.

    >>> attendant_time_per_part_s([60.0, 40.0], parts_per_load=[2.0, 1.0])
    70.0
    """
    return math.fsum(work / parts for work, parts in zip(works_s, parts_per_load, strict=True))


@formula(source="own_computation, slowest group of machines", unit="s", units={"times_s": "s", "machines": "1"})
def machines_time_per_part_s(times_s: Sequence[float], *, machines: Sequence[float]) -> float:
    """Time between two parts of the slowest group of machines, each group its time a part over its machines [s].

    Source: own_computation.  Valid for machines that never wait.

    >>> machines_time_per_part_s([300.0, 120.0], machines=[2.0, 1.0])
    150.0
    """
    return max(time / count for time, count in zip(times_s, machines, strict=True))


@formula(
    source="own_computation, work shared evenly",
    valid={"time_s": NOT_NEGATIVE, "attendants": POSITIVE},
)
def shared_time_per_part_s(time_s: float, *, attendants: float) -> float:
    """Time between two parts when several attendants share their work evenly and never wait for each other [s].

    Source: own_computation.  Valid as the least there can be: where one has more to do than the other it is longer.

    >>> shared_time_per_part_s(40.0, attendants=2.0)
    20.0
    """
    return time_s / attendants


@formula(
    source="own_computation, slower of machines and attendant",
    unit="parts/h",
    valid={"machines_s": POSITIVE, "attendant_s": NOT_NEGATIVE},
)
def steady_rate_parts_per_h(machines_s: float, *, attendant_s: float) -> float:
    """Parts an hour of a cell: the slower of its machines and its attendant, without queues and stops [parts/h].

    Source: own_computation.  Valid as an upper bound.

    >>> steady_rate_parts_per_h(180.0, attendant_s=60.0)
    20.0
    """
    return 3600.0 / max(machines_s, attendant_s)


@formula(
    source="own_computation, rate times time",
    unit="parts",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "time_s": NOT_NEGATIVE},
)
def parts_in_time(rate_parts_per_h: float, *, time_s: float) -> float:
    """Parts that are made in a time [parts].

    Source: own_computation, rate times time.  Valid for an even pace.

    >>> parts_in_time(20.0, time_s=7200.0)
    40.0
    """
    return rate_parts_per_h * time_s / 3600.0


@formula(
    source="own_computation, lifts a part times parts",
    unit="1/min",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "lifts_per_part": NOT_NEGATIVE},
)
def mean_lifts_per_min(rate_parts_per_h: float, *, lifts_per_part: float) -> float:
    """Lifts a minute, averaged over the shift [1/min].

    Source: own_computation.  Valid for lifts in blocks shorter than 15 minutes with light work between them.

    >>> mean_lifts_per_min(30.0, lifts_per_part=2.0)
    1.0
    """
    return rate_parts_per_h * lifts_per_part / 60.0


@formula(source="own_computation, sum of counts", unit="1", units={"counts": "1"})
def count_of_all(counts: Sequence[float]) -> float:
    """Several counts together; nothing counted is 0 [1].

    Source: own_computation, sum.  Valid for counts of the same thing.

    >>> count_of_all([2.0, 1.0])
    3.0
    """
    return math.fsum(counts)


@formula(source="own_computation, hours of a time", valid={"length_s": NOT_NEGATIVE})
def length_h(length_s: float) -> float:
    """A length of time in hours [h].

    Source: own_computation.  Valid for any length.

    >>> length_h(28800.0)
    8.0
    """
    return length_s / 3600.0


@formula(
    source="own_computation, parts over rate",
    valid={"parts": NOT_NEGATIVE, "rate_parts_per_h": POSITIVE},
    units={"parts": "parts"},
)
def time_of_parts_s(parts: float, *, rate_parts_per_h: float) -> float:
    """Time in which so many parts are made [s].

    Source: own_computation, parts over rate.  Valid for an even pace.

    >>> time_of_parts_s(40.0, rate_parts_per_h=20.0)
    7200.0
    """
    return parts / rate_parts_per_h * 3600.0


@formula(
    source="own_computation, span of what jaws must take",
    valid={"raw_m": POSITIVE, "finished_m": POSITIVE, "tolerance_m": NOT_NEGATIVE, "clearance_m": NOT_NEGATIVE},
)
def jaw_travel_m(raw_m: float, *, finished_m: float, tolerance_m: float, clearance_m: float) -> float:
    """Opening that jaws must travel to take a part raw and finished, scatter and room to let go in it [m].

    Source: own_computation.  Valid for jaws that take the same two faces before and after; a hand that meets only one
    state of the part is given the same measure twice.
    """
    return abs(raw_m - finished_m) + tolerance_m + clearance_m
