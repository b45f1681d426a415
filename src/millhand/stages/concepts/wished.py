"""What somebody wants looked at closely, or left out: what an inquiry's wishes mean among all that could be."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, NamedTuple

from millhand.catalogue.only import KINDS, named
from millhand.catalogue.wished import WORK, changes, is_by_hand
from millhand.model.catalogue import Catalogue, Rule
from millhand.model.concept import Concept
from millhand.model.inquiry import Inquiry, Wished
from millhand.stages.concepts.choices import CHOICES, Choices, choice_words, first_rule, open_rules

AS_USUAL = {"outfeed": "back_to_tray"}
BY_SIZE = frozenset(("arm_size",))  # a rule that asks for nothing else: the checks judge the arm itself


class Own(NamedTuple):
    """What one wish means: its choices, and the rule that says that they make no sense."""

    wish: Wished
    choices: Choices
    rule: Rule | None


def name_of(choices: Choices) -> str:
    """The id of a combination; the outfeed stands in it only where parts do not go back to their pocket."""
    return "-".join(each.id for each in choices.picked if each.id != AS_USUAL["outfeed"])


def choices_of(wish: Wished, catalogue: Catalogue) -> Choices:
    """The parts of a concept that is kept: those of the one it begins from, with others in their place."""
    base = [catalogue.components[name] for name in wish.base.split("-") if wish.base]
    found: dict[str, Any] = {kind: catalogue.components[name] for kind, name in AS_USUAL.items()}
    found |= {each.kind: each for each in base if each.kind != WORK}
    for kind in KINDS:
        for each in named(wish.parts, kind):
            found[kind] = catalogue.components[each.name]
    works = tuple(catalogue.components[name] for name in wish.works)
    return Choices(
        **{kind: found[kind] for kind in CHOICES}, sharing=found.get("sharing"),
        works=works or tuple(each for each in base if each.kind == WORK),
    )  # fmt: skip


def owns(
    inquiry: Inquiry, catalogue: Catalogue, words: Mapping[str, str], sizes: Mapping[tuple[str, ...], str]
) -> Iterator[Own]:
    """Every cell that is kept, in the order of the file."""
    rules = tuple(each for each in open_rules(words, catalogue.rules) if set(each.when) != BY_SIZE)
    for wish in inquiry.concepts:
        if wish.is_kept and not is_by_hand(wish.base):
            choices = choices_of(wish, catalogue)
            yield Own(wish, choices, first_rule(choice_words(choices, sizes), rules))


def id_of(own: Own) -> str:
    """The id of a concept that is kept: its own where pieces stand by hand, else that of its parts."""
    name = name_of(own.choices)
    return f"{name}-{own.wish.name}" if own.wish.pinned else name


def with_wish(concept: Concept, own: Own) -> Concept:
    """The concept of one wish."""
    if not own.wish.pinned:
        return replace(concept, wish=own.wish.name)
    called = own.wish.name.replace("_", " ")
    return replace(
        concept, id=id_of(own), title=f"{concept.title}, placed by hand ({called})", wish=own.wish.name,
        pinned=own.wish.pinned,
    )  # fmt: skip


def left_out_by(choices: Choices, inquiry: Inquiry) -> Wished | None:
    """The first wish that leaves a combination out; none where it is kept by name."""
    if not inquiry.concepts:
        return None
    name = name_of(choices)
    if any(each.is_kept and each.base == name and not changes(each) for each in inquiry.concepts):
        return None
    return next((each for each in inquiry.concepts if not each.is_kept and means(each, choices, name)), None)


def means(wish: Wished, choices: Choices, name: str) -> bool:
    """Whether a wish to leave out means a combination: by its name, or by all the parts that it names."""
    if not changes(wish):
        return wish.base == name
    if wish.base and wish.base != name:
        return False
    ids = {each.id for each in choices.picked}
    return all(each.name in ids for kind in KINDS for each in named(wish.parts, kind)) and set(wish.works) <= ids


def left_out_words(wish: Wished, count: int) -> str:
    """That something is left out by hand, and by whom and why."""
    whose = f" by {wish.by}" if wish.by else ""
    why = f": {wish.reason}" if wish.reason else ""
    none = "" if count else " (nothing that could be looked at is meant by it)"
    return f"left out by hand{whose}{why}{none}"


def meant_name(wish: Wished) -> str:
    """What a wish to leave out means, as a concept's id or some of its parts."""
    parts = [each.name for kind in KINDS for each in named(wish.parts, kind)]
    return wish.base or "-".join((*parts, *wish.works))
