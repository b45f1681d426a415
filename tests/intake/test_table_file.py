"""A workbook is looked over before it is opened: small files that ask for all the memory there is are refused."""

import io
import zipfile
from pathlib import Path

import openpyxl  # type: ignore[import-untyped]
import pytest

from millhand.errors import InputErrors
from millhand.intake.table_file import Limits, column_number, table_in
from millhand.model.letters import letters

LIMITS = Limits(code="list", rows_are="rows", rows=100, columns=20, unpacked_mb=2)
BEGINS = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
ENDS = b"</sheetData></worksheet>"


def plain_book() -> dict[str, bytes]:
    """The members of a workbook of two cells."""
    book = openpyxl.Workbook()
    book.active.append(["part", 1.5])
    held = io.BytesIO()
    book.save(held)
    with zipfile.ZipFile(held) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def written(folder: Path, members: dict[str, bytes]) -> Path:
    """A workbook of these members."""
    path = folder / "list.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in members.items():
            packed.writestr(name, content)
    return path


def refused(folder: Path, members: dict[str, bytes]) -> str:
    """The error of a workbook, in words."""
    with pytest.raises(InputErrors) as caught:
        table_in(written(folder, members), LIMITS)
    return str(caught.value)


def with_sheet(rows: bytes) -> dict[str, bytes]:
    """The workbook with other rows."""
    return plain_book() | {"xl/worksheets/sheet1.xml": BEGINS + rows + ENDS}


def test_a_plain_workbook_is_read(tmp_path: Path) -> None:
    """Its first sheet, with the places of its cells."""
    table = table_in(written(tmp_path, plain_book()), LIMITS)

    assert (table.name, table.sheet) == ("list.xlsx", "Sheet")
    assert [(cell.where, cell.value) for cell in table.rows[0] if cell] == [
        ("list.xlsx: Sheet!A1", "part"),
        ("list.xlsx: Sheet!B1", 1.5),
    ]


@pytest.mark.parametrize(
    ("rows", "read"),
    [
        (b'<row r="1"><c r="A1"><v>1</v></c></row><row r="900000"><c r="A900000"><v>1</v></c></row>', "row 900000"),
        (b'<row r="1"><c r="XFD1"><v>1</v></c></row>', "row 1 of 16384 columns"),
        (b"<row r='1'><c r='A1'><v>1</v></c></row><row><c r = 'B 2'/></row>" + b"<row/>" * 200, "row 202"),
    ],
)
def test_cells_far_out_are_refused_before_anything_is_filled_up_to_them(tmp_path: Path, rows: bytes, read: str) -> None:
    """By their own places and by the count of rows."""
    words = refused(tmp_path, with_sheet(rows))

    assert words.startswith(f"list.xlsx: read '{read}")
    assert words.endswith("write at most 100 rows and 20 columns.")


def test_one_long_text_under_many_cells_is_refused(tmp_path: Path) -> None:
    """Each cell would be a copy of it."""
    cells = b"".join(b'<row r="%d">' % row + b'<c t="s"><v>0</v></c>' * 20 + b"</row>" for row in range(1, 90))
    strings = b'<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>%s</t></si></sst>'
    members = with_sheet(cells) | {"xl/sharedStrings.xml": strings % (b"x" * 900_000)}

    words = refused(tmp_path, members)

    assert words.startswith("list.xlsx: read '1780 cells, a text of 9000")
    assert words.endswith("write a table of short texts.")


def test_what_unpacks_to_more_than_a_table_holds_is_refused(tmp_path: Path) -> None:
    """Counted while it is unpacked, whatever the file says of its own size."""
    words = refused(tmp_path, plain_book() | {"xl/media/picture.bin": b"0" * 3_000_000})

    assert words == "list.xlsx: read 'more than 2 MB unpacked'; write a workbook of at most 2 MB unpacked."


@pytest.mark.parametrize("place", [0, 1, 25, 26, 51, 52, 701, 702, 16383])
def test_names_of_columns_lead_back_to_their_places(place: int) -> None:
    """As spreadsheets have them."""
    assert column_number(letters(place)) == place + 1


def test_a_cell_holds_nothing_that_a_terminal_would_obey(tmp_path: Path) -> None:
    """Line breaks and control characters are spaces, in both kinds of files."""
    path = tmp_path / "list.csv"
    path.write_text('"Länge\n[mm]",\x1b[31mred\n', encoding="utf-8")

    assert [cell.value for cell in table_in(path, LIMITS).rows[0] if cell] == ["Länge [mm]", "[31mred"]


def test_a_damaged_workbook_is_none(tmp_path: Path) -> None:
    """Bytes in the middle overwritten."""
    path = written(tmp_path, plain_book())
    content = bytearray(path.read_bytes())
    content[60:400] = b"\xff" * 340
    path.write_bytes(content)

    with pytest.raises(InputErrors) as caught:
        table_in(path, LIMITS)
    assert caught.value.errors[0].code == "list_xlsx"
