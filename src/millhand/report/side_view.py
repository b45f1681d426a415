"""The side of a placed cell: a cut through the door that is served worst, with the heights that count there.

To the left the machine, its door plane at nought; to the right the floor before it. What stands beside the machine is
drawn over it.
"""

from collections.abc import Iterator

from millhand.model.layout import Opening, Overhead, Spot
from millhand.report.drawing import Line, Point, Thing, Words, cross, fitted, rectangle
from millhand.report.plan_view import OUT, STRIP, Plan, feet_of, words_of

PANEL = 0.1  # m, how thick the front is drawn
SHOULDER = 0.09  # m, radius at which the joint is drawn
NAMES = {  # what the arm is fixed to, and where its first long link begins
    "stands": ("foot of the arm", "shoulder of the arm"),
    "arm": ("the arm hangs from", "shoulder of the arm"),
    "ram": ("underside of the beam", "ram, drawn up"),
}
BEHIND = 0.35  # m of room behind a load position, as it is drawn
LEAST_BACK = 0.9  # m behind the door plane, at the least


def side_things(plan: Plan) -> tuple[Thing, ...]:
    """The machine's front, the arm's foot and shoulder, the stands, and the heights."""
    opening = next(each for each in plan.drawn.openings if each.machine == plan.drawn.worst)
    shapes = (*machine(plan, opening), *arm(plan, opening), *stands(plan, opening))
    right = max(x for thing in shapes if isinstance(thing, Line) for x, _ in thing.points)
    left = min(x for thing in shapes if isinstance(thing, Line) for x, _ in thing.points)
    column = right + plan.letters
    lines = [Line(layer="floor line", points=((left, 0.0), (column, 0.0)))]
    if plan.drawn.overhead is not None:
        clear = plan.value(plan.drawn.overhead.ceiling)
        lines.append(Line(layer="ceiling", points=((left, clear), (column, clear))))
    return (*shapes, *lines, *heights(plan, opening, column))


def out_of(plan: Plan, opening: Opening, at: Point) -> float:
    """How far a point lies before the door plane."""
    dx, dy = OUT[opening.faces]
    x, y = plan.place(opening.x_m, opening.y_m)
    return (at[0] - x) * dx + (at[1] - y) * dy


def machine(plan: Plan, opening: Opening) -> Iterator[Thing]:
    """The front below and above the opening, cut, and the load position behind it."""
    high, sill, top = (plan.value(each) for each in (plan.drawn.machine_height, opening.sill, opening.top))
    deep = plan.value(opening.depth)
    back = -max(deep + BEHIND, LEAST_BACK)
    body = ((0.0, sill), (0.0, 0.0), (back, 0.0), (back, max(high, top)), (0.0, max(high, top)), (0.0, top))
    yield Line(layer="machines", points=body)
    for low, upper in ((0.0, sill), (top, max(high, top))):
        if upper > low:
            yield rectangle("machines", (-PANEL / 2.0, (low + upper) / 2.0), (PANEL, upper - low))
    yield Line(layer="doors", points=((0.0, sill), (0.0, top)))
    yield from cross("load positions", (-deep, plan.value(opening.height)), 0.08)
    middle_x = (back - PANEL) / 2.0
    name = plan.marks.term(words_of(opening.machine))
    yield Words(layer="words", at=(middle_x, max(high, top) + plan.letters * 0.5), text=name, height=plan.letters)


def foot_out(plan: Plan, opening: Opening) -> float:
    """How far before the door plane the foot stands; on a track, where it is nearest."""
    return min((out_of(plan, opening, at) for at in feet_of(plan)), key=abs)


