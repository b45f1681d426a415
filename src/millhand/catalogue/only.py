"""The components that an inquiry keeps its study to, held against the catalogue: unknown names and what falls out."""

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import fields

from millhand.errors import InputError
from millhand.model.concept import Component
from millhand.model.inquiry import Named, Only

KINDS = tuple(each.name for each in fields(Only))


def unknown_in(only: Only | None, components: Mapping[str, Component]) -> Iterator[InputError]:
    """An error for each name of each kind that no component of the kind has."""
    for kind in KINDS:
        yield from unknown(kind, named(only, kind), components)


def unknown(kind: str, names: tuple[Named, ...], components: Mapping[str, Component]) -> Iterator[InputError]:
    """An error for each name that is none, or that of a component of another kind."""
    known = [each.id for each in components.values() if each.kind == kind]
    for each in names:
        other = components.get(each.name)
        if other is not None and other.kind == kind:
            continue
        near = "".join(f" (did you mean {name!r}?)" for name in difflib.get_close_matches(each.name, known, n=1))
        hint = near if other is None else f"; {each.name} is of the kind {other.kind}"
        yield InputError(each.where, each.name, f"one of {', '.join(known)}{hint}", "unknown_component")


def named(only: Only | None, kind: str) -> tuple[Named, ...]:
    """The components of a kind that the inquiry names; none: all of them."""
    found: tuple[Named, ...] = getattr(only, kind) if only is not None else ()
    return found


def is_meant(only: Only | None, component: Component) -> bool:
    """Whether a component is looked at: where it is named, and where no other is, but for those that must be named."""
    names = named(only, component.kind)
    return component.id in {each.name for each in names} if names else "where_named" not in component.words


def why_not_meant(only: Only | None, component: Component) -> str:
    """Why a component is not looked at."""
    names = ", ".join(each.name for each in named(only, component.kind))
    if not names:
        return component.words["where_named"]
    return f"the inquiry keeps its study to other components of the kind: {names}"
