"""`millhand schedule`: what it prints, draws and refuses."""

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from millhand.cli.main import group
from millhand.intake.cell import read_cell
from millhand.model.canonical import content_hash

CELLS = Path("examples/cells")
SVG = "{http://www.w3.org/2000/svg}"


def run(*arguments: str) -> Result:
    """The command with these arguments."""
    return CliRunner().invoke(group, ["schedule", *arguments])


def test_the_answer_names_period_pace_and_proof() -> None:
    """The operator with two mills: 429 s for two parts, the mills set the pace, nothing can be faster."""
    result = run(str(CELLS / "one_operator_two_mills.json"))

    assert result.exit_code == 0
    assert "period           429 s for 2 parts\n" in result.stdout
    assert "time per part    214.5 s\n" in result.stdout
    assert "parts per hour   16.783 while nothing goes wrong\n" in result.stdout
    assert "gap to the bound 0 %\n" in result.stdout
    assert "circuit          mill2 384 s, operator1 45 s\n" in result.stdout
    assert "By load the pace is set by mill1 and mill2; next is operator1 at 49 % of it.\n" in result.stdout
    assert "No more than 16.314 parts per hour while open, 16.151 of them good.\n" in result.stdout
    assert "  duty deburr: its mean load is in the bound\n" not in result.stdout  # it comes with each part
    assert "  duty gauge: its mean load is in the bound\n" in result.stdout


def near_tie(folder: Path) -> Path:
    """A copy of a published cell in which two machines are nearly as busy."""
    data = json.loads((CELLS / "published_two_grippers_a.json").read_text(encoding="utf-8"))
    data["parts"]["part"]["route"][3]["time_s"] = 34.5
    path = folder / "near_tie.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


def test_two_resources_within_five_percent_are_both_named(tmp_path: Path) -> None:
    """35 s and 34.5 s: who mends only the first gains next to nothing."""
    result = run(str(near_tie(tmp_path)))

    assert "By load the pace is set by m2, and nearly as much by m3.\n" in result.stdout


def test_the_chart_fits_the_terminal_and_tells_states_by_characters() -> None:
    """80 columns, one lane for the arm and one for each machine."""
    lines = run(str(CELLS / "published_series_b_additive.json")).stdout.splitlines()

    assert all(len(line) <= 80 for line in lines if not line.startswith("found"))
    arm = next(line for line in lines if line.startswith("arm "))
    machine = next(line for line in lines if line.startswith("m1 "))
    assert {"#", ">", "-", "."} <= set(arm)
    assert {"#", "=", "_"} <= set(machine)
    assert "= working  # hands on  > carrying  - travelling  . waiting  _ empty" in lines
    assert "| edge of the cycle  ~ goes on over it" in lines


def test_json_is_the_whole_schedule() -> None:
    """Every field of the record, and the same bytes each time."""
    first, second = (run(str(CELLS / "phillips_unger_1976.json"), "--json", "--parts", "1").stdout for _ in range(2))
    read = json.loads(first)

    assert first == second
    assert (read["period_steps"], read["grid_s"], read["proven"]) == (521, 1, True)
    assert set(read) >= {"cell", "bounds", "events", "arcs", "critical", "how", "left_out"}


def test_the_drawing_holds_every_lane_and_an_axis(tmp_path: Path) -> None:
    """Patterns instead of colours, a name for each lane, ticks up to the end of the period."""
    path = tmp_path / "chart.svg"
    result = run(str(CELLS / "published_series_b_additive.json"), "--chart", str(path))
    drawing = ElementTree.parse(path).getroot()
    words = [each.text for each in drawing.iter(f"{SVG}text")]

    assert result.exit_code == 0
    assert {"arm", "m1", "m2", "m3", "0", "20", "31 s", "working", "carrying"} <= set(words)
    fills = {each.get("fill") for each in drawing.iter(f"{SVG}rect")}
    assert {"url(#working)", "url(#handled)", "url(#travelling)"} <= fills
    patterns = {each.get("id") for each in drawing.iter(f"{SVG}pattern")}
    assert {fill.removeprefix("url(#").removesuffix(")") for fill in fills if fill and "url" in fill} <= patterns


