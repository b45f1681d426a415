"""What to ask next: first what could end the job, then what moves the money most."""

from collections.abc import Mapping

from millhand.model.decision import Ask, Driver
from millhand.model.fact import Choice, Fact
from millhand.stages.decision.desk import Desk

MOST, KILLERS = 12, 3
NO_PLACE = 99


def asks(desk: Desk) -> tuple[Ask, ...]:
    """Questions of assumed facts and words, each question once, at most twelve, those that could end the job on top."""
    swings = {driver.fact: driver for driver in desk.drivers}
    open_ones = [
        fact for fact in (*desk.sheet, *desk.sheet.choices.values()) if fact.basis == "assumed" and fact.question
    ]
    ordered = sorted(open_ones, key=lambda fact: (_place(desk, fact), -_swing(desk, swings, fact)))
    found: dict[str, Ask] = {}
    killers = 0
    for fact in ordered:
        kills = _place(desk, fact) < NO_PLACE and killers < KILLERS
        if str(fact.question) in found or not (kills or fact.id in swings):
            continue
        killers += kills
        found[str(fact.question)] = Ask(
            fact=fact.id, words=str(fact.question), why=_why(swings.get(fact.id), kills=kills), kills=kills
        )
    return tuple(found.values())[:MOST]


def fits(fact_id: str, key: str) -> bool:
    """Whether a fact is one of those that a key with names left out means.

    >>> fits("machines.mill.door", "machines.*.door"), fits("machines.mill.age", "machines.*.door")
    (True, False)
    """
    steps, wanted = fact_id.split("."), key.partition("@")[0].split(".")
    return len(steps) == len(wanted) and all(one in (step, "*") for step, one in zip(steps, wanted, strict=True))


def _place(desk: Desk, fact: Fact | Choice) -> int:
    """How far up among the questions that could end the job; no place for all others."""
    places = [place for key, place in desk.kills.items() if place > 0 and fits(fact.id, key)]
    return min(places, default=NO_PLACE)


def _swing(desk: Desk, swings: Mapping[str, Driver], fact: Fact | Choice) -> float:
    """How far a fact moves the money; a word has no swing."""
    return desk.value(swings[fact.id].swing) if fact.id in swings else 0.0


def _why(driver: Driver | None, *, kills: bool) -> str:
    """Why a question stands where it stands."""
    moves = ""
    if driver is not None:
        moves = f"between its low and its high end it moves what the concept is worth by [[{driver.swing}|money_2]]"
        if driver.at_low is None or driver.at_high is None:
            moves += ", and at one of them the money does not come back"
    if kills:
        return "the answer could end the job" + (f"; {moves}" if moves else "")
    return moves
