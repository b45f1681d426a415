"""Where an arm stands before its machines, and from where it takes and brings parts."""

from dataclasses import dataclass
from itertools import combinations

from millhand.model.fact import Fact
from millhand.stages.layout.ground import Door, Ground, Spot2, aside, back, distance, doors, middle, moved
from millhand.trace import apply

TRACK = "floor_track"


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """The spots of one cell: where the arm is when it serves a place, and the spot that it then reaches for."""

    doors: tuple[Door, ...]
    stands: dict[str, Spot2]  # place: where the arm's foot is
    spots: dict[str, Spot2]  # place: what the hand goes to, at the door of a machine
    base: Spot2
    prefix: str  # of the shared facts


def arrangement(ground: Ground) -> Arrangement:
    """On a track the foot goes to each machine; otherwise it stays in the middle before them."""
    mount = ground.concept.mount
    assert mount is not None
    found = doors(ground)
    approach = ground.figure("approach_m")
    fronts = {door.name: moved(ground.sheet, f"{door.name}.front", door.at, approach, door.faces) for door in found}
    return on_track(ground, found, fronts) if mount.id == TRACK else standing(ground, found, fronts)


def standing(ground: Ground, found: tuple[Door, ...], fronts: dict[str, Spot2]) -> Arrangement:
    """A fixed foot: the presenter behind the arm where several doors look the same way, else beside it."""
    sheet, offset, first = ground.sheet, ground.figure("presenter_offset_m"), found[0].faces
    base = middle(sheet, "standing.base", tuple(fronts.values()))
    row = len(found) > 1 and all(door.faces == first for door in found)
    presenter = moved(sheet, "standing.presenter", base, offset, first if row else aside(first))
    outfeed = presenter if returns(ground) else moved(sheet, "standing.outfeed", base, offset, back(aside(first)))
    spots = {"presenter": presenter, **{door.name: door.at for door in found}, "outfeed": outfeed, "home": base}
    own = "standing" if returns(ground) else "standing.two_sides"
    return Arrangement(doors=found, stands=dict.fromkeys(spots, base), spots=spots, base=base, prefix=own)


def on_track(ground: Ground, found: tuple[Door, ...], fronts: dict[str, Spot2]) -> Arrangement:
    """A foot on a track along the fronts; presenter, outfeed and home at its end before the first machine."""
    first, last = fronts[found[0].name], fronts[found[-1].name]
    end = moved(ground.sheet, "track.end", first, ground.figure("presenter_offset_m"), away(first, last))
    stands = {"presenter": end, **fronts, "outfeed": end, "home": end}
    base = middle(ground.sheet, "track.middle", (end, last))
    return Arrangement(doors=found, stands=stands, spots=stands, base=base, prefix="track")


def away(first: Spot2, last: Spot2) -> tuple[int, int]:
    """The way along the longer axis that leads from the last machine past the first."""
    dx, dy = first.x.value - last.x.value, first.y.value - last.y.value
    if abs(dx) >= abs(dy):
        return (1, 0) if dx > 0 else (-1, 0)
    return (0, 1) if dy > 0 else (0, -1)


def returns(ground: Ground) -> bool:
    """Whether finished parts go back to where they came from."""
    outfeed = ground.concept.outfeed
    return outfeed is not None and outfeed.id == "back_to_tray"


def arm_distances(ground: Ground, plan: Arrangement) -> dict[str, Fact]:
    """The way between any two places, and from the foot to what the arm must reach (`base <place>`)."""
    sheet, prefix = ground.sheet, plan.prefix
    ways = {
        f"{a} {b}": distance(sheet, f"{prefix}.{a}.{b}", plan.spots[a], plan.spots[b])
        for a, b in combinations(plan.spots, 2)
    }
    for door in plan.doors:
        load = moved(sheet, f"{door.name}.load", door.at, door.machine.load_depth_m, back(door.faces))
        stand = plan.stands[door.name]
        ways[f"base {door.name}"] = distance(sheet, f"{prefix}.base.{door.name}", stand, load)
    return ways | {"base presenter": ground.figure("presenter_offset_m")}


def track_travel(ground: Ground, ways: dict[str, Fact], plan: Arrangement) -> Fact:
    """How far the foot goes: from the presenter to the furthest machine."""
    lengths = tuple(ways[f"presenter {door.name}"] for door in plan.doors)
    return apply(ground.sheet, "greatest_of_lengths_m", "layout.track.travel", lengths_m=lengths)