def arm(plan: Plan, opening: Opening) -> Iterator[Thing]:
    """What the arm stands on or hangs from, its column to the shoulder, and the straight line from there to the load
    position."""
    spot = plan.named("arm") or plan.named("track") or plan.named(STRIP)
    assert spot is not None
    foot, width = foot_out(plan, opening), across(plan, opening, spot)
    base, shoulder = plan.value(plan.drawn.foot_height), plan.value(plan.drawn.shoulder)
    over = plan.drawn.overhead
    low, high = (0.0, base) if over is None else (base, plan.value(over.beam_low))
    if over is not None:
        yield from overhead(plan, opening, over, foot)
    if high > low:
        yield rectangle("arm", (foot, (low + high) / 2.0), (width, high - low))
    yield rectangle("arm", (foot, (base + shoulder) / 2.0), (2.0 * SHOULDER, abs(shoulder - base)))
    yield Line(layer="reach", points=((foot, shoulder), (-plan.value(opening.depth), plan.value(opening.height))))
    yield from fitted(plan.marks.term("arm"), (foot, (low + high) / 2.0), (width, high - low), plan.letters)
    if over is not None and over.hangs == "ram":
        top, end = plan.value(over.beam_top), plan.value(over.arm_top)
        yield rectangle("arm", (foot, (top + end) / 2.0), (2.0 * SHOULDER, end - top))
        beside = (foot - SHOULDER - plan.letters * 0.4, (base + shoulder) / 2.0 - plan.letters * 0.35)
        yield Words(layer="words", at=beside, text=plan.marks.term("loader"), height=plan.letters, anchor="end")


def across(plan: Plan, opening: Opening, spot: Spot) -> float:
    """The side of a piece that is seen."""
    sides = plan.sides(spot)
    return sides[0] if OUT[opening.faces][0] else sides[1]


def overhead(plan: Plan, opening: Opening, over: Overhead, foot: float) -> Iterator[Thing]:
    """The beam, and a column beside it."""
    low, top = plan.value(over.beam_low), plan.value(over.beam_top)
    for spot in plan.drawn.pieces:
        at = out_of(plan, opening, plan.place(spot.x_m, spot.y_m))
        if spot.name == "beam":
            yield rectangle("beam", (foot, (low + top) / 2.0), (across(plan, opening, spot), top - low))
        elif spot.name == "column 1":
            yield rectangle("columns", (at, low / 2.0), (across(plan, opening, spot), low))
            yield Line(layer="columns", points=((at, low), (foot, low)))


def stands(plan: Plan, opening: Opening) -> Iterator[Thing]:
    """Presenter and outfeed as high as they stand, where they lie before the door plane."""
    for spot in high_ones(plan):
        at = out_of(plan, opening, plan.place(spot.x_m, spot.y_m))
        dx, _ = OUT[opening.faces]
        sides = plan.sides(spot)
        width, height = sides[0] if dx else sides[1], plan.value(spot.height_m)
        yield rectangle("stands", (at, height / 2.0), (width, height))


def high_ones(plan: Plan) -> tuple[Spot, ...]:
    """Presenter and outfeed with their heights."""
    found = (plan.named(name) for name in ("presenter", "outfeed"))
    return tuple(each for each in found if each is not None and each.height_m)


def measures(plan: Plan, opening: Opening) -> Iterator[tuple[str, str, float]]:
    """The heights that are written: words, fact, how far before the door plane it lies."""
    foot = foot_out(plan, opening)
    yield "top of the door", opening.top, 0.0
    yield "load position", opening.height, -plan.value(opening.depth)
    yield "sill of the door", opening.sill, 0.0
    over = plan.drawn.overhead
    base, shoulder = NAMES["stands" if over is None else over.hangs]
    yield base, plan.drawn.foot_height, foot
    yield shoulder, plan.drawn.shoulder, foot
    if over is not None:
        yield "top of the beam", over.beam_top, foot
        yield "clear height", over.ceiling, foot
    if over is not None and over.hangs == "ram":
        yield "end of the ram above", over.arm_top, foot
    for each in high_ones(plan):
        yield f"{each.name}, top", each.height_m, out_of(plan, opening, plan.place(each.x_m, each.y_m))


def heights(plan: Plan, opening: Opening, column: float) -> Iterator[Thing]:
    """Each height once in a column on the right, no two closer than their letters, with a line to where it lies."""
    step, last = plan.letters * 1.45, -plan.letters * 2.0
    for words, fact_id, at in sorted(measures(plan, opening), key=lambda row: (plan.value(row[1]), row[0])):
        real = plan.value(fact_id)
        last = max(real, last + step)
        bend = (column - plan.letters * 0.6, real)
        yield Line(layer="heights", points=((at, real), bend, (column + plan.letters * 0.5, last)))
        text = f"{plan.marks.term(words)} {plan.marks.figure_text(plan.marks.fact(fact_id), 'place')}"
        at_words = (column + plan.letters * 0.8, last - plan.letters * 0.35)
        yield Words(layer="words", at=at_words, height=plan.letters, text=text, anchor="start")
