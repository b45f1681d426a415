"""After a search without a clock an interrupt is told; as the solver takes it the process would end without a word."""

import subprocess
import sys

import pytest

CELL = "best_cycle(read_cell(Path('examples/cells/{name}.json')), effort=Effort(deterministic=0.2, most_sets=1))"
SEARCHES = {
    "cycle": CELL.format(name="two_part_types_two_to_one"),
    "track": CELL.format(name="two_hoists_by_order_of_places"),
    "set": "best_set([[Item(1.0, (1.0,))]], [2.0])",
}
SCRIPT = """
import os, signal, time
from pathlib import Path
from millhand.intake.cell import read_cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.selecting.best_set import *
{search}
try:
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(1)
except KeyboardInterrupt:
    print("heard")
"""


@pytest.mark.parametrize("search", SEARCHES)
def test_an_interrupt_after_a_search_is_heard(search: str) -> None:
    """By whoever called it, who says so and cleans up."""
    ended = subprocess.run(
        [sys.executable, "-c", SCRIPT.format(search=SEARCHES[search])], capture_output=True, text=True, check=False
    )

    assert (ended.returncode, ended.stdout) == (0, "heard\n")
