"""The count across the table, and the steps from it to the honest figure, each with one thing more put right."""

from collections.abc import Iterator

from millhand.model.case import Rung
from millhand.model.fact import Fact
from millhand.model.performance import Performance
from millhand.stages.case.ledger import Ledger, Steady, reached
from millhand.trace import Inputs, apply


def naive(ledger: Ledger, within: float) -> str | None:
    """Payback as it is said across the table: the whole wage of the heads at the machines, against equipment alone."""
    inquiry = ledger.inquiry
    shifts = [shift for shift in inquiry.shifts if shift.manned.value == "yes" and shift.operators.value > 0.0]
    if ledger.concept.kind != "cell" or not shifts:
        return None
    week = apply(
        ledger.sheet, "head_h_per_week", ledger.id("naive.hours_a_week"),
        heads=tuple(shift.operators for shift in shifts),
        lengths_s=tuple(shift.length_s for shift in shifts),
        days=tuple(shift.days_per_week for shift in shifts),
    )  # fmt: skip
    hours = apply(
        ledger.sheet, "yearly_h_per_y", ledger.id("naive.hours"),
        h_per_week=week, work_days=inquiry.shop.work_days_per_y,
        days_per_week=max((shift.days_per_week for shift in shifts), key=lambda days: days.value),
    )  # fmt: skip
    wages = apply(
        ledger.sheet, "wages_money_per_y", ledger.id("naive.wages"), worked_h_per_y=hours, wage_money_per_h=ledger.wage
    )
    return _steady(ledger, "naive.payback", within, _equipment(ledger), wages)


def rungs(ledger: Ledger, steady: Steady, today: Performance, honest: str | None, within: float) -> tuple[Rung, ...]:
    """One step after the other, the last one the honest figure itself."""
    last = Rung(words="wages and running cost grow as the years go by: the honest figure", payback=honest)
    return (
        *_labour_rungs(ledger, steady, today, within),
        *_price_rungs(ledger, steady, within),
        *_time_rungs(ledger, steady, within),
        last,
    )


def _equipment(ledger: Ledger) -> Fact:
    """The price of the equipment alone."""
    return ledger.sheet[ledger.estimate.equipment]


def _steady(ledger: Ledger, name: str, within: float, outlay: Fact, gain: Fact) -> str | None:
    """Payback of a gain that comes in full from the first day."""
    return reached(ledger, "steady_payback_months", name, within, {"outlay_money": outlay, "gain_money_per_y": gain})


def _labour_rungs(ledger: Ledger, steady: Steady, today: Performance, within: float) -> Iterator[Rung]:
    """What is wrong with a whole wage saved."""
    price, hours = _equipment(ledger), ledger.sheet[today.operator_h_per_y]
    steps = (
        ("bound", hours, "only the hours that these machines bind today"),
        ("freed", steady.freed, "the operator is still needed: to refill, gauge, change tools and clear stops"),
    )
    for name, worked, words in steps:
        gain = apply(
            ledger.sheet,
            "wages_money_per_y",
            ledger.id(f"rungs.{name}_wages"),
            worked_h_per_y=worked,
            wage_money_per_h=ledger.wage,
        )
        yield Rung(words=words, payback=_steady(ledger, f"rungs.{name}", within, price, gain))
    words = "only the share of the freed hours that becomes real value"
    yield Rung(words=words, payback=_steady(ledger, "rungs.usable", within, price, steady.labour))


def _price_rungs(ledger: Ledger, steady: Steady, within: float) -> Iterator[Rung]:
    """What is wrong with the price of the equipment."""
    installed = ledger.sheet[ledger.estimate.installed]
    yield Rung(
        words="the installed price instead of the equipment alone",
        payback=_steady(ledger, "rungs.installed", within, installed, steady.labour),
    )
    yield Rung(
        words="the shop's own work until the cell runs",
        payback=_steady(ledger, "rungs.own_work", within, steady.outlay, steady.labour),
    )
    kept = apply(
        ledger.sheet,
        "net_money_per_y",
        ledger.id("rungs.kept"),
        gains_money=(steady.labour,),
        costs_money=(steady.running,),
    )
    yield Rung(
        words="upkeep, power, floor, insurance, and programming and fingers for new parts",
        payback=_steady(ledger, "rungs.running", within, steady.outlay, kept),
    )


def _time_rungs(ledger: Ledger, steady: Steady, within: float) -> Iterator[Rung]:
    """What is wrong with a full gain from the first day, and with output that is left out."""
    still = ledger.no_growth()
    costs = tuple(line for line in steady.lines if line.group == "running")
    labour = tuple(line for line in steady.lines if line.group == "labour")
    steps = [("ramp_up", (*labour, *costs), "the first months bring only part of the gain")]
    if steady.output.value > 0.0:
        steps.append(("output", steady.lines, "parts on top of today's, as far as they are ordered"))
    elif steady.output.value < 0.0:
        steps.append(("output", steady.lines, "parts that are sold today and that the cell cannot make"))
    for name, lines, words in steps:
        inputs: Inputs = {
            "outlay_money": steady.outlay, "yearly_money": tuple(line.yearly for line in lines),
            "growths": (still,) * len(lines), "ramp_up": steady.ramp_up,
        }  # fmt: skip
        yield Rung(words=words, payback=reached(ledger, "payback_months", f"rungs.{name}", within, inputs))
