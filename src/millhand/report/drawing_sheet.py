"""A whole sheet for the file: plan, side, the list of marks, what each line means and a caution, in one list of things.

The plan keeps its own coordinates, so that what is read off the file counts from the origin of the marks.
"""

import textwrap
from collections.abc import Iterator

from millhand.model.layout import Drawn, Opening
from millhand.model.study import Result
from millhand.report.comparison import opening
from millhand.report.drawing import (
    Circle,
    Line,
    Thing,
    Words,
    cross,
    extent,
    layers_of,
    moved,
    rectangle,
    scaled,
)
from millhand.report.marks import Marks
from millhand.report.placed import (
    FENCE_RULE,
    ORIGIN,
    SITE_CAUTION,
    layer_words,
    piece_words,
    said,
    side_rule,
    stop_words,
)
from millhand.report.plan_view import Plan, plan_things, words_of
from millhand.report.side_view import side_things
from millhand.report.view import bare

LETTERS = 0.1  # m, on the floor, at the least: 5 mm on paper at one to twenty
OF_WIDTH = 0.009  # of the width of plan and side, so that a large cell has readable words on the same paper
APART = 1.0  # m, between plan and side
ROW = 1.7  # of the letters, from line to line
COLUMNS = (3.6, 5.0, 6.3, 7.6)  # m, where the numbers of the list end
HEADS = ("middle, east", "middle, north", "east to west", "north to south")
LINE_LENGTH = 120  # signs of a line of words


def sheet_things(result: Result, marks: Marks) -> tuple[Thing, ...]:
    """Everything on the sheet of one placed cell."""
    assert result.layout is not None
    assert result.layout.drawn is not None
    drawn = result.layout.drawn
    views = side_by_side(Plan(drawn=drawn, marks=marks, letters=LETTERS))
    left, low, right, _ = extent(views)
    times = max(1.0, (right - left) * OF_WIDTH / LETTERS)
    views = side_by_side(Plan(drawn=drawn, marks=marks, letters=times * LETTERS))
    left, low, _, _ = extent(views)
    words = (scaled(each, times) for each in below(result, drawn, marks, layers_of(views)))
    return (*views, *(moved(each, left, low - 5.0 * times * LETTERS) for each in words))


def side_by_side(plan: Plan) -> tuple[Thing, ...]:
    """The plan in its own coordinates, and the side to the right of it on the same line."""
    above, side = plan_things(plan), side_things(plan)
    _, low, right, _ = extent(above)
    beside = extent(side)
    return (*above, *(moved(each, right + APART - beside[0], low - beside[1]) for each in side))


def below(result: Result, drawn: Drawn, marks: Marks, layers: tuple[str, ...]) -> Iterator[Thing]:
    """Title, list of marks, legend and cautions, from nought downwards."""
    step = LETTERS * ROW
    yield line(0.0, 0.0, opening(result.concept.title))
    yield line(0.0, -step, f"All in mm. {ORIGIN}")
    at = -3.0 * step
    for row in rows(drawn, marks):
        yield from row_things(row, at)
        at -= step
    at -= step
    for layer in said(layers):
        yield from sample(layer, at)
        yield line(0.5, at, layer_words(drawn, layer))
        at -= step
    fenced = any(each.name == "fence" for each in drawn.pieces)
    for rule in (side_rule(drawn), *((FENCE_RULE,) if fenced else ()), SITE_CAUTION):
        at -= step
        for text in textwrap.wrap(rule, LINE_LENGTH):
            yield line(0.0, at, text)
            at -= step


def line(x: float, y: float, text: str) -> Words:
    """Words that begin at a place."""
    return Words(layer="words", at=(x, y), text=text, height=LETTERS, anchor="start")


def rows(drawn: Drawn, marks: Marks) -> Iterator[tuple[str, ...]]:
    """The list of marks with its head: name, then the numbers."""
    yield ("", *HEADS)
    for door in drawn.openings:
        yield (f"Door of {words_of(door.machine)}", *(shown(marks, each) for each in door_ids(door)))
    for spot in drawn.pieces:
        places = (spot.x_m, spot.y_m, spot.width_m, spot.depth_m)
        yield (piece_words(spot.name), *(shown(marks, each) for each in places))
    if len(drawn.feet) > 1:
        for foot in drawn.feet:
            yield stop_words(drawn, foot.place), shown(marks, foot.x_m), shown(marks, foot.y_m), "", ""


def door_ids(door: Opening) -> tuple[str, ...]:
    """Place and width of a door; it has no depth."""
    across = door.faces in ("north", "south")
    return (door.x_m, door.y_m, *((door.width, "") if across else ("", door.width)))


def shown(marks: Marks, fact_id: str) -> str:
    """A place in mm."""
    return bare(marks.fact(fact_id), "place") if fact_id else ""


def row_things(row: tuple[str, ...], at: float) -> Iterator[Thing]:
    """One row of the list: its name on the left, its numbers on the right of their columns."""
    yield line(0.0, at, row[0])
    for text, end in zip(row[1:], COLUMNS, strict=True):
        if text:
            yield Words(layer="words", at=(end, at), text=text, height=LETTERS, anchor="end")


def sample(layer: str, at: float) -> Iterator[Thing]:
    """What a layer looks like."""
    middle = (0.2, at + LETTERS * 0.35)
    if layer in ("doors", "reach", "ceiling"):
        yield Line(layer=layer, points=((0.0, middle[1]), (0.4, middle[1])))
    elif layer in ("load positions", "origin"):
        yield from cross(layer, middle, LETTERS * 0.6)
        if layer == "origin":
            yield Circle(layer=layer, at=middle, radius=LETTERS * 0.35)
    else:
        yield rectangle(layer, middle, (0.4, LETTERS))
