"""What a workbook unpacks to is counted, whatever it tells about itself."""

import struct
import zipfile
from pathlib import Path

import pytest

from millhand.errors import InputErrors
from millhand.intake.packed import refuse_large

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
