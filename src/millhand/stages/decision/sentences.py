"""The answer in sentences: what, why, what comes second, and what has to be found out first. Figures are marks."""

from collections import Counter
from collections.abc import Iterator

from millhand.model.decision import Ask
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.stages.decision.desk import Desk, case_of, estimate_of
from millhand.stages.decision.rule import Choice, fell
from millhand.stages.decision.turning import Turn, if_words

FIRST_ASKS = 3
EVEN = 0.5
AS_GOOD_AS_EQUAL = 0.03  # share of the winner's worth: far below what the ranges allow to tell apart


def sentences(desk: Desk, choice: Choice, overtakes: list[Turn], asks: tuple[Ask, ...]) -> tuple[str, ...]:
    """All sentences, in the order in which a reader wants them."""
    if choice.answer == "no":
        return (*_no(desk, choice), *_ask_first(asks))
    assert choice.best is not None
    opening = _by_hand(desk, choice) if choice.answer == "by_hand" else _cell(choice.best, desk)
    reasons = (*_gains(choice.best, desk), *_second(desk, choice, overtakes))
    return (*opening, *reasons, *families(desk.inquiry), *_ask_first(asks))


def families(inquiry: Inquiry) -> Iterator[str]:
    """What is said of the other parts where several are named: this version works out the first."""
    first, *others = (part.name for part in inquiry.parts)
    if others:
        yield (
            f"Times, grip, trays and losses are those of {first}; of {' and '.join(others)} only the orders and what "
            "a part leaves are counted."
        )


def _cell(best: Result, desk: Desk) -> Iterator[str]:
    """A cell is worth buying."""
    case, estimate = case_of(best), estimate_of(best)
    yield (
        f"We recommend a cell: {best.concept.title}. It costs [[{estimate.installed}|money_2]] installed, and the "
        f"money is back after [[{case.payback_months}|months]] from hand-over, within your hurdle of "
        f"[[{desk.hurdle.id}|months]]."
    )
    yield from alone(best)
    yield from _chance(best, desk, recommended=True)
    if case.payback_from_order_months is not None:
        months = case.payback_from_order_months
        yield f"Counted from the order it is [[{months}|months]]: money goes out before it comes in."
    budget = desk.inquiry.wishes.budget
    if budget is not None and desk.value(estimate.installed) > budget.value:
        yield f"That is more than the [[{budget.id}|money_2]] that you set aside: the difference has to be found first."


def alone(best: Result) -> Iterator[str]:
    """What becomes of the hours alone where a check takes them back."""
    if any(verdict.check == "fire" and not verdict.holds for verdict in best.verdicts):
        yield (
            "It does not run alone until protection against fire is settled with insurer, fire brigade, the "
            "machine's supplier and competent persons: the hours alone and their parts are in these figures, and "
            "nobody should count on them before."
        )


def _by_hand(desk: Desk, choice: Choice) -> Iterator[str]:
    """A cheap change comes first."""
    assert choice.best is not None
    case, estimate = case_of(choice.best), estimate_of(choice.best)
    yield (
        f"Change the work first, {choice.best.concept.title}. It costs [[{estimate.installed}|money_2]], and "
        f"the money is back after [[{case.payback_months}|months]], within your hurdle of [[{desk.hurdle.id}|months]]."
    )
    yield from _chance(choice.best, desk, recommended=True)
    if choice.beaten is not None:
        other = case_of(choice.beaten)
        yield (
            f"A cell ({choice.beaten.concept.title}) would meet the hurdle too, with "
            f"[[{other.payback_months}|months]]. But part of its gain is what the change by hand brings alone, and its "
            "extra price is not back in time."
        )


def _of_case(best: Result, name: str) -> str:
    """The id of a figure of a concept's case that has no field of its own."""
    return f"concepts.{best.concept.id}.case.{name}"


