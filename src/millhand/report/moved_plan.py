"""A plan whose pieces can be moved, and what comes of it in words: for a page that answers while they are moved."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from millhand.model.fact import Choice, Fact
from millhand.model.layout import Layout
from millhand.model.study import Result
from millhand.model.verdict import Verdict
from millhand.report.activity_svg import short
from millhand.report.comparison import opening, spoken
from millhand.report.cycle import cycles
from millhand.report.drawing import extent, layers_of
from millhand.report.drawing_svg import FILLS, Frame, drawing_svg, legend_swatch, scale_of
from millhand.report.marks import Marks
from millhand.report.placed import WIDE, drawn_at, layer_words, said
from millhand.report.plan_view import words_of
from millhand.report.view import bare, listed, middle, sentence

BY_PLACE = (
    "standing_clear", "reach", "joint_room", "arm_gap", "way_joined", "way_gap", "people_way", "over_fence",
    "floor_area", "floor_sides", "track_travel", "track_drive", "track_duty", "belt", "two_apart", "ceiling",
    "beam_deflection",
)  # fmt: skip
CARRIERS = ("arm", "track", "strip under the beam")  # what is moved when the arm is
MARK = {"holds": "✓", "warns": "!", "ends it": "✕"}
LEAST = 24.0  # px: what is taken hold of is at least so large


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece that can be moved, where its middle stands in the inquiry's frame [mm, whole]."""

    name: str
    words: str
    x: str
    y: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One check in words; `margin` is the share of the limit that is left."""

    words: str
    result: str
    mark: str
    demand: str
    limit: str
    margin: str
    sentence: str
    caution: str
    by_place: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """All that a page says of one concept as it stands."""

    title: str
    plan: Markup | None
    legend: tuple[tuple[Markup, str], ...]  # a swatch of the plan, and what it means
    pieces: tuple[Piece, ...]
    checks: tuple[Judged, ...]
    moves: tuple[tuple[str, str], ...]
    output: tuple[tuple[str, str], ...]


def shown(result: Result, facts: Mapping[str, Fact], choices: Mapping[str, Choice], currency: str) -> Shown:
    """The plan, the checks, the times and the output of one concept."""
    marks = Marks(facts=facts, choices=choices, currency=currency)
    pieces = tuple(pieces_of(result.layout, facts)) if result.layout else ()
    return Shown(
        title=opening(result.concept.title), plan=plan_of(result.layout, marks, pieces),
        legend=legend_of(result.layout, marks), pieces=pieces,
        checks=tuple(judged(each, facts, currency) for each in result.verdicts),
        moves=tuple(moves_of(result, facts)), output=tuple(output_of(result, facts)),
    )  # fmt: skip


def carried(name: str) -> str:
    """What a piece of a plan is moved as: the arm with what carries it."""
    return "arm" if name in CARRIERS else name


def pieces_of(layout: Layout, facts: Mapping[str, Fact]) -> Iterator[Piece]:
    """Arm, presenter and outfeed where they stand on the floor."""
    there = {each.name: each for each in layout.spots}
    drawn = {carried(each.name): each.name for each in layout.drawn.pieces} if layout.drawn else {}
    for name in ("arm", "presenter", "outfeed"):
        spot = there.get(name)
        if spot is not None and name in drawn:
            x, y = (bare(facts[each], "place").replace("−", "-").replace("\u202f", "") for each in (spot.x_m, spot.y_m))
            yield Piece(name=name, words=words_of(drawn[name]), x=x, y=y)


def plan_of(layout: Layout | None, marks: Marks, pieces: tuple[Piece, ...]) -> Markup | None:
    """The plan with something to take hold of over each piece; None where nothing was placed."""
    if layout is None or layout.drawn is None:
        return None
    things, _ = drawn_at(layout.drawn, marks, WIDE)
    scale, (left, _, _, top) = scale_of(things, WIDE), extent(things)
    frame = Frame(left=left, top=top, scale=scale)
    held = {each.name: each for each in pieces}
    grips = [
        grip(frame, held[carried(each.name)], (marks.fact(each.x_m), marks.fact(each.y_m)),
             (marks.fact(each.width_m), marks.fact(each.depth_m)))
        for each in layout.drawn.pieces if carried(each.name) in held
    ]  # fmt: skip
    extra = Markup("<defs>{}</defs>").format(FILLS)
    svg = drawing_svg(things, width=WIDE, title="the cell from above, north up: pieces can be moved", extra=extra)
    whole = svg.removesuffix(Markup("</svg>")).replace(
        'role="img"', Markup('role="group" data-scale="{}"').format(short(scale)), 1
    )
    return Markup("{}{}</svg>").format(Markup(whole), Markup("").join(grips))


def legend_of(layout: Layout | None, marks: Marks) -> tuple[tuple[Markup, str], ...]:
    """What the lines and fillings of the plan mean."""
    if layout is None or layout.drawn is None:
        return ()
    things, _ = drawn_at(layout.drawn, marks, WIDE)
    return tuple((legend_swatch(each), layer_words(layout.drawn, each)) for each in said(layers_of(things)))


def grip(frame: Frame, piece: Piece, at: tuple[Fact, Fact], sides: tuple[Fact, Fact]) -> Markup:
    """What is taken hold of: a rectangle over the piece, reached by Tab and moved by the arrow keys."""
    width, depth = (max(LEAST / frame.scale, side.value) for side in sides)
    x, y = frame.x(at[0].value - width / 2.0), frame.y(at[1].value + depth / 2.0)
    return Markup(
        '<rect class="grip" tabindex="0" role="button" data-piece="{0}" data-x="{1}" data-y="{2}" x="{3}" y="{4}" '
        'width="{5}" height="{6}" aria-label="{7}: {1} mm east, {2} mm north. Arrow keys move it by 50 mm, with Shift '
        'by 10 mm; Enter leads to its figures."/>'
    ).format(
        piece.name, piece.x, piece.y, x, y, short(width * frame.scale), short(depth * frame.scale), opening(piece.words)
    )  # fmt: skip


def judged(verdict: Verdict, facts: Mapping[str, Fact], currency: str) -> Judged:
    """One check as it reads."""
    result = "holds" if verdict.holds else "ends it" if verdict.kills else "warns"
    return Judged(
        words=opening(spoken(verdict.check)), result=result, mark=MARK[result],
        demand=listed(facts[verdict.demand], currency=currency), limit=listed(facts[verdict.limit], currency=currency),
        margin=middle(facts[verdict.margin], "percent"), sentence=sentence(verdict.words, facts, currency=currency),
        caution=verdict.caution, by_place=verdict.check in BY_PLACE,
    )  # fmt: skip


def moves_of(result: Result, facts: Mapping[str, Fact]) -> Iterator[tuple[str, str]]:
    """The times of the arm's moves between its places, then what they come to for one load."""
    travel = result.timing.travel if result.timing else {}
    has_outfeed = result.layout is not None and any(each.name == "outfeed" for each in result.layout.spots)
    for pair, fact in travel.items():
        one, other = pair.split(" ")
        if one < other and "home" not in pair and "parking" not in pair and (has_outfeed or "outfeed" not in pair):
            yield f"{opening(words_of(one))} to {words_of(other)}", middle(facts[fact], "seconds")
    for each in cycles(result):
        of = f"{each.operation}: " if each.operation else ""
        yield f"{of}The machine stands for a load", middle(facts[each.times.gap], "whole_seconds")
        yield f"{of}The arm's work on a load", middle(facts[each.times.work], "whole_seconds")
        if each.times.cycle:
            yield f"{of}Cycle of a machine that never waits", middle(facts[each.times.cycle], "whole_seconds")


def output_of(result: Result, facts: Mapping[str, Fact]) -> Iterator[tuple[str, str]]:
    """Parts an hour, three ways."""
    own = result.performance
    if own is None:
        return
    yield "Load bound, the most in the long run", middle(facts[own.bound_per_h], "per_hour")
    if own.cycle_per_h is not None:
        yield "By the best cycle, while nothing goes wrong", middle(facts[own.cycle_per_h], "per_hour")
    if own.output is not None:
        yield "Simulated, with stops and chance", middle(facts[own.attended_per_h], "per_hour")
        yield "Simulated, good parts a shift", middle(facts[own.parts_per_shift], "parts")
