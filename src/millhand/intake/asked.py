"""What a question sheet asks for: one row for each fact that nobody gave, with what may be written there."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from millhand.intake.form import Number, Word
from millhand.intake.inquiry_facts import FROM_FILE
from millhand.intake.inquiry_gaps import left_open, questions
from millhand.intake.inquiry_opened import Opened
from millhand.model.fact import Assumption, Choice, Fact
from millhand.model.inquiry import Inquiry

SUBJECTS: Mapping[str, str] = {
    "shop": "The shop", "people": "People", "shifts": "Shifts", "machines": "Machines", "parts": "Parts",
    "today": "Today's work", "wishes": "What is wanted", "money": "Money",
}  # fmt: skip
OPEN_QUESTIONS: Mapping[str, str] = {
    "wishes.budget": "What may it cost at the most?",
    "wishes.floor": "How much floor is free at the machines?",
    "wishes.height": "How high is the room above the machines, under crane, ducts and lamps?",
    "wishes.floor_load": "Which spread load does the floor bear where the cell is to stand, by the building's papers?",
    "money.tax": "Which share of its profit does the shop pay as tax? Left open, all is counted before tax.",
}  # of what may stay open, and is not counted then
EXCHANGE = "money.exchange_rate"
MOVES = "between its ends it moves the money that is back at your hurdle by"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: the fact at `path`, the question behind it, and what is counted meanwhile (None: nothing is)."""

    path: str
    question: str
    title: str
    entry: Number | Word
    meanwhile: Fact | Choice | None
    kills: bool = False
    why: str = ""  # with [[fact id|format]] marks into the facts of a study

    @property
    def subject(self) -> str:
        """The heading that it stands under."""
        return SUBJECTS.get(self.path.partition(".")[0], "Other")


def rows(inquiry: Inquiry, opened: Opened, assumptions: Mapping[str, Assumption]) -> tuple[Row, ...]:
    """Every open fact in the order of `millhand check`, then what may stay open.

    What follows from other facts is not asked for, nor what the file says and only leaves its meaning open.
    """
    found = [
        Row(path=fact.id, question=each.words, title=fact.title or fact.id, entry=opened.entries[fact.id],
            meanwhile=fact, kills=each.kills > 0)
        for each in questions(inquiry, assumptions) if each.words
        for fact in each.facts if is_gap(fact, opened)
    ]  # fmt: skip
    found += [
        Row(path=path, question=OPEN_QUESTIONS[path], title=entry.help, entry=entry, meanwhile=None)
        for path in left_open(inquiry)
        if (entry := opened.entries.get(path)) is not None
    ]
    return tuple(found)


def is_gap(fact: Fact | Choice, opened: Opened) -> bool:
    """Whether a row of the assumptions stands in for the fact; the catalogue's own currency is known to be 1."""
    known = fact.id == EXCHANGE and isinstance(fact, Fact) and fact.low is None and fact.value == 1.0
    return fact.source.startswith(FROM_FILE) and fact.id in opened.entries and not known


def by_worth(
    found: Sequence[Row], asks: Sequence[Mapping[str, Any]], swings: Mapping[str, str] | None = None
) -> tuple[Row, ...]:
    """The rows in the order in which a study asks, each with its reason; the others follow as they were.

    `swings` names, by fact, what moves the money beyond the study's own list, the strongest first: those come next.
    """
    swings = swings or {}
    places = {ask["words"]: number for number, ask in reversed(list(enumerate(asks)))}
    whys = {ask["words"]: str(ask["why"]) for ask in asks}
    moving = list(swings)
    for row in found:
        if row.path in swings and row.question not in places:
            places[row.question] = len(asks) + moving.index(row.path)
            whys[row.question] = f"{MOVES} [[{swings[row.path]}|money_2]]"
    own = [replace(row, why=whys.get(row.question, "")) for row in found]
    last = len(asks) + len(moving)
    return tuple(sorted(own, key=lambda row: (not row.kills, places.get(row.question, last))))


def grouped(found: Sequence[Row]) -> dict[str, list[tuple[int, Row]]]:
    """The rows under their headings, each with the number of its question; the heading of the first comes first."""
    numbers: dict[str, int] = {}
    groups: dict[str, list[tuple[int, Row]]] = {}
    for row in found:
        number = numbers.setdefault(row.question, len(numbers) + 1)
        groups.setdefault(row.subject, []).append((number, row))
    return groups
