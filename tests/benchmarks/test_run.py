"""The measuring itself: paired rounds, the interval of a median, gates, the line that is kept."""

import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path

import pytest

from benchmarks.measuring import Gate, Line, Pair, median_interval, median_line, paired_ratios
from benchmarks.opponents import NoCompiler, Program, Rated, cpp, rate_by_clock
from benchmarks.run import FIGURES, Figure, Measured, main

# Ranks (from 1) of the two-sided interval of a median with at least 95 %: sums of binomial(n, 1/2), added by hand.
RANKS = {6: (1, 6), 9: (2, 8), 15: (4, 12), 21: (6, 16)}


@pytest.fixture
def results(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where lines are kept during a test: a file that holds one already."""
    path = tmp_path / "results.jsonl"
    path.write_text("{}\n", encoding="utf-8")
    monkeypatch.setattr("benchmarks.run.RESULTS", path)
    return path


@pytest.mark.parametrize(("count", "ranks"), RANKS.items())
def test_interval_of_a_median_stands_at_the_binomial_ranks(count: int, ranks: tuple[int, int]) -> None:
    """Among 1..n the interval is the ranks themselves."""
    assert median_interval(list(range(count, 0, -1))) == ranks


def test_with_few_rounds_the_interval_is_all_there_is() -> None:
    """Fewer than six values cannot hold a median 95 times in 100."""
    assert median_interval([3.0, 1.0, 2.0]) == (1.0, 3.0)


def test_each_round_measures_both_and_changes_who_goes_first() -> None:
    """One warming round, then pairs in turn; the figure is the first number over the second."""
    order: list[str] = []

    def side(name: str, value: float) -> float:
        order.append(name)
        return value

    pair = Pair(ours=lambda: side("ours", 6.0), other=lambda: side("other", 3.0))

    assert paired_ratios(pair, rounds=2) == [2.0, 2.0]
    assert order == ["ours", "other", "ours", "other", "other", "ours"]


def test_a_measurement_adds_one_whole_line(
    results: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The line that is printed is the line that is kept, with every field."""

    def lines(rounds: int) -> Iterator[Line]:
        yield median_line("loops", [float(at) for at in range(rounds)], unit="times")

    monkeypatch.setitem(FIGURES, "loops", Figure(lines=lines))

    assert main(["--figure", "loops", "--rounds", "9"]) == 0

    kept = results.read_text(encoding="utf-8").splitlines()
    line = json.loads(kept[1])
    assert kept == ["{}", capsys.readouterr().out.strip()]
    assert set(line) == {field.name for field in fields(Measured)}
    assert (line["low"], line["value"], line["high"], line["rounds"]) == (1.0, 4.0, 7.0, 9)
    assert line["command"] == "make bench FIGURE=loops ROUNDS=9"


@pytest.mark.parametrize(
    ("value", "code", "words"),
    [
        (0.44, 1, "gate at least 0.45: MISSED, aim 0.6: not yet"),
        (0.45, 0, "gate at least 0.45: met, aim 0.6: not yet"),
        (0.6, 0, "gate at least 0.45: met, aim 0.6: met"),
    ],
)
@pytest.mark.usefixtures("results")
def test_a_missed_gate_ends_with_1_and_is_told(
    value: float, code: int, words: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """On both sides of the gate and at it; the aim beyond it is told, not asked for."""
    line = Line(figure="speed", value=value, unit="times", rounds=1, gate=Gate(least=0.45, aim=0.6))
    monkeypatch.setitem(FIGURES, "speed", Figure(lines=lambda rounds: [line]))

    assert main(["--figure", "speed"]) == code
    assert words in capsys.readouterr().out


@pytest.mark.usefixtures("results")
def test_without_a_compiler_the_package_is_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The opponent in C++ says what to install, and the command ends with 1."""
    monkeypatch.setenv("PATH", "")

    def lines(rounds: int) -> Iterator[Line]:
        with cpp():
            yield Line(figure="never", value=0.0, unit="times", rounds=rounds)

    monkeypatch.setitem(FIGURES, "never", Figure(lines=lines))

    assert main(["--figure", "never"]) == 1
    assert capsys.readouterr().err == "g++ is missing; install it with: sudo apt-get install -y g++\n"
    with pytest.raises(NoCompiler, match=r"g\+\+"), cpp():
        pass


def test_a_program_is_timed_by_the_processor_without_its_start() -> None:
    """Of two programs that print the same, the one that only sleeps takes nothing, and a start is taken off."""
    sleeps = "import json, time; time.sleep(0.3); print(json.dumps({'parts': 8, 'seconds': 2.0}))"
    program = Program(words=(sys.executable, "-c", sleeps))
    report = program.report(replications=1, days=1)

    assert rate_by_clock(report) == 4.0
    assert report["processor_s"] > 0
    assert Rated(program=program, start_s=1e6).parts_per_s(replications=1, days=1) == 8 / 1e-4
    with pytest.raises(subprocess.CalledProcessError):
        Program(words=(sys.executable, "-c", "raise SystemExit(1)")).report(replications=1, days=1)
