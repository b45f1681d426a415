"""The fixed opponents of the kernel (benchmarks/reference), compiled and run as their README says."""

import json
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
    """What programs print that run side by side."""
    options = ("--replications", str(replications), "--days", str(days), "--seed", str(seed))
    started = [subprocess.Popen([*each.words, *options], stdout=subprocess.PIPE, text=True) for each in programs]
    texts = [each.communicate()[0] for each in started]
    for each in started:
        if each.returncode:
            raise subprocess.CalledProcessError(each.returncode, each.args)
    return [json.loads(text) for text in texts]


def rate(report: dict[str, Any]) -> float:
    """Parts a second."""
    return float(report["parts"]) / float(report["seconds"])
