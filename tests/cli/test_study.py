"""`millhand study` and `millhand today`: what they take, what they write, and how they end."""

import io
import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from millhand import whole
from millhand.catalogue.components import read_catalogue
from millhand.cli import study as study_command
from millhand.cli import today as today_command
from millhand.cli.main import group
from millhand.errors import NotYet
from millhand.model.catalogue import Catalogue
from millhand.model.study import Study
from millhand.report.study_json import study_as_json
from millhand.run import LocalRunner
from millhand.stages.spread import Asked
from tests.report.fixture_study import study
from tests.report.test_terminal import decided

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "1_two_mills" / "inquiry.yaml"


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> dict[str, object]:
    """The fixture study in the place of a real one, and with what it was asked for."""
    seen: dict[str, object] = {"answer": study()}

    def made(inquiry: object, catalogue: Catalogue, **rest: object) -> Study:
        seen.update(rest, inquiry=inquiry, catalogue=catalogue)
        found = seen["answer"]
        assert isinstance(found, Study)
        return found

    def serviced(found: Study, inquiry: object, catalogue: Catalogue, **rest: object) -> Study:
        seen.update(serviced=found)
        return found

    def guarded(found: Study, inquiry: object, catalogue: Catalogue, **rest: object) -> Study:
        seen.update(guarded=found)
        return found

    def sized(found: Study, inquiry: object, catalogue: Catalogue, **rest: object) -> Study:
        seen.update(sized=found)
        return found

    def mapped(found: Study, inquiry: object, catalogue: Catalogue, **rest: object) -> Study:
        seen.update(mapped=found)
        return found

    def offered(found: Study, inquiry: object, catalogue: Catalogue) -> Study:
        seen.update(offered=found)
        return found

    monkeypatch.setattr(whole, "study", made)
    monkeypatch.setattr(whole, "with_ways_by_hand", serviced)
    monkeypatch.setattr(whole, "with_safeguarding", guarded)
    monkeypatch.setattr(whole, "with_sizing", sized)
    monkeypatch.setattr(whole, "with_maps", mapped)
    monkeypatch.setattr(whole, "with_offers", offered)
    monkeypatch.setattr(today_command, "study", made)
    return seen


def run(*words: str) -> Result:
    """The command with the example and these words."""
    return CliRunner().invoke(group, [words[0], str(EXAMPLE), *words[1:]])


