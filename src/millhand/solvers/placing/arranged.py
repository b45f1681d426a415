"""How machines may stand that nobody placed: the few arrangements that an engineer would draw first.

The first machine stands at the origin and looks south. The others follow in a row; or stand opposite, over the arm or
its track; or one or two of them beside it, turned by a quarter, round an arm that stays.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from millhand.solvers.placing.site import Rect, Site, free_of

BESIDE_M = 0.05  # between two machines that stand corner to corner: judged
SOUTH, NORTH, WEST, EAST = (0, -1), (0, 1), (-1, 0), (1, 0)
Front = tuple[float, float, tuple[int, int]]  # x, y of a door plane's middle [m], and which way the door looks


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """One way to stand: its name, and every machine's door in their order."""

    name: str  # row, facing, facing_close, corner, horseshoe
    fronts: tuple[Front, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplaced:
    """What has to be known of machines without a place: how wide each is, and how far each is from the next in a row.

    foot_m: across what the arm stands on; aisle_m, narrow_m: for somebody between that and a door, as usual and at the
    least; stays: whether the foot does.
    """

    widths_m: tuple[float, ...]
    spacings_m: tuple[float, ...]
    foot_m: float
    aisle_m: float
    narrow_m: float
    stays: bool


def arrangements(of: Unplaced) -> Iterator[Arrangement]:
    """The row first; of one machine nothing else."""
    count = len(of.widths_m)
    along = [sum(of.spacings_m[:number]) for number in range(count)]
    yield Arrangement(name="row", fronts=tuple((x, 0.0, SOUTH) for x in along))
    if count < 2:
        return
    for name, room in (("facing", of.aisle_m), ("facing_close", of.narrow_m)):
        across = of.foot_m + 2.0 * room
        if of.stays or along[_half(count) - 1] > across:  # a track leads along the rows
            yield Arrangement(name=name, fronts=tuple(_facing(along, across)))
    if of.stays and count == 2:
        yield Arrangement(name="corner", fronts=((0.0, 0.0, SOUTH), _turned(of, 1, WEST)))
    if of.stays and count == 3:
        turned = (_turned(of, 1, WEST), _turned(of, 2, EAST))
        yield Arrangement(name="horseshoe", fronts=((0.0, 0.0, SOUTH), *turned))


def _half(count: int) -> int:
    """How many of the machines stand in the first of two rows."""
    return (count + 1) // 2


def _facing(along: Sequence[float], across: float) -> Iterator[Front]:
    """The first half in a row, the others opposite on the way back, so that the last stands over against the first."""
    half = _half(len(along))
    yield from ((x, 0.0, SOUTH) for x in along[:half])
    back = range(len(along) - half - 1, -1, -1)
    yield from ((along[number], -across, NORTH) for number in back)


def _turned(of: Unplaced, number: int, faces: tuple[int, int]) -> Front:
    """A machine beside the arm that looks at it, its corner at that of the first one."""
    out = of.foot_m / 2.0 + of.aisle_m
    return (-faces[0] * out, -(of.widths_m[number] / 2.0 + BESIDE_M), faces)


def stands_free(site: Site) -> bool:
    """Whether machines overlap nothing, and nothing stands before a door."""
    solid: tuple[Rect, ...] = (*site.machines, *site.obstacles)
    rooms = [each.room(site.before_door_m) for each in site.doorways]
    return all(
        free_of(machine, (*site.machines[:number], *site.obstacles)) for number, machine in enumerate(site.machines)
    ) and all(free_of(room, solid) for room in rooms)
