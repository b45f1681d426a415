"""`millhand simulate CELL CELL...`: differences against the first, the best and how surely, in words and JSON."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from millhand.cli.simulate import command
from tests.solvers.kernel.shop import arm_cell

SHORT = ("--hours", "8", "--replications", "5")
CHANCY: Any = {"dist": "lognormal", "mean_s": 100, "cv": 0.5}


@pytest.fixture(scope="module")
def cells(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Three arms with two machines whose loads spread; only the ways differ, the last two nearly not at all."""
    folder = tmp_path_factory.mktemp("cells")
    paths = []
    for name, way_s in (("slow", 9.0), ("quick", 4.0), ("as_quick", 4.001)):
        path = folder / f"{name}.json"
        form = arm_cell(2, way_s=way_s, time_s=CHANCY) | {"name": f"an arm, {name}"}
        path.write_text(json.dumps(form), encoding="utf-8")
        paths.append(str(path))
    return paths


def run(*words: str) -> Result:
    """One call."""
    return CliRunner().invoke(command, list(words))


def test_each_cell_is_compared_with_the_first(cells: list[str]) -> None:
    """Numbers stand for files, whose names stand first; differences have their intervals; no line is too wide."""
    result = run(*cells, *SHORT)

    assert result.exit_code == 0
    words = " ".join(result.stdout.split())
    assert "cell 1" in result.stdout
    assert "an arm, quick" in words
    assert "Replications of 8 h, seed 1 for all cells" in words
    assert "cell 2 less cell 1 +" in words
    assert "cell 3 less cell 1 +" in words
    assert "the best is among cell 2, cell 3" in words
    assert "is taken not to matter" in words
    assert "Left out: no warm-up" in words
    files = [line for line in result.stdout.splitlines() if ".json" not in line]
    assert max(map(len, files)) <= 80


def test_one_that_is_surely_best_is_named(cells: list[str]) -> None:
    """With the chance that holds for the statement."""
    result = run(*cells[:2], *SHORT)

    assert "With a chance of at least 95 % the best is cell 2." in " ".join(result.stdout.split())


def test_a_precision_selects_with_as_many_replications_as_it_takes(cells: list[str]) -> None:
    """The chosen one, and what was taken not to matter."""
    result = run(*cells[:2], *SHORT, "--precision", "0.01")
    words = " ".join(result.stdout.split())

    assert "Chosen is cell 2: with a chance of at least 95 %" in words
    assert "(1 % of the greatest)" in words


def test_a_selection_that_is_cut_short_says_who_is_left(cells: list[str]) -> None:
    """That nothing above a millionth is given away takes more than five replications."""
    result = run(*cells[:2], *SHORT, "--precision", "0.000001", "--most", "5")
    words = " ".join(result.stdout.split())

    assert "No choice yet, the most replications are done: left are cell 1, cell 2" in words


def test_json_holds_every_cell_whole_and_the_comparison(cells: list[str]) -> None:
    """Each cell as it would stand alone, by its label; the same bytes each time."""
    result = run(*cells, *SHORT, "--json")
    told = json.loads(result.stdout)

    assert [each["label"] for each in told["cells"]] == ["cell 1", "cell 2", "cell 3"]
    assert [each["file"] for each in told["cells"]] == cells
    alone = json.loads(run(cells[1], *SHORT, "--json").stdout)
    assert told["cells"][1]["output"] == {key: alone[key] for key in told["cells"][1]["output"]}
    assert told["comparison"]["first"] == "cell 1"
    assert set(told["comparison"]["against_first"]) == {"cell 2", "cell 3"}
    assert set(told["comparison"]["against_first"]["cell 2"]) == {"difference", "pairs", "gain"}
    assert told["comparison"]["standing"]["may_be_best"] == ["cell 2", "cell 3"]
    assert told["comparison"]["selection"] is None
    assert told["warm_up"] == []
    assert run(*cells, *SHORT, "--json").stdout == result.stdout


def test_a_found_warm_up_is_the_same_for_all(cells: list[str]) -> None:
    """The longest cut of the pilots, so that the pairs stay pairs."""
    result = run(*cells[:2], "--hours", "60", "--replications", "2", "--warm-up", "auto", "--json")
    told = json.loads(result.stdout)

    assert len(told["warm_up"]) == 2
    cut_h = max(pilot["cut_h"] for pilot in told["warm_up"])
    assert {each["output"]["horizon_s"] for each in told["cells"]} == {(60 - cut_h) * 3600}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--replications", "1"), "one replication shows no spread; write 2 or more to compare cells."),
        (("--log", "x.jsonl"), "it writes the events of one cell; name one CELL with it."),
    ],
)
def test_what_a_comparison_cannot_have_is_a_wrong_command_line(
    cells: list[str], words: tuple[str, ...], said: str
) -> None:
    """Exit 2, with the cure."""
    result = run(*cells, *words)

    assert result.exit_code == 2
    assert said in result.stderr


def test_a_cell_named_twice_is_a_slip(cells: list[str]) -> None:
    """Exit 2: its difference from itself tells nothing."""
    result = run(cells[0], cells[0])

    assert result.exit_code == 2
    assert "stands there twice; name each cell once." in result.stderr


def test_one_wrong_file_of_several_is_told_by_its_place(cells: list[str], tmp_path: Path) -> None:
    """Exit 2 before anything is simulated."""
    path = tmp_path / "cell.json"
    path.write_text("{}", encoding="utf-8")
    result = run(cells[0], str(path))

    assert result.exit_code == 2
    assert "cell.json" in result.stderr
