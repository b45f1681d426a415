"""Proposed places in a plan of what watches people: a scanner at the arm's stand, a device where people fill."""

from collections.abc import Iterator

from millhand.model.layout import Spot
from millhand.report.drawing import Line, Point, Thing
from millhand.report.plan_marks import PEOPLE, Marked, box_of, middle_of, overlap
from millhand.report.plan_view import OUT, Plan

SCANNER, CURTAIN = "scanner", "curtain"
STANDS = ("arm", "track")  # what the arm stands on


def device_things(plan: Plan, marked: Marked) -> Iterator[Thing]:
    """A scanner where fields are drawn; inside a fence an edge between each stand that people fill and them."""
    if not marked.devices:
        return
    if marked.fields:
        yield scanner(plan)
    elif plan.drawn.fence:
        yield from (Line(layer=CURTAIN, points=ends) for each in plan.drawn.people for ends in edge(plan, each))


def scanner(plan: Plan) -> Line:
    """At the middle of that side of the arm's stand which looks where the first door looks: away from the machine. As a
    triangle that points to where people come from."""
    opening, size = plan.drawn.openings[0], plan.letters * 0.6
    foot = plan.drawn.feet[0]
    (x, y), (dx, dy) = plan.place(foot.x_m, foot.y_m), OUT[opening.faces]
    stand = next((each for name in STANDS if (each := plan.named(name)) is not None), None)
    if stand is not None:
        low_x, low_y, high_x, high_y = box_of(plan, stand)
        x = x if dx == 0 else (high_x if dx > 0 else low_x)
        y = y if dy == 0 else (high_y if dy > 0 else low_y)
    tip = (x + dx * size, y + dy * size)
    return Line(
        layer=SCANNER, points=(tip, (x - dy * size, y - dx * size), (x + dy * size, y + dx * size)), closed=True
    )


def edge(plan: Plan, people: Spot) -> Iterator[tuple[Point, Point]]:
    """That side of the strip in which somebody stands which lies towards what he fills or empties."""
    stand, strip = plan.named(people.name.removeprefix(PEOPLE)), box_of(plan, people)
    if stand is None:
        return
    at, there = middle_of(strip), plan.place(stand.x_m, stand.y_m)
    low_x, low_y, high_x, high_y = strip
    if overlap(strip, box_of(plan, stand), axis=0) >= overlap(strip, box_of(plan, stand), axis=1):
        y = high_y if there[1] > at[1] else low_y
        yield (low_x, y), (high_x, y)
        return
    x = high_x if there[0] > at[0] else low_x
    yield (x, low_y), (x, high_y)
