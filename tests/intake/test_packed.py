"""What a workbook unpacks to is counted, whatever it tells about itself."""

import struct
import zipfile
from pathlib import Path

import pytest

from millhand.errors import InputErrors
from millhand.intake.packed import refuse_far, refuse_large

MB = 1_000_000


def packed(path: Path, size: int) -> Path:
    """A file with one member of so many bytes."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("a.xml", b"0" * size)
    return path


def told_small(path: Path) -> Path:
    """The same file telling that its member has ten bytes."""
    data = bytearray(path.read_bytes())
    struct.pack_into("<I", data, data.find(b"PK\x01\x02") + 24, 10)
    struct.pack_into("<I", data, 22, 10)
    path.write_bytes(data)
    return path


def test_a_member_that_tells_a_small_size_is_counted(tmp_path: Path) -> None:
    """Three megabytes behind a told size of ten bytes are too many for two, and none too many for four."""
    path = told_small(packed(tmp_path / "sheet.xlsx", 3 * MB))

    with pytest.raises(InputErrors) as caught:
        refuse_large(path, kind="questions", most_mb=2)
    refuse_large(path, kind="questions", most_mb=4)

    words = "sheet.xlsx: read '2 MB unpacked or more'; write a workbook of at most 2 MB unpacked."
    assert str(caught.value) == words
    assert caught.value.errors[0].code == "questions_large"


def test_a_size_that_is_told_is_believed_before_anything_is_unpacked(tmp_path: Path) -> None:
    """What tells of more than may be is refused; half a file is no workbook."""
    path = packed(tmp_path / "sheet.xlsx", 3 * MB)
    half = tmp_path / "half.xlsx"
    half.write_bytes(path.read_bytes()[:-30])

    with pytest.raises(InputErrors) as large:
        refuse_large(path, kind="questions", most_mb=2)
    with pytest.raises(InputErrors) as broken:
        refuse_large(half, kind="questions", most_mb=2)

    assert "3 MB unpacked" in str(large.value)
    assert broken.value.errors[0].code == "questions_xlsx"


def test_a_cell_far_out_is_refused_before_room_is_made_for_it(tmp_path: Path) -> None:
    """Two cells, one of them the last that a sheet can have: seventeen thousand million between them."""
    path = tmp_path / "sheet.xlsx"
    with zipfile.ZipFile(path, "w") as file:
        file.writestr(
            "xl/worksheets/sheet1.xml", '<row r="1"><c r="A1"/></row><row r="1048576"><c r="XFD1048576"/></row>'
        )

    with pytest.raises(InputErrors) as caught:
        refuse_far(path, kind="questions", rows=5000, columns=200)
    refuse_far(path, kind="questions", rows=1_048_576, columns=16_384)

    read = "a cell in row 1048576, column 16384"
    assert str(caught.value) == f"sheet.xlsx: read '{read}'; write a sheet of at most 5000 rows and 200 columns."
