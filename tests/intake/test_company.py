"""The company file: every key may be missing, and what cannot be used is told with its place and its cure."""

import struct
import zlib
from io import BytesIO
from pathlib import Path

import pytest
import vl_convert
from PIL import Image

from millhand.errors import InputErrors
from millhand.intake.company import READERS, read_company
from millhand.intake.picture import picture_trouble
from millhand.model.company import Company

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "company.yaml"


def chunk(name: bytes, data: bytes) -> bytes:
    """One chunk of a PNG."""
    return len(data).to_bytes(4, "big") + name + data + zlib.crc32(name + data).to_bytes(4, "big")


def png(width: int = 2, height: int = 1) -> bytes:
    """A grey PNG picture."""
    rows = b"".join(b"\0" + b"\x80" * width for _ in range(height)) if width * height < 10_000 else b""
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


def jpeg(width: int = 3, height: int = 2) -> bytes:
    """As much of a JPEG picture as is looked at: a comment, a frame, and the end."""
    frame = b"\xff\xc0\x00\x11\x08" + struct.pack(">HH", height, width) + b"\x03" + b"\0" * 9
    return b"\xff\xd8\xff\xfe\x00\x04ab" + frame + b"\xff\xd9"


def drawn_jpeg() -> bytes:
    """A JPEG picture by a general library."""
    square = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="4" height="3"><rect width="4" height="3" fill="#345"/></svg>'
    )
    return bytes(vl_convert.svg_to_jpeg(square))


def read(folder: Path, text: str) -> Company:
    """The company of this text."""
    (folder / "us.yaml").write_text(text, encoding="utf-8")
    return read_company(folder / "us.yaml")


def trouble(folder: Path, text: str) -> list[tuple[str, str]]:
    """Place and words of every error of this text."""
    with pytest.raises(InputErrors) as caught:
        read(folder, text)
    return [(each.where, str(each)) for each in caught.value.errors]


def test_the_example_has_every_key_but_the_logo() -> None:
    """It shows what can be written."""
    found = read_company(EXAMPLE)

    assert not [name for name in READERS if name != "logo" and not getattr(found, name)]
    assert found.valid_days == 60
    assert found.address == ("12 Example Lane", "Sampleton")


def test_nothing_is_needed(tmp_path: Path) -> None:
    """A name alone is a company, and an empty key is none."""
    assert read(tmp_path, "name: Sample Cells\nnumber:\n") == Company(name="Sample Cells")


def test_lines_come_as_a_list_or_as_a_text(tmp_path: Path) -> None:
    """Both are the same address."""
    one = read(tmp_path, "address: [12 Lane, Sampleton]\n")

    assert one == read(tmp_path, 'address: "12 Lane\\n Sampleton\\n"\n')


def test_every_error_is_told_at_once(tmp_path: Path) -> None:
    """Unknown key, no number of days, a table for a text, too many lines, each with what to write."""
    lines = ", ".join("x" for _ in range(13))
    text = f"nmae: Sample\nvalid_days: soon\nwarranty: {{a: b}}\naddress: [{lines}]\ncontact: {{a: b}}\nlogo: [a]\n"

    found = trouble(tmp_path, text)

    assert [where for where, _ in found] == [f"us.yaml:{n}:{c}" for n, c in
                                            ((1, 1), (2, 13), (3, 11), (4, 10), (5, 10), (6, 7))]  # fmt: skip
    assert found[1][1].endswith("read 'soon'; write a whole number of days from 1 to 3650, such as 60.")
    assert found[2][1].endswith("write a text.")
    assert found[3][1].endswith("write at most 12 lines.")


@pytest.mark.parametrize("days", ["0", "-3", "1e3", "9999", "6.5"])
def test_days_are_a_whole_number_in_reason(tmp_path: Path, days: str) -> None:
    """Nothing else is taken."""
    assert len(trouble(tmp_path, f"valid_days: {days}\n")) == 1


