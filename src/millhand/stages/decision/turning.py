"""At which value of one fact the answer turns: found by halving, on the study's own graph of facts."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from millhand.model.case import Case
from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.stages.decision.desk import Desk, case_of, estimate_of, in_words, mark
from millhand.trace import Steps, apply, found, needed, recomputed, steps

HALVINGS = 48
FAR = 5.0  # how many times a wage, a price or a volume is looked at, up and down
Goal = Callable[[Mapping[str, float]], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lever:
    """One fact that may move, between two ends, and how the trade calls it."""

    fact: Fact
    words: str
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """Where the answer turns along one lever: the value as a fact, and by which share that lies away."""

    lever: Lever
    needed: Fact
    share: Fact | None


def meeting_goal(case: Case) -> Goal:
    """From 0 up where a case meets the hurdle and is worth more than today."""
    return lambda numbers: min(numbers[case.hurdle_balance], numbers[case.npv])


def called(result: Result, results: tuple[Result, ...]) -> str:
    """How a sentence calls one of the concepts it is about; titles are long, and stand where it is recommended."""
    name = "the cell" if result.concept.kind == "cell" else "the change by hand"
    if sum(one.concept.kind == result.concept.kind for one in results) == 1:
        return name
    return f"{name} {'that comes second' if result is results[0] else 'that comes first'}"


def levers(desk: Desk, results: tuple[Result, ...]) -> Iterator[Lever]:
    """What a shop can move or doubt: prices, wage, use of the freed hours, orders, lots; then the strongest others."""
    people = desk.inquiry.people
    main = max(desk.inquiry.parts, key=lambda part: part.orders_per_y.value)
    known = [
        *(
            (desk.sheet[estimate_of(one).installed], f"the installed price of {called(one, results)}")
            for one in results
        ),
        (people.wage_per_h, "the wage"),
        (people.share_usable, "the share of the freed hours that becomes real value"),
        (main.orders_per_y, f"the number of {main.name} parts ordered in a year"),
        (main.contribution_per_part, f"what one more {main.name} part leaves"),
        (main.lot_size, f"the lot size of {main.name}"),
    ]
    for fact, words in known:
        top = 1.0 if fact is people.share_usable else FAR * fact.value
        yield Lever(fact=fact, words=words, low=0.0 if top == 1.0 else fact.value / FAR, high=top)
    taken = {fact.id for fact, _ in known}
    for driver in desk.drivers[:6]:
        fact = desk.sheet[driver.fact]
        if fact.id not in taken and fact.low is not None and fact.high is not None:
            yield Lever(fact=fact, words=f"the figure “{in_words(fact)}”", low=fact.low, high=fact.high)


def turns(desk: Desk, results: tuple[Result, ...], name: str, goal: Goal) -> list[Turn]:
    """Every lever along which the goal changes its sign, the nearest first; each found value becomes a fact."""
    cases = [case_of(result) for result in results]
    part = needed(desk.sheet.facts, tuple(each for case in cases for each in (case.hurdle_balance, case.npv)))
    again, found_ones = steps(part), []
    for lever in levers(desk, results):
        if lever.fact.id not in part:
            continue
        value = turning_value(
            lever.fact.value, (lever.low, lever.high),
            lambda value, lever=lever: _goal_at(desk, again, goal, lever, value),  # type: ignore[misc]
        )  # fmt: skip
        if value is not None:
            found_ones.append(turn_of(desk, lever, f"decision.{name}.{lever.fact.id}", value))
    return sorted(found_ones, key=lambda turn: abs(turn.share.value) if turn.share else 0.0)


def turning_value(present: float, ends: tuple[float, float], goal: Callable[[float], float]) -> float | None:
    """The value nearest the present one at which the goal changes its sign; None where it does at neither end."""
    holds = goal(present) >= 0.0
    crossing = [end for end in ends if (goal(end) >= 0.0) != holds]
    values = [_halved(present, end, goal, holds) for end in crossing if end != present]
    return min(values, key=lambda value: abs(value - present)) if values else None


def _halved(near: float, far: float, goal: Callable[[float], float], holds: bool) -> float:
    """The place between two ends of different sign, on the side on which the goal holds."""
    for _ in range(HALVINGS):
        middle = (near + far) / 2.0
        if (goal(middle) >= 0.0) == holds:
            near = middle
        else:
            far = middle
    return near if holds else far


def _goal_at(desk: Desk, again: Steps, goal: Goal, lever: Lever, value: float) -> float:
    """The goal with one fact changed."""
    return goal(recomputed(again, {lever.fact.id: value}, desk.solved))


def turn_of(desk: Desk, lever: Lever, fact_id: str, needed: float) -> Turn:
    """The found value, and the share by which it lies away, as facts."""
    fact = found(
        desk.sheet,
        Fact(
            id=f"{fact_id}.turns_at", value=needed, unit=lever.fact.unit, basis="computed",
            source="halving over the study's facts until the answer turns", inputs=(("", lever.fact.id),),
        ),
    )  # fmt: skip
    if lever.fact.value <= 0.0:
        return Turn(lever=lever, needed=fact, share=None)
    share = apply(desk.sheet, "change_share", f"{fact_id}.change", needed=fact, present=lever.fact)
    return Turn(lever=lever, needed=fact, share=share)


def turn_words(turn: Turn) -> str:
    """What would have to move, from which value to which, and by how much."""
    way = "rise" if turn.needed.value > turn.lever.fact.value else "fall"
    size = f", a change of [[{turn.share.id}|percent]]" if turn.share else ""
    return f"{turn.lever.words} would have to {way} from {mark(turn.lever.fact)} to {mark(turn.needed)}{size}"


def if_words(turn: Turn) -> str:
    """The same as a condition, for what nobody wishes for."""
    way = "rises" if turn.needed.value > turn.lever.fact.value else "falls"
    size = f" ([[{turn.share.id}|percent]])" if turn.share else ""
    return f"if {turn.lever.words} {way} from {mark(turn.lever.fact)} to {mark(turn.needed)}{size}"


def nearest_to_meeting(desk: Desk, result: Result) -> list[Turn]:
    """What would let a concept meet the hurdle, each figure alone; for one that meets it, what would end that."""
    return turns(desk, (result,), f"meets_hurdle.{result.concept.id}", meeting_goal(case_of(result)))


def overtaking(desk: Desk, best: Result, second: Result) -> list[Turn]:
    """Where the rule would choose the second instead of the first: it meets the hurdle, and beats the other.

    A cell beats a change by hand only when its extra price is back within the hurdle too: when its balance is ahead.
    """
    one, two = case_of(best), case_of(second)
    meets = meeting_goal(two)

    def wins(numbers: Mapping[str, float]) -> float:
        worth = numbers[two.npv] - numbers[one.npv]
        ahead = numbers[two.hurdle_balance] - numbers[one.hurdle_balance]
        if best.concept.kind == second.concept.kind:
            beats = worth
        else:
            beats = min(worth, ahead) if second.concept.kind == "cell" else max(worth, ahead)
        return min(meets(numbers), beats)

    return turns(desk, (second, best), f"second_wins.{second.concept.id}", wins)
