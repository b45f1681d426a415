"""The funnel and the front as rows: where every combination was left, and what nothing beats in everything."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from millhand.model.letters import letters
from millhand.model.study import Study
from millhand.model.tradeoff import Traded
from millhand.report.charts import Dot, axis, dot_chart
from millhand.report.comparison import opening, spoken
from millhand.report.marks import Marks, place
from millhand.report.pictures import Picture, Speech, picture
from millhand.report.readings import Reading, Switch
from millhand.report.view import in_months

FRONT, BEATEN, LATE = "front", "beaten", "late"  # what the chart's switches put out of sight


@dataclass(frozen=True, slots=True, kw_only=True)
class FunnelRow:
    """One step of the funnel: words, how many (fact id), the nearest miss and its margin where a check ended them."""

    words: str
    number: str
    nearest: str = ""
    concept: str = ""
    margin: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TradedRow:
    """One simulated way beside the others; its sign in the chart, and those of the ways that beat it."""

    sign: str
    title: str
    traded: Traded
    beaten_by: tuple[str, ...]


def funnel_rows(study: Study, marks: Marks) -> tuple[FunnelRow, ...]:
    """From all combinations down to what was simulated."""
    if study.decision.tradeoff is None:
        return ()
    funnel = study.decision.tradeoff.funnel
    titles = {each.concept.id: opening(each.concept.title) for each in study.results}
    fell = (
        FunnelRow(words=marks.told("funnel.fell", {"check": check_words(each.check, marks)}), number=each.number,
                  margin=each.margin, nearest=titles.get(each.nearest, ""), concept=each.nearest)
        for each in funnel.fell
    )  # fmt: skip
    counted = {
        "combinations": funnel.combinations, "added": funnel.added, "by_rule": funnel.by_rule,
        "left_out": funnel.left_out, "by_size": funnel.by_size,
    }  # fmt: skip
    rest = {"by_bound": funnel.by_bound, "simulated": funnel.simulated}

    def told(steps: Mapping[str, str | None]) -> Iterator[FunnelRow]:
        """The steps that a funnel has."""
        return (FunnelRow(words=marks.told(f"funnel.{name}"), number=each) for name, each in steps.items() if each)

    return (*told(counted), *fell, *told(rest))


def check_words(check: str, marks: Marks) -> str:
    """What a check is called inside a sentence: small in English, as the language's own word begins elsewhere."""
    spoken_so = spoken(check)
    told = marks.term(spoken_so)
    return told.lower() if told == spoken_so else told


def traded_rows(study: Study) -> tuple[TradedRow, ...]:
    """All simulated ways, those that nothing beats first."""
    if study.decision.tradeoff is None:
        return ()
    titles = {each.concept.id: opening(each.concept.title) for each in study.results}
    there = [each for each in study.decision.tradeoff.traded if each.concept in titles]
    named = {each.concept: letters(place) for place, each in enumerate(there)}
    return tuple(
        TradedRow(sign=named[each.concept], title=titles[each.concept], traded=each,
                  beaten_by=tuple(named[name] for name in each.beaten_by if name in named))
        for each in there
    )  # fmt: skip


def trade_picture(study: Study, marks: Marks) -> Picture | None:
    """Price against payback of the cells: the middle of all draws as a point, a line up to the longer end.

    Ways by hand cost next to nothing beside them: on one axis with them all cells would lie on one another.
    """
    kinds = {each.concept.id: each.concept.kind for each in study.results}
    dots, ids = [], []
    for row in traded_rows(study):
        aims = row.traded.aims
        price, months, late = aims["price"], aims["payback_p50"], aims["payback_p90"]
        if price is None or months is None or kinds[row.traded.concept] != "cell":
            continue
        dots.append(
            Dot(sign=row.sign, x=marks.fact(price).value, y=in_months(marks.fact(months)), beaten=bool(row.beaten_by),
                late=in_months(marks.fact(late)) if late else None, reading=trade_reading(row, marks),
                late_reading=Reading(groups=(*groups_of(row), LATE)))
        )  # fmt: skip
        ids += [each for each in (price, months, late) if each]
    if len(dots) < 2:
        return None
    across = axis([each.x for each in dots], wanted=4, decimal=marks.tongue.decimal)
    up = axis([end for each in dots for end in (each.y, each.late or each.y)], wanted=5, decimal=marks.tongue.decimal)
    money = {"currency": marks.currency}
    title, right, above = (marks.told(f"weighed.axis_{name}", money) for name in ("title", "price", "months"))

    def spec(width: int) -> dict[str, Any]:
        return dot_chart(dots, across, up, titles=(right, above), width=width)

    speech = Speech(readings=[each.reading for each in dots], switches=tuple(trade_switches(dots, marks)))
    return picture("trade", title, spec, marks.ids(ids), speech)


def groups_of(row: TradedRow) -> tuple[str, ...]:
    """The switches of one cell: its own, and that of all like it."""
    return (f"way_{row.sign}", BEATEN if row.beaten_by else FRONT)


def trade_reading(row: TradedRow, marks: Marks) -> Reading:
    """What a cell's point says; it leads to the cell's row in the comparison."""
    aims = row.traded.aims
    price, months, late = aims["price"], aims["payback_p50"], aims["payback_p90"]
    assert price is not None
    assert months is not None
    by = {"months": marks.figure_text(marks.fact(late), "months")} if late else {}
    slots = {
        "sign": row.sign, "title": marks.term(row.title), "price": marks.figure_text(marks.fact(price), "money_2"),
        "months": marks.figure_text(marks.fact(months), "months"),
        "late": marks.told("chart.late_by" if late else "chart.late_never", by),
    }  # fmt: skip
    return Reading(words=marks.told("chart.trade", slots), groups=groups_of(row), link=place(row.traded.concept))


def trade_switches(dots: Sequence[Dot], marks: Marks) -> Iterator[Switch]:
    """Those that nothing beats, those that something does, the lines, and each cell by its sign."""
    groups = {name for each in dots for name in each.reading.groups}
    for name in (FRONT, BEATEN):
        if {FRONT, BEATEN} <= groups:
            yield Switch(group=name, words=marks.told(f"chart.{name}"))
    if any(each.late is not None for each in dots):
        yield Switch(group=LATE, words=marks.told(f"chart.{LATE}"))
    for each in dots:
        yield Switch(group=each.reading.groups[0], words=each.sign)