def test_a_text_ends_somewhere_and_holds_no_control_signs(tmp_path: Path) -> None:
    """What no paper could show is told."""
    assert len(trouble(tmp_path, f'warranty: {"x" * 2001}\nservice: "a\\x07b"\n')) == 2


@pytest.mark.parametrize(("name", "data", "form"), [("logo.png", png(), "png"), ("logo.jpg", drawn_jpeg(), "jpg")])
def test_a_logo_stands_beside_the_file(tmp_path: Path, name: str, data: bytes, form: str) -> None:
    """PNG or JPEG, as its bytes say; drawn anew, so that its dots are all that is left of the file."""
    (tmp_path / name).write_bytes(data)

    logo = read(tmp_path, f"logo: {name}\n").logo

    assert logo is not None
    assert logo.form == form
    assert picture_trouble(logo.data) == (form, "")
    with Image.open(BytesIO(data)) as before, Image.open(BytesIO(logo.data)) as after:
        assert (after.size, after.getpixel((0, 0))) == (before.size, before.convert("RGB").getpixel((0, 0)))


def test_nothing_but_the_dots_of_a_logo_is_kept(tmp_path: Path) -> None:
    """A text inside the file, and what hangs behind its end, are gone."""
    whole = png()
    hidden = whole[:33] + chunk(b"tEXt", b"note\0<script>who drew it</script>") + whole[33:] + b"behind the end"
    (tmp_path / "logo.png").write_bytes(hidden)

    logo = read(tmp_path, "logo: logo.png\n").logo

    assert logo is not None
    assert not any(each in logo.data for each in (b"script", b"behind", b"tEXt"))


@pytest.mark.parametrize(
    ("file", "words"),
    [
        ("../logo.png", "a path inside the folder of the company file, such as logo.png"),
        ("none.png", "the path of a file that is there"),
        ("link.png", "a file inside the folder of the company file, not a link out of it"),
        ("large.png", "a file of at most 2 MB"),
        ("words.png", "a PNG or JPEG picture"),
        ("hollow.jpg", "a PNG or JPEG picture that is whole: this one cannot be opened"),
    ],
)
def test_a_logo_that_cannot_be_used(tmp_path: Path, file: str, words: str) -> None:
    """Its cure stands beside it."""
    folder = tmp_path / "own"
    folder.mkdir()
    (tmp_path / "logo.png").write_bytes(png())
    (folder / "link.png").symlink_to(tmp_path / "logo.png")
    (folder / "large.png").write_bytes(b"\0" * 2_000_001)
    (folder / "hollow.jpg").write_bytes(jpeg())
    (folder / "words.png").write_text("no picture", encoding="utf-8")

    assert trouble(folder, f"logo: {file}\n") == [("us.yaml:1:7", f"us.yaml:1:7: read {file!r}; write {words}.")]


@pytest.mark.parametrize("data", [png()[:-20], png()[:40] + b"\0" + png()[41:], jpeg()[:-2], b"\xff\xd8\xff"])
def test_a_broken_picture_is_found(data: bytes) -> None:
    """Cut off, with a wrong checksum, without an end, or nothing but its first bytes."""
    assert picture_trouble(data)[1] == "a PNG or JPEG picture that is whole: this one cannot be opened"


@pytest.mark.parametrize("data", [png(4001, 1), png(1, 5000), jpeg(4001, 2), jpeg(0, 2)])
def test_a_picture_keeps_to_a_size(data: bytes) -> None:
    """Neither side is larger than a page can use, nor nothing."""
    assert picture_trouble(data)[1] == "a picture of at most 4000 dots along a side"


def test_sizes_at_the_limit_are_taken() -> None:
    """A side of 4000 dots is the largest."""
    assert picture_trouble(png(4000, 1)) == ("png", "")
    assert picture_trouble(jpeg(4000, 1)) == ("jpg", "")
