"""Properties of random small cells: the file form says everything, and says it once."""

import json
from collections.abc import Iterator
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from millhand.errors import InputErrors
from millhand.intake.cell import cell_from
from millhand.intake.cell_check import check_cell
from millhand.model.canonical import canonical
from millhand.model.cell import Cell
from millhand.model.gridded import gridded
from millhand.model.slots import pointer_get, scaled, slots
from millhand.model.span import Span
from millhand.model.written import as_written
from tests.cells_strategy import cell_forms, cells


@given(cell=cells())
def test_a_cell_written_and_read_again_is_the_same_cell(cell: Cell) -> None:
    """Nothing gets lost in the file form, the order of maps included."""
    again = cell_from(as_written(cell))

    assert again == cell
    assert canonical(as_written(again)) == canonical(as_written(cell))


@given(cell=cells())
def test_the_canonical_text_reads_as_the_same_text(cell: Cell) -> None:
    """What is hashed is stable: written, read and written again gives the same bytes."""
    text = canonical(as_written(cell))

    assert canonical(as_written(cell_from(json.loads(text)))) == text


@given(cell=cells())
def test_a_cell_that_was_read_has_no_errors_left_and_lies_on_its_grid(cell: Cell) -> None:
    """The checker finds nothing, and rounding a second time changes nothing."""
    assert check_cell(cell) == ()
    assert gridded(cell) == cell


@given(cell=cells())
def test_every_number_is_found_by_its_pointer(cell: Cell) -> None:
    """The pointers of the walk and of pointer_get are the same ones."""
    for slot in slots(cell):
        value = slot.value.mean_s if isinstance(slot.value, Span) and slot.value.dist == "constant" else slot.value
        assert pointer_get(cell, slot.at) == value


@given(cell=cells())
def test_scaling_by_one_changes_nothing_and_scaling_up_keeps_the_cell_valid(cell: Cell) -> None:
    """A sample of the uncertainty run is a cell like any other."""
    facts = {origin.fact for origin in cell.origins.values()}

    assert scaled(cell, dict.fromkeys(facts, 1.0)) == cell
    assert check_cell(scaled(cell, dict.fromkeys(facts - {"count"}, 1.5))) == ()


def told(form: dict[str, Any]) -> list[str]:
    """The words of the errors of a raw cell; none when it is one."""
    try:
        cell_from(form)
    except InputErrors as errors:
        return [str(error) for error in errors.errors]
    return []


JUNK = st.sampled_from(
    [None, True, -1, 0, 1.5, 1e300, "", "x", "m1", [], {}, [1], {"a": 1}, [[0]], {"dist": "uniform"}, 10**400]
)


def paths(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to everything inside a raw value."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield (*way, key)
        yield from paths(item, (*way, key))


@given(data=st.data(), form=cell_forms())
def test_nonsense_gives_words_and_never_a_traceback(data: st.DataObject, form: dict[str, Any]) -> None:
    """Whatever is put in the place of whatever: InputErrors in one line each, or a cell."""
    *way, last = data.draw(st.sampled_from(list(paths(form))))
    inside: Any = form
    for key in way:
        inside = inside[key]
    if data.draw(st.booleans()):
        inside[last] = data.draw(JUNK)
    else:
        del inside[last]

    assert all("\n" not in words and words.endswith(".") for words in told(form))
