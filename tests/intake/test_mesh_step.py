"""STEP files: a block and a bar against closed forms, in whatever unit, and what is said where they cannot be read."""

import math
import sys
from pathlib import Path

import pytest

from millhand.intake.mesh_shape import shape_in
from millhand.intake.mesh_step import NoReader, glb_of
from tests.intake.step_file import bar, block
from tests.intake.test_inquiry_mesh import DOZEN, asked, odd_codes, part_in, sides_mm, told

STEP = "    mesh: bracket.step\n    mesh_is: raw\n    material: steel\n"
SIZE_M = {"mm": 0.001, "inch": 0.0254, "m": 1.0}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with what the inquiry names besides the mesh."""
    assert "door.jpg" in DOZEN.read_text(encoding="utf-8")
    (tmp_path / "door.jpg").write_bytes(b"a photo")
    return tmp_path


@pytest.mark.parametrize("unit", ["mm", "inch", "m"])
def test_a_block_comes_in_metres_whatever_its_unit(unit: str) -> None:
    """Sides, volume, centre of gravity and grip faces; the file's own axes stay."""
    found = shape_in(block((12.0, 8.0, 4.0), unit), "step")
    scale = SIZE_M[unit]

    assert found is not None
    assert found.extents == pytest.approx((12.0 * scale, 8.0 * scale, 4.0 * scale), rel=1e-6)
    assert found.volume == pytest.approx(384.0 * scale**3, rel=1e-5)
    assert found.centre == pytest.approx((6.0 * scale, 4.0 * scale, 2.0 * scale), rel=1e-5)
    assert found.grip == pytest.approx((4.0 * scale, 96.0 * scale**2), rel=1e-5)
    assert found.turned is None


def test_a_bar_is_round_and_nearly_as_heavy_as_its_formula() -> None:
    """Triangles lie inside the mantle, within a hundredth of a millimetre: at most 0.1 % of the volume is lost."""
    found = shape_in(bar(30.0, 120.0, "mm"), "stp")
    whole = math.pi * 0.03**2 * 0.12

    assert found is not None
    assert found.turned == pytest.approx((0.06, 0.12), rel=1e-3)
    assert found.volume is not None
    assert whole * 0.999 < found.volume < whole


def test_size_and_mass_of_a_part_come_from_the_file_and_no_unit_is_asked(folder: Path) -> None:
    """As from an STL that said millimetres; nothing is odd about it."""
    (folder / "bracket.step").write_bytes(block((120.0, 80.0, 40.0), "mm"))
    part = part_in(asked(folder, STEP))

    assert sides_mm(part) == pytest.approx((120.0, 80.0, 40.0), rel=1e-6)
    assert part.raw_mass_kg.value == pytest.approx(0.12 * 0.08 * 0.04 * 7850.0, rel=1e-5)
    assert part.mesh is not None
    assert (part.mesh.unit.value, part.mesh.unit.source) == ("m", "bracket.step, which names its own unit")
    assert odd_codes(folder / "inquiry.yaml") == set()


def test_a_unit_beside_it_is_refused(folder: Path) -> None:
    """The file says its own; two could differ."""
    (folder / "bracket.step").write_bytes(block((120.0, 80.0, 40.0), "mm"))

    assert told(asked(folder, f"{STEP}    mesh_unit: inch\n")) == ["mesh_own_unit"]


def test_a_file_that_is_no_step_file_is_told_and_nothing_else_is_written(
    folder: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """The library's own outcry, which goes past Python, is kept from what others read as data."""
    (folder / "bracket.step").write_bytes(b"nonsense")

    assert "mesh_not_read" in told(asked(folder, STEP))
    assert glb_of(b"nonsense") == b""
    assert capfd.readouterr() == ("", "")


def test_without_the_extra_the_line_that_installs_it_is_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And that STL or OBJ do as well."""
    (folder / "bracket.step").write_bytes(block((120.0, 80.0, 40.0), "mm"))
    monkeypatch.setitem(sys.modules, "cascadio", None)

    assert "mesh_no_reader" in told(asked(folder, STEP))
    with pytest.raises(NoReader, match=r"millhand\[step\]"):
        glb_of(b"")
