"""Folds of the call sheet: what stands in each in short, and which are open: as the address tells, else as usual."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from millhand.intake.fields import Field, kind_of
from millhand.intake.form import Word

ALL, NONE, BETWEEN = "all", "none", "."  # in an address: every fold, no fold, between the names of several
COUNTED = (("typed", "{} given"), ("assumed", "{} assumed"), ("wrong", "✕ {} to mend"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """Facts of one subject that stand folded, with a word of what is in there; `adds`: the list that grows here."""

    title: str
    words: str
    fields: tuple[Field, ...]
    name: str = ""  # what an address calls it, where that is not its title
    usual: bool = False  # notes of a first talk fill it as a rule, so that it is open from the start
    adds: str = ""
    one_more: str = ""
    shares: str = ""  # the words of another button beside it: one more that shares the work of the first

    @property
    def key(self) -> str:
        """What pages and addresses call it."""
        return self.name or re.sub(r"[^a-z0-9]+", "-", self.title.lower())

    @property
    def waits(self) -> bool:
        """Whether something in it waits to be filled in or mended."""
        return any(each.needed or each.errors for each in self.fields)

    @property
    def told(self) -> str:
        """How many of its facts are given, assumed, wrong or still needed; '' of no facts."""
        kinds = [kind_of(each) for each in self.fields]
        counts = [(words, kinds.count(kind)) for kind, words in COUNTED]
        counts.append(("○ {} needed", sum(each.needed for each in self.fields)))
        return ", ".join(words.format(count) for words, count in counts if count)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """One subject of the sheet: what is asked first, and what is folded."""

    title: str
    fields: tuple[Field, ...]
    folds: tuple[Fold, ...] = ()
    elsewhere: bool = False  # what has no place of its own on the sheet, and is wrong


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """A fold that holds other fields than before, and those of them that are new."""

    fold: Fold
    fields: tuple[Field, ...]


def shown_in(groups: Iterable[Group]) -> Iterator[Field]:
    """Every field of some subjects."""
    for group in groups:
        yield from group.fields
        for fold in group.folds:
            yield from fold.fields


def folds_in(groups: Iterable[Group]) -> tuple[Fold, ...]:
    """Every fold of some subjects that holds a field."""
    return tuple(fold for group in groups for fold in group.folds if fold.fields)


def open_ones(groups: Iterable[Group], asked: str = "") -> frozenset[str]:
    """The keys of the folds that are open: those that an address asks for, else usual ones and where something waits.

    >>> one = Fold(title="Room", words="", fields=(), usual=True)
    >>> sorted(open_ones([Group(title="", fields=(), folds=(one,))], ""))
    ['room']
    """
    folds = [fold for group in groups for fold in group.folds]
    if not asked:
        return frozenset(fold.key for fold in folds if fold.usual or fold.waits)
    if asked in (ALL, NONE):
        return frozenset(fold.key for fold in folds if asked == ALL)
    return frozenset(asked.split(BETWEEN)) & {fold.key for fold in folds}


def with_one(asked: str, key: str) -> str:
    """What an address asks for, with one fold more that is open.

    >>> with_one("", "machines-2"), with_one("none", "machines-2"), with_one("room.people", "machines-2")
    ('', 'machines-2', 'room.people.machines-2')
    """
    if asked in ("", ALL):
        return asked
    return key if asked == NONE else f"{asked}{BETWEEN}{key}"


def refolded(before: Iterable[Group], now: Iterable[Group]) -> tuple[Came, ...]:
    """The folds that hold other fields than before: shifts that were told, machines that have a choice now."""
    was, own = ({fold.key: fold for group in groups for fold in group.folds} for groups in (before, now))
    found = []
    for key, fold in own.items():
        old = {each.path for each in was[key].fields} if key in was else None
        if old is not None and [each.path for each in was[key].fields] != [each.path for each in fold.fields]:
            found.append(Came(fold=fold, fields=tuple(each for each in fold.fields if each.path not in old)))
    return tuple(found)


def moved(before: Iterable[Group], now: Iterable[Group], but: set[str]) -> tuple[Field, ...]:
    """The fields beside some others that hold another text than before, or offer another choice: they followed."""
    was = {each.path: each for each in shown_in(before)}
    return tuple(
        each for each in shown_in(now)
        if each.path in was and each.path not in but
        and (each.text != was[each.path].text or choices_of(each) != choices_of(was[each.path]))
    )  # fmt: skip


def choices_of(each: Field) -> tuple[str, ...]:
    """The words that may be chosen; none of a number or a text."""
    return each.entry.options if isinstance(each.entry, Word) else ()
