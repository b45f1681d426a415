"""One component for each part of a cell, what rules may ask about a combination, and the first rule that drops it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from millhand.model.catalogue import Catalogue, Rule
from millhand.model.concept import Component

CHOICES = ("presenter", "outfeed", "mount", "arm", "gripper", "safeguarding")
# Which choices stand behind the words that rules ask for.
BEHIND: Mapping[str, tuple[str, ...]] = {
    **{choice: (choice,) for choice in CHOICES},
    "arm_class": ("arm",),
    "arm_form": ("arm",),
    "arm_size": ("arm", "gripper"),
    "jaws": ("gripper",),
    "hands": ("gripper",),
}
Words = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """One component for each part of a cell."""

    presenter: Component
    outfeed: Component
    mount: Component
    arm: Component
    gripper: Component
    safeguarding: Component


def combinations(catalogue: Catalogue) -> Iterator[Choices]:
    """Every combination of one component for each part of a cell, in the catalogue's order."""
    for picked in product(*(of_kind(catalogue, choice) for choice in CHOICES)):
        yield Choices(**dict(zip(CHOICES, picked, strict=True)))


def choice_words(choices: Choices, sizes: Mapping[tuple[str, ...], str]) -> dict[str, str]:
    """What rules may ask about a combination."""
    return plain_words(choices) | {"arm_size": sizes[choices.arm.id, choices.gripper.id]}


def plain_words(choices: Choices) -> dict[str, str]:
    """What a combination is by itself."""
    return {choice: getattr(choices, choice).id for choice in CHOICES} | {
        "arm_class": choices.arm.words["class"],
        "arm_form": choices.arm.words.get("form", "six_axes"),
        "jaws": choices.gripper.words["jaws"],
        "hands": choices.gripper.words["hands"],
    }


def first_rule(words: Words, rules: tuple[Rule, ...]) -> Rule | None:
    """The first rule that fits: each word that it names has one of its values."""
    return next((rule for rule in rules if fits(rule.when, words)), None)


def fits(when: Mapping[str, tuple[str, ...]], words: Words) -> bool:
    """Whether each word that is asked for has one of its values."""
    return all(words.get(key) in values for key, values in when.items())


def guilty(choices: Choices, rule: Rule) -> str:
    """The choices that a rule looked at, joined as in a concept's id."""
    looked = {choice for key in rule.when for choice in BEHIND.get(key, ())}
    return "-".join(getattr(choices, choice).id for choice in CHOICES if choice in looked)


def of_kind(catalogue: Catalogue, kind: str) -> list[Component]:
    """All components of a kind, in the catalogue's order."""
    return [each for each in catalogue.components.values() if each.kind == kind]
