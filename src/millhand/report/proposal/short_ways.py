"""On two pages: as today, the best change by hand and the best cell side by side, with why each is proposed or not."""

from collections.abc import Iterator

from millhand.model.study import Result
from millhand.report.comparison import living, result_of
from millhand.report.proposal.alternatives import alternative, nearest_misses
from millhand.report.proposal.ground import Ground, amounts_in
from millhand.report.proposal.middles import middle
from millhand.report.proposal.records import Block, Column, Item, Joined, Paragraph, Say, Table

KINDS = ("today", "by_hand", "cell")


def ways(ground: Ground) -> Iterator[Block]:
    """The small comparison, what its months are, and what ended every way with a robot where none is in it."""
    results = tuple(best(ground))
    names = ("shift", "price", "payback", "half", "npv")
    heads = (Column(head="alt.way", width=1.0), *(Column(head=f"alt.{each}", align="right") for each in names),
             Column(head="alt.why", width=1.0))  # fmt: skip
    rows = tuple((*cells[:6], cells[-1]) for each in results if (cells := alternative(ground, each)))
    half = "short.months" if middle(ground, "payback") else "short.months_plain"
    caption = Joined(items=(amounts_in(ground), Say(key=half)), between=" ")
    if len(rows) > 1:
        yield Table(columns=heads, rows=rows, caption=caption)
    for each in no_cell(ground):
        yield Paragraph(item=each)


def best(ground: Ground) -> Iterator[Result]:
    """Today, then the best way of each kind; of the kind that the paper is about the one that it is about."""
    alive = [result_of(ground.study, row.concept) for row in living(ground.study)]
    told = [each for each in alive if each is not None and (each.concept.kind == KINDS[0] or each.estimate is not None)]
    for kind in KINDS:
        of_kind = [each for each in told if each.concept.kind == kind]
        own = ground.subject if ground.subject is not None and ground.subject.concept.kind == kind else None
        yield from [own] if own is not None else of_kind[:1]


def no_cell(ground: Ground) -> Iterator[Item]:
    """Where no cell can do the work: which came nearest, and what ended it."""
    if ground.cell or any(each.concept.kind == "cell" for each in best(ground)):
        return
    for check, way, demand, limit in nearest_misses(ground):
        yield Say(key="short.no_cell", slots={"check": check, "way": way, "demand": demand, "limit": limit})
        return
