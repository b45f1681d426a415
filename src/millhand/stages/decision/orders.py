"""What becomes of the answer when less is ordered: where the hurdle is just met, and the case with fewer orders."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from millhand.model.case import steady_lines
from millhand.model.decision import Orders
from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.stages.decision.desk import Desk, case_of
from millhand.stages.decision.turning import FAR, Lever, Turn, meeting_goal, turn_of, turning_value
from millhand.trace import apply, apply_within, found, needed, recomputed, steps

FALL = "catalogue.orders_fall_share"
TOP = "decision.orders"


def orders(desk: Desk, result: Result | None) -> Orders | None:
    """Both for one concept; nothing where there is none, where nothing is ordered, or no fall is looked at."""
    if result is None or FALL not in desk.sheet:
        return None
    case, parts = case_of(result), tuple(part.orders_per_y for part in desk.inquiry.parts)
    now = desk.sheet[f"concepts.{case.concept}.case.orders"]
    if now.value <= 0.0:
        return None
    line_ids = tuple(line.amount for line, _ in steady_lines(case))
    wanted = (case.hurdle_balance, case.npv, case.year.freed_h_per_y, *line_ids)
    again = steps(needed(desk.sheet.facts, wanted))

    def at(ordered: float) -> Mapping[str, float]:
        """Every number of the case when so many are ordered, the mix of families kept."""
        changed = {each.id: each.value * ordered / now.value for each in parts}
        return recomputed(again, changed, desk.solved)

    goal = meeting_goal(case)
    lever = Lever(fact=now, words="the number of parts ordered in a year", low=0.0, high=FAR * now.value)
    value = turning_value(now.value, (lever.low, lever.high), lambda ordered: goal(at(ordered)))
    turn = turn_of(desk, lever, TOP, value) if value is not None else None
    fall = desk.sheet[FALL]
    fewer = apply(desk.sheet, "fewer_parts_per_y", f"{TOP}.fewer", orders_parts_per_y=now, fall_share=fall)
    return _with_fewer(desk, result, (now, fewer, fall), turn, at(fewer.value))


def _with_fewer(
    desk: Desk, result: Result, ordered: tuple[Fact, Fact, Fact], turn: Turn | None, numbers: Mapping[str, float]
) -> Orders:
    """The measures of the case from its lines as they are with fewer orders."""
    case, sheet = case_of(result), desk.sheet
    now, fewer, fall = ordered

    def moved(fact_id: str, name: str) -> Fact:
        """A figure of the case as it is then."""
        was = sheet[fact_id]
        record = Fact(
            id=f"{TOP}.{name}", value=numbers[fact_id], unit=was.unit, basis="computed",
            source=f"recomputed with {fewer.id} parts ordered in a year", inputs=(("", fewer.id), ("", was.id)),
        )  # fmt: skip
        return found(sheet, record)

    years: dict[str, Fact | tuple[Fact, ...]] = {
        "outlay_money": sheet[case.year.outlay],
        "yearly_money": tuple(moved(line.amount, f"lines.{line.id}") for line, _ in steady_lines(case)),
        "growths": tuple(sheet[growth] for _, growth in steady_lines(case)),
        "ramp_up": tuple(sheet[each] for each in case.year.ramp_up),
    }
    terms, hurdle = desk.inquiry.money, desk.hurdle
    payback = apply_within(sheet, "payback_months", f"{TOP}.payback", 12.0 * terms.horizon_y.value, years)
    balance = apply(sheet, "balance_money", f"{TOP}.hurdle_balance", **years, months=hurdle)
    worth = apply(sheet, "npv_money", f"{TOP}.npv_of_years", **years, rate=terms.rate, horizon_y=terms.horizon_y)
    beside = tuple(sheet[source] for _, source in sheet[case.npv].inputs if not source.endswith(".npv_of_years"))
    npv = apply(sheet, "sum_money", f"{TOP}.npv", amounts_money=(worth, *beside))
    apply(
        sheet, "less_parts_per_y", f"{TOP}.extra_parts",
        whole_parts_per_y=fewer, taken_parts_per_y=sheet["concepts.today.performance.capacity_parts_per_y"],
    )  # fmt: skip
    found_ones = Orders(
        concept=case.concept,
        present=now.id,
        turns_at=turn.needed.id if turn else None,
        change=turn.share.id if turn and turn.share else None,
        fall=fall.id,
        fewer=fewer.id,
        freed_h_per_y=moved(case.year.freed_h_per_y, "freed_hours").id,
        payback_months=payback.id if payback else None,
        npv=npv.id,
        hurdle_balance=balance.id,
        words=(),
    )
    return replace(found_ones, words=tuple(_words(desk, result, found_ones)))


def meets(desk: Desk, balance: str, npv: str) -> bool:
    """Whether a case meets the hurdle and is worth more than today."""
    return min(desk.value(balance), desk.value(npv)) >= 0.0


def _words(desk: Desk, result: Result, told: Orders) -> Iterator[str]:
    """The case with fewer orders, and where the hurdle is just met, as sentences."""
    case = case_of(result)
    back = f"the money is back after [[{told.payback_months}|months]]"
    if told.payback_months is None:
        back = "the money does not come back within the years that are counted"
    holds = "met" if meets(desk, told.hurdle_balance, told.npv) else "missed"
    freed = "Freed hours shrink with the orders, the price does not."
    if desk.value(told.freed_h_per_y) > desk.value(case.year.freed_h_per_y):
        freed = (
            "Freed hours do not shrink with the orders: this way then makes fewer parts and asks less of people, while "
            "work by hand stays as it is until fewer are ordered than it makes. The price stays."
        )
    yield (
        f"With [[{told.fall}|percent]] fewer orders, [[{told.fewer}|parts]] a year, {back}: the hurdle of "
        f"[[{desk.hurdle.id}|months]] is {holds}. {freed}"
    )
    now = "met" if meets(desk, case.hurdle_balance, case.npv) else "missed"
    if told.turns_at is None:
        yield f"At no number of orders that was looked at is it otherwise than {now}."
        return
    way = "above" if desk.value(told.turns_at) > desk.value(told.present) else "below"
    then = "missed" if now == "met" else "met"
    yield (
        f"It would be {then} {way} [[{told.turns_at}|parts]] parts a year, all families alike; "
        f"[[{told.present}|parts]] are ordered."
    )
