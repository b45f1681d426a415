"""The fixed opponents of the kernel (benchmarks/reference), compiled and run as their README says."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

REFERENCE = Path(__file__).with_name("reference")
STARTS = 5
OPTIONS = ("-std=c++17", "-O3", "-march=native")
SIMPY = (sys.executable, str(REFERENCE / "reference_simpy.py"))


class NoCompiler(Exception):
    """The C++ program cannot be compiled here; the words say what to install."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """One of the two programs, ready to run."""

    words: tuple[str, ...]

    def report(self, *, replications: int, days: int, seed: int = 1) -> dict[str, Any]:
        """What the program prints: parts, its own seconds without start and printing, and its figures."""
        return reports([self], replications=replications, days=days, seed=seed)[0]


@contextmanager
def cpp() -> Iterator[Program]:
    """reference.cpp, compiled into a temporary folder."""
    if shutil.which("g++") is None:
        raise NoCompiler("g++ is missing; install it with: sudo apt-get install -y g++")
    with tempfile.TemporaryDirectory() as folder:
        program = str(Path(folder) / "reference")
        subprocess.run(["g++", *OPTIONS, "-o", program, str(REFERENCE / "reference.cpp")], check=True)
        yield Program(words=(program,))


def simpy() -> Program:
    """reference_simpy.py, run by this interpreter."""
    return Program(words=SIMPY)


def reports(programs: Sequence[Program], *, replications: int, days: int, seed: int = 1) -> list[dict[str, Any]]:
    """What programs print that run side by side, and the processor's time of each as `processor_s`."""
    options = ("--replications", str(replications), "--days", str(days), "--seed", str(seed))
    return list(map(ended, [subprocess.Popen([*each.words, *options], stdout=subprocess.PIPE) for each in programs]))


def ended(process: "subprocess.Popen[bytes]") -> dict[str, Any]:
    """What a program has printed at its end, and how much of the processor's time it took with start and printing."""
    assert process.stdout is not None
    with process.stdout:
        text = process.stdout.read()
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, process.args)
    return {**json.loads(text), "processor_s": usage.ru_utime + usage.ru_stime}


def rate_by_clock(report: dict[str, Any]) -> float:
    """Parts a second, by the program's own clock."""
    return float(report["parts"]) / float(report["seconds"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Rated:
    """A program whose start and printing are known, so that its simulation alone can be told in processor's time."""

    program: Program
    start_s: float

    def seconds(self, *, replications: int, days: int) -> float:
        """The processor's time of the simulation."""
        return self._taken(self.program.report(replications=replications, days=days))

    def parts_per_s(self, *, replications: int, days: int) -> float:
        """Parts a second of the processor's time."""
        report = self.program.report(replications=replications, days=days)
        return float(report["parts"]) / self._taken(report)

    def _taken(self, report: dict[str, Any]) -> float:
        """Never nothing: a short run may be no longer than a start."""
        return max(float(report["processor_s"]) - self.start_s, 1e-4)


def rated(program: Program) -> Rated:
    """The least of a few runs of one day, which is nearly nothing, is the start."""
    starts = [program.report(replications=1, days=1)["processor_s"] for _ in range(STARTS)]
    return Rated(program=program, start_s=min(starts))
