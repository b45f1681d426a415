"""Does what was given a place by hand overlap anything that stands there too?"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from millhand.model.fact import Fact
from millhand.model.floor import standing
from millhand.model.layout import Spot
from millhand.model.verdict import Verdict
from millhand.solvers.placing.site import ROUNDING_M, Rect, gap_m
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.stages.feasibility.reach import ON_SITE, thing
from millhand.trace import apply

MACHINE, ARM = "machine_", "arm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two pieces on the floor, and the line along which the least move would part them."""

    one: Spot
    other: Spot
    along_x: bool
    gap_m: float  # below nought where they overlap

    @property
    def beside_machine(self) -> bool:
        """Whether one of them is a machine, whose size is the usual one."""
        return any(each.name.startswith(MACHINE) for each in (self.one, self.other))


def standing_clear(asked: Asked) -> Verdict | None:
    """Half the sides of the two pieces that come nearest against how far their middles are apart; None where nothing
    was given a place, for the search puts nothing into anything.

    It ends the concept, but beside a machine, whose size is the usual one: there it warns, and asks for the measure.
    """
    pairs = tuple(pairs_of(asked))
    if asked.concept.arm is None or not pairs:
        return None
    worst, sheet = worst_of(pairs), asked.sheet
    apart, wanted = distance(asked, worst), room(asked, worst)
    if 0.0 > worst.gap_m > -ROUNDING_M:  # they touch
        wanted = apart
    names = tuple(called(asked, each) for each in (worst.one, worst.other))
    left = apply(sheet, "difference_m", asked.id("standing_clear.left"), length_m=apart, less_m=wanted)
    deep = apply(sheet, "difference_m", asked.id("standing_clear.overlap"), length_m=wanted, less_m=apart)
    beside_machine = worst.beside_machine
    way = "east or west" if worst.along_x else "north or south"
    return verdict(
        asked,
        Finding(
            check="standing_clear",
            demand=wanted,
            limit=apart,
            well=f"What was given a place overlaps nothing; nearest to each other stand the {names[0]} and the "
            f"{names[1]}, {shown(left, 'mm')} apart.",
            ill=f"The {names[0]} overlaps the {names[1]} by {shown(deep, 'mm')}: move one of them by as much to the "
            f"{way}.{' The size of the machine is a usual one: measure it.' if beside_machine else ''}",
            formula="margin_share",
            kills=not beside_machine,
            caution=ON_SITE,
        ),
    )


def worst_of(pairs: tuple[Pair, ...]) -> Pair:
    """The pair that is told: of those whose overlap ends the concept the deepest, however deep another is that only
    warns; else of all the deepest, or the nearest."""
    ending = tuple(each for each in pairs if each.gap_m <= -ROUNDING_M and not each.beside_machine)
    return min(ending or pairs, key=lambda each: each.gap_m)


def pairs_of(asked: Asked) -> Iterator[Pair]:
    """Any two pieces of which one was given its place."""
    given = {each.what.value for each in standing(asked.inquiry.pinned, asked.concept.pinned)}
    for one, other in combinations(on_floor(asked), 2):
        if one.name in given or other.name in given:
            here, there = rect(asked, one), rect(asked, other)
            x = abs(here.x_m - there.x_m) - (here.width_m + there.width_m) / 2.0
            gap = gap_m(here, there)
            yield Pair(one=one, other=other, along_x=x >= gap, gap_m=gap)


def on_floor(asked: Asked) -> tuple[Spot, ...]:
    """What stands on the floor: what is new, machines, obstacles. The strip under an arm that hangs is no piece."""
    hangs = asked.layout.overhead is not None
    spots = [each for each in asked.layout.spots if not (hangs and each.name == ARM)]
    spots.sort(key=lambda each: each.name.startswith(MACHINE))
    blocks = (
        Spot(name=each.name, x_m=each.x_m.id, y_m=each.y_m.id, width_m=each.width_m.id, depth_m=each.depth_m.id)
        for each in asked.inquiry.obstacles
    )
    return (*spots, *blocks)


def rect(asked: Asked, spot: Spot) -> Rect:
    """A piece as numbers."""
    x, y, width, depth = (asked.sheet.value(each) for each in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m))
    return Rect(name=spot.name, x_m=x, y_m=y, width_m=width, depth_m=depth)


def distance(asked: Asked, pair: Pair) -> Fact:
    """How far the two middles are apart along the line."""
    (x, y), (to_x, to_y) = (
        (asked.sheet[each.x_m], asked.sheet[each.y_m]) for each in (pair.one, pair.other)
    )  # fmt: skip
    to = {"to_x_m": to_x, "to_y_m": y} if pair.along_x else {"to_x_m": x, "to_y_m": to_y}
    return apply(asked.sheet, "plan_distance_m", asked.id("standing_clear.apart"), x_m=x, y_m=y, **to)


def room(asked: Asked, pair: Pair) -> Fact:
    """How far apart the two middles have to be: half of either side."""
    sides = ((each.width_m if pair.along_x else each.depth_m) for each in (pair.one, pair.other))
    halves = tuple(
        apply(
            asked.sheet, "half_of_length_m", asked.id(f"standing_clear.half.{number}"), length_m=asked.sheet[side]
        )
        for number, side in enumerate(sides, start=1)
    )  # fmt: skip
    return apply(asked.sheet, "sum_of_lengths_m", asked.id("standing_clear.asked"), lengths_m=halves)


def called(asked: Asked, spot: Spot) -> str:
    """A piece in words; columns have no numbers in a sentence."""
    if spot.name == ARM:
        return "track" if asked.layout.track else "foot of the arm"
    return "column" if spot.name.startswith("column_") else thing(spot.name).replace("_", " ")
