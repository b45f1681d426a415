"""`millhand schedule` for a cell that has lots to finish: what it prints, draws and refuses."""

import json
from pathlib import Path
from xml.etree import ElementTree

from click.testing import CliRunner, Result

from millhand.cli.main import group
from millhand.cli.schedule_lots import Teller, telling

CELLS = Path("examples/cells")


def run(*arguments: str) -> Result:
    """The command with these arguments."""
    return CliRunner().invoke(group, ["schedule", *arguments])


def small(folder: Path, **changes: object) -> str:
    """The job shop of 1963 with its first two jobs only: found at once."""
    data = json.loads((CELLS / "job_shop_6_by_6.json").read_text(encoding="utf-8"))
    data["parts"] = {name: data["parts"][name] for name in ("job1", "job2")} | changes
    path = folder / "small.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    return str(path)


def test_the_answer_names_makespan_gap_and_what_holds_it_up(tmp_path: Path) -> None:
    """Job 2 alone takes 47 s, and job 1 fits beside it."""
    lines = run(small(tmp_path)).stdout.splitlines()

    assert "makespan         all 2 parts are out after 47 s" in lines
    assert "time per part    23.5 s" in lines
    assert "found            bound by load (proven)" in lines
    assert "gap to the bound 0 %: no plan takes less than 47 s" in lines
    assert "held up by       m5 10 s, m6 10 s, m1 10 s, m2 8 s, m3 5 s, m4 4 s" in lines
    assert all(len(line) <= 80 for line in lines)


def test_a_supply_that_gives_several_jobs_says_in_which_order(tmp_path: Path) -> None:
    """Where somebody lifts them the order of the file binds; parts that leave by themselves all leave at once."""
    data = json.loads((CELLS / "job_shop_two_vehicles.json").read_text(encoding="utf-8"))
    data["parts"] = {name: data["parts"][name] for name in ("job1", "job2")}
    for part in data["parts"].values():
        part["route"][0]["at"] = ["raw1"]
    path = tmp_path / "one_supply.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    told = run(str(path)).stdout.splitlines()

    assert "order            raw1 gives job1, job2 lot after lot, in this order; with a" in told
    assert "                 supply for each they may begin in any order" in told
    assert not [line for line in run(small(tmp_path)).stdout.splitlines() if line.startswith("order")]


def test_the_same_as_json(tmp_path: Path) -> None:
    """Goal, least and makespan in grid steps, every arc without laps."""
    answer = json.loads(run(small(tmp_path), "--json").stdout)

    assert answer["goal"] == "makespan"
    assert (answer["period_steps"], answer["least_steps"]) == (47, 47)
    assert {arc["laps"] for arc in answer["arcs"]} == {0}


def test_the_chart_is_drawn(tmp_path: Path) -> None:
    """One lane for each machine."""
    chart = tmp_path / "chart.svg"
    run(small(tmp_path), "--chart", str(chart))
    words = "".join(ElementTree.fromstring(chart.read_text(encoding="utf-8")).itertext())

    assert all(f"m{number}" in words for number in range(1, 7))


def test_lots_that_cannot_be_finished_are_told_with_their_cure(tmp_path: Path) -> None:
    """One part, and a machine that works on two at once only."""
    path = Path(small(tmp_path))
    data = json.loads(path.read_text(encoding="utf-8"))
    data["stations"]["m1"]["batch"] = 2
    path.write_text(json.dumps(data), encoding="utf-8")
    result = run(str(path))

    assert result.exit_code == 2
    assert "/parts/job1/lot: read '1 parts, loads of 2'; write a multiple of 2" in result.stderr


def written(*, terminal: bool) -> str:
    """What a teller writes in the first half second, after two seconds without and then with a plan, and at the end."""
    seconds = iter([0.5, 2.0, 5.0])
    with CliRunner().isolation() as (_, errors, _):
        teller = Teller(grid_s=0.1, terminal=terminal, clock=lambda: next(seconds))
        teller.say()
        teller.better(None, 50)
        teller.say()
        teller.better(90, 50)
        teller.say()
        teller.close()
        return errors.getvalue().decode()


def test_a_search_says_how_far_it_is() -> None:
    """Nothing in the first second; then the best plan and the bound, whether they changed or not."""
    assert written(terminal=False).splitlines() == [
        "searching for 2 s: no plan yet, none is shorter than 5 s",
        "searching for 5 s: 9 s found, none is shorter than 5 s",
    ]


def test_on_a_terminal_the_line_is_written_over() -> None:
    """One line, from its beginning each time, and at the end the cursor is there again."""
    told = written(terminal=True)

    assert "\n" not in told
    assert told.endswith("\rsearching for 5 s: 9 s found, none is shorter than 5 s\r")


def test_a_search_that_finds_nothing_says_so_too() -> None:
    """The line comes by itself, again and again."""
    with CliRunner().isolation() as (_, errors, _):
        teller = Teller(grid_s=0.1, terminal=False, started_s=-10.0, clock=lambda: 0.0)
        with telling(teller, every_s=0.001):
            while errors.getvalue().count(b"searching") < 3:
                pass

    assert teller.said
