"""The page's own arm, as it stands there: read, listed, put into a cell that is placed, timed and judged."""

from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from millhand.catalogue.arms import COLUMNS as LINK_COLUMNS
from millhand.catalogue.components import COLUMNS, read_catalogue
from millhand.cli.main import group
from millhand.front import load
from millhand.model.walk import facts_in
from millhand.stages.concepts import CHOICES, Choices, cell_concept, concepts
from millhand.stages.feasibility import verdicts
from millhand.stages.layout import layout
from millhand.stages.timing.build import timing
from millhand.trace import Sheet
from tests.catalogue.robots import SIX, urdf

TOP = Path(__file__).parents[2]
FILE = TOP / "examples" / "1_two_mills" / "inquiry.yaml"


def table_of(heading: str, begins: str) -> str:
    """A table of the page, below its heading."""
    lines = [line.strip() for line in (TOP / "docs" / "catalogue.md").read_text(encoding="utf-8").splitlines()]
    return "\n".join([heading, *dict.fromkeys(line for line in lines if line.startswith(begins))]) + "\n"


@cache
def texts() -> tuple[str, str]:
    """Components and links of the page."""
    return table_of(",".join(COLUMNS), "shop_arm,arm,"), table_of(
        "arm,family,joint,alpha_quarters,moves,a_m,d_m,offset_rad,low,high,speed,accel,source",
        "shop_arm,spherical_wrist,",
    )


@pytest.fixture
def own(tmp_path: Path) -> tuple[Path, Path]:
    """Both as files."""
    paths = tmp_path / "shop.csv", tmp_path / "links.csv"
    for path, text in zip(paths, texts(), strict=True):
        path.write_text(text, encoding="utf-8")
    return paths


def test_the_page_has_both_tables(own: tuple[Path, Path]) -> None:
    """Six joints under the reader's heading; every figure that an arm needs."""
    assert sorted(texts()[1].splitlines()[0].split(",")) == sorted(LINK_COLUMNS)
    assert len(texts()[1].splitlines()) == 7
    assert read_catalogue(components=own).arms["shop_arm"].family == "spherical_wrist"


def test_a_cell_is_made_with_it(own: tuple[Path, Path]) -> None:
    """It is one more choice, takes its place on the floor, and is timed and judged by its own figures."""
    inquiry, catalogue, sheet = load(FILE), read_catalogue(components=own), Sheet()
    names = ("trays", "back_to_tray", "pedestal", "shop_arm", "parallel_double", "fence")
    picked = dict(zip(CHOICES, (catalogue.components[name] for name in names), strict=True))
    concept = cell_concept(Choices(**picked), inquiry, catalogue)
    sheet.extend((*facts_in(inquiry), *facts_in(catalogue)))
    stands = layout(inquiry, concept, catalogue, sheet)
    timed = timing(inquiry, concept, stands, catalogue, sheet)
    found = {each.check: each for each in verdicts(inquiry, concept, stands, timed, sheet)}

    assert concept.id in {each.id for each in concepts(inquiry, catalogue)}
    assert sheet.value(found["payload"].limit) == 16.0
    assert found["reach"].demand
    assert sheet["catalogue.shop_arm.joint_1_speed"].value == 3.1


def test_check_lists_what_is_taken(own: tuple[Path, Path]) -> None:
    """Below the answer: the component and its figures."""
    files = [word for path in own for word in ("--components", str(path))]
    result = CliRunner().invoke(group, ["check", str(FILE), *files])

    assert result.exit_code == 0
    assert "- shop_arm: price, payload_kg, reach_m, repeatability_m, moving_mass_kg," in result.output
    assert "Own components" not in CliRunner().invoke(group, ["check", str(FILE)]).output


def test_check_refuses_what_a_study_would_refuse(own: tuple[Path, Path]) -> None:
    """The arm without its links, at its place, with exit code 2."""
    result = CliRunner().invoke(group, ["check", str(FILE), "--components", str(own[0])])

    assert result.exit_code == 2
    assert "shop.csv:11:1: read 'shop_arm'; write the links and joints of shop_arm in a further file" in result.output


def test_the_catalogue_shows_the_rows_of_a_urdf(own: tuple[Path, Path], tmp_path: Path) -> None:
    """With an arm of 1.6 m its links fit and are listed."""
    path = tmp_path / "arm.urdf"
    path.write_text(urdf(SIX), encoding="utf-8")
    files = ["--components", str(own[0]), "--components", str(path)]
    lines = CliRunner().invoke(group, ["catalogue", "links", *files]).output

    assert "shop_arm: spherical_wrist\n  arm.urdf:1:1, URDF; full speed reached in 0.3 s\n" in lines
    assert "  2 turns: a 0.78, d 0, quarters 0," in lines
