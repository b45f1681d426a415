"""The mesh of a part in an inquiry: what it stands in for, what it is held against, what it never replaces."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from trimesh.creation import box, cylinder

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.figures import figures
from millhand.cli.main import group
from millhand.errors import InputErrors
from millhand.intake.form_part import MATERIALS
from millhand.intake.inquiry import read_inquiry
from millhand.intake.inquiry_evidence import LIMIT_MB
from millhand.intake.odd import oddities
from millhand.model.part import Part

DOZEN = Path(__file__).resolve().parents[1] / "broken" / "evidence_outside" / "mended.yaml"
SAID = "    raw: 120 x 80 x 40 mm\n    raw_mass: 2.4 kg\n"
MESH = "    mesh: bracket.stl\n    mesh_unit: mm\n    mesh_is: raw\n    material: steel\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a box and a bar as meshes."""
    box((120.0, 80.0, 40.0)).export(tmp_path / "bracket.stl")
    cylinder(radius=30.0, height=120.0, sections=64).export(tmp_path / "bar.stl")
    (tmp_path / "door.jpg").write_bytes(b"a photo")
    return tmp_path


def asked(folder: Path, part: str, *, shape: str = "prismatic") -> Path:
    """An inquiry whose part has these lines in the place of raw size and mass."""
    text = DOZEN.read_text(encoding="utf-8")
    assert SAID in text
    path = folder / "inquiry.yaml"
    path.write_text(text.replace(SAID, part).replace("shape: prismatic", f"shape: {shape}"), encoding="utf-8")
    return path


def part_in(path: Path) -> Part:
    """The one part of the inquiry."""
    return read_inquiry(path, assumptions()).parts[0]


def told(path: Path) -> list[str]:
    """The kinds of all errors of a file."""
    with pytest.raises(InputErrors) as raised:
        read_inquiry(path, assumptions())
    return [error.code for error in raised.value.errors]


def odd_codes(path: Path) -> set[str]:
    """The kinds of questions about the mesh."""
    return {odd.code for odd in oddities(read_inquiry(path, assumptions()), {}) if odd.code.startswith("mesh")}


def sides_mm(part: Part) -> tuple[float, float, float]:
    """The raw part's outer measures."""
    return part.raw.length_m.value * 1e3, part.raw.width_m.value * 1e3, part.raw.height_m.value * 1e3


def test_size_and_mass_come_from_the_mesh(folder: Path) -> None:
    """Measured, with the file as their source; the mass at the density of steel; the finished part as a share of it."""
    part = part_in(asked(folder, MESH))

    assert sides_mm(part) == pytest.approx((120.0, 80.0, 40.0))
    assert part.raw_mass_kg.value == pytest.approx(0.12 * 0.08 * 0.04 * 7850.0)
    for fact in (part.raw.length_m, part.raw_mass_kg):
        assert (fact.basis, fact.source) == ("measured", "bracket.stl, mesh")
    assert part.raw_mass_kg.id == "parts.bracket.raw_mass"
    assert "7850 kg/m3" in str(part.raw_mass_kg.note)
    assert part.finished_mass_kg.basis == "assumed"
    assert part.finished_mass_kg.value < part.raw_mass_kg.value


@pytest.mark.parametrize(("unit", "in_mm"), [("cm", 10.0), ("inch", 25.4)])
def test_the_unit_is_that_which_was_said(folder: Path, unit: str, in_mm: float) -> None:
    """Lengths by the unit, volume by its third power."""
    box((12.0, 8.0, 4.0)).export(folder / "bracket.stl")
    part = part_in(asked(folder, MESH.replace("mesh_unit: mm", f"mesh_unit: {unit}")))

    assert sides_mm(part) == pytest.approx((12.0 * in_mm, 8.0 * in_mm, 4.0 * in_mm))
    assert part.mesh is not None
    assert part.mesh.volume_m3 is not None
    assert part.mesh.volume_m3.value == pytest.approx(384e-9 * in_mm**3)


def test_a_part_of_many_tonnes_is_refused(folder: Path) -> None:
    """120 inches of steel fit into 20 m, and weigh 49 t: the unit is wrong, or the mass must be said."""
    assert told(asked(folder, MESH.replace("mesh_unit: mm", "mesh_unit: inch"))) == ["mesh_mass"]


