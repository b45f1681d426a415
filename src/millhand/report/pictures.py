"""The charts of one study: what is drawn, from which facts, in a wide and a narrow version."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from millhand.model.case import Case, CashRow
from millhand.model.decision import Driver
from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.report.charts import (
    COLOURS,
    NARROW,
    NET,
    SUM,
    WIDE,
    Axis,
    RangeRow,
    Told,
    axis,
    cash_chart,
    range_chart,
)
from millhand.report.comparison import IN_SIGHT, Row, living, moving, opening, subject, title
from millhand.report.marks import Marks
from millhand.report.readings import Reading, Switch, spoken_list
from millhand.report.svg import CLAY, STEEL, drawn
from millhand.report.view import UNDER_ONE, bare, in_months, span, tick

STRONGEST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One chart twice, with the facts behind it, what its marks say and what puts some of them out of sight."""

    facts: str
    wide: Markup
    narrow: Markup
    spoken: tuple[str, ...] = ()
    switches: tuple[Switch, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """What a chart says beside its picture: a reading a mark, and its switches."""

    readings: Sequence[Reading]
    switches: tuple[Switch, ...] = ()


SPEECHLESS = Speech(readings=())


def picture(
    name: str, title: str, spec: Callable[[int], dict[str, Any]], facts: str, speech: Speech = SPEECHLESS
) -> Picture:
    """The picture of one specification."""
    return Picture(
        facts=facts, spoken=spoken_list(speech.readings), switches=speech.switches,
        wide=drawn(spec(WIDE), prefix=f"{name}-w", title=title),
        narrow=drawn(spec(NARROW), prefix=f"{name}-n", title=title),
    )  # fmt: skip


def worth_picture(study: Study, marks: Marks) -> Picture | None:
    """The worth of each concept against today, with its range."""
    there = [(row, marks.fact(row.npv)) for row in living(study)[:IN_SIGHT] if row.npv]
    if not there:
        return None
    bars = [
        RangeRow(
            label=marks.term(opening(row.title)), text=marks.figure_text(fact, "money_2"), dot=fact.value,
            low=fact.value if fact.low is None else fact.low, high=fact.value if fact.high is None else fact.high,
            colour=COLOURS[row.kind], reading=worth_reading(row, fact, marks),
        )
        for row, fact in there
    ]  # fmt: skip
    scale = axis([0.0, *(end for bar in bars for end in (bar.low, bar.high))], wanted=4, decimal=marks.tongue.decimal)
    title = marks.told("axis.worth", {"currency": marks.currency})
    kinds = dict.fromkeys(row.kind for row, _ in there)
    switches = tuple(kind_switch(kind, marks) for kind in kinds) if len(kinds) > 1 else ()
    return picture(
        "worth", title, lambda width: range_chart(bars, scale, title=title, marks=[0.0], width=width),
        marks.ids(row.npv for row, _ in there), Speech(readings=[bar.reading for bar in bars], switches=switches),
    )  # fmt: skip


def kind_switch(kind: str, marks: Marks) -> Switch:
    """All ways of one kind in sight, or out of it."""
    name = kind.replace(" ", "_")
    return Switch(group=name, words=marks.told(f"chart.kind_{name}"))


def worth_reading(row: Row, fact: Fact, marks: Marks) -> Reading:
    """A way's worth with its range."""
    ends = marks.figure_text(fact, "money_2", part=span)
    slots = {"title": marks.term(opening(row.title)), "figure": marks.figure_text(fact, "money_2"), "ends": ends}
    words = marks.told("chart.range" if ends else "chart.exact", slots)
    return Reading(words=words, groups=(row.kind.replace(" ", "_"),))


def driver_picture(study: Study, marks: Marks) -> Picture | None:
    """The payback over the range of the strongest inputs; a payback that never comes runs off the edge."""
    case = money_case(study)
    drivers = moving(study)[:STRONGEST]
    if case is None or case.payback_months is None or not drivers:
        return None
    base = marks.fact(case.payback_months)
    hurdle = study.inquiry.wishes.hurdle_months
    known = [in_months(marks.fact(each)) for driver in drivers for each in (driver.at_low, driver.at_high) if each]
    scale = axis([0.0, hurdle.value, in_months(base), *known], wanted=5, decimal=marks.tongue.decimal)
    bars = [driver_row(driver, marks, base, scale) for driver in drivers]
    title = marks.told("axis.drivers")
    ids = [case.payback_months, hurdle.id]
    for driver in drivers:
        ids += [each for each in (driver.fact, driver.at_low, driver.at_high) if each]
    return picture(
        "drivers", title, lambda width: range_chart(bars, scale, title=title, marks=[hurdle.value], width=width),
        marks.ids(ids), Speech(readings=[bar.reading for bar in bars]),
    )  # fmt: skip


def driver_row(driver: Driver, marks: Marks, base: Fact, scale: Axis) -> RangeRow:
    """One driver's line, from the shorter payback to the longer one."""
    ends = [in_months(marks.fact(each)) if each else scale.high for each in (driver.at_low, driver.at_high)]
    never = driver.at_low is None or driver.at_high is None
    texts = [bare(marks.fact(each), "months") if each else "never" for each in (driver.at_low, driver.at_high)]
    short, long = (texts[0], texts[1]) if ends[0] <= ends[1] else (texts[1], texts[0])
    label = marks.term(title(marks.fact(driver.fact)))
    unit = "" if long == "never" else " month" if long == UNDER_ONE else " months"
    text = marks.tongue.figure(f"{long}{unit}" if short == long else f"{short} to {long}{unit}")
    return RangeRow(
        label=label, text=text, low=min(ends), high=max(ends), dot=in_months(base), colour=CLAY if never else STEEL,
        open_end=never, reading=Reading(words=marks.told("chart.driver", {"title": label, "span": text})),
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

    says = [year_told(row, marks) for row in case.rows]
    switches = tuple(Switch(group=each, words=marks.told(f"chart.{each}")) for each in (NET, SUM))

    def spec(width: int) -> dict[str, Any]:
        heading, decimal = marks.told("axis.cash"), marks.tongue.decimal
        return cash_chart(net, total, title=heading, width=width, says=says, decimal=decimal)

    readings = [each for year in says for each in (year.net, year.total)]
    return picture(
        "cash", marks.told("axis.cash_title"), spec, marks.ids(ids), Speech(readings=readings, switches=switches)
    )


def year_told(row: CashRow, marks: Marks) -> Told:
    """What the bar and the point of one year say."""
    found = {}
    for name, fact_id in ((NET, row.net), (SUM, row.cumulative)):
        slots = {"year": tick(row.year), "figure": marks.figure_text(marks.fact(fact_id), "money")}
        words = marks.told(f"chart.{'year' if row.year else 'before'}_{name}", slots)
        found[name] = Reading(words=words, groups=(name,))
    return Told(net=found[NET], total=found[SUM])