FATES = {
    "not_hired_posts_h": "are whole posts that need not be filled",
    "redeployed_h": "go to other work",
    "overtime_h": "are less overtime",
    "temporary_h": "are fewer hours of temporary people",
}


def _fates(best: Result, desk: Desk) -> str:
    """What becomes of the freed hours, where the shop told several things; else nothing."""
    if desk.inquiry.people.freed is None:
        return ""
    ids = {_of_case(best, f"fates.{name}"): words for name, words in FATES.items()}
    told = ", ".join(f"[[{fact_id}|hours]] {words}" for fact_id, words in ids.items() if fact_id in desk.sheet)
    assert best.performance is not None
    return (
        f"It frees [[{case_of(best).year.freed_h_per_y}|hours]] of operator work a year: {told}; nothing else of them "
        f"is counted as money. [[{best.performance.operator_h_per_y}|hours]] a year still need a person."
    )


def _gains(best: Result, desk: Desk) -> Iterator[str]:
    """Why it pays: hours, parts, worth, and what is said across the table."""
    case, sheet = case_of(best), desk.sheet
    if best.performance is not None and desk.value(case.year.freed_h_per_y) > 0.0:
        posts = "post" if desk.value(_of_case(best, "freed_heads")) == 1.0 else "posts"
        yield _fates(best, desk) or (
            f"It frees [[{case.year.freed_h_per_y}|hours]] of operator work a year, of which "
            f"[[{desk.inquiry.people.share_usable.id}|percent]] is counted as money: they fill "
            f"[[{_of_case(best, 'freed_heads')}|count]] whole {posts} of one shift, and "
            f"[[{_of_case(best, 'freed_beside_heads')}|hours]] are left, which only less overtime, temporary work or a "
            "named use turns into money; "
            f"[[{best.performance.operator_h_per_y}|hours]] a year still need a person."
        )
    output = sheet[case.year.output]
    if output.value > 0.0:
        yield f"Parts that are ordered and cannot be made today bring [[{output.id}|money_2]] a year."
    elif output.value < 0.0:
        yield f"It makes fewer parts than are sold today; that loss of [[{output.id}|money_2]] a year is counted."
    else:
        extra = dict(sheet[_of_case(best, "extra_parts")].inputs)
        unmet = desk.value(extra["orders_parts_per_y"]) - desk.value(extra["today_parts_per_y"])
        why = "this way makes no more of them" if unmet > 0.0 else "what is ordered is made today already"
        yield f"More parts are not counted as money: {why}."
    years = desk.inquiry.money.horizon_y.id
    yield f"Over [[{years}|years]] it is worth [[{case.npv}|money_2]] more than going on as today."
    yield from _naive(best)


def _chance(best: Result, desk: Desk, *, recommended: bool) -> Iterator[str]:
    """How sure the hurdle is; a recommendation that will more likely miss it says so."""
    chance = case_of(best).hurdle_chance
    if chance is None:
        return
    sentence = f"With all that is still uncertain, the chance of meeting that hurdle is [[{chance}|chance]]"
    if recommended and desk.value(chance) < EVEN:
        yield f"{sentence}: the likely values meet it, the ranges more often do not. Narrow them before you order."
    else:
        yield f"{sentence}."


def _naive(best: Result) -> Iterator[str]:
    """What is said across the table about the same cell."""
    naive = case_of(best).naive_payback_months
    if naive is not None:
        yield (
            f"Across the table, with the whole wage saved and the equipment alone paid, the same cell would look like "
            f"[[{naive}|months]]; the steps from there to the honest figure are listed."
        )


def _equal(choice: Choice, desk: Desk) -> bool:
    """Whether first and second differ by less than anybody can know."""
    if choice.best is None or choice.second is None:
        return False
    first, second = (desk.value(case_of(each).npv) for each in (choice.best, choice.second))
    return abs(first - second) < AS_GOOD_AS_EQUAL * abs(first)


