"""Facts and words that went into two studies otherwise."""

from collections.abc import Iterator, Mapping

from millhand.model.difference import Change, ChangeKind, Side
from millhand.model.fact import Choice, Fact

BEFORE = ".before"  # ends the id of what a judged fact replaced
OTHERS = ("catalogue.", "concepts.", "drivers.", "decision.")  # ids of what no inquiry says


def changes(first: Side, second: Side) -> Iterator[Change]:
    """Those of the inquiry first; what follows from others is not among them, nor what only one of them needed."""
    one: Mapping[str, Fact | Choice] = {**first.facts, **first.choices}
    other: Mapping[str, Fact | Choice] = {**second.facts, **second.choices}
    for name in sorted({**one, **other}, key=lambda name: name.startswith(OTHERS)):
        before, after = one.get(name), other.get(name)
        kind = kind_of(before, after)
        needless = kind in ("new", "gone") and name.startswith(OTHERS)
        if kind is not None and not needless and not name.endswith(BEFORE):
            yield Change(id=name, kind=kind, first=before, second=after)


def kind_of(before: Fact | Choice | None, after: Fact | Choice | None) -> ChangeKind | None:
    """How an input differs; None where it does not, or is no input."""
    if not all(is_input(each) for each in (before, after) if each is not None):
        return None
    if before is None or after is None:
        return "new" if before is None else "gone"
    if before.value != after.value:
        return "moved"
    return "known" if (before.basis, ends(before)) != (after.basis, ends(after)) else None


def is_input(fact: Fact | Choice) -> bool:
    """Whether a fact follows from no other."""
    return isinstance(fact, Choice) or (fact.formula is None and fact.basis != "computed")


def ends(fact: Fact | Choice) -> tuple[float | None, float | None]:
    """The range of a number."""
    return (fact.low, fact.high) if isinstance(fact, Fact) else (None, None)
