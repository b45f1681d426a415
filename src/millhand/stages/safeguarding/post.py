"""What every step about one cell and one way to guard it shares."""

from collections.abc import Mapping
from dataclasses import dataclass

from millhand.model.catalogue import Catalogue, Guard, GuardRule
from millhand.model.concept import Component, Concept
from millhand.model.fact import Fact
from millhand.trace import Sheet, apply, found


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """One concept with one guard. `base` is the id of facts that all guards of the concept share."""

    sheet: Sheet
    catalogue: Catalogue
    concept: Concept
    guard: Guard
    base: str

    def apply(self, formula: str, name: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
        """A computed fact of this cell with this guard."""
        return apply(self.sheet, formula, f"concepts.{self.concept.id}.safeguarding.{name}", **inputs)

    def whole(self, name: str) -> str:
        """The fact id of one figure of this cell however it is guarded."""
        return f"safeguarding.{self.base}.{name}"

    def figure(self, name: str) -> Fact:
        """A figure of the catalogue, written into the sheet."""
        return found(self.sheet, self.catalogue.figures[name])

    @property
    def arm(self) -> Component:
        """The arm."""
        assert self.concept.arm is not None
        return self.concept.arm

    @property
    def tracked(self) -> bool:
        """Whether a carriage moves the arm."""
        return self.concept.mount is not None and "travel_m" in self.concept.mount.figures

    @property
    def limits_force(self) -> bool:
        """Whether the arm may touch anybody at all."""
        return self.arm.words["class"] == "force_limited"


def fits(rule: Mapping[str, tuple[str, ...]], words: Mapping[str, str]) -> bool:
    """Whether each word that a rule asks for has one of its values."""
    return all(words.get(key) in values for key, values in rule.items())


def misfit(rules: tuple[GuardRule, ...], words: Mapping[str, str]) -> str:
    """Why a way to guard does not fit; empty where it does."""
    return next((rule.words for rule in rules if fits(rule.when, words)), "")
