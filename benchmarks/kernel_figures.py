"""How fast the kernel is: against the fixed opponents, with more machines, in a sweep of concepts, with its log.

All of it in the processor's time, on one core: where others are at work, too, a process that has long been there gets
less of the core than one that has just come, so that the clock tells more about the others than about the programs.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from time import process_time

from benchmarks.kernel_cells import SHIFT_S, concepts, in_a_larger_shape, reference_cell, with_machines
from benchmarks.kernel_runs import Timed, timed_run
from benchmarks.measuring import Gate, Line, Pair, median_line, one_core, paired_ratios, ratio_of
from benchmarks.opponents import Rated, cpp, rated, simpy
from benchmarks.worker import of_head, without_log, worker
from millhand.model.cell import Cell
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.running import ready

DAYS = 20  # of each replication, as the opponents' README has it
TURN_S = (
    0.4  # how long one side of a pair runs at least: short of it the clock and the caches tell more than the program
)
TO_CPP = Gate(least=0.45, aim=0.6, stretch=0.7)
MACHINES, BASE = (1, 2, 3, 4, 6, 8), 3
CONCEPTS, REPLICATIONS, SHIFTS = 1000, 20, 20
BLOCKS = 20  # of the sweep, each paired with the opponent


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """What some concepts of a sweep made, and the processor's time that they took."""

    parts: int
    seconds: float


def to_cpp(rounds: int) -> Iterator[Line]:
    """Parts a second of the kernel over those of the hand-written C++ loop, on the reference cell."""
    with one_core(), cpp() as other:
        pair = Pair(ours=our_rate(reference_cell()), other=their_rate(rated(other)))
        yield median_line("kernel_to_cpp", paired_ratios(pair, rounds=rounds), unit="of its parts per s", gate=TO_CPP)


def to_simpy(rounds: int) -> Iterator[Line]:
    """The same over the SimPy program."""
    with one_core():
        pair = Pair(ours=our_rate(reference_cell()), other=their_rate(rated(simpy())))
        yield median_line("kernel_to_simpy", paired_ratios(pair, rounds=rounds), unit="times its parts per s")


def our_rate(cell: Cell) -> Callable[[], float]:
    """Parts a second of as many replications as fill a turn."""
    run = turn_of(cell)
    return lambda: run().parts_per_s


def turn_of(cell: Cell) -> Callable[[], Timed]:
    """Replications of the cell that fill a turn; compiled and tried once here, so that no turn pays for it."""
    c = compiled(cell)
    timed_run(c, numbers=range(1), hours=24)
    count = enough(lambda replications: timed_run(c, numbers=range(replications), hours=24 * DAYS).processor_s)
    return lambda: timed_run(c, numbers=range(count), hours=24 * DAYS)


def their_rate(program: Rated) -> Callable[[], float]:
    """Parts a second of as many replications as fill a turn."""
    count = enough(lambda replications: program.seconds(replications=replications, days=DAYS))
    return partial(program.parts_per_s, replications=count, days=DAYS)


def enough(seconds: Callable[[int], float]) -> int:
    """How many replications fill a turn."""
    count = 1
    while (took := seconds(count)) < TURN_S / 4:
        count *= 4
    return max(1, round(count * TURN_S / took))


def machines(rounds: int) -> Iterator[Line]:
    """Time an event with 1 to 8 machines over that with three; and that one in nanoseconds.

    Where machines need the kernel's next shape its longer lists are paid for; so three machines are in it here, too.
    """
    cells = {str(count): with_machines(count) for count in MACHINES if count != BASE}
    with one_core():
        base = turn_of(with_machines(BASE))
        yield median_line(
            "kernel_machines_3_ns", [ns_per_event(base) for _ in range(rounds)], unit="ns of the processor per event"
        )
        for name, cell in {**cells, "3_in_next_shape": in_a_larger_shape()}.items():
            pair = Pair(ours=partial(ns_per_event, turn_of(cell)), other=partial(ns_per_event, base))
            ratios = paired_ratios(pair, rounds=rounds)
            yield median_line(f"kernel_machines_{name}", ratios, unit="times an event's time with 3 machines")


