"""Concepts that an inquiry names, held against the catalogue: what a name is made of, and what cannot be meant."""

import difflib
from collections.abc import Iterator, Mapping

from millhand.catalogue.only import KINDS, named, unknown, unknown_in
from millhand.errors import InputError, InputErrors
from millhand.model.concept import BY_HAND, Component
from millhand.model.inquiry import Inquiry, Wished

TODAY = "today"
MAY_LACK = ("outfeed", "sharing")  # of these a concept's name says nothing where they are as usual
WORK = "work"


def refuse_unknown_names(inquiry: Inquiry, components: Mapping[str, Component]) -> None:
    """Refuse what an inquiry names and the catalogue does not hold; InputErrors, all at once.

    Where only the ways by hand are looked at there are no components to hold them against.
    """
    wrong = list(unknown_in(inquiry.only, components))
    wrong += [error for each in inquiry.concepts for error in wrong_in(each, components)]
    kept = {each.base for each in inquiry.concepts if each.is_kept and not changes(each)}
    for each in inquiry.concepts:
        if not each.is_kept and not changes(each) and each.base in kept:
            wrong.append(InputError(each.where, each.base, "the same concept either kept or left out", "kept_left_out"))
    if wrong and components:
        raise InputErrors(wrong)


def changes(wish: Wished) -> bool:
    """Whether a wish says more than the name of a concept."""
    return bool(wish.pinned or wish.works or any(named(wish.parts, kind) for kind in KINDS))


def wrong_in(wish: Wished, components: Mapping[str, Component]) -> Iterator[InputError]:
    """What cannot be meant by one wish."""
    for kind in KINDS:
        yield from unknown(kind, named(wish.parts, kind), components)
    works = [each.id for each in components.values() if each.kind == WORK]
    for name in wish.works:
        if name not in works:
            yield InputError(wish.where, name, f"one of {', '.join(works)}", "unknown_component")
    if is_by_hand(wish.base):
        if changes(wish):
            yield InputError(wish.where, wish.base, "the name of a cell: a way by hand has no parts", "parts_by_hand")
        elif wish.base == TODAY and not wish.is_kept:
            yield InputError(wish.where, TODAY, "another concept: all are held against today", "today_left_out")
        return
    yield from wrong_name(wish, components)


def wrong_name(wish: Wished, components: Mapping[str, Component]) -> Iterator[InputError]:
    """What in the name of a cell is no component, and which parts it leaves open."""
    found: dict[str, str] = {}
    unread = False
    for name in wish.base.split("-") if wish.base else ():
        own = components.get(name)
        if own is None or own.kind not in (*KINDS, WORK):
            known = [each.id for each in components.values() if each.kind in KINDS]
            near = "".join(f" (did you mean {each!r}?)" for each in difflib.get_close_matches(name, known, n=1))
            yield InputError(wish.where, name, f"names of components joined by '-'{near}", "unknown_component")
            unread = True
        else:
            found[own.kind] = name
    if unread:
        return
    lacking = [kind for kind in KINDS if kind not in (*MAY_LACK, *found) and not named(wish.parts, kind)]
    if lacking and wish.is_kept:
        read = f"{wish.base or wish.name} without {' and '.join(lacking)}"
        yield InputError(wish.where, read, f"a concept to begin from, or {' and '.join(lacking)}", "concept_half")


def is_by_hand(base: str) -> bool:
    """Whether a name is that of today or of a change by hand."""
    return base == TODAY or base.startswith(BY_HAND)
