"""How sure the choice is, as rows of the page: the concepts that are worth looking at again."""

from dataclasses import dataclass

from millhand.model.decision import Outlook
from millhand.model.study import Study

MOST = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlookRow:
    """One concept's row."""

    title: str
    today: bool
    outlook: Outlook


def outlook_rows(study: Study) -> tuple[OutlookRow, ...]:
    """Today, the advised concept and those that are the best in most draws; the most likely best first, today last."""
    sure = study.decision.sureness
    if sure is None:
        return ()
    titles = {each.concept.id: each.concept for each in study.results}
    rows = [
        OutlookRow(title=titles[each.concept].title, today=titles[each.concept].kind == "today", outlook=each)
        for each in sure.outlooks
        if each.concept in titles
    ]
    rows.sort(key=lambda row: (row.today, -study.facts[row.outlook.best_chance].value))
    advised = (study.decision.winner, study.decision.second)
    shown = [row for place, row in enumerate(rows) if place < MOST or row.today or row.outlook.concept in advised]
    return tuple(shown)
