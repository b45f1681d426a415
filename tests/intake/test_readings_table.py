"""Files of readings: CSV in its kinds, XLSX, and what is refused with row, column and cure."""

import datetime
import zipfile
from pathlib import Path

import openpyxl  # type: ignore[import-untyped]
import pytest

from millhand.errors import InputError, InputErrors
from millhand.intake.readings_table import MOST_ROWS, Column, column_named, columns_of

HEADS = "the names of the elements in the first row, a column for each"


def written(folder: Path, text: str) -> Path:
    """A CSV file with this text."""
    path = folder / "watch.csv"
    path.write_text(text, encoding="utf-8")
    return path


def workbook(folder: Path, rows: list[list[object]], *, title: str = "Day 1") -> Path:
    """A workbook with one sheet of readings behind which another one stands."""
    book = openpyxl.Workbook()
    book.active.title = title
    for row in rows:
        book.active.append(row)
    book.create_sheet("Notes").append(["remark"])
    path = folder / "watch.xlsx"
    book.save(path)
    return path


def plain(columns: tuple[Column, ...]) -> dict[str, list[object]]:
    """Head: values."""
    return {column.head: [cell.value for cell in column.cells] for column in columns}


def refused(path: Path, **options: object) -> InputError:
    """The one error of a file."""
    with pytest.raises(InputErrors) as caught:
        columns_of(path, **options)  # type: ignore[arg-type]
    assert len(caught.value.errors) == 1
    return caught.value.errors[0]


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_columns_are_parted_by_what_the_first_row_has(tmp_path: Path, sign: str) -> None:
    """Commas, semicolons or tabs; blank cells and a byte-order mark are nothing."""
    text = "\ufeffload,deburr\n18.2,30.1\n,28.4\n19.9,\n".replace(",", sign)

    assert plain(columns_of(written(tmp_path, text))) == {"load": ["18.2", "19.9"], "deburr": ["30.1", "28.4"]}


def test_with_decimal_commas_no_comma_parts_columns(tmp_path: Path) -> None:
    """A single column of 18,2 is one column."""
    assert plain(columns_of(written(tmp_path, "load\n18,2\n19,9\n"), comma=True)) == {"load": ["18,2", "19,9"]}


def test_a_cell_knows_its_line_and_column(tmp_path: Path) -> None:
    """Counted from 1, as an editor does; lines inside quotes count too."""
    columns = columns_of(written(tmp_path, '"load\ntwo",deburr\n18.2,30.1\n'))

    assert [(column.where, column.cells[0].where) for column in columns] == [
        ("watch.csv:2:1", "watch.csv:3:1"),
        ("watch.csv:2:2", "watch.csv:3:2"),
    ]


def test_a_sheet_gives_numbers_as_they_are_and_other_cells_as_text(tmp_path: Path) -> None:
    """Numbers need no decimal sign; a time of day or a yes is no number and is told by its cell."""
    path = workbook(tmp_path, [["load", "note"], [18.25, "first"], [None, True], [20, datetime.time(0, 0, 20)]])

    columns = columns_of(path)

    assert plain(columns) == {"load": [18.25, 20.0], "note": ["first", "True", "00:00:20"]}
    assert [cell.where for cell in columns[0].cells] == ["watch.xlsx: Day 1!A2", "watch.xlsx: Day 1!A4"]
    assert columns[1].cells[2].row == 4


def test_another_sheet_is_named(tmp_path: Path) -> None:
    """The first one where none is named; one that is not there is told with those that are."""
    path = workbook(tmp_path, [["load"], [18.0]])

    assert plain(columns_of(path, sheet="Notes")) == {"remark": []}
    assert str(refused(path, sheet="Day")) == (
        "watch.xlsx: read 'Day'; write the name of a sheet: Day 1 or Notes (did you mean 'Day 1'?)."
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", f"watch.csv:1:1: read 'an empty file'; write {HEADS}."),
        (",\n1,2\n", f"watch.csv:1:1: read 'no heads'; write {HEADS}."),
        ('load\n"18\n', "watch.csv:2:1: read 'unexpected end of data'; write a row of cells, every quote closed."),
    ],
)  # fmt: skip
def test_what_is_no_table_is_refused_with_its_place(tmp_path: Path, text: str, words: str) -> None:
    """Where, what was read, what to write."""
    assert str(refused(written(tmp_path, text))) == words


def test_a_table_that_nobody_timed_is_refused(tmp_path: Path) -> None:
    """More rows than a study ever has, a file that is no workbook, one that unpacks to far more than it holds."""
    long = written(tmp_path, "load\n" + "1\n" * (MOST_ROWS + 1))
    no_book = tmp_path / "no.xlsx"
    no_book.write_bytes(b"a text")
    bomb = tmp_path / "bomb.xlsx"
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", b"0" * 101_000_000)
    other = tmp_path / "other.xlsx"
    with zipfile.ZipFile(other, "w") as packed:
        packed.writestr("readme.txt", b"no workbook")

    found = [refused(path) for path in (long, no_book, bomb, other)]

    assert [error.code for error in found] == ["readings_large", "readings_xlsx", "readings_large", "readings_xlsx"]
    assert found[0].where == f"watch.csv:{MOST_ROWS + 2}:1"


def test_a_column_is_found_by_its_head(tmp_path: Path) -> None:
    """One that stands twice or not at all is an error that says what to write."""
    columns = columns_of(written(tmp_path, "load,load,deburr\n1,2,3\n"))
    found, twice, none = (column_named(columns, name) for name in ("deburr", "load", "debur"))

    assert isinstance(found, Column)
    assert isinstance(twice, InputError)
    assert twice.where == "watch.csv:1:2"
    assert isinstance(none, InputError)
    assert none.write.endswith("(did you mean 'deburr'?)")
