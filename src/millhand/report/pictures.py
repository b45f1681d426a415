"""The charts of one study: what is drawn, from which facts, in a wide and a narrow version."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from millhand.model.case import Case
from millhand.model.decision import Driver
from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.report.activity import Chart
from millhand.report.activity_svg import activity_svg
from millhand.report.charts import COLOURS, NARROW, WIDE, Axis, RangeRow, axis, cash_chart, range_chart
from millhand.report.comparison import IN_SIGHT, living, moving, opening, subject, title
from millhand.report.marks import Marks
from millhand.report.svg import CLAY, STEEL, drawn
from millhand.report.view import bare, in_months, middle

STRONGEST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One chart twice, with the facts behind it."""

    facts: str
    wide: Markup
    narrow: Markup


def picture(name: str, title: str, spec: Callable[[int], dict[str, Any]], facts: str) -> Picture:
    """The picture of one specification."""
    return Picture(
        facts=facts,
        wide=drawn(spec(WIDE), prefix=f"{name}-w", title=title),
        narrow=drawn(spec(NARROW), prefix=f"{name}-n", title=title),
    )


def worth_picture(study: Study, marks: Marks) -> Picture | None:
    """The worth of each concept against today, with its range."""
    there = [(row, marks.fact(row.npv)) for row in living(study)[:IN_SIGHT] if row.npv]
    if not there:
        return None
    bars = [
        RangeRow(
            label=opening(row.title), text=middle(fact, "money_2", currency=marks.currency), dot=fact.value,
            low=fact.value if fact.low is None else fact.low, high=fact.value if fact.high is None else fact.high,
            colour=COLOURS[row.kind],
        )
        for row, fact in there
    ]  # fmt: skip
    scale = axis([0.0, *(end for bar in bars for end in (bar.low, bar.high))], wanted=4)
    title = f"net present worth against today, {marks.currency}"
    return picture(
        "worth", title, lambda width: range_chart(bars, scale, title=title, marks=[0.0], width=width),
        marks.ids(row.npv for row, _ in there),
    )  # fmt: skip


def driver_picture(study: Study, marks: Marks) -> Picture | None:
    """The payback over the range of the strongest inputs; a payback that never comes runs off the edge."""
    case = money_case(study)
    drivers = moving(study)[:STRONGEST]
    if case is None or case.payback_months is None or not drivers:
        return None
    base = marks.fact(case.payback_months)
    hurdle = study.inquiry.wishes.hurdle_months
    known = [in_months(marks.fact(each)) for driver in drivers for each in (driver.at_low, driver.at_high) if each]
    scale = axis([0.0, hurdle.value, in_months(base), *known], wanted=5)
    bars = [driver_row(driver, marks, base, scale) for driver in drivers]
    title = "payback from hand-over, months; dashed: the hurdle"
    ids = [case.payback_months, hurdle.id]
    for driver in drivers:
        ids += [each for each in (driver.fact, driver.at_low, driver.at_high) if each]
    return picture(
        "drivers", title, lambda width: range_chart(bars, scale, title=title, marks=[hurdle.value], width=width),
        marks.ids(ids),
    )  # fmt: skip


def driver_row(driver: Driver, marks: Marks, base: Fact, scale: Axis) -> RangeRow:
    """One driver's line, from the shorter payback to the longer one."""
    ends = [in_months(marks.fact(each)) if each else scale.high for each in (driver.at_low, driver.at_high)]
    never = driver.at_low is None or driver.at_high is None
    texts = [bare(marks.fact(each), "months") if each else "never" for each in (driver.at_low, driver.at_high)]
    short, long = (texts[0], texts[1]) if ends[0] <= ends[1] else (texts[1], texts[0])
    return RangeRow(
        label=title(marks.fact(driver.fact)), text=f"{short} to {long}{'' if long == 'never' else ' months'}",
        low=min(ends), high=max(ends), dot=in_months(base), colour=CLAY if never else STEEL, open_end=never,
    )  # fmt: skip


def money_case(study: Study) -> Case | None:
    """The case that the money sections look at."""
    result = subject(study)
    return result.case if result else None


def cash_picture(study: Study, marks: Marks) -> Picture | None:
    """The flows of each year and what they have added up to."""
    case = money_case(study)
    if case is None or not case.rows:
        return None
    net, total = ([marks.fact(each).value for each in column]
                  for column in ((row.net for row in case.rows), (row.cumulative for row in case.rows)))  # fmt: skip
    ids = [*(row.net for row in case.rows), *(row.cumulative for row in case.rows), study.inquiry.money.horizon_y.id]

    def spec(width: int) -> dict[str, Any]:
        return cash_chart(net, total, title="years from hand-over", width=width)

    return picture("cash", "cash flow a year and its sum", spec, marks.ids(ids))


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """The activity chart of today twice, with its legend and the facts behind it."""

    facts: str
    wide: Markup
    narrow: Markup
    chart: Chart


def activity_picture(lanes: Chart | None, facts: Sequence[str], marks: Marks) -> Activity | None:
    """The round of today's work, where its cycle can be found."""
    if lanes is None:
        return None
    title = "who does what in one round of today's work"
    return Activity(
        facts=marks.ids(facts), chart=lanes,
        wide=activity_svg(lanes, width=WIDE, title=title),
        narrow=activity_svg(lanes, width=NARROW, title=title),
    )  # fmt: skip
