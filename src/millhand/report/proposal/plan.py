"""The plan of the proposed cell: what is drawn in it, and its legend, which names each stroke that is there."""

from collections.abc import Iterator

from millhand.model.layout import Drawn
from millhand.report.drawing import Thing, layers_of
from millhand.report.drawing_svg import scale_of
from millhand.report.marks import Marks, marks_of
from millhand.report.plan_devices import CURTAIN, device_things
from millhand.report.plan_marks import FIELDS, Marked, is_cut, marked_things
from millhand.report.plan_view import Plan, plan_things
from millhand.report.proposal.ground import Ground, asked_for, figure
from millhand.report.proposal.near_fence import fenced, own_row
from millhand.report.proposal.records import (
    EMPTY,
    Beside,
    Block,
    Item,
    Joined,
    Legend,
    Paragraph,
    Picture,
    Say,
    Sign,
)
from millhand.report.proposal.safety import answers
from millhand.report.view import middle

WIDTH = 470.0  # px
LETTERS = 15.0  # px, of that width
SAY_THEMSELVES = ("machines", "arm", "frame", "words", "obstacles")  # by their words, or by what everybody knows
FEW = ("slow field", "stop field", "aisle", "fence", "gate", "people", "reach", "panel", "resets", "emergency stops")


def things_of(ground: Ground) -> tuple[Thing, ...]:
    """The plan with letters of the height that print asks for: drawn a few times to learn the scale; nothing where
    nothing was placed."""
    layout = ground.subject.layout if ground.subject else None
    if layout is None or layout.drawn is None:
        return ()
    return plan_of(layout.drawn, marks_of(ground.study), marked(ground))


def plan_of(cell: Drawn, marks: Marks, more: Marked) -> tuple[Thing, ...]:
    """The same of one layout."""
    letters = 0.1
    for _ in range(4):
        plan = Plan(drawn=cell, marks=marks, letters=letters)
        things = plan_things(plan, (*marked_things(plan, more), *device_things(plan, more)))
        letters = LETTERS / scale_of(things, WIDTH)
    return things


def marked(ground: Ground) -> Marked:
    """Fields of the cell's own guard where that is a scanner, aisle and stops as they are counted."""
    made = answers(ground)
    ways = made.ways if made is not None else None
    if ways is None:
        return Marked(fields=fields(ground), devices=ground.long)
    needed = ground.facts[ways.needed]
    return Marked(
        fields=fields(ground), aisle=needed.id, width=middle(needed, "asked"),
        panels=round(ground.value(ways.panels)), stops=True, devices=ground.long,
    )  # fmt: skip


def fields(ground: Ground) -> tuple[tuple[str, str], ...]:
    """Layer and depth of each field."""
    row = own_row(ground)
    if row is None or fenced(ground):
        return ()
    named = {each.fact.rpartition(".")[2].replace("_", " "): each.fact for each in row.distances}
    return tuple((name, named[name]) for name in FIELDS if name in named)


def plan_blocks(ground: Ground, beside: tuple[Block, ...] = ()) -> Iterator[Block]:
    """The plan with its legend beside it, below other things where there are some; how sure it is."""
    layout = ground.subject.layout if ground.subject else None
    if layout is None or layout.drawn is None:
        return
    caption = Say(key="concept.plan", slots={"measures": measured(ground, layout.drawn)})
    picture = Picture(name="plan", alt=Say(key="concept.plan_alt"), caption=caption)
    signs = legend(ground)
    sure = Paragraph(item=Joined(items=tuple(how_sure(ground)), between=" "))
    if beside:
        yield Beside(left=(picture, sure), right=(*beside, signs), share=0.44)
        return
    yield Beside(left=(picture,), right=(signs,), share=0.58)
    yield sure


def legend(ground: Ground) -> Legend:
    """Each layer that is drawn, but for those that say themselves; on two pages the most needed ones."""
    layers = [each for each in layers_of(things_of(ground)) if each not in SAY_THEMSELVES]
    layers = layers if ground.long else [each for each in layers if each in FEW]
    return Legend(signs=tuple(Sign(layer=each, item=meaning(ground, each)) for each in layers))


def meaning(ground: Ground, layer: str) -> Item:
    """What a stroke stands for, with the figure that it is drawn by."""
    key, made = f"plan.{layer.replace(' ', '_')}", answers(ground)
    depths = dict(fields(ground))
    if layer in depths:
        return Say(key=key, slots={"depth": asked_for(depths[layer], "high")})
    row = own_row(ground)
    if layer == CURTAIN and row is not None and row.choice == "curtain":
        return Say(key="plan.curtain_guard")
    if layer == "aisle" and made is not None and made.ways is not None:
        return Say(key=key, slots={"width": asked_for(made.ways.needed)})
    return Say(key=key if ground.long else key.replace("plan.reach", "plan.circle"))


def how_sure(ground: Ground) -> Iterator[Item]:
    """How it is drawn, what holds the arm back, what has no place in it."""
    yield Say(key="concept.plan_sure")
    if not ground.long:
        return
    if fenced(ground) and ground.subject and ground.subject.layout and not hangs_ram(ground.subject.layout.drawn):
        yield Say(key="plan.reach_fenced")
    if fields(ground):
        yield Say(key="plan.in_fields")
    drawn = ground.subject.layout.drawn if ground.subject and ground.subject.layout else None
    if drawn is None:
        return
    gated = any(each.name == "gate" for each in drawn.fence)
    yield Say(key="plan.hung" if gated else "plan.hung_open")
    if is_cut(Plan(drawn=drawn, marks=marks_of(ground.study), letters=0.1), marked(ground)):
        yield Say(key="plan.aisle_cut")


def hangs_ram(drawn: Drawn | None) -> bool:
    """Whether a ram comes straight down from its beam."""
    return drawn is not None and drawn.overhead is not None and drawn.overhead.hangs == "ram"


def measured(ground: Ground, drawn: Drawn) -> Item:
    """How wide and deep the fence is drawn, of its own pieces where they are known; nothing where there is none."""
    spot = next((each for each in drawn.pieces if each.name == "fence"), None)
    return EMPTY if spot is None else Say(key="plan.measures", slots={
        name: figure(ground.of_concept(f"layout.fence.built.{name}") or whole, "metres", "value")
        for name, whole in (("width", spot.width_m), ("depth", spot.depth_m))
    })  # fmt: skip
