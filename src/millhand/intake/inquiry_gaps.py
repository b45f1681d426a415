"""What an inquiry leaves to be assumed, question by question; those that could end the job come first."""

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files

from millhand.model.fact import Assumption, Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.walk import facts_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question to the shop and the facts that wait for its answer; `kills` 1 to 3: could end the job, 0: not."""

    words: str
    kills: int
    facts: tuple[Fact | Choice, ...]


def questions(inquiry: Inquiry, assumptions: Mapping[str, Assumption]) -> tuple[Question, ...]:
    """Every open question with what is assumed meanwhile, those that could end the job first."""
    waiting: dict[str, list[Fact | Choice]] = {}
    for fact in facts_of(inquiry):
        if fact.basis == "assumed":
            waiting.setdefault(fact.question or "", []).append(fact)
    ranks = {row.question: row.kills for row in assumptions.values()}
    found = [Question(words=words, kills=ranks.get(words, 0), facts=tuple(own)) for words, own in waiting.items()]
    return tuple(sorted(found, key=lambda each: (each.kills or 99, not each.words)))


def facts_of(inquiry: Inquiry) -> tuple[Fact | Choice, ...]:
    """Every fact of the inquiry once, without those that were replaced."""
    replaced = {fact.id for fact in inquiry.before}
    return tuple({fact.id: fact for fact in facts_in(inquiry) if fact.id not in replaced}.values())


def left_open(inquiry: Inquiry) -> tuple[str, ...]:
    """Paths of what may stay open, and does."""
    wishes, money = inquiry.wishes, inquiry.money
    may = {"wishes.budget": wishes.budget, "wishes.floor": wishes.floor_m2, "wishes.height": wishes.height_m,
           "wishes.floor_load": wishes.floor_load_pa, "money.tax": money.tax}  # fmt: skip
    return tuple(path for path, fact in may.items() if fact is None)


def template() -> str:
    """The text of a first inquiry file, with a word on each line."""
    return files("millhand.intake").joinpath("data", "inquiry_template.yaml").read_text(encoding="utf-8")
