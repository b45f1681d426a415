"""What is assumed and what is asked: the questions of the study in their order, with what is counted meanwhile."""

from collections.abc import Iterator

from millhand.model.fact import Fact
from millhand.report.comparison import meanwhile, title
from millhand.report.proposal.ground import Ground, fact_name, figure
from millhand.report.proposal.records import (
    Block,
    Column,
    Item,
    Joined,
    Paragraph,
    Say,
    Section,
    Table,
    Term,
)

INTERNAL = frozenset({"catalogue.margin_share", "catalogue.contingency_share"})  # what the house asks itself
PRICES = (".price", ".price_per_m")  # of a cell: asked of suppliers, never of the shop that gets the paper
FIRST = 3  # questions on two pages
FACTORS = frozenset(
    {"outside", "inside", "walk", "process", "setup", "bound", "machines_per_operator", "parts_per_load"}
)  # what a change by hand multiplies
SHARES = frozenset({"breaks_lost", "moved"})


def asked(ground: Ground) -> Section:
    """The questions that matter most: a few of them, or all."""
    open_ones = [each for each in ground.study.decision.asks if not of_the_house(ground, each.fact)]
    own_first = sorted(open_ones, key=lambda each: of_another_change(ground, each.fact))
    asks = open_ones if ground.long else own_first[:FIRST]
    blocks: list[Block] = [Paragraph(item=Say(key="ask.words"))]
    rows = tuple(row for ask in asks for row in ask_rows(ground, meanwhile(ground.study, ask), ask.words))
    columns = (Column(head="ask.question", width=1.0), Column(head="ask.counted", align="right"),
               Column(head="ask.range", align="right"), Column(head="ask.basis"))  # fmt: skip
    if rows:
        blocks.append(Table(columns=columns, rows=rows))
    return Section(key="ask", blocks=tuple(blocks))


def of_the_house(ground: Ground, fact_id: str) -> bool:
    """Whether only the house itself, or its suppliers, can answer it."""
    return fact_id in INTERNAL or (ground.cell and fact_id.startswith("catalogue.") and fact_id.endswith(PRICES))


def of_another_change(ground: Ground, fact_id: str) -> bool:
    """Whether it is about a change by hand that is not the proposed one: where room is short, it waits."""
    changes = {each.concept.change for each in ground.study.results} - {None, ""}
    own = ground.subject.concept.change if ground.subject is not None else None
    top, _, rest = fact_id.partition(".")
    about = rest.partition(".")[0]
    return top == "catalogue" and about in changes and about != own


def ask_rows(ground: Ground, fact_id: str, words: str) -> Iterator[tuple[Item, ...]]:
    """One question with what is counted until it is answered; a word where no number is."""
    question: Item = Term(text=words)
    if fact_id in ground.facts:
        fact, factor = ground.facts[fact_id], is_factor(ground, fact_id)
        question = beside(ground, fact_id, question)
        form = "number" if factor else ""
        shown = [figure(fact_id, form, part) for part in ("value", "low", "high")]
        if factor:
            shown = [Say(key="ask.times", slots={"value": each}) for each in shown]
        ranged = Say(key="ask.ends", slots={"low": shown[1], "high": shown[2]})
        yield (question, shown[0], ranged if fact.low is not None else Say(key="page.none"),
               Say(key=f"ask.basis_{fact.basis}"))  # fmt: skip
    elif fact_id in ground.study.choices:
        choice = ground.study.choices[fact_id]
        yield (
            question,
            Term(text=choice.value.replace("_", " ")),
            Say(key="page.none"),
            Say(key=f"ask.basis_{choice.basis}"),
        )


def is_factor(ground: Ground, fact_id: str) -> bool:
    """Whether a figure multiplies today's, as most effects of a change by hand do."""
    return of_change(ground, fact_id) in FACTORS


def of_change(ground: Ground, fact_id: str) -> str:
    """Which effect of a change by hand it is, whose question is asked of the change itself; "" none."""
    top, _, rest = fact_id.partition(".")
    effect = rest.partition(".")[2]
    asked = ground.facts[fact_id].question is not None
    return effect if top == "catalogue" and asked and effect in FACTORS | SHARES else ""


def beside(ground: Ground, fact_id: str, question: Item) -> Item:
    """The question with what its figure is, where the words alone do not say it."""
    effect = of_change(ground, fact_id)
    if effect:
        key = "ask.if_so" if effect in FACTORS else "ask.share_so"
        return Say(key=key, slots={"question": question, "name": Term(text=title(ground.facts[fact_id]))})
    others = shares_question(ground, fact_id)
    if others:
        told = tuple(Say(key="ask.other", slots={"name": fact_name(each), "value": figure(each.id, "", "value")})
                     for each in others)  # fmt: skip
        return Say(key="ask.with", slots={
            "question": question, "name": fact_name(ground.facts[fact_id]), "others": Joined(items=told),
        })  # fmt: skip
    counts = counted_in(ground, fact_id)
    several = any(ground.value(each) != 1.0 for each in counts)
    slots: dict[str, Item] = {
        "question": question, "rate": figure(ground.study.inquiry.money.exchange_rate.id, "number", "value"),
        "count": Joined(items=tuple(figure(each, "tally", "value") for each in counts), between=" × "),
    }  # fmt: skip
    if in_other_money(ground, fact_id):
        return Say(key="ask.each_exchanged" if several else "ask.exchanged", slots=slots)
    if several:
        return Say(key="ask.each", slots=slots)
    return question


def in_other_money(ground: Ground, fact_id: str) -> bool:
    """Whether a price of the list is in another currency than the paper."""
    unit, own = ground.facts[fact_id].unit.partition("/")[0], ground.study.inquiry.shop.currency
    return len(unit) == len(own) and unit.isupper() and unit != own


def shares_question(ground: Ground, fact_id: str) -> tuple[Fact, ...]:
    """The other figures of the same thing that the question asks for, so that it does not say which is counted."""
    own, (top, _, last) = ground.facts[fact_id], fact_id.rpartition(".")
    return tuple(
        each for each in ground.facts.values()
        if own.question is not None and each.question == own.question and each.id.startswith(f"{top}.")
        and not each.id.endswith(f".{last}")
    )  # fmt: skip


def counted_in(ground: Ground, fact_id: str) -> tuple[str, ...]:
    """How often a price stands in its line of the proposed way; nothing where that is once."""
    estimate = ground.subject.estimate if ground.subject else None
    for line in estimate.lines if estimate else ():
        inputs = line.amount.inputs
        if ("amount_money", fact_id) in inputs:
            return tuple(name for key, name in inputs if key.startswith("counts") and name in ground.facts)
    return ()
