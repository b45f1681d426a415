"""Somebody else's figures beside the study's: a wage saved twice, parts nobody ordered, a night at the day's rate."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.claims import Claimed, Claims
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.trace import Sheet, apply

NEAR = 0.9  # a night within a tenth of the day's rate was counted by the day's rate
CLOSE = 1.1  # so far above what was found a claim is still the same figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What all claims are held against: the concept that the decision is about, and today."""

    inquiry: Inquiry
    claims: Claims
    result: Result
    today: Result
    sheet: Sheet

    def of_case(self, name: str) -> Fact:
        """A figure of the concept's case."""
        return self.sheet[f"concepts.{self.result.concept.id}.case.{name}"]

    def claimed(self, claim: str, told: Fact, found: Fact | None, finding: str, words: str) -> Claimed:
        """One row, with who says so before the words."""
        who = self.claims.by or "Somebody's calculation"
        return Claimed(
            claim=claim, told=told.id, found=found.id if found else None,
            finding=finding, words=f"{who} {words}",  # type: ignore[arg-type]
        )  # fmt: skip


def meant(results: tuple[Result, ...], best: Result | None, sheet: Sheet) -> Result | None:
    """What others talk about: the cell of the greatest worth; what is advised where no cell got as far as a case."""
    cells = [each for each in results if each.concept.kind == "cell" and each.case is not None]
    return max(cells, key=lambda each: sheet.value(each.case.npv) if each.case else 0.0, default=best)


def claimed(inquiry: Inquiry, result: Result | None, today: Result, sheet: Sheet) -> tuple[Claimed, ...]:
    """Every figure that was claimed, in words; nothing where nothing was claimed or no concept got as far as a case."""
    if inquiry.claims is None or result is None or result.case is None or result.performance is None:
        return ()
    bench = Bench(inquiry=inquiry, claims=inquiry.claims, result=result, today=today, sheet=sheet)
    return (*_heads(bench), *_extra(bench), *_alone(bench), *_payback(bench), *_price(bench))


def _heads(bench: Bench) -> Iterator[Claimed]:
    """Posts saved: never more hours than these machines bind today, and what is still needed is not saved."""
    told = bench.claims.heads
    if told is None or bench.today.performance is None or bench.result.performance is None:
        return
    sheet, freed = bench.sheet, bench.of_case("freed_hours")
    post = sheet["shifts.head_h_per_y"]
    hours = apply(sheet, "assigned_h_per_y", "claims.hours", heads=told, worked_h_per_y=post)
    bound = sheet[bench.today.performance.operator_h_per_y]
    still = bench.result.performance.operator_h_per_y
    say = f"saves [[{told.id}|number]] posts, [[{hours.id}|hours]] a year"
    if hours.value > bound.value * CLOSE:
        words = (
            f"{say}. These machines bind only [[{bound.id}|hours]] of people today: the rest is a wage saved twice, "
            f"paid for other work already. [[{freed.id}|hours]] come free, and [[{still}|hours]] still need somebody."
        )
        yield bench.claimed("heads", told, freed, "twice", words)
    elif hours.value > max(freed.value, 0.0) * CLOSE:
        words = (
            f"{say}. [[{freed.id}|hours]] come free: [[{still}|hours]] still need somebody, to refill, gauge, change "
            "tools and clear stops."
        )
        yield bench.claimed("heads", told, freed, "too_many", words)
    else:
        yield bench.claimed("heads", told, freed, "fits", f"{say}: no more than come free, [[{freed.id}|hours]].")


