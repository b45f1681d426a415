"""Which way the machines stand under a cell: as the shop said, or of a few arrangements the one that is served best."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.model.fact import Fact
from millhand.model.layout import Arrangement
from millhand.solvers.placing.arranged import Arrangement as Fronts
from millhand.solvers.placing.arranged import Unplaced, arrangements, stands_free
from millhand.solvers.placing.floor import machines_score, placed, rank
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.site import Kit, Site
from millhand.stages.layout.ground import Door, Ground, Spot2, doors
from millhand.stages.layout.site import site_of, widths_of
from millhand.trace import found

TRIED = "placed on the floor by search; one of a few arrangements of machines that nobody placed"
WORDS = {
    "row": "a row, all doors looking one way",
    "facing": "two rows that face each other, an aisle on either side of the arm",
    "facing_close": "two rows that face each other as close as somebody can pass beside the arm",
    "corner": "an L, the second machine turned by a quarter",
    "horseshoe": "a U, two machines turned towards the arm",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Arranged:
    """One way for the machines to stand, how well they alone are served, and the ways to put the cell down before them,
    the best first; none where the machines are out of reach and another way to stand does better."""

    name: str
    fronts: tuple[Door, ...]
    site: Site
    score: float
    plans: tuple[Placed, ...] = ()


def arranged(ground: Ground, kit: Kit) -> tuple[Arranged, ...]:
    """All arrangements that were tried, the best first; the only one where the shop said how its machines stand."""
    row = doors(ground)
    if not unplaced(ground, row):
        site = site_of(ground, row)
        return (Arranged(name="row", fronts=row, site=site, score=0.0, plans=placed(kit, site)),)
    tried = []
    for each in arrangements(told(ground, row, kit)):
        fronts = row if each.name == "row" else tuple(turned(ground, row, each))
        site = site_of(ground, fronts)
        if each.name == "row" or stands_free(site):
            tried.append(Arranged(name=each.name, fronts=fronts, site=site, score=machines_score(kit, site)))
    tried.sort(key=lambda one: -one.score)
    whole = [
        replace(one, plans=placed(kit, one.site)) for number, one in enumerate(tried) if number == 0 or one.score >= 0.0
    ]
    whole.sort(key=lambda one: rank(one.plans[0]))
    return (*whole, *tried[len(whole) :])


def unplaced(ground: Ground, row: tuple[Door, ...]) -> bool:
    """Whether nobody said how several machines stand: neither a place nor how far it is from one to the next."""
    spacings = [door.machine.spacing_m for door in row[:-1]]
    return len(row) > 1 and not ground.inquiry.places and all(each.basis == "assumed" for each in spacings)


def told(ground: Ground, row: tuple[Door, ...], kit: Kit) -> Unplaced:
    """What the arrangements are drawn from."""
    aisle = ground.figure("aisle_m")
    return Unplaced(
        widths_m=tuple(widths_of(ground, row)), spacings_m=tuple(door.machine.spacing_m.value for door in row),
        foot_m=kit.foot_m[1], aisle_m=aisle.value, narrow_m=aisle.value if aisle.low is None else aisle.low,
        stays=not kit.on_track,
    )  # fmt: skip


def turned(ground: Ground, row: tuple[Door, ...], fronts: Fronts) -> Iterator[Door]:
    """The doors of an arrangement that is not a row; their places are decided, not estimated."""
    mount = ground.concept.mount
    assert mount is not None
    under = f"{fronts.name}.{mount.id}."
    for door, (x, y, faces) in zip(row, fronts.fronts, strict=True):
        places = [
            found(
                ground.sheet,
                Fact(id=f"layout.{under}{door.name}.{axis}", value=at, unit="m", basis="computed", source=TRIED),
            )
            for axis, at in (("x", x), ("y", y))
        ]
        yield Door(
            name=door.name, machine=door.machine, at=Spot2(x=places[0], y=places[1]), faces=faces, under=under
        )  # fmt: skip


def arrangements_told(ground: Ground, tried: tuple[Arranged, ...]) -> Iterator[Arrangement]:
    """What was tried, the chosen one first; nothing where there was no choice."""
    if len(tried) < 2:
        return
    on_track = tried[0].plans[0].track_m > 0.0
    for each in tried:
        name = f"concepts.{ground.concept.id}.layout.arrangement.{each.name}"

        def fact(what: str, value: float, unit: str, name: str = name) -> str:
            whole = Fact(id=f"{name}.{what}", value=value, unit=unit, basis="computed", source=TRIED)
            return found(ground.sheet, whole).id

        if not each.plans:
            yield Arrangement(words=WORDS[each.name], score=fact("score", each.score, "1"))
            continue
        plan = each.plans[0]
        yield Arrangement(
            words=WORDS[each.name], score=fact("score", plan.worst.score, "1"),
            travel=fact("travel", plan.travel, "m" if on_track else "rad"), floor=fact("floor", plan.floor_m2, "m2"),
        )  # fmt: skip