def test_a_round_part_has_diameter_and_length(folder: Path) -> None:
    """Across the corners of the polygon."""
    part = part_in(asked(folder, MESH.replace("bracket", "bar"), shape="round"))

    assert sides_mm(part) == pytest.approx((120.0, 60.0, 60.0))


def test_what_was_said_counts_and_what_differs_is_asked(folder: Path) -> None:
    """2.4 kg against 3.01 kg of steel is asked about, and counts; the size agrees."""
    path = asked(folder, SAID + MESH)

    assert part_in(path).raw_mass_kg.value == 2.4
    assert odd_codes(path) == {"mesh_mass_other"}


@pytest.mark.parametrize(("height", "codes"), [("41.9 mm", set()), ("42.1 mm", {"mesh_size_other"})])
def test_five_percent_of_a_side_are_left(folder: Path, height: str, codes: set[str]) -> None:
    """The sides in any order; the mass is that of the mesh, and agrees with itself."""
    path = asked(folder, f"    raw: 80 x 120 x {height}\n" + MESH)

    assert odd_codes(path) == codes


def test_a_mesh_of_the_finished_part_stands_in_for_that(folder: Path) -> None:
    """The raw part is asked for as ever; finished size and mass are measured."""
    finished = MESH.replace("mesh_is: raw", "mesh_is: finished")
    part = part_in(asked(folder, "    raw: 130 x 90 x 50 mm\n    raw_mass: 4.6 kg\n" + finished))

    assert part.finished.height_m.value == pytest.approx(0.04)
    assert (part.finished.height_m.basis, part.finished_mass_kg.basis) == ("measured", "measured")
    assert part.finished_mass_kg.value == pytest.approx(3.0144)
    assert told(asked(folder, finished)) == ["missing_key", "missing_key"]


def test_a_judged_mass_needs_no_material(folder: Path) -> None:
    """Without it the mesh alone has none; what the engineer puts in its place is enough."""
    path = asked(folder, MESH.replace("    material: steel\n", ""))
    assert told(path) == ["mesh_no_material"]

    judged = "judged:\n  parts.bracket.raw_mass: {value: 3 kg, reason: weighed}\n"
    path.write_text(path.read_text(encoding="utf-8") + judged, encoding="utf-8")
    part = part_in(path)

    assert (part.raw_mass_kg.value, part.raw_mass_kg.basis) == (3.0, "judged")
    assert part.mesh is not None
    assert part.mesh.mass_kg is None


def test_a_link_out_and_a_large_file_are_refused(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """As for every file that an inquiry names."""
    outside = tmp_path_factory.mktemp("outside") / "secret.stl"
    box((1.0, 1.0, 1.0)).export(outside)
    (folder / "link.stl").symlink_to(outside)
    with (folder / "large.stl").open("wb") as stream:
        stream.truncate(LIMIT_MB * 1_000_000 + 1)

    assert told(asked(folder, MESH.replace("bracket.stl", "link.stl"))) == ["mesh_link"]
    assert told(asked(folder, MESH.replace("bracket.stl", "large.stl"))) == ["mesh_large"]


def test_who_does_not_say_what_the_mesh_shows_is_asked(folder: Path) -> None:
    """It is taken for the raw part, as an assumption with a question."""
    mesh = part_in(asked(folder, MESH.replace("    mesh_is: raw\n", ""))).mesh

    assert mesh is not None
    assert (mesh.state.value, mesh.state.basis) == ("raw", "assumed")
    assert mesh.state.question is not None


def test_densities_are_the_figures_that_all_else_uses() -> None:
    """One for each material, none of them written twice."""
    known = figures([])

    for material in MATERIALS:
        row, fact = assumptions()[f"parts.*.mesh.density@{material}"], known[f"density_{material}_kg_m3"]
        assert (row.value, row.unit, row.source) == (fact.value, fact.unit, fact.source)


def test_check_tells_what_the_mesh_says(folder: Path) -> None:
    """Sides, volume, mass, centre of gravity and the distance of the likely grip faces."""
    result = CliRunner().invoke(group, ["check", str(asked(folder, MESH))])
    said = " ".join(result.stdout.partition("Meshes\n------\n")[2].partition("\n\n")[0].split())

    assert result.exit_code == 0
    assert said == (
        "- bracket, bracket.stl (raw part): 120 x 80 x 40 mm as it lies in the file; least box 120 x 80 x 40 mm; "
        "volume 384 cm3; mass 3.014 kg; centre of gravity at 0, 0, 0 mm; likely grip faces 40 mm apart, 96 cm2 each."
    )
