"""The funnel and the front as rows: where every combination was left, and what nothing beats in everything."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from markupsafe import Markup, escape

from millhand.model.letters import letters
from millhand.model.study import Study
from millhand.model.tradeoff import Traded
from millhand.report.charts import Dot, axis, dot_chart
from millhand.report.comparison import opening, spoken
from millhand.report.marks import Marks, way_page
from millhand.report.pictures import Picture, picture
from millhand.report.view import in_months

LINK = re.compile(r'<a xlink:href="(?:[^"]*/)?(way-[^"/]*)">')


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


def funnel_rows(study: Study) -> tuple[FunnelRow, ...]:
    """From all combinations down to what was simulated."""
    if study.decision.tradeoff is None:
        return ()
    funnel = study.decision.tradeoff.funnel
    titles = {each.concept.id: opening(each.concept.title) for each in study.results}
    fell = (
        FunnelRow(words=f"fell at {spoken(each.check).lower()}", number=each.number, margin=each.margin,
                  nearest=titles.get(each.nearest, ""), concept=each.nearest)
        for each in funnel.fell
    )  # fmt: skip
    return (
        FunnelRow(words="combinations of what the catalogue holds", number=funnel.combinations),
        *(FunnelRow(words="of them there by hand alone", number=each) for each in (funnel.added,) if each),
        FunnelRow(words="left out by a rule, each said in words below", number=funnel.by_rule),
        *(
            FunnelRow(words="left out by hand, each said in words below", number=each)
            for each in (funnel.left_out,)
            if each
        ),
        FunnelRow(words="left out because a smaller arm of the class does the same", number=funnel.by_size),
        *fell,
        FunnelRow(words="can work, and bring less than the best even at their load bound", number=funnel.by_bound),
        FunnelRow(words="simulated", number=funnel.simulated),
    )


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
                late=in_months(marks.fact(late)) if late else None,
                leads=way_page(row.traded.concept) if marks.ways else "")
        )  # fmt: skip
        ids += [each for each in (price, months, late) if each]
    if len(dots) < 2:
        return None
    across = axis([each.x for each in dots], wanted=4)
    up = axis([end for each in dots for end in (each.y, each.late or each.y)], wanted=5)
    title = f"months until the money is back, by installed price in {marks.currency}"

    def spec(width: int) -> dict[str, Any]:
        return dot_chart(dots, across, up, titles=(f"installed price, {marks.currency}", "months"), width=width)

    made = picture("trade", title, spec, marks.ids(ids))
    if not marks.ways:
        return made
    named = {way_page(row.traded.concept): f"{row.sign}: {row.title}" for row in traded_rows(study)}
    return replace(made, wide=leading(made.wide, named), narrow=leading(made.narrow, named))


def leading(chart: Markup, named: Mapping[str, str]) -> Markup:
    """A chart whose points lead on by addresses beside this page, each with a name; it is no mere picture then."""

    def link(match: re.Match[str]) -> str:
        """One address as the chart library wrote it."""
        return f'<a href="{match[1]}" aria-label="{escape(named[match[1]])}">'

    return Markup(LINK.sub(link, chart).replace('role="img"', 'role="group"', 1))
