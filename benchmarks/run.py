"""Measure named figures and keep each as one line of benchmarks/results.jsonl.

    python benchmarks/run.py --figure help_start --rounds 21

A figure is a ratio of two things timed in turn in one run, so that the drift of a busy machine falls on both alike.
"""

import argparse
import json
import math
import os
import platform
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

RESULTS = Path(__file__).with_name("results.jsonl")
TOP = RESULTS.parent.parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """Two pieces of work to be timed in turn; the figure is the first one's time over the second one's."""

    unit: str
    ours: Callable[[], object]
    other: Callable[[], object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One line of the results: the median of the ratios with the interval that holds it 95 times in 100."""

    figure: str
    value: float
    low: float
    high: float
    unit: str
    rounds: int
    command: str
    date: str
    commit: str
    machine_class: str


def process(*words: str) -> Callable[[], None]:
    """A whole process, from its start to its end, with its output thrown away."""

    def run() -> None:
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL)

    return run


FIGURES = {
    "help_start": Figure(
        unit="times a bare interpreter's start",
        ours=process(sys.executable, "-m", "millhand", "--help"),
        other=process(sys.executable, "-c", "pass"),
    ),
}


def seconds(work: Callable[[], object]) -> float:
    """Wall-clock time of one piece of work."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def paired_ratios(figure: Figure, *, rounds: int) -> list[float]:
    """One ratio a round, after one round that only warms up; who goes first changes from round to round."""
    for work in (figure.ours, figure.other):
        work()
    ratios = []
    for turn in range(rounds):
        if turn % 2:
            other, ours = seconds(figure.other), seconds(figure.ours)
        else:
            ours, other = seconds(figure.ours), seconds(figure.other)
        ratios.append(ours / other)
    return ratios


def median_interval(values: Sequence[float]) -> tuple[float, float]:
    """The order statistics that hold the median 95 times in 100, whatever the distribution (from the binomial).

    With fewer than six values no pair of them does; then the least and the greatest are given.
    """
    ordered = sorted(values)
    count, tail = len(ordered), 0.0
    for rank in range(count):
        tail += math.comb(count, rank) / 2**count
        if tail > 0.025:
            cut = max(rank - 1, 0)
            return ordered[cut], ordered[count - 1 - cut]
    return ordered[0], ordered[-1]


def measured(name: str, *, rounds: int) -> Measured:
    """The figure of that name, measured now on this machine."""
    ratios = paired_ratios(FIGURES[name], rounds=rounds)
    low, high = median_interval(ratios)
    return Measured(
        figure=name,
        value=rounded(statistics.median(ratios)),
        low=rounded(low),
        high=rounded(high),
        unit=FIGURES[name].unit,
        rounds=rounds,
        command=f"python benchmarks/run.py --figure {name} --rounds {rounds}",
        date=date.today().isoformat(),
        commit=commit(),
        machine_class=f"{os.cpu_count()} cores, {platform.machine()}, Python {platform.python_version()}",
    )


def rounded(value: float) -> float:
    """Three significant digits: more than a busy machine can promise."""
    return float(f"{value:.3g}")


def commit() -> str:
    """The commit that was measured, marked where the sources differ from it."""
    words = ["git", "-C", str(TOP), "describe", "--always", "--dirty", "--abbrev=12"]
    found = subprocess.run(words, capture_output=True, text=True, check=False)
    return found.stdout.strip() or "unknown"


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure what the command line asks for; print each line and add it to the results."""
    reader = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    reader.add_argument("--figure", default="all", choices=["all", *FIGURES])
    reader.add_argument("--rounds", type=int, default=21)
    asked = reader.parse_args(arguments)
    for name in FIGURES if asked.figure == "all" else [asked.figure]:
        line = json.dumps(asdict(measured(name, rounds=asked.rounds)), ensure_ascii=False)
        print(line)
        with RESULTS.open("a", encoding="utf-8") as results:
            results.write(line + "\n")


if __name__ == "__main__":
    main()
