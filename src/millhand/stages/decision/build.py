"""The decision: the rule's answer in words, the ranking, what would change it, and what to ask next."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from millhand.model.decision import Decision, Driver
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.stages.decision.all_in import note_all_in
from millhand.stages.decision.asks import asks
from millhand.stages.decision.desk import Desk
from millhand.stages.decision.orders import orders
from millhand.stages.decision.part_limits import part_limits
from millhand.stages.decision.rule import Choice, choice, meets, ranking, workable
from millhand.stages.decision.sentences import sentences
from millhand.stages.decision.turning import Turn, called, if_words, nearest_to_meeting, overtaking, turn_words
from millhand.stages.decision.without_alone import note_without_alone
from millhand.trace import Sheet, Solved

NO_SOLVED: Solved = MappingProxyType({})
NO_KILLS: Mapping[str, int] = MappingProxyType({})
MOST_TURNS = 5
FARTHEST = 0.8  # by which share a figure may fall and still be worth a sentence


def decision(
    inquiry: Inquiry,
    results: tuple[Result, ...],
    drivers: tuple[Driver, ...],
    sheet: Sheet,
    *,
    solved: Solved = NO_SOLVED,
    kills: Mapping[str, int] = NO_KILLS,
) -> Decision:
    """The whole answer. kills: fact id with names left out, and its place among what could end the job."""
    desk = Desk(inquiry=inquiry, results=results, drivers=drivers, sheet=sheet, solved=solved, kills=kills)
    made = choice(desk)
    questions = asks(desk, made.best)
    note_without_alone(desk, made.best)
    note_all_in(desk, made.best)
    overtakes = overtaking(desk, made.best, made.second) if made.answer != "no" and made.best and made.second else []
    today = next(result.concept.id for result in results if result.concept.kind == "today")
    return Decision(
        answer=made.answer,
        winner=today if made.answer == "no" or made.best is None else made.best.concept.id,
        second=_second_id(made),
        sentences=sentences(desk, made, overtakes, questions),
        would_change=_would_change(desk, made),
        ranking=ranking(desk),
        drivers=drivers,
        asks=questions,
        part_limits=part_limits(desk, made.best),
        orders=orders(desk, made.best),
    )


def _second_id(made: Choice) -> str | None:
    """The concept behind the winner; for 'no' the one that comes nearest."""
    second = made.best if made.answer == "no" else made.second
    return None if second is None else second.concept.id


def _would_change(desk: Desk, made: Choice) -> tuple[str, ...]:
    """What would change our mind: each figure alone, and by how much."""
    if made.answer != "no" and made.best is not None:
        turns = [turn for turn in nearest_to_meeting(desk, made.best) if within_reach(turn)][:MOST_TURNS]
        then = f"{called(made.best, (made.best,))} no longer meets the hurdle"
        return tuple(_sentence(if_words(turn), then, ", ") for turn in turns) or (
            "No single figure within what was looked at would turn this answer.",
        )
    return tuple(_nearest(desk))


def within_reach(turn: Turn) -> bool:
    """An amount that would have to double and more, or all but vanish, is no hope and no danger to speak of."""
    return turn.share is None or turn.lever.fact.unit == "1" or -FARTHEST < turn.share.value < 1.0


def _nearest(desk: Desk) -> Iterator[str]:
    """For 'no': the best change by hand and the best cell, and what would let each meet the hurdle."""
    for kind, name in (("by_hand", "the best change by hand"), ("cell", "the best cell")):
        result = next((one for one in workable(desk) if one.concept.kind == kind and not meets(desk, one)), None)
        if result is None:
            continue
        turns = [turn for turn in nearest_to_meeting(desk, result) if within_reach(turn)][:MOST_TURNS]
        yield from (_sentence(turn_words(turn), f"then {name} meets the hurdle", "; ") for turn in turns)
        if not turns and kind == "cell":  # a change by hand that brings nothing has no figure to turn
            yield f"No single figure that was looked at lets {name} meet the hurdle: more than one has to change."


def _sentence(condition: str, then: str, joint: str) -> str:
    """A condition and what follows, as one sentence."""
    return f"{condition[0].upper()}{condition[1:]}{joint}{then}."
