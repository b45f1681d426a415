"""Tables: every cell with its place, every error at once and in words."""

from pathlib import Path

import pytest

from millhand.catalogue.table import cells, numbers, table, text_of
from millhand.errors import InputError, InputErrors

COLUMNS = ("name", "low", "value", "high")


def read(path: Path, text: str) -> tuple[list[object], list[str]]:
    """The ranges of a table, and the words of its errors."""
    path.write_text(text, encoding="utf-8")
    errors: list[InputError] = []
    found: list[object] = [numbers(row, errors) for row in table(path, COLUMNS, errors)]
    return found, [str(error) for error in errors]


def test_cells_know_their_columns() -> None:
    """A quoted cell may hold commas and doubled quotes; the next one starts behind its closing quote."""
    assert cells('a,"b, c",,d') == [(1, "a"), (3, "b, c"), (10, ""), (11, "d")]
    assert cells('"say ""so""",x') == [(1, 'say "so"'), (14, "x")]


def test_ranges_and_single_values_are_read(tmp_path: Path) -> None:
    """Three numbers are a range, one is exact, and a range without width is exact too."""
    found, errors = read(tmp_path / "t.csv", "name,low,value,high\na,1,2,3\nb,,5,\nc,0,0,0\n\n")

    assert found == [(1.0, 2.0, 3.0), (None, 5.0, None), (None, 0.0, None)]
    assert errors == []


def test_the_order_of_columns_is_free(tmp_path: Path) -> None:
    """Cells are found by the heading, not by their place."""
    found, errors = read(tmp_path / "t.csv", "high,value,name,low\n3,2,a,1\n")

    assert (found, errors) == ([(1.0, 2.0, 3.0)], [])


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("a,1,two,3", "t.csv:2:5: read 'two'; write a plain number with a decimal point, such as 1250.5."),
        ("a,1,,3", "t.csv:2:5: read ''; write a number."),
        ("a,,2,3", "t.csv:2:3: read ''; write both ends of the range, or neither."),
        ("a,1,2,", "t.csv:2:7: read ''; write both ends of the range, or neither."),
        ("a,3,2,4", "t.csv:2:5: read '2'; write a value between low 3 and high 4."),
        ("a,-1,2,4", "t.csv:2:3: read '-1'; write a number from 0 up."),
        ('a,1,"1,250",3', "t.csv:2:5: read '1,250'; write a plain number with a decimal point, such as 1250.5."),
        ("a,1,nan,3", "t.csv:2:5: read 'nan'; write a plain number with a decimal point, such as 1250.5."),
        ("a,1,2", "t.csv:2:1: read 'a,1,2'; write 4 columns, texts that hold a comma in double quotes."),
    ],
)
def test_what_cannot_be_used_is_said_with_its_place(tmp_path: Path, line: str, words: str) -> None:
    """Place, what was read, what to write."""
    _, errors = read(tmp_path / "t.csv", f"name,low,value,high\n{line}\n")

    assert errors == [words]


def test_a_heading_must_name_the_columns(tmp_path: Path) -> None:
    """Without the heading nothing else makes sense: that error stands alone."""
    with pytest.raises(InputErrors) as caught:
        read(tmp_path / "t.csv", "name;low\n")
    assert str(caught.value) == "t.csv:1:1: read 'name;low'; write the heading name,low,value,high."


def test_files_that_cannot_be_read_are_refused(tmp_path: Path) -> None:
    """Missing, too large, not UTF-8: each with its own words, never a traceback."""
    missing, large, strange = (tmp_path / name for name in ("no.csv", "large.csv", "strange.csv"))
    large.write_bytes(b"x" * 1_000_001)
    strange.write_bytes(b"\xff\xfe")

    for path, words in ((missing, "a file that can be read"), (large, "at most 1 MB"), (strange, "a UTF-8 file")):
        with pytest.raises(InputErrors, match=words):
            text_of(path)
