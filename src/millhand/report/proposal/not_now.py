"""Where nothing is proposed: which questions do not arise, and what would have to change before they do."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground, ends, fact_name, figure
from millhand.report.proposal.money import break_evens
from millhand.report.proposal.records import Block, Bullets, Column, Figure, Item, Paragraph, Say, Section, Table

MOST = 4  # figures that move the nearest way most
IDLE = ("ordered", "people", "guarding", "tests", "alone", "still")


def not_now(ground: Ground) -> Section | None:
    """The questions that do not arise, and the figures that would have to move."""
    if ground.study.decision.answer != "no":
        return None
    idle = Bullets(items=tuple(Say(key=f"idle.{each}") for each in IDLE))
    blocks: list[Block] = [Paragraph(item=Say(key="idle.words")), idle]
    if ground.subject is not None and ground.subject.case is not None:
        blocks += changes(ground)
    return Section(key="idle", blocks=tuple(blocks))


def changes(ground: Ground) -> Iterator[Block]:
    """The figures that turn the answer alone; where none does, what is missing, and what moves it most."""
    turning = tuple(break_evens(ground))[:MOST]
    if turning:
        heads = (Column(head="turn.figure", width=1.0), Column(head="turn.counted", align="right"),
                 Column(head="turn.at", align="right"))  # fmt: skip
        yield Table(columns=heads, rows=turning, caption=Say(key="idle.one_alone"))
        return
    yield Paragraph(item=Say(key="idle.none_alone", slots=short_of(ground)))
    rows = tuple(
        (fact_name(ground.facts[each.fact]), figure(each.fact, "", "value"), ends(ground, each.fact, "", "ends"))
        for each in ground.study.decision.drivers if each.fact in ground.facts and not each.fact.startswith("wishes.")
    )  # fmt: skip
    if rows:
        columns = (Column(head="idle.figure", width=1.0), Column(head="turn.counted", align="right"),
                   Column(head="ask.range", align="right"))  # fmt: skip
        yield Table(columns=columns, rows=rows[:MOST], caption=Say(key="idle.moves_most"))


def short_of(ground: Ground) -> dict[str, Item]:
    """By how much the nearest way misses the hurdle, and what it saves and costs a year."""
    assert ground.subject is not None
    assert ground.subject.case is not None
    case = ground.subject.case
    return {
        "missing": Figure(fact=case.hurdle_balance, form="money_2", part="value"),
        "saving": Figure(fact=case.saving_per_y, form="money_2", part="value"),
        "running": Figure(fact=case.year.running, form="money_2", part="value"),
        "hurdle": Figure(fact=ground.study.inquiry.wishes.hurdle_months.id, form="months"),
    }