def _second(desk: Desk, choice: Choice, overtakes: list[Turn]) -> Iterator[str]:
    """What comes second, when it would win, and what the winner owes to cheaper ways."""
    if choice.on_top is not None and choice.hand is not None:
        yield (
            f"The best change without an arm ({choice.hand.concept.title}) is worth "
            f"[[{case_of(choice.hand).npv}|money_2]]; what the cell costs more than that is back after "
            f"[[{choice.on_top}|months]]."
        )
    if choice.second is None:
        return
    second = case_of(choice.second)
    back = f"back after [[{second.payback_months}|months]]" if second.payback_months else "never back in that time"
    yield f"Second comes {choice.second.concept.title}, worth [[{second.npv}|money_2]] against today and {back}."
    if _equal(choice, desk):
        yield "The two are as good as equal: take the one that suits the floor, the people and the next job better."
    elif overtakes:
        yield f"It would come first {if_words(overtakes[0])}."
    else:
        yield "No single figure within what was looked at would put it in front."


def _no(desk: Desk, choice: Choice) -> Iterator[str]:
    """Stay as you are, and why."""
    if choice.best is None:
        yield "Go on loading by hand: none of the ways looked at can do the work as it is described."
        yield from _what_fell(desk)
        return
    case = case_of(choice.best)
    if not any(result.concept.kind == "cell" for result in desk.results):
        yield (
            "Go on by hand for now: what is described rules out each cell before it is looked at; an arm beside such a "
            "machine is not worked out here."
        )
        yield "Of the changes by hand, none pays back as soon as you ask."
        return
    if not any(result.concept.kind == "cell" and result.case is not None for result in desk.results):
        yield "Go on by hand for now: no cell that was looked at can do the work as it is described."
        yield from _what_fell(desk)
        yield "Of the changes by hand, none pays back as soon as you ask."
        return
    yield "Go on as today for now: none of the ways looked at pays back as soon as you ask."
    near = f"The one that comes nearest is {choice.best.concept.title}"
    if case.payback_months is None:
        yield f"{near}: {case.reasons.get('payback_months', 'the money does not come back')}."
    elif desk.value(case.payback_months) > desk.hurdle.value:
        yield f"{near}, back after [[{case.payback_months}|months]] where your hurdle is [[{desk.hurdle.id}|months]]."
    else:
        yield f"{near}, but over the years that are counted it is worth less than today: [[{case.npv}|money_2]]."
    yield from _chance(choice.best, desk, recommended=False)
    yield _balance(desk, choice.best)
    yield from _naive(choice.best)
    yield from _what_fell(desk)


def _balance(desk: Desk, best: Result) -> str:
    """What is paid once, and what stands against it in a year."""
    case = case_of(best)
    words = ("of freed work", "of parts more or less", "of upkeep, power, floor and new parts to pay")
    labour = next(line.amount for line in case.lines if line.id == "labour")
    lines = [
        f"[[{fact_id}|money_2]] {word}"
        for fact_id, word in zip((labour, case.year.output, case.year.running), words, strict=True)
        if desk.value(fact_id) != 0.0
    ]
    if not lines:
        return f"It costs [[{case.year.outlay}|money_2]], and brings nothing in a year that is counted as money."
    return f"Against [[{case.year.outlay}|money_2]] paid before it runs stand, in a steady year, {', '.join(lines)}."


def _what_fell(desk: Desk) -> Iterator[str]:
    """Which checks ended most concepts."""
    checks = Counter(check for check in map(fell, desk.results) if check is not None)
    if checks:
        names = ", ".join(check.replace("_", " ") for check, _ in checks.most_common(FIRST_ASKS))
        yield f"Ways that cannot work fell at these checks: {names}. The comparison has each with its margin."


def _ask_first(asks: tuple[Ask, ...]) -> Iterator[str]:
    """What must be found out before anybody orders."""
    first = asks[:FIRST_ASKS]
    if first:
        yield f"Find out first: {' '.join(ask.words for ask in first)}"