def _extra(bench: Bench) -> Iterator[Claimed]:
    """Parts on top: no more than somebody ordered, no more than can be made."""
    told = bench.claims.extra_parts_per_y
    if told is None or bench.today.performance is None:
        return
    sheet, extra = bench.sheet, bench.of_case("extra_parts")
    orders, made = bench.of_case("orders"), sheet[bench.today.performance.parts_per_y]
    unmet = apply(  # as if all that is ordered could be made
        sheet, "extra_parts_per_y", "claims.unmet",
        orders_parts_per_y=orders, capacity_parts_per_y=orders, today_parts_per_y=made,
    )  # fmt: skip
    say = f"counts [[{told.id}|parts]] parts a year more"
    if told.value > unmet.value * CLOSE:
        beyond = (
            f"[[{unmet.id}|parts]] are ordered that cannot be made today, and [[{extra.id}|parts]] of them are counted "
            "as money"
            if unmet.value > 0.0
            else "all that is ordered is made today already, and only what is ordered is counted as money"
        )
        words = f"{say}. Nobody ordered them: {beyond}. Who takes the rest, and at which price?"
        yield bench.claimed("extra_parts_per_y", told, extra, "unordered", words)
    elif told.value > extra.value * CLOSE:
        words = f"{say}. They are ordered, but this way makes [[{extra.id}|parts]] of them."
        yield bench.claimed("extra_parts_per_y", told, extra, "too_many", words)
    else:
        words = f"{say}: ordered, and can be made, [[{extra.id}|parts]]."
        yield bench.claimed("extra_parts_per_y", told, extra, "fits", words)


def _alone(bench: Bench) -> Iterator[Claimed]:
    """Parts of a run alone: the first stop that nobody clears ends it."""
    told, own = bench.claims.parts_alone, bench.result.performance
    if told is None or own is None or own.parts_alone is None:
        return
    sheet = bench.sheet
    found = sheet[own.parts_alone]
    day = apply(
        sheet, "day_rate_parts", "claims.day_rate",
        parts_per_h=sheet[own.attended_per_h], alone_s=bench.inquiry.wishes.unattended_s,
    )  # fmt: skip
    say = f"makes [[{told.id}|few_parts]] parts with nobody there"
    if told.value <= found.value * CLOSE:
        words = f"{say}: no more than can be expected, [[{found.id}|few_parts]]."
        yield bench.claimed("parts_alone", told, found, "fits", words)
    elif told.value >= day.value * NEAR:
        words = (
            f"{say}. That is the day's rate for all hours alone, [[{day.id}|few_parts]], with stops that somebody "
            "clears. Alone, the first stop, a worn tool or an empty presenter ends the run: expected are "
            f"[[{found.id}|few_parts]]."
        )
        yield bench.claimed("parts_alone", told, found, "day_rate", words)
    else:
        words = f"{say}. Expected are [[{found.id}|few_parts]], for the first stop ends the run."
        yield bench.claimed("parts_alone", told, found, "too_many", words)


def _payback(bench: Bench) -> Iterator[Claimed]:
    """How soon the money is said to be back."""
    told, case = bench.claims.payback_months, bench.result.case
    if told is None or case is None:
        return
    say = f"has the money back after [[{told.id}|months]]"
    if case.payback_months is None:
        yield bench.claimed("payback_months", told, None, "too_soon", f"{say}. Worked out, it does not come back.")
        return
    found = bench.sheet[case.payback_months]
    if found.value <= told.value * CLOSE:
        words = f"{say}: worked out, [[{found.id}|months]]."
        yield bench.claimed("payback_months", told, found, "fits", words)
    else:
        words = f"{say}. Worked out with all that has to be paid and done it is [[{found.id}|months]]."
        yield bench.claimed("payback_months", told, found, "too_soon", words)


def _price(bench: Bench) -> Iterator[Claimed]:
    """What it is said to cost."""
    told, estimate = bench.claims.price, bench.result.estimate
    if told is None or estimate is None:
        return
    found, equipment = bench.sheet[estimate.installed], estimate.equipment
    say = f"pays [[{told.id}|money_2]]"
    if found.value <= told.value * CLOSE:
        yield bench.claimed("price", told, found, "fits", f"{say}: the estimate is [[{found.id}|money_2]].")
    else:
        words = f"{say}. Equipment alone is [[{equipment}|money_2]], installed it is [[{found.id}|money_2]]."
        yield bench.claimed("price", told, found, "too_cheap", words)
