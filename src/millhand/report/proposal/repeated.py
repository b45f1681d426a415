"""Words that would stand in row after row of a table: said once, over the rows that share them or below by a letter;
columns in which no row says anything."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from string import ascii_lowercase

from millhand.report.proposal.records import EMPTY, Block, Column, Given, Item, Say, Table

Row = tuple[Item, ...]
NONE = Say(key="page.none")
BY_LETTER = (Column(head=""), Column(head="", width=1.0))


def under_groups(rows: Sequence[tuple[Item, Row]]) -> tuple[tuple[Row, ...], tuple[int, ...]]:
    """Rows under the words that neighbours share, and the numbers of the rows that hold these words."""
    made: list[Row] = []
    groups = []
    for words, shared in groupby(rows, key=lambda each: each[0]):
        own = [row for _, row in shared]
        groups.append(len(made))
        made += [(words, *(EMPTY for _ in own[0][1:])), *own]
    return tuple(made), tuple(groups)


def by_letter(items: Sequence[Item], *, always: bool = False) -> tuple[tuple[Item, ...], tuple[Block, ...]]:
    """A letter in the place of each item, and what the letters stand for; the items themselves where none comes
    twice, unless their words are always too long for a table."""
    told = list(dict.fromkeys(map(repr, items)))
    if len(told) == len(items) and not always:
        return tuple(items), ()
    letters = dict(zip(told, ascii_lowercase, strict=False))
    rows = tuple((Given(text=letters[each]), meant) for each, meant in first_of(items))
    return tuple(Given(text=letters[repr(each)]) for each in items), (Table(columns=BY_LETTER, rows=rows),)


def filled(table: Table) -> Table:
    """The table without columns in which no row says anything."""
    told = [row for number, row in enumerate(table.rows) if number not in table.groups]
    kept = [place for place in range(len(table.columns)) if any(row[place] not in (NONE, EMPTY) for row in told)]
    return replace(
        table, columns=tuple(table.columns[place] for place in kept),
        rows=tuple(tuple(row[place] for place in kept) for row in table.rows),
    )  # fmt: skip


def first_of(items: Sequence[Item]) -> Iterator[tuple[str, Item]]:
    """Each item once, in its order."""
    seen: dict[str, Item] = {}
    for each in items:
        seen.setdefault(repr(each), each)
    yield from seen.items()
