"""A placed cell as a reader sees it: pictures, the list of marks, how each target is reached, the other places."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.model.layout import Drawn, Layout, Move
from millhand.model.study import Result
from millhand.report.charts import NARROW
from millhand.report.comparison import opening
from millhand.report.drawing import LAYERS, Thing, layers_of
from millhand.report.drawing_svg import drawing_svg, scale_of
from millhand.report.marks import Marks
from millhand.report.pictures import Picture
from millhand.report.plan_view import Plan, plan_things, words_of
from millhand.report.side_view import side_things

SITE_CAUTION = (
    "Drawn from usual sizes of machines, openings and stands wherever nobody measured, and from a search on that "
    "floor. Check every place on site before anything is bolted down: columns, cranes, doors that swing, cables, "
    "escape routes. How much room people and guards need follows from the risk assessment of the real cell."
)
ORIGIN = "From the middle of the first machine's door plane on the floor: east and north are positive."
PLAN_RULE = "North is up. The cross in a circle is the origin from which the list below counts."
DOOR_RULE = "North is up. The cross in a circle is the middle of the first machine's door plane."
SIDE_RULE = "A cut through the door that is served worst. What stands beside the machine is drawn over it."
ARM_RULE = "The straight line leads from the shoulder to the load position and is not the way of the arm."
RAM_RULE = "The straight line leads from the ram, drawn up, down to the load position."
FENCE_RULE = (
    "The fence runs along the sides of a rectangle round all that is new, but round the strip where somebody fills or "
    "empties; machines and stands close it. The floor is what lies inside. A gate lies where it leads to the doors."
)
UNSAID = {"words", "frame", "heights", "machines", "arm", "track", "floor line"}  # layers that say themselves
WAITS = ("home", "parking_1", "parking_2")  # where an arm waits, as it stands at another place
WIDE = 490  # px: two pictures side by side
LETTERS = {WIDE: 12.5, NARROW: 10.5}  # px


@dataclass(frozen=True, slots=True, kw_only=True)
class Views:
    """Plan and side of one cell, each twice, with what a legend explains."""

    plan: Picture
    side: Picture
    legend: tuple[tuple[str, str], ...]  # layer, words
    drawn: Drawn


def views(result: Result | None, marks: Marks) -> Views | None:
    """The pictures of a placed cell; None where nothing was placed."""
    if result is None or result.layout is None or result.layout.drawn is None:
        return None
    drawn = result.layout.drawn
    facts = marks.ids(ids(drawn))
    made = {width: drawn_at(drawn, marks, width) for width in (WIDE, NARROW)}
    place = marks.term(words_of(drawn.worst))
    titles = (marks.told("cell.above_alt"), marks.told("cell.side_alt", {"place": place}))
    plan, side = (
        Picture(
            facts=facts,
            wide=drawing_svg(made[WIDE][number], width=WIDE, title=titles[number]),
            narrow=drawing_svg(made[NARROW][number], width=NARROW, title=titles[number]),
        )
        for number in (0, 1)
    )  # fmt: skip
    layers = said(layers_of((*made[WIDE][0], *made[WIDE][1])))
    return Views(
        plan=plan, side=side, legend=tuple((name, marks.term(layer_words(drawn, name))) for name in layers), drawn=drawn
    )


def said(layers: Iterable[str]) -> tuple[str, ...]:
    """The layers that a legend explains."""
    return tuple(name for name in layers if name not in UNSAID)


def drawn_at(drawn: Drawn, marks: Marks, width: int) -> tuple[tuple[Thing, ...], tuple[Thing, ...]]:
    """Plan and side with letters that are so many px high at a width: drawn a few times to learn the scale."""
    found = []
    for things in (plan_things, side_things):
        letters = 0.1
        for _ in range(4):
            made = things(Plan(drawn=drawn, marks=marks, letters=letters))
            letters = LETTERS[width] / scale_of(made, width)
        found.append(made)
    return found[0], found[1]


def ids(drawn: Drawn) -> Iterator[str]:
    """All facts behind a drawing."""
    for spot in (*drawn.pieces, *drawn.people):
        yield from (each for each in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m, spot.height_m) if each)
    for door in drawn.openings:
        yield from (door.x_m, door.y_m, door.width, door.sill, door.top, door.depth, door.height)
    for foot in drawn.feet:
        yield from (foot.x_m, foot.y_m)
    for each in drawn.fence:
        yield from (each.x_m, each.y_m, each.to_x_m, each.to_y_m)
    yield from (drawn.machine_height, drawn.before_door, drawn.foot_height, drawn.shoulder, drawn.reach, drawn.margin)
    if drawn.overhead is not None:
        yield from (drawn.overhead.beam_low, drawn.overhead.beam_top, drawn.overhead.arm_top, drawn.overhead.ceiling)


def piece_words(name: str, term: Callable[[str], str] = str) -> str:
    """A piece in the list of marks.

    >>> piece_words("presenter stand"), piece_words("fence"), piece_words("machine_2")
    ('Presenter: what stands high', 'Fence, the rectangle round it', 'Machine 2')
    """
    if name.endswith(" stand"):
        return f"{opening(term(name.removesuffix(' stand')))}: {term('what stands high')}"
    return term("Fence, the rectangle round it") if name == "fence" else opening(term(words_of(name)))


def stop_words(drawn: Drawn, place: str, term: Callable[[str], str] = str) -> str:
    """A stop of the foot in the list of marks: on a track, or of the carriage on a beam."""
    what = "Foot on the track" if drawn.overhead is None else "Carriage on the beam"
    return f"{term(f'{what}, at')} {term(words_of(place))}"


def layer_words(drawn: Drawn, layer: str) -> str:
    """What a line means in a legend."""
    ram = drawn.overhead is not None and drawn.overhead.hangs == "ram"
    return "way of the ram" if layer == "reach" and ram else LAYERS[layer]


def side_rule(drawn: Drawn, term: Callable[[str], str] = str) -> str:
    """What the side shows; a ram comes straight down from above."""
    ram = drawn.overhead is not None and drawn.overhead.hangs == "ram"
    return f"{term(SIDE_RULE)} {term(RAM_RULE if ram else ARM_RULE)}"


def ways(layout: Layout) -> tuple[tuple[str, str, Move], ...]:
    """The ways of an arm between two places, each once; its rest is one of the others."""
    found = {}
    for name, move in layout.moves.items():
        one, other = name.split(" ")
        if move.gap and not set(WAITS) & {one, other}:
            found[frozenset((one, other))] = (words_of(one), words_of(other), move)
    return tuple(found.values())


def turning(fact: Fact) -> str:
    """The format of a joint's way or room: degrees where it turns, a length where it slides."""
    return "degrees" if fact.unit == "rad" else "metres"


def target_words(name: str, term: Callable[[str], str] = str) -> str:
    """A target in words.

    >>> target_words("machine_1"), target_words("presenter 2")
    ('Load position of machine 1', 'Presenter, outermost part 2')
    """
    place, _, number = name.partition(" ")
    if place.startswith("machine_"):
        return f"{term('Load position of')} {term(words_of(place))}"
    return f"{opening(term(place))}, {term('outermost part')} {number}"
