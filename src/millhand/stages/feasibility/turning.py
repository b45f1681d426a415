"""A check that an uncertain measure of a machine turns within its range: what it depends on, and what to ask."""

from collections.abc import Sequence
from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.verdict import Turn, Verdict
from millhand.stages.feasibility.asked import Asked, shown

MEASURES = {
    "load_depth": "how far behind the door the part is put in", "load_height": "how high the part is put in",
    "door_width": "the clear width of the door", "door_height": "the clear height of the door",
}  # fmt: skip
NARROWER = "measure it, its range is too wide"


def with_turns(asked: Asked, found: Verdict, failing: Sequence[str]) -> Verdict:
    """The verdict with the measures that turn it, each alone and within its range, the place of the cell held.

    failing: the targets at which the check fails. One that holds is turned where it first fails; one that fails, where
    every target has come right.
    """
    told = [each for each in asked.layout.turns if each.check == found.check]
    depends: dict[str, Turn] = {}
    for fact_id in dict.fromkeys(each.fact for each in told):
        turns = [each for each in told if each.fact == fact_id]
        if found.holds:
            depends[fact_id] = min(turns, key=lambda each: off(asked, each))
        elif set(failing) <= {each.target for each in turns}:
            depends[fact_id] = max(turns, key=lambda each: off(asked, each))
    words = "".join(sentence(asked, each, holds=found.holds) for each in depends.values())
    return replace(found, words=found.words + words, depends=tuple(depends))


def off(asked: Asked, turn: Turn) -> float:
    """How far from its likely value a measure turns the check."""
    return abs(asked.sheet.value(turn.at) - asked.sheet.value(turn.fact))


def sentence(asked: Asked, turn: Turn, *, holds: bool) -> str:
    """What it depends on, where it turns, and the question."""
    fact, at = asked.sheet[turn.fact], asked.sheet[turn.at]
    what = MEASURES[turn.fact.rpartition(".")[2]]
    side = "above" if at.value > fact.value or (at.value == fact.value and upwards(fact)) else "below"
    then = "it no longer holds" if holds else "it would hold"
    return (
        f" It depends on {what}, taken to be {shown(fact, 'mm')}: {side} {shown(at, 'mm')} {then}, and its range "
        f"goes further. Ask first: {question(fact)}"
    )


def upwards(fact: Fact) -> bool:
    """Whether the range of a fact reaches further up than down."""
    return (fact.high or fact.value) - fact.value > fact.value - (fact.low or fact.value)


def question(fact: Fact) -> str:
    """What to ask: the fact's own question while it is assumed, else its range. Digits in a sentence stand for figures:
    a question with some is asked in the list of questions alone."""
    asked_for = fact.basis == "assumed" and fact.question and not any(each.isdigit() for each in fact.question)
    return str(fact.question) if asked_for else f"{NARROWER}."
