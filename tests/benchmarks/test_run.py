"""The measuring itself: paired rounds, the interval of a median, the line that is kept."""

import json
from dataclasses import fields
from pathlib import Path

import pytest

from benchmarks.run import FIGURES, Figure, Measured, main, median_interval, paired_ratios

# Ranks (from 1) of the two-sided interval of a median with at least 95 %: sums of binomial(n, 1/2), added by hand.
RANKS = {6: (1, 6), 9: (2, 8), 15: (4, 12), 21: (6, 16)}


@pytest.mark.parametrize(("count", "ranks"), RANKS.items())
def test_interval_of_a_median_stands_at_the_binomial_ranks(count: int, ranks: tuple[int, int]) -> None:
    """Among 1..n the interval is the ranks themselves."""
    assert median_interval(list(range(count, 0, -1))) == ranks


def test_with_few_rounds_the_interval_is_all_there_is() -> None:
    """Fewer than six values cannot hold a median 95 times in 100."""
    assert median_interval([3.0, 1.0, 2.0]) == (1.0, 3.0)


def test_each_round_times_both_and_changes_who_goes_first() -> None:
    """One warming round, then pairs in turn."""
    order: list[str] = []
    figure = Figure(unit="times", ours=lambda: order.append("ours"), other=lambda: order.append("other"))

    assert len(paired_ratios(figure, rounds=2)) == 2
    assert order == ["ours", "other", "ours", "other", "other", "ours"]


def test_a_measurement_adds_one_whole_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The line that is printed is the line that is kept, with every field."""
    results = tmp_path / "results.jsonl"
    results.write_text("{}\n", encoding="utf-8")
    monkeypatch.setattr("benchmarks.run.RESULTS", results)
    loops = Figure(unit="times", ours=lambda: sum(range(200_000)), other=lambda: sum(range(1_000)))
    monkeypatch.setitem(FIGURES, "loops", loops)

    main(["--figure", "loops", "--rounds", "7"])

    kept = results.read_text(encoding="utf-8").splitlines()
    line = json.loads(kept[1])
    assert kept == ["{}", capsys.readouterr().out.strip()]
    assert set(line) == {field.name for field in fields(Measured)}
    assert line["low"] <= line["value"] <= line["high"]
    assert line["value"] > 1.0
