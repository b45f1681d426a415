"""Where two arms on one track take parts, bring them, and stand out of each other's way.

Both may need the outermost places that they serve: while one is there the other waits beyond, on a piece of track that
is built for nothing else.
"""

import math
from collections.abc import Collection, Iterator, Mapping, Sequence

from millhand.solvers.placing.site import Foot, Pair

Places = Mapping[str, Foot]
PARKED = ("parking_1", "parking_2")  # of the arm with the lower and of the one with the higher number
AIR_M = 0.01  # more than the carriages keep, so that no rounding makes it less: judged
ASIDE_M = (0.0, 0.6, -0.6)  # from the middle, where presenter and outfeed are tried: judged, half a stand's length


def further(foot: Foot, axis: int, by_m: float) -> Foot:
    """A foot so much further along a track."""
    x, y, z, heading = foot
    return (x + by_m, y, z, heading) if axis == 0 else (x, y + by_m, z, heading)


def halves(feet: Places, axis: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The machines in their order along a track, in two groups that lie beside each other; the first is the larger."""
    row = sorted(feet, key=lambda name: feet[name][axis])
    cut = (len(row) + 1) // 2
    return tuple(row[:cut]), tuple(row[cut:])


def shared(pair: Pair, feet: Places, axis: int, beyonds: Sequence[float]) -> Iterator[list[dict[str, Foot]]]:
    """The places of two feet on one track, from those of one foot before the machines; in groups, of which the first
    that does well is enough."""
    row = sorted(feet.values(), key=lambda foot: foot[axis])
    if pair.way == "feed":
        for begin, end, way in ((row[0], row[-1], -1.0), (row[-1], row[0], 1.0)):
            yield [
                parked(pair, {**feet, "presenter": further(begin, axis, way * beyond),
                              "outfeed": further(end, axis, -way * beyond)}, axis)
                for beyond in beyonds
            ]  # fmt: skip
        return
    one, other = halves(feet, axis)
    middle = (feet[one[-1]][axis] + feet[other[0]][axis]) / 2.0
    between = further(row[0], axis, middle - row[0][axis])
    group = []
    for aside in ASIDE_M:
        place = further(between, axis, aside)
        group.append(parked(pair, {**feet, "presenter": place, "outfeed": place}, axis))
    yield group


def serves(pair: Pair, feet: Places, axis: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Which places the first and the second arm serve; the first arm's side is that of its parking place."""
    machines = {name: foot for name, foot in feet.items() if name not in ("presenter", "outfeed", *PARKED)}
    if pair.way == "feed":
        return ("presenter", *machines), (*machines, "outfeed")
    if pair.way == "free":
        return ("presenter", *machines, "outfeed"), ("presenter", *machines, "outfeed")
    one, other = halves(machines, axis)
    return ("presenter", *one, "outfeed"), ("presenter", *other, "outfeed")


def parked(pair: Pair, feet: Places, axis: int) -> dict[str, Foot]:
    """The places with those where each arm waits: no nearer to what the other serves than the carriages keep."""
    along = -1.0 if pair.way == "feed" and feet["presenter"][axis] > feet["outfeed"][axis] else 1.0
    at = {name: along * foot[axis] for name, foot in feet.items()}
    own, others = serves(pair, feet, axis)
    keep = pair.keep_m + AIR_M
    first = min(*(at[name] for name in own), min(at[name] for name in others) - keep)
    second = max(*(at[name] for name in others), max(at[name] for name in own) + keep)
    foot = feet["presenter"]
    return {
        **feet,
        **{
            name: further(foot, axis, along * (place - at["presenter"]))
            for name, place in zip(PARKED, (first, second), strict=True)
        },
    }


def waits_as(feet: Places, stops: Collection[str]) -> dict[str, str]:
    """The places where two arms wait, each with the machine next to it, before which the hand is held there; nothing
    where there is one arm, or where no machine is among the stops."""
    doors = [name for name in stops if name.startswith("machine_")]
    return {
        name: min(doors, key=lambda door: math.dist(feet[door][:2], feet[name][:2]))
        for name in PARKED if name in feet and doors
    }  # fmt: skip
