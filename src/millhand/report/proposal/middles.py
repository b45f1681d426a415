"""What a likely figure is, where half of the cases lie, and what is left where no hour alone is run."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground, ends, figure
from millhand.report.proposal.introduced import uncounted
from millhand.report.proposal.records import Figure, Item, Say

OF_DRAWS = {"payback": "payback_p50", "npv": "npv_p50"}  # known of every simulated way since it was drawn


def middle(ground: Ground, name: str) -> str | None:
    """The fact that half of the draws stay below: payback, npv, saving ...; None where none was drawn."""
    known = ground.of_case(f"middle.{name}")
    return known or (ground.of_concept(f"sure.{OF_DRAWS[name]}") if name in OF_DRAWS else None)


def in_time(ground: Ground, months: str | None) -> str | None:
    """A payback that comes within the years that are counted; None where it comes later, or never."""
    years = ground.study.inquiry.money.horizon_y.value
    return months if months is not None and ground.value(months) <= 12.0 * years else None


def what_it_is(ground: Ground) -> Iterator[Item]:
    """Payback in half of the cases, in eight of ten and with every figure at its likely value; the hurdle's chance."""
    case = ground.subject.case if ground.subject else None
    half = middle(ground, "payback")
    if case is None or case.payback_months is None or case.hurdle_chance is None:
        return
    slots: dict[str, Item] = {
        "likely": figure(case.payback_months, "months", "value"), "years": ground.years,
        "half": figure(half, "months", "value"),
        "hurdle": Figure(fact=ground.study.inquiry.wishes.hurdle_months.id, form="months", part="value"),
        "chance": Figure(fact=case.hurdle_chance, form="chance"),
    }  # fmt: skip
    yield Say(key="answer.half" if half else "answer.half_never", slots=slots)
    if ground.long and uncounted(ground):
        yield Say(key="answer.running_open")


def without_alone(ground: Ground) -> Iterator[Item]:
    """Where hours alone are counted: payback and parts a year without them, by the same formulas."""
    performance = ground.subject.performance if ground.subject else None
    parts, worth = ground.of_case("without_alone.parts"), ground.of_case("without_alone.npv")
    if performance is None or parts is None or worth is None:
        return
    payback = ground.of_case("without_alone.payback")
    slots: dict[str, Item] = {
        "parts": Figure(fact=parts, form="parts", part="value"), "years": ground.years,
        "whole": Figure(fact=performance.parts_per_y, form="parts", part="value"),
        "payback": figure(payback, "months", "value"),
        "likely": figure(ground.subject.case.payback_months if ground.subject and ground.subject.case else None,
                         "months", "value"), "worth": Figure(fact=worth, form="money_2", part="value"),
    }  # fmt: skip
    key = "without_alone" if ground.long else "alone_short"
    yield Say(key=f"answer.{key}" if payback else f"answer.{key}_never", slots=slots)
    if ground.long:
        yield drawn_alone(ground, payback)


def drawn_alone(ground: Ground, payback: str | None) -> Item:
    """Where half of the cases lie without hours alone, and how surely they meet the hurdle; that it was not drawn."""
    chance = ground.of_case("without_alone.hurdle_chance")
    half = in_time(ground, ground.of_case("without_alone.middle.payback"))
    if chance is None:
        return Say(key="answer.alone_undrawn")
    slots: dict[str, Item] = {
        "half": figure(half, "months", "value"), "chance": Figure(fact=chance, form="chance"), "years": ground.years,
        "hurdle": Figure(fact=ground.study.inquiry.wishes.hurdle_months.id, form="months", part="value"),
    }  # fmt: skip
    if half is None:
        return Say(key="answer.alone_drawn_never", slots=slots)
    if payback is None:
        return Say(key="answer.alone_drawn_plain", slots=slots)
    return Say(key="answer.alone_drawn", slots=slots | {"ends": ends(ground, payback, "months")})
