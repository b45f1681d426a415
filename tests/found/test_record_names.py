"""Two records of one name once stood for one in the schema of a study: a layout then did not fit it."""

import dataclasses
import typing
from collections.abc import Iterator

from millhand.model.cell import Cell
from millhand.model.concept import CellOption
from millhand.model.layout import Option
from millhand.model.study import Study


def records(hint: object, seen: set[type]) -> Iterator[type]:
    """Every record inside a hint; a cell stands in a study by its file alone."""
    for inner in typing.get_args(hint):
        yield from records(inner, seen)
    if isinstance(hint, type) and dataclasses.is_dataclass(hint) and hint is not Cell and hint not in seen:
        seen.add(hint)
        yield hint
        for each in typing.get_type_hints(hint).values():
            yield from records(each, seen)


def test_no_two_records_of_a_study_share_a_name() -> None:
    """The schema names each record by its class alone."""
    found = set(records(Study, set()))
    names = [record.__name__ for record in found]

    assert {CellOption, Option} <= found
    assert sorted(names) == sorted(set(names))
