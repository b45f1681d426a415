"""What is assumed and what is asked: the questions of the study in their order, with what is counted meanwhile."""

from collections.abc import Iterator

from millhand.report.comparison import meanwhile
from millhand.report.proposal.ground import Ground, figure
from millhand.report.proposal.records import (
    Block,
    Column,
    Item,
    Paragraph,
    Say,
    Section,
    Table,
    Term,
)

INTERNAL = frozenset({"catalogue.margin_share"})  # what the house asks itself
FIRST = 4  # questions on two pages


def asked(ground: Ground) -> Section:
    """The questions that matter most: a few of them, or all."""
    open_ones = [each for each in ground.study.decision.asks if each.fact not in INTERNAL]
    asks = open_ones if ground.long else open_ones[:FIRST]
    blocks: list[Block] = [Paragraph(item=Say(key="ask.words"))]
    rows = tuple(row for ask in asks for row in ask_rows(ground, meanwhile(ground.study, ask), ask.words))
    columns = (Column(head="ask.question", width=1.0), Column(head="ask.counted", align="right"),
               Column(head="ask.range", align="right"), Column(head="ask.basis"))  # fmt: skip
    if rows:
        blocks.append(Table(columns=columns, rows=rows))
    return Section(key="ask", blocks=tuple(blocks))


def ask_rows(ground: Ground, fact_id: str, words: str) -> Iterator[tuple[Item, ...]]:
    """One question with what is counted until it is answered; a word where no number is."""
    question = Term(text=words)
    if fact_id in ground.facts:
        fact = ground.facts[fact_id]
        ends = figure(fact_id, "", "low"), figure(fact_id, "", "high")
        ranged = Say(key="ask.ends", slots={"low": ends[0], "high": ends[1]})
        yield (question, figure(fact_id, "", "value"), ranged if fact.low is not None else Say(key="page.none"),
               Say(key=f"ask.basis_{fact.basis}"))  # fmt: skip
    elif fact_id in ground.study.choices:
        choice = ground.study.choices[fact_id]
        yield (
            question,
            Term(text=choice.value.replace("_", " ")),
            Say(key="page.none"),
            Say(key=f"ask.basis_{choice.basis}"),
        )
