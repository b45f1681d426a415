"""Machines that are off at time 0, under a calendar that stops what runs when hours end, stayed stopped for good: what
had never stopped them was taken away when their hours began."""

import json
from pathlib import Path

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.codes import DROP
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import counts_of
from millhand.solvers.kernel.running import finished_run

FOUND = Path(__file__).with_name("cell_off_at_first.json")


def test_a_machine_that_is_off_at_first_is_served_once_its_hours_begin() -> None:
    """Each of them makes parts afterwards, and none is held any more while it is on."""
    c = compiled(cell_from(json.loads(FOUND.read_text("utf-8"))["cell"]))
    run = finished_run(c, round(30 * 3600 / c.grid_s), seed=7, replication=1)
    late = [
        s
        for s, e in enumerate(c.stations.calendar)
        if e >= 0 and c.calendars.at_end[e] == DROP and c.calendars.start[c.calendars.on_from[e]] > 0
    ]

    assert late
    assert all(counts_of(run).made[s] > 0 for s in late)
    assert all(run.k.s_held[s] == run.k.s_off[s] for s in late)