def test_without_out_nothing_is_written(
    asked: dict[str, object], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The summary goes to standard output, nothing to standard error."""
    monkeypatch.chdir(tmp_path)
    result = run("study")

    assert list(tmp_path.iterdir()) == []

    assert result.exit_code == 0
    assert "Load by a cell" in result.stdout
    assert result.stderr == ""
    assert asked["seed"] == 1


def test_out_writes_the_folder_and_names_it(asked: dict[str, object], tmp_path: Path) -> None:
    """Seed and workers reach the study; the report is named."""
    result = run("study", "--out", str(tmp_path / "out"), "--seed", "7", "--workers", "3")

    assert result.exit_code == 0
    assert (tmp_path / "out" / "report.html").is_file()
    assert str(tmp_path / "out" / "report.html") in result.stdout.replace("\n", "")
    assert asked["seed"] == 7
    assert asked["runner"] == LocalRunner(workers=3)


def test_json_is_the_whole_study_and_nothing_else(asked: dict[str, object]) -> None:
    """The bytes of study.json on standard output."""
    assert run("study", "--json").stdout == study_as_json(study())


def test_fewer_and_more_machines_are_looked_at_in_every_study(asked: dict[str, object]) -> None:
    """The study that was made is the one that gets the table."""
    run("study")

    assert asked["serviced"] is asked["answer"]


def test_a_foreign_folder_is_refused_before_the_work(asked: dict[str, object], tmp_path: Path) -> None:
    """Exit 1 at once, and nothing was studied."""
    (tmp_path / "notes.txt").touch()

    result = run("study", "--out", str(tmp_path))

    assert result.exit_code == 1
    assert "holds notes.txt, which is no part of a study" in result.stderr
    assert "seed" not in asked


@pytest.mark.parametrize(("flag", "code"), [((), 0), (("--fail-on-no",), 3)])
def test_a_no_ends_with_its_code_only_where_asked_for(
    asked: dict[str, object], flag: tuple[str, ...], code: int
) -> None:
    """The answer is printed all the same."""
    asked["answer"] = decided(answer="no", winner="today")

    result = run("study", *flag)

    assert result.exit_code == code
    assert "Do not automate now" in result.stdout
    assert ("the answer is no" in result.stderr) == bool(flag)


def test_a_yes_ends_well_with_the_flag_too(asked: dict[str, object]) -> None:
    """--fail-on-no is about a no."""
    assert run("study", "--fail-on-no").exit_code == 0


def test_the_proposal_is_written_as_asked_for(asked: dict[str, object], tmp_path: Path) -> None:
    """Language, form, paper and date reach it."""
    company = str(EXAMPLE.parents[1] / "company.yaml")
    words = ("--lang", "de", "--form", "short", "--company", company, "--on", "2027-01-31",
             "--number", "P-0099", "--revision", "C")  # fmt: skip

    result = run("study", "--out", str(tmp_path / "out"), *words)
    made = (tmp_path / "out" / "proposal.pdf").read_bytes()

    assert result.exit_code == 0
    assert b"(de)" in made
    assert b"20270131" in made
    page = PdfReader(io.BytesIO(made)).pages[0].extract_text()
    assert all(each in page for each in ("P-0099", "Example Cells"))
    assert re.search(r"\bC\b", page)
    assert "P-0012" not in page


def test_a_company_file_that_cannot_be_used_is_told_before_the_work(asked: dict[str, object], tmp_path: Path) -> None:
    """Exit 2 with the place and the cure, and no study is made."""
    (tmp_path / "us.yaml").write_text("nmae: Sample Cells\n", encoding="utf-8")

    result = run("study", "--company", str(tmp_path / "us.yaml"))

    assert result.exit_code == 2
    assert "us.yaml:1:1: read 'nmae'; write one of name, address" in result.stderr
    assert "inquiry" not in asked


def test_asking_for_what_is_done_anyway_is_no_trouble(asked: dict[str, object]) -> None:
    """English, and one's own copy."""
    assert run("study", "--lang", "en", "--copy", "own").exit_code == 0


@pytest.mark.parametrize("command", ["study", "today"])
def test_an_inquiry_that_is_not_there_is_wrong_input(command: str, tmp_path: Path) -> None:
    """Exit 2, with the file's name."""
    result = CliRunner().invoke(group, [command, str(tmp_path / "none.yaml")])

    assert result.exit_code == 2
    assert "none.yaml" in result.stderr


def test_own_prices_and_components_reach_the_catalogue(
    asked: dict[str, object], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The files are read where the catalogue is read."""
    seen: dict[str, object] = {}

    def reading(**files: object) -> Catalogue:
        seen.update(files)
        return read_catalogue()

    monkeypatch.setattr(study_command, "read_catalogue", reading)
    own, prices, past = (tmp_path / f"{name}.csv" for name in "cpd")
    run("study", "--prices", str(prices), "--components", str(own), "--past", str(past))

    assert seen == {"prices": prices, "components": (own,), "past": past}


def test_today_looks_at_no_cell(asked: dict[str, object]) -> None:
    """The catalogue has no components left, but its figures and the changes by hand."""
    result = run("today")

    catalogue = asked["catalogue"]
    assert isinstance(catalogue, Catalogue)
    assert result.exit_code == 0
    assert not catalogue.components
    assert catalogue.figures
    assert catalogue.hand_changes
    assert "Elements of one load" in result.stdout


def test_today_as_json_holds_its_figures_as_ids(asked: dict[str, object]) -> None:
    """Each id is a key of the map of facts beside them."""
    found = json.loads(run("today", "--json").stdout)

    assert found["today"] == {
        "cost": "concepts.today.case.labour_a_part", "hour_cost": "people.wage", "parts_per_y": "parts.bracket.orders",
    }  # fmt: skip
    assert set(found["today"].values()) <= set(found["facts"])
    assert found["results"][0]["concept"]["id"] == "today"


def test_a_thing_that_cannot_be_computed_ends_in_one(asked: dict[str, object], monkeypatch: pytest.MonkeyPatch) -> None:
    """A stage that refuses by name ends the command in exit 1 with its words."""

    def refused(*_: object, **__: object) -> Study:
        raise NotYet("two arms on one track")

    monkeypatch.setattr(whole, "study", refused)
    result = run("study")

    assert result.exit_code == 1
    assert result.stderr == "millhand: this version cannot compute two arms on one track yet.\n"


def test_the_real_road_of_today_ends_in_an_answer() -> None:
    """Nothing put in its place: the example's today, from the file to the chart."""
    result = run("today")

    assert result.exit_code == 0, result.stderr
    assert "loss that nothing here explains" in result.stdout
    assert "hands on parts" in result.stdout
    assert "Better by hand" in result.stdout


def test_the_number_of_draws_is_handed_on(asked: dict[str, object]) -> None:
    """As usual, or as told; cells are simulated again in no more of them than there are, and too few are refused."""
    run("study")
    assert asked["asked"] == Asked(count=200, seed=1, resimulated=24)
    run("study", "--draws", "1000", "--seed", "7")
    assert asked["asked"] == Asked(count=1000, seed=7, resimulated=24)
    run("study", "--draws", "12")
    assert asked["asked"] == Asked(count=12, seed=1, resimulated=12)

    refused = run("study", "--draws", "5")
    assert refused.exit_code == 2
    assert "10<=x<=100000" in refused.stderr
