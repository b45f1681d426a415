"""What to ask next: first what could end the job, then what is worth most to know, then what moves the money most."""

from collections.abc import Iterable, Iterator
from itertools import islice

from millhand.model.decision import Ask, Driver
from millhand.model.fact import Choice, Fact
from millhand.model.study import Result
from millhand.stages.decision.desk import Desk, in_words

MOST, KILLERS = 12, 3
TINY = 1e-9  # a swing below it is none
LEAST = 0.02  # share of the strongest driver's swing below which nobody need be asked


def asks(desk: Desk, best: Result | None = None) -> tuple[Ask, ...]:
    """Each question once, at most twelve: those that could end the job on top, then by worth, then by what moves.

    best: the concept that is advised, or that comes nearest; a check of it may hang on what nobody measured.
    """
    return tuple(_first_of_each((*_killers(desk), *_turning(desk, best), *_worthy(desk), *_movers(desk))))[:MOST]


def _killers(desk: Desk) -> Iterator[Ask]:
    """Questions whose answer could end the job, as far as nobody has answered them yet; at most three."""
    swings = {driver.fact: driver for driver in desk.drivers}
    open_ones = [fact for fact in (*desk.sheet.choices.values(), *desk.sheet) if fact.basis == "assumed"]
    placed = sorted((place, number) for number, fact in enumerate(open_ones) if (place := _place(desk, fact)))
    facts = [open_ones[number] for _, number in placed if open_ones[number].question]
    found = (
        Ask(fact=fact.id, words=str(fact.question), why=_why(desk, swings.get(fact.id), kills=True), kills=True)
        for fact in facts
    )
    yield from islice(_first_of_each(found), KILLERS)


def _turning(desk: Desk, best: Result | None) -> Iterator[Ask]:
    """The measures that turn a check of a concept within their ranges."""
    for verdict in best.verdicts if best is not None else ():
        for fact_id in verdict.depends:
            why = f"within its range it turns a check of the cell: {verdict.check.replace('_', ' ')}"
            yield Ask(fact=fact_id, words=question(desk.sheet[fact_id]), why=why, kills=verdict.kills)


def _worthy(desk: Desk) -> Iterator[Ask]:
    """What is worth most to know before choosing; no more than half of the list, for that a choice among concepts hangs
    on it does not mean that the payback does."""
    worthy = [driver for driver in desk.drivers if driver.worth is not None]
    yield from (_ask(desk, driver) for driver in sorted(worthy, key=lambda each: -_worth(desk, each))[: MOST // 2])


def _movers(desk: Desk) -> Iterator[Ask]:
    """Every driver that moves at least a fiftieth of what the strongest one does, the strongest first."""
    ordered = sorted(desk.drivers, key=lambda driver: -desk.value(driver.swing))
    for driver in ordered:
        if desk.value(driver.swing) >= max(LEAST * desk.value(ordered[0].swing), TINY):
            yield _ask(desk, driver)


def _ask(desk: Desk, driver: Driver) -> Ask:
    """The question about one driver."""
    words = question(desk.sheet[driver.fact])
    return Ask(fact=driver.fact, words=words, why=_why(desk, driver, kills=False), kills=False)


def _worth(desk: Desk, driver: Driver) -> float:
    """What it is worth to know a fact before choosing."""
    return desk.value(driver.worth) if driver.worth is not None else 0.0


def question(fact: Fact) -> str:
    """What to ask about a fact: its own question while it is assumed, else how to narrow its range."""
    if fact.basis == "assumed" and fact.question:
        return fact.question
    if fact.basis != "assumed":
        return f"Can the range of “{in_words(fact)}” be made narrower?"
    if fact.id.endswith((".price", ".price_per_m")):
        return f"What does a supplier really ask: “{in_words(fact)}”?"
    return f"What is it here: “{in_words(fact)}”? The figure used is the trade's, not this shop's."


def _first_of_each(found: Iterable[Ask]) -> Iterator[Ask]:
    """Each question once, where it stands first."""
    seen: set[str] = set()
    for ask in found:
        if ask.words not in seen:
            seen.add(ask.words)
            yield ask


def fits(fact_id: str, key: str) -> bool:
    """Whether a fact is one of those that a key with names left out means.

    >>> fits("machines.mill.door", "machines.*.door"), fits("machines.mill.age", "machines.*.door")
    (True, False)
    """
    steps, wanted = fact_id.split("."), key.partition("@")[0].split(".")
    return len(steps) == len(wanted) and all(one in (step, "*") for step, one in zip(steps, wanted, strict=True))


def _place(desk: Desk, fact: Fact | Choice) -> int:
    """How far up among the questions that could end the job, from 1; 0 for all others."""
    return min((place for key, place in desk.kills.items() if place > 0 and fits(fact.id, key)), default=0)


def _why(desk: Desk, driver: Driver | None, *, kills: bool) -> str:
    """Why a question stands where it stands."""
    reasons = ["the answer could end the job"] if kills else []
    if driver is not None and driver.worth is not None:
        reasons.append(f"before you choose, the answer is worth up to [[{driver.worth}|money_2]]")
    if driver is not None and desk.value(driver.swing) > 0.0:
        moves = f"between its ends it moves the money that is back at your hurdle by [[{driver.swing}|money_2]]"
        if (driver.at_low is None) != (driver.at_high is None):
            moves += ", and at one of them the money does not come back"
        reasons.append(moves)
    return "; ".join(reasons)