def with_pieces(folder: Path) -> Path:
    """A cell whose second machine uses up parts out of a rack that they pass."""
    data = json.loads((CELLS / "published_two_grippers_a.json").read_text(encoding="utf-8"))
    data["stations"]["screws"] = {"kind": "store", "capacity": 9, "place": data["stations"]["m1"]["place"]}
    rack = {"who": list(data["attendants"]), "at": ["screws"], "pick": {"hold_s": 1}, "place": {"hold_s": 1}}
    data["handling"].append(rack)
    route = data["parts"]["part"]["route"]
    route.insert(2, {"at": ["screws"]})
    route[3]["uses"] = {"screws": 1}
    path = folder / "pieces.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


def test_what_cannot_be_scheduled_is_refused_with_its_bounds(tmp_path: Path) -> None:
    """Exit 1, the name of what is missing on standard error, the load bounds on standard output."""
    result = run(str(with_pieces(tmp_path)))

    assert result.exit_code == 1
    assert result.stderr == (
        "millhand: /parts/part/route/3/uses: this version cannot compute a schedule in which a step uses pieces "
        "that may run out (screws) yet; write screws as a supply or a store on no part's route.\n"
    )
    assert result.stdout.startswith("By load the pace is set by m2; next is ")


def test_a_tray_that_cannot_be_written_out_stays_empty_in_a_cycle_with_its_bounds(tmp_path: Path) -> None:
    """A buffer before a machine at which somebody stays, with endless places in the machine."""
    data = json.loads((CELLS / "published_two_grippers_a.json").read_text(encoding="utf-8"))
    data["stations"]["m2"] |= {"attended": True, "in_queue": 1, "capacity": None}
    path = tmp_path / "tray.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    result = run(str(path), "--seconds", "1")

    words = " ".join(result.stdout.split())
    assert result.exit_code == 0
    assert "the buffer before m2 stays empty in the cycle, where a run may use it" in words
    assert "not proven to be the best; nothing can be shorter than 27.5 s" in words  # m3 alone, which no tray quickens
    assert "By load the pace is set by m3" in words


def test_the_answer_for_machines_names_the_cell_of_the_file(tmp_path: Path) -> None:
    """Also where a tray is written out as a store before it is scheduled."""
    data = json.loads((CELLS / "published_two_grippers_a.json").read_text(encoding="utf-8"))
    data["stations"]["m2"] |= {"attended": True, "in_queue": 1}
    path = tmp_path / "tray.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    found = json.loads(run(str(path), "--json", "--seconds", "1").stdout)

    assert found["cell"] == content_hash(read_cell(path))


def test_a_refusal_for_machines_holds_the_bounds(tmp_path: Path) -> None:
    """The same as JSON."""
    result = run(str(with_pieces(tmp_path)), "--json")

    read = json.loads(result.stdout)
    assert result.exit_code == 1
    assert "a step uses pieces that may run out (screws)" in read["refused"]
    assert read["bounds"][0]["resource"] == "m2"


def test_a_cell_in_which_nothing_takes_time_is_refused_without_a_figure(tmp_path: Path) -> None:
    """No rate without an end is told."""
    data = json.loads((CELLS / "published_identical_2_machines_one_gripper.json").read_text(encoding="utf-8"))
    text = re.sub(r'("(?:hold_s|time_s)": )[0-9.]+', r"\g<1>0", json.dumps(data))
    still = json.loads(text)
    for table in still["moves"].values():
        table["empty_s"] = [[0] * len(row) for row in table["empty_s"]]
    path = tmp_path / "still.json"
    path.write_text(json.dumps(still), encoding="utf-8")

    result = run(str(path))

    assert result.exit_code == 1
    assert result.stderr == "millhand: this version cannot compute a cycle in which nothing takes any time yet.\n"
    assert result.stdout == "Nothing in this cell takes any time.\n"


def test_a_wrong_file_ends_in_exit_2(tmp_path: Path) -> None:
    """What is wrong and where, on standard error."""
    path = tmp_path / "wrong.json"
    path.write_text('{"format": "millhand-cell/1"}', encoding="utf-8")
    result = run(str(path))

    assert result.exit_code == 2
    assert "wrong.json" in result.stderr


@pytest.mark.parametrize(
    "name", ["one_arm_two_grippers", "reference_cell", "one_operator_two_mills", "phillips_unger_1976"]
)
def test_every_example_is_answered(name: str) -> None:
    """Each cell of the examples has a proven cycle."""
    assert json.loads(run(str(CELLS / f"{name}.json"), "--json", "--parts", "1").stdout)["proven"] is True
