"""What becomes of the case where less is ordered, or where no hour alone is run: in words, and side by side."""

from collections.abc import Iterator

from millhand.model.decision import Orders
from millhand.report.proposal.ground import Ground, ends, figure
from millhand.report.proposal.middles import in_time, middle
from millhand.report.proposal.records import Block, Column, Figure, Item, Joined, Paragraph, Say, Table

TOP = "decision.orders"  # where its figures stand in the map
ALONE = "without_alone"  # the same under the case


def about(ground: Ground) -> Orders | None:
    """What is known of fewer orders, where that is about the way that the paper is about."""
    told, subject = ground.study.decision.orders, ground.subject
    own = subject is not None and subject.case is not None and told is not None and told.concept == subject.concept.id
    return told if own else None


def cases(ground: Ground) -> Iterator[Block]:
    """The case, the one with fewer orders and the one with no hour alone, drawn in the same worlds: payback, how surely
    it meets the hurdle, worth. Where at least one of the two was drawn."""
    case, told = ground.subject.case if ground.subject else None, about(ground)
    alone = ground.of_case(f"{ALONE}.hurdle_chance")
    fewer = next(ground.known(f"{TOP}.hurdle_chance"), None)
    if case is None or (alone is None and (told is None or fewer is None)):
        return
    rows = [row(ground, Say(key="cases.all_alone" if alone else "cases.all"), case.payback_months,
                (middle(ground, "payback"), middle(ground, "npv"), case.hurdle_chance))]  # fmt: skip
    if told is not None and fewer is not None:
        slots: dict[str, Item] = {
            "fall": Figure(fact=told.fall, form="percent"), "fewer": Figure(fact=told.fewer, form="parts"),
        }  # fmt: skip
        halves = (next(ground.known(f"{TOP}.middle.{name}"), None) for name in ("payback", "npv"))
        rows.append(row(ground, Say(key="cases.fewer", slots=slots), told.payback_months, (*halves, fewer)))
    if alone is not None:
        halves = (ground.of_case(f"{ALONE}.middle.{name}") for name in ("payback", "npv"))
        rows.append(row(ground, Say(key="cases.none_alone"), ground.of_case(f"{ALONE}.payback"), (*halves, alone)))
    names = ("likely", "half", "range", "chance", "worth")
    heads = (Column(head="cases.case", width=1.0), *(Column(head=f"cases.{each}", align="right") for each in names))
    yield Table(columns=heads, rows=tuple(rows), caption=Say(key=f"cases.{'words' if ground.long else 'short'}", slots={
        "hurdle": Figure(fact=ground.study.inquiry.wishes.hurdle_months.id, form="months"), "years": ground.years,
    }))  # fmt: skip


def row(ground: Ground, name: Item, payback: str | None, drawn: tuple[str | None, ...]) -> tuple[Item, ...]:
    """One of them: at likely values, in half of the draws, the range of eight in ten, chance, worth in half of them."""
    half, worth, chance = in_time(ground, drawn[0]), *drawn[1:]
    never = Say(key="cases.never", slots={"years": ground.years})
    return (
        name, figure(payback, "months", "value") if payback else never,
        figure(half, "months", "value") if half else never,
        ends(ground, payback, "months") if payback else Say(key="page.none"),
        figure(chance, "chance"), figure(worth, "money_2", "value"),
    )  # fmt: skip


def orders(ground: Ground) -> Iterator[Block]:
    """What becomes of it when less is ordered, and at which number the hurdle is just met."""
    told, subject = about(ground), ground.subject
    if told is None or subject is None or subject.case is None:
        return

    met = min(ground.value(told.hurdle_balance), ground.value(told.npv)) >= 0.0
    slots: dict[str, Item] = {
        "fall": Figure(fact=told.fall, form="percent"), "fewer": Figure(fact=told.fewer, form="parts"),
        "payback": figure(told.payback_months, "months", "value"),
        "hurdle": Figure(fact=ground.study.inquiry.wishes.hurdle_months.id, form="months"),
        "hours": Figure(fact=told.freed_h_per_y, form="hours"), "years": ground.years,
        "hours_now": Figure(fact=subject.case.year.freed_h_per_y, form="hours"),
        "likely": figure(subject.case.payback_months, "months", "value"),
        "half": figure(middle(ground, "payback"), "months", "value"), **turn_slots(ground, told),
    }  # fmt: skip
    back = f"back_{'met' if met else 'missed'}" if told.payback_months else "never"
    hours = "hours" if ground.value(subject.case.year.running) > 0.0 else "hours_alone"
    keys = [back, *drawn(ground, told), turn(ground, told)] + (
        [hours] if ground.long and ground.value(told.freed_h_per_y) > 0.0 else []
    )
    still = next(ground.known(f"{TOP}.extra_parts"), None)
    if ground.long and still is not None and ground.value(still) > 0.0:
        slots["extra"] = Figure(fact=still, form="parts")
        keys.append("still_more")
    if ground.long and ground.value(told.freed_h_per_y) > ground.value(subject.case.year.freed_h_per_y):
        keys.append("hours_more")
    yield Paragraph(item=Joined(items=tuple(Say(key=f"orders.{key}", slots=slots) for key in keys), between=" "))


def drawn(ground: Ground, told: Orders) -> tuple[str, ...]:
    """That the middle with fewer orders was not drawn, where somebody would look for it; drawn ones stand in the table
    of the cases."""
    known = next(ground.known(f"{TOP}.hurdle_chance"), None) is not None
    return ("middle",) if not known and ground.long and told.payback_months and middle(ground, "payback") else ()


def turning(ground: Ground) -> Iterator[Block]:
    """At which number of orders the hurdle is just met, alone: where no other table says it."""
    told = about(ground)
    if told is not None:
        yield Paragraph(item=Say(key=f"orders.{turn(ground, told)}", slots=turn_slots(ground, told)))


def turn(ground: Ground, told: Orders) -> str:
    """In which words."""
    assert ground.subject is not None
    assert ground.subject.case is not None
    case = ground.subject.case
    now = "met" if min(ground.value(case.hurdle_balance), ground.value(case.npv)) >= 0.0 else "missed"
    if told.turns_at is None:
        return f"none_{now}"
    way = "above" if ground.value(told.turns_at) > ground.value(told.present) else "below"
    return f"{'missed' if now == 'met' else 'met'}_{way}"


def turn_slots(ground: Ground, told: Orders) -> dict[str, Item]:
    """What is ordered, and where it turns."""
    return {"now": Figure(fact=told.present, form="parts"), "at": figure(told.turns_at, "parts")}
