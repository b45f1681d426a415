"""The pictures of a proposal as SVG for print: plain styles, the document's own letters, words in its language."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.decision import Driver
from millhand.report.charts import WIDE, RangeRow, axis, cash_chart, range_chart
from millhand.report.comparison import moving, title
from millhand.report.drawing import Thing, Words
from millhand.report.drawing_svg import drawing_svg
from millhand.report.marks import Marks, marks_of
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.hand_plan import hand_things_of
from millhand.report.proposal.plan import WIDTH, things_of
from millhand.report.proposal.swatches import look
from millhand.report.svg import FONT, INK, drawn
from millhand.report.tongue import Tongue
from millhand.report.view import bare, in_months

STRONGEST = 6
HALO = 'stroke="#ffffff" stroke-width="2.4" stroke-linejoin="round" paint-order="stroke"'  # no grid line crosses words


def pictures(ground: Ground, tongue: Tongue) -> dict[str, str]:
    """Every picture that the study has something for, by its name."""
    marks = marks_of(ground.study)
    return dict(_pictures(ground, marks, tongue))


def _pictures(ground: Ground, marks: Marks, tongue: Tongue) -> Iterator[tuple[str, str]]:
    if ground.subject is None:
        return
    case, floor = ground.subject.case, things_of(ground)
    if floor:
        yield "plan", plan(floor, tongue)
    if by_hand := hand_things_of(ground):
        yield "rounds", plan(by_hand, tongue, "round.alt")
    if case is None or not ground.long:
        return
    if case.payback_months is not None and moving(ground.study):
        yield "drivers", driver_chart(ground, marks, tongue)
    if case.rows:
        ids = zip(*((each.net, each.cumulative) for each in case.rows), strict=True)
        net, total = ([ground.value(each) for each in column] for column in ids)
        spec = cash_chart(net, total, title=tongue.text("case.years"), width=WIDE, decimal=tongue.decimal)
        yield "cash", chart(spec, "cash", tongue)


def plan(things: tuple[Thing, ...], tongue: Tongue, title: str = "concept.plan_alt") -> str:
    """The plan in one language."""
    told = tuple(
        replace(each, text=tongue.figure(tongue.term(each.text))) if isinstance(each, Words) else each
        for each in things
    )  # fmt: skip
    return str(drawing_svg(told, width=WIDTH, title=tongue.text(title), extra=look()))


def chart(spec: dict[str, object], name: str, tongue: Tongue) -> str:
    """A chart in the document's letters."""
    text = str(drawn(spec, prefix=name, title=tongue.text(f"case.{name}_alt")))
    text = text.replace("<text ", f"<text {HALO} ")
    return text.replace('font-family="inherit"', f'font-family="{FONT}"')


def driver_ends(one: Driver, marks: Marks, tongue: Tongue, never: float, alike: bool) -> list[tuple[float, str]]:
    """Both ends of one row with their figures, the lower one first: one digit more where they, or rows, read alike."""
    facts = [marks.fact(each) if each else None for each in (one.at_low, one.at_high)]
    form = "months_moved" if alike or len(set(in_whole(one, marks))) == 1 else "months"
    told = [tongue.figure(bare(each, form)) if each else "" for each in facts]
    return sorted((in_months(each) if each else never, text) for each, text in zip(facts, told, strict=True))


def in_whole(one: Driver, marks: Marks) -> tuple[str, ...]:
    """Both ends of one row in whole months."""
    return tuple(bare(marks.fact(each), "months") if each else "" for each in (one.at_low, one.at_high))


def driver_chart(ground: Ground, marks: Marks, tongue: Tongue) -> str:
    """The payback over the range of each of the strongest figures."""
    assert ground.subject is not None
    assert ground.subject.case is not None
    assert ground.subject.case.payback_months is not None
    base, hurdle = marks.fact(ground.subject.case.payback_months), ground.study.inquiry.wishes.hurdle_months
    drivers = moving(ground.study)[:STRONGEST]
    known = [in_months(marks.fact(each)) for one in drivers for each in (one.at_low, one.at_high) if each]
    scale = axis([0.0, 1.15 * hurdle.value, in_months(base), *known], wanted=5, decimal=tongue.decimal)
    rows = []
    whole = [frozenset(in_whole(one, marks)) for one in drivers]
    for one, shown in zip(drivers, whole, strict=True):
        ends = driver_ends(one, marks, tongue, scale.high, whole.count(shown) > 1)
        never = not ends[1][1]
        last = tongue.text("page.never") if never else ends[1][1]
        rows.append(
            RangeRow(label=tongue.term(title(marks.fact(one.fact))), text=f"{ends[0][1]} – {last}", low=ends[0][0],
                     high=ends[1][0], dot=in_months(base), colour=INK, open_end=never)
        )  # fmt: skip
    named = tongue.text("case.hurdle_mark").format(months=tongue.figure(bare(hurdle, "months")))
    heading = tongue.text("case.drivers_axis")
    spec = range_chart(rows, scale, title=heading, marks=[hurdle.value], width=WIDE, named=named)
    return chart(spec, "drivers", tongue)
