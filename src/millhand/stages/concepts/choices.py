"""One component for each part of a cell, what rules may ask about a combination, and the first rule that drops it."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

from millhand.catalogue.only import is_meant
from millhand.model.catalogue import Catalogue, Rule
from millhand.model.concept import Component
from millhand.model.inquiry import Inquiry, Only

CHOICES = ("presenter", "outfeed", "mount", "arm", "gripper", "safeguarding")
ONE_ARM = "one_arm"  # what rules call it where no second arm shares the track
# Which choices stand behind the words that rules ask for.
BEHIND: Mapping[str, tuple[str, ...]] = {
    **{choice: (choice,) for choice in CHOICES},
    "arm_class": ("arm",),
    "arm_form": ("arm",),
    "arm_size": ("arm", "gripper"),
    "jaws": ("gripper",),
    "hands": ("gripper",),
    "sharing": ("sharing",),
    "works": ("work",),
}
Words = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """One component for each part of a cell; sharing: a second arm on the track, None where there is one arm; works:
    what the arm does with each part besides loading."""

    presenter: Component
    outfeed: Component
    mount: Component
    arm: Component
    gripper: Component
    safeguarding: Component
    sharing: Component | None = None
    works: tuple[Component, ...] = ()

    @property
    def picked(self) -> tuple[Component, ...]:
        """The components in the order of a concept's id."""
        said = [getattr(self, choice) for choice in CHOICES]
        at = CHOICES.index("mount") + 1
        return (*said[:at], *((self.sharing,) if self.sharing is not None else ()), *said[at:], *self.works)


def combinations(catalogue: Catalogue, only: Only | None = None) -> Iterator[Choices]:
    """Every combination of one component for each part of a cell, in the catalogue's order, each with one arm; of those
    that are meant."""
    meant = ([each for each in of_kind(catalogue, kind) if is_meant(only, each)] for kind in CHOICES)
    for picked in product(*meant):
        of: dict[str, Any] = dict(zip(CHOICES, picked, strict=True))
        yield Choices(**of)


def looked_at(
    catalogue: Catalogue, words: dict[str, str], sizes: Mapping[tuple[str, ...], str], inquiry: Inquiry
) -> Iterator[tuple[Choices, Rule | None]]:
    """Every combination with the rule that drops it, if any does; behind it the same with a second arm, on a mount that
    two arms can share; and behind each of them the same with the work that the inquiry asks the arm for.

    What drops a cell with one arm for a reason that has nothing to do with the second one drops it with two as well,
    and is told once; so does what drops it without further work.
    """
    rules, asked = open_rules(words, catalogue.rules), work_sets(catalogue, inquiry.wishes.by_arm)
    dropped_by = dropping(rules, sizes)
    shared = [each for each in of_kind(catalogue, "sharing") if is_meant(inquiry.only, each)]
    for choices in combinations(catalogue, inquiry.only):
        rule = dropped_by(choices)
        yield from with_works(choices, rule, asked, dropped_by)
        if choices.mount.words.get("shared") == "yes" and (rule is None or "sharing" in rule.when):
            for each in shared:
                pair = replace(choices, sharing=each)
                yield from with_works(pair, dropped_by(pair), asked, dropped_by)


def with_works(
    choices: Choices,
    rule: Rule | None,
    asked: tuple[tuple[Component, ...], ...],
    dropped_by: Callable[[Choices], Rule | None],
) -> Iterator[tuple[Choices, Rule | None]]:
    """A combination with its rule; where none drops it, behind it the same with each set of works that is asked for."""
    yield choices, rule
    for works in asked if rule is None else ():
        more = replace(choices, works=works)
        yield more, dropped_by(more)


def work_sets(catalogue: Catalogue, names: tuple[str, ...]) -> tuple[tuple[Component, ...], ...]:
    """The works that an inquiry asks the arm for: each alone, and all together where there are several."""
    asked = tuple(each for each in of_kind(catalogue, "work") if each.id in names)
    return (*((each,) for each in asked), *((asked,) if len(asked) > 1 else ()))


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
        "sharing": choices.sharing.id if choices.sharing is not None else ONE_ARM,
        "works": "some" if choices.works else "none",
        **{f"{each.id}_by": "arm" for each in choices.works},
    }


def first_rule(words: Words, rules: tuple[Rule, ...]) -> Rule | None:
    """The first rule that fits: each word that it names has one of its values."""
    return next((rule for rule in rules if fits(rule.when, words)), None)


def dropping(rules: tuple[Rule, ...], sizes: Mapping[tuple[str, ...], str]) -> Callable[[Choices], Rule | None]:
    """The first rule that drops a combination. Many combinations are alike in all that rules ask for: of those the
    rules are gone through once."""
    asked = tuple(dict.fromkeys(key for rule in rules for key in rule.when))
    known: dict[tuple[str | None, ...], Rule | None] = {}

    def rule_of(choices: Choices) -> Rule | None:
        words = choice_words(choices, sizes)
        alike = tuple(map(words.get, asked))
        if alike not in known:
            known[alike] = first_rule(words, rules)
        return known[alike]

    return rule_of


def open_rules(words: Words, rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """The rules that these words leave open, each asking for nothing but what these words do not tell."""
    return tuple(
        replace(rule, when={key: values for key, values in rule.when.items() if key not in words})
        for rule in rules
        if all(words[key] in values for key, values in rule.when.items() if key in words)
    )


def fits(when: Mapping[str, tuple[str, ...]], words: Words) -> bool:
    """Whether each word that is asked for has one of its values."""
    return all(words.get(key) in values for key, values in when.items())


def guilty(choices: Choices, rule: Rule) -> str:
    """The choices that a rule looked at, joined as in a concept's id."""
    looked = {choice for key in rule.when for choice in BEHIND.get(key, ())}
    return "-".join(each.id for each in choices.picked if each.kind in looked or f"{each.id}_by" in rule.when)


def of_kind(catalogue: Catalogue, kind: str) -> list[Component]:
    """All components of a kind, in the catalogue's order."""
    return [each for each in catalogue.components.values() if each.kind == kind]