def ns_per_event(turn: Callable[[], Timed]) -> float:
    """The processor's time for one event, which other work on the machine does not lengthen much."""
    run = turn()
    return run.processor_s / run.events * 1e9


def sweep(_rounds: int) -> Iterator[Line]:
    """1000 concepts, 20 replications of 20 shifts each: seconds on one core, and over the C++ for as many parts.

    One sweep is all the rounds there are: its blocks are paired with the opponent, each for the parts of that block.
    """
    cells, size = concepts(CONCEPTS), CONCEPTS // BLOCKS
    blocks = [cells[at : at + size] for at in range(0, CONCEPTS, size)]
    seconds: list[float] = []
    with one_core(), cpp() as program:
        other = rated(program)
        expected = [block_of(block[:1]).parts * size for block in blocks]  # also what compiles the kernel
        per_replication = program.report(replications=50, days=DAYS)["parts"] / 50

        def ours(at: int) -> float:
            run = block_of(blocks[at])
            seconds.append(run.seconds)
            return run.seconds / run.parts

        def theirs(at: int) -> float:
            return 1 / other.parts_per_s(replications=max(1, round(expected[at] / per_replication)), days=DAYS)

        pairs = [Pair(ours=partial(ours, at), other=partial(theirs, at)) for at in range(BLOCKS)]
        ratios = [ratio_of(pair, turn=turn) for turn, pair in enumerate(pairs)]
        begun = process_time()
        for cell in cells:
            ready(compiled(cell))
        prepared = process_time() - begun
    yield Line(figure="kernel_sweep_s", value=sum(seconds), unit="s of one core's time", rounds=1)
    yield median_line("kernel_sweep_to_cpp", ratios, unit="times its time for the same number of parts")
    yield Line(
        figure="kernel_sweep_preparing", value=prepared / sum(seconds), unit="of the sweep, before runs", rounds=1
    )


def block_of(cells: Sequence[Cell]) -> Block:
    """All replications of some concepts."""
    runs = [timed_run(cell, numbers=range(REPLICATIONS), hours=SHIFTS * SHIFT_S / 3600) for cell in cells]
    return Block(
        parts=sum(run.parts for run in runs),
        seconds=sum(run.processor_s for run in runs),
    )


def log_on(rounds: int) -> Iterator[Line]:
    """Time of replications with their log over that of the same without."""
    c = compiled(reference_cell())

    def run(logging: bool) -> float:
        return timed_run(c, numbers=range(count), hours=24 * DAYS, logging=logging).processor_s

    with one_core():
        timed_run(c, numbers=range(1), hours=24)
        count = enough(lambda replications: timed_run(c, numbers=range(replications), hours=24 * DAYS).processor_s)
        pair = Pair(ours=lambda: run(True), other=lambda: run(False))
        yield median_line("kernel_log_on", paired_ratios(pair, rounds=rounds), unit="times a run without its log")


def log_off(rounds: int) -> Iterator[Line]:
    """Time of replications that could write a log and do not, over the same by a kernel that has none."""
    yield median_line("kernel_log_off", to_changed(without_log, rounds=rounds), unit="times a kernel that has no log")


def to_head(rounds: int) -> Iterator[Line]:
    """Time of replications with the sources as they are over those of the last commit: what a change has brought."""
    yield median_line("kernel_to_head", to_changed(of_head, rounds=rounds), unit="times the last commit's time")


def to_changed(change: Callable[[Path], None], *, rounds: int) -> list[float]:
    """Time of replications over that of the same by a kernel whose sources were changed, each in its own process."""
    with one_core(), worker() as ours, worker(change) as other:
        count = enough(lambda replications: other.seconds(replications=replications, days=DAYS))
        pair = Pair(
            ours=partial(ours.seconds, replications=count, days=DAYS),
            other=partial(other.seconds, replications=count, days=DAYS),
        )
        return paired_ratios(pair, rounds=rounds)
