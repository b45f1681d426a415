"""Where nothing is proposed: which questions do not arise, and what would have to change before they do."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground, ends, fact_name, figure
from millhand.report.proposal.money import break_evens
from millhand.report.proposal.records import (
    Block,
    Bullets,
    Column,
    Figure,
    Item,
    Joined,
    Paragraph,
    Say,
    Section,
    Table,
)

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
    beside = (*as_listed(ground), *fewer_sets(ground))
    if beside:
        yield Paragraph(item=Joined(items=beside, between=" "))


def as_listed(ground: Ground) -> Iterator[Item]:
    """That prices among these figures are of the list, where the price lines are of the time of the order."""
    share, age = "money.escalation", "money.price_age"
    named = any(each.fact in ground.facts and ground.facts[each.fact].unit == "money"
                for each in ground.study.decision.drivers)  # fmt: skip
    if named and len(list(ground.known(share, age))) == 2 and ground.value(share) * ground.value(age) > 0.0:
        yield Say(key="idle.as_listed", slots={"share": figure(share, "percent", "value")})


def fewer_sets(ground: Ground) -> Iterator[Item]:
    """Where the part list asks for fewer sets of fingers than are priced, both numbers and what they cost."""
    mix, line = ground.study.part_mix, ground.of_concept("estimate.fingers")
    less = next(ground.known("part_mix.needed_sets_price"), None)
    if mix is None or mix.priced_sets is None or mix.needed_sets is None or line is None or less is None:
        return
    yield Say(key="idle.sets", slots={
        "priced": Figure(fact=mix.priced_sets, form="count"), "needed": Figure(fact=mix.needed_sets, form="count"),
        "line": figure(line, "money", "value"), "less": figure(less, "money", "value"), "fit": Say(key="fit.title"),
    })  # fmt: skip


def turns_alone(ground: Ground) -> bool:
    """Whether one figure alone would let the nearest way meet the hurdle."""
    case = ground.subject.case if ground.subject is not None else None
    return case is not None and any(break_evens(ground))


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
