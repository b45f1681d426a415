"""What is in the price of a cell and what is not: the proposal's own list, as rows of text for the report."""

from dataclasses import dataclass

from millhand.model.study import Study
from millhand.report.marks import Marks
from millhand.report.proposal.ground import ground
from millhand.report.proposal.scope import rows
from millhand.report.proposal.telling import Teller


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing of the list: whether the price has it, and by which line, or who settles it."""

    thing: str
    state: str
    by: str


def in_price(study: Study, marks: Marks) -> tuple[Row, ...]:
    """The whole list of the cell that the report is about; nothing for a change by hand, whose estimate says it all."""
    base = ground(study, long=True)
    estimate = base.subject.estimate if base.subject else None
    if not base.cell or estimate is None or not estimate.excluded:
        return ()
    teller = Teller(tongue=marks.tongue, facts=marks.facts, currency=marks.currency, pictures={})
    told = ([teller.plain(item) for item in row] for row in rows(base, estimate))
    return tuple(Row(thing=thing, state=state, by=by) for thing, state, by in told)
