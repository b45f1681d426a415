"""Measure named figures and keep each as one line of benchmarks/results.jsonl.

    python -m benchmarks.run --figure help_start --rounds 21

A figure is a ratio of two things measured in turn in one run, so that the drift of a busy machine falls on both alike.
The exit code is 1 where a figure misses its gate.
"""

import argparse
import json
import os
import platform
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from importlib import import_module
from pathlib import Path

from benchmarks.measuring import Line, Pair, median_line, paired_ratios, process, rounded, seconds_of
from benchmarks.opponents import NoCompiler

RESULTS = Path(__file__).resolve().with_name("results.jsonl")
TOP = Path(__file__).resolve().parents[1]
CODE = "MILLHAND_CODE"  # where machine code is kept; the tests' folder, if nobody says another


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One line of the results: the median of the rounds with the interval that holds it 95 times in 100."""

    figure: str
    value: float
    low: float | None
    high: float | None
    unit: str
    rounds: int
    command: str
    date: str
    commit: str
    machine_class: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What is measured under one name, one line or several, and in how many rounds if nobody says."""

    lines: Callable[[int], Iterable[Line]]
    rounds: int = 11


def help_start(rounds: int) -> Iterator[Line]:
    """The start of a process that shows its help."""
    ours = seconds_of(process(sys.executable, "-m", "millhand", "--help"))
    other = seconds_of(process(sys.executable, "-c", "pass"))
    ratios = paired_ratios(Pair(ours=ours, other=other), rounds=rounds)
    yield median_line("help_start", ratios, unit="times a bare interpreter's start")


def lines_of(place: str, name: str) -> Callable[[int], Iterable[Line]]:
    """The figure from a module that is loaded when the figure is asked for."""

    def lines(rounds: int) -> Iterable[Line]:
        found: Iterable[Line] = getattr(import_module(f"benchmarks.{place}"), name)(rounds)
        return found

    return lines


FIGURES = {
    "help_start": Figure(lines=help_start, rounds=21),
    "kernel_right": Figure(lines=lines_of("kernel_right", "right"), rounds=1),
    "kernel_to_cpp": Figure(lines=lines_of("kernel_figures", "to_cpp")),
    "kernel_to_simpy": Figure(lines=lines_of("kernel_figures", "to_simpy")),
    "kernel_machines": Figure(lines=lines_of("kernel_figures", "machines")),
    "kernel_sweep": Figure(lines=lines_of("kernel_figures", "sweep"), rounds=1),
    "kernel_scaling": Figure(lines=lines_of("kernel_scaling", "scaling")),
    "kernel_memory": Figure(lines=lines_of("kernel_start", "memory"), rounds=1),
    "kernel_start": Figure(lines=lines_of("kernel_start", "start")),
    "kernel_log_on": Figure(lines=lines_of("kernel_figures", "log_on")),
    "kernel_log_off": Figure(lines=lines_of("kernel_figures", "log_off")),
    "schedule_hoist": Figure(lines=lines_of("schedule_figures", "hoist"), rounds=7),
    "schedule_eight": Figure(lines=lines_of("schedule_figures", "eight"), rounds=3),
    "schedule_two_arms": Figure(lines=lines_of("schedule_figures", "two_arms"), rounds=1),
    "schedule_sixty": Figure(lines=lines_of("schedule_figures", "sixty"), rounds=3),
    "pose_inverse": Figure(lines=lines_of("pose_figures", "inverse_poses")),
    "placing_sixty": Figure(lines=lines_of("placing_figures", "sixty"), rounds=3),
    "part_list": Figure(lines=lines_of("part_list_figures", "two_thousand"), rounds=5),
    "desk_pages": Figure(lines=lines_of("desk_figures", "pages")),
    "desk_sliders": Figure(lines=lines_of("desk_figures", "sliders"), rounds=1),
    "cashflow_draws": Figure(lines=lines_of("cashflow_figures", "draws")),
    "uncertainty": Figure(lines=lines_of("uncertainty_figures", "whole"), rounds=1),
    "kernel_to_head": Figure(lines=lines_of("kernel_figures", "to_head")),
}


def measured(line: Line, *, command: str) -> Measured:
    """A figure with all that says where and how it was measured."""
    return Measured(
        figure=line.figure,
        value=rounded(line.value),
        low=None if line.low is None else rounded(line.low),
        high=None if line.high is None else rounded(line.high),
        unit=line.unit,
        rounds=line.rounds,
        command=command,
        date=date.today().isoformat(),
        commit=commit(),
        machine_class=f"{os.cpu_count()} cores, {platform.machine()}, Python {platform.python_version()}",
    )


def commit() -> str:
    """The commit that was measured, marked where the sources differ from it; the results themselves do not count."""
    own = ("--", ".", ":!benchmarks/results.jsonl")
    found = git("describe", "--always", "--abbrev=12") or "unknown"
    return f"{found}-dirty" if git("status", "--porcelain", *own) else found


def git(*words: str) -> str:
    """What git says of the project, nothing where it is not under git."""
    found = subprocess.run(["git", "-C", str(TOP), *words], capture_output=True, text=True, check=False)
    return found.stdout.strip()


def kept(name: str, *, rounds: int) -> bool:
    """Measure a figure, print each of its lines and add it to the results; False where one misses its gate."""
    met = True
    command = f"make bench FIGURE={name} ROUNDS={rounds}"
    for line in FIGURES[name].lines(rounds):
        text = json.dumps(asdict(measured(line, command=command)), ensure_ascii=False)
        print(text, flush=True)
        with RESULTS.open("a", encoding="utf-8") as results:
            results.write(text + "\n")
        if line.gate is not None:
            print(f"{line.figure} = {line.value:.3g}; {line.gate.words(line.value)}", flush=True)
            met &= line.gate.met(line.value)
    return met


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure what the command line asks for; 1 where a gate is missed or a program is missing."""
    reader = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    reader.add_argument("--figure", default="all", choices=["all", *FIGURES])
    reader.add_argument("--rounds", type=int, help="of each figure, instead of as many as it needs")
    asked = reader.parse_args(arguments)
    os.environ.setdefault(CODE, str(TOP / "build" / "code"))
    names = list(FIGURES) if asked.figure == "all" else [asked.figure]
    try:
        met = [kept(name, rounds=asked.rounds or FIGURES[name].rounds) for name in names]
    except NoCompiler as missing:
        print(missing, file=sys.stderr)
        return 1
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
