"""Compiled or interpreted, the simulation gives the same bytes: today and surviving ways of an example."""

import hashlib
import os
import pickle
import subprocess
import sys
from pathlib import Path

import pytest

from millhand.model.cell import Cell
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts, counts_of
from millhand.solvers.kernel.running import finished_run
from tests.examples.test_examples import NAMES, done

HOURS, REPLICATIONS = 9.0, 2  # into the hours alone of a day that began at midnight
INTERPRETED = """
import pickle, sys
from tests.agreement.test_interpreted import marks
sys.stdout.write("\\n".join(marks(pickle.load(open(sys.argv[1], "rb")))))
"""


def marks(cells: list[Cell]) -> list[str]:
    """One hash for each cell and replication of all that was counted."""
    return [
        mark(counts_of(finished_run(compiled(cell), round(HOURS * 3600 / cell.grid_s), seed=5, replication=number)))
        for cell in cells
        for number in range(REPLICATIONS)
    ]


def mark(counts: Counts) -> str:
    """The hash of one replication's books."""
    return hashlib.sha256(repr(counts).encode()).hexdigest()


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES[2:3])
def test_the_interpreted_path_gives_the_same_bytes(name: str, tmp_path: Path) -> None:
    """Two replications of some two or three cells of the example's study, in a process that compiles nothing."""
    alive = [each.cell for each in done(name).results if each.cell is not None]
    cells = alive[:: max(1, len(alive) // 2)]
    kept = tmp_path / "cells"
    kept.write_bytes(pickle.dumps(cells))
    plain = subprocess.run(
        [sys.executable, "-c", INTERPRETED, str(kept)],
        env={**os.environ, "NUMBA_DISABLE_JIT": "1"},
        capture_output=True,
        text=True,
        check=True,
    )

    assert len(cells) > 1
    assert plain.stdout.split("\n") == marks(cells)
