"""One replication of the plain twin: the rules of the compiled loop in plain Python, without its short cuts."""

from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.replications import Counts
from tests.twin.flags import EVENTS, HERE_TIME
from tests.twin.loop import run_to
from tests.twin.state import Run, new_run


def twin_run(cell: Compiled, horizon: int, *, seed: int, replication: int, logging: bool = False) -> Run:
    """One replication, run to the horizon."""
    run = new_run(cell, seed=seed, replication=replication, logging=logging)
    run_to(run, horizon)
    return run


def twin_counts(run: Run) -> Counts:
    """The books of a run that has ended, as the simulation keeps them."""
    return Counts(
        counted=tuple(run.counts),
        stations=tuple(run.books.station),
        attendants=tuple(run.books.attendant),
        duty_ended=tuple(run.books.duty_ended),
        duty_steps=tuple(run.books.duty_time),
        attended_steps=run.flags[HERE_TIME],
        alone=tuple(run.calls.away),
        events=run.flags[EVENTS],
        late=tuple(run.pieces.late),
    )
