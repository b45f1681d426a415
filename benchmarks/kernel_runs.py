"""The simulation kernel as it is timed: `timed_run` is the only place of the benchmarks that drives it."""

import time
from dataclasses import dataclass

from millhand.model.cell import Cell
from millhand.solvers.kernel.codes import COUNTS
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts, counts_of
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.replications import Piece, counted
from millhand.solvers.kernel.running import finished_run

PARTS = COUNTS.index("parts")
SEED = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """What some replications counted, and how long they took: by the clock, and of the processor's time alone."""

    counts: tuple[Counts, ...]
    seconds: float
    processor_s: float

    @property
    def parts(self) -> int:
        """Finished parts of all replications."""
        return sum(each.counted[PARTS] for each in self.counts)

    @property
    def events(self) -> int:
        """Events of all replications."""
        return sum(each.events for each in self.counts)

    @property
    def parts_per_s(self) -> float:
        """The rate that programs are compared by: in processor's time, for others may be at work on the same core."""
        return self.parts / self.processor_s


def timed_run(cell: Cell | Compiled, *, numbers: range, hours: float, logging: bool = False) -> Timed:
    """The replications of these numbers in one process, from the cell to what each of them counted.

    A cell that is given as a record is compiled within the time.
    """
    begun, processor = time.perf_counter(), time.process_time()
    c = compiled(cell) if isinstance(cell, Cell) else cell
    horizon = round(hours * 3600 / c.grid_s)
    if logging:
        runs = (finished_run(c, horizon, seed=SEED, replication=number, logging=True) for number in numbers)
        counts = tuple(map(counts_of, runs))
    else:
        pieces = [Piece(cell=c, horizon=horizon, warm_up=0, seed=SEED, replication=number) for number in numbers]
        counts = tuple(map(counted, pieces))
    took, processor_s = time.perf_counter() - begun, time.process_time() - processor
    return Timed(counts=counts, seconds=took, processor_s=processor_s)
