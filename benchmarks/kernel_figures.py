"""How fast the kernel is: against the fixed opponents, with more machines, in a sweep of concepts, with its log."""

import statistics
from collections.abc import Callable, Iterator

from benchmarks.kernel_cells import SHIFT_S, concepts, reference_cell, with_machines
from benchmarks.kernel_runs import Timed, timed_run
from benchmarks.measuring import Gate, Line, Pair, median_line, one_core, paired_ratios, ratio_of, seconds_of
from benchmarks.opponents import Program, cpp, rate, simpy
from millhand.model.cell import Cell
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.replications import log_lines
from millhand.solvers.kernel.running import finished_run

DAYS = 20  # of each replication, as the opponents' README has it
TURN_S = 0.4  # how long one side of a pair runs at least: short of it the clock and the caches tell more than the program
TO_CPP = Gate(least=0.45, aim=0.6, stretch=0.7)
MACHINES, BASE = (1, 2, 3, 4, 6, 8), 3
CONCEPTS, REPLICATIONS, SHIFTS = 1000, 20, 20
BLOCKS = 20  # of the sweep, each paired with the opponent


def to_cpp(rounds: int) -> Iterator[Line]:
    """Parts a second of the kernel over those of the hand-written C++ loop, on the reference cell."""
    with one_core(), cpp() as other:
        pair = Pair(ours=our_rate(reference_cell()), other=their_rate(other))
        yield median_line("kernel_to_cpp", paired_ratios(pair, rounds=rounds), unit="of its parts per s", gate=TO_CPP)


def to_simpy(rounds: int) -> Iterator[Line]:
    """The same over the SimPy program."""
    with one_core():
        pair = Pair(ours=our_rate(reference_cell()), other=their_rate(simpy()))
        yield median_line("kernel_to_simpy", paired_ratios(pair, rounds=rounds), unit="times its parts per s")


def our_rate(cell: Cell) -> Callable[[], float]:
    """Parts a second of as many replications as fill a turn."""
    run = turn_of(cell)
    return lambda: run().parts_per_s


def turn_of(cell: Cell) -> Callable[[], Timed]:
    """Replications of the cell that fill a turn; compiled and tried once here, so that no turn pays for it."""
    c = compiled(cell)
    timed_run(c, numbers=range(1), hours=24)
    count = enough(lambda replications: timed_run(c, numbers=range(replications), hours=24 * DAYS).seconds)
    return lambda: timed_run(c, numbers=range(count), hours=24 * DAYS)


def their_rate(program: Program) -> Callable[[], float]:
    """Parts a second of as many replications as fill a turn, by the program's own clock."""
    count = enough(lambda replications: float(program.report(replications=replications, days=DAYS)["seconds"]))
    return lambda: rate(program.report(replications=count, days=DAYS))


def enough(seconds: Callable[[int], float]) -> int:
    """How many replications fill a turn."""
    count = 1
    while (took := seconds(count)) < TURN_S / 4:
        count *= 4
    return max(1, round(count * TURN_S / took))


def machines(rounds: int) -> Iterator[Line]:
    """Time an event with 1 to 8 machines over that with three; and that one in nanoseconds."""
    with one_core():
        base = turn_of(with_machines(BASE))
        yield median_line("kernel_machines_3_ns", [ns_per_event(base) for _ in range(rounds)], unit="ns per event")
        for count in MACHINES:
            if count == BASE:
                continue
            turn = turn_of(with_machines(count))
            pair = Pair(ours=lambda turn=turn: ns_per_event(turn), other=lambda: ns_per_event(base))  # type: ignore[misc]
            ratios = paired_ratios(pair, rounds=rounds)
            yield median_line(f"kernel_machines_{count}", ratios, unit="times an event's time with 3 machines")


def ns_per_event(turn: Callable[[], Timed]) -> float:
    """Time of one event."""
    run = turn()
    return run.seconds / run.events * 1e9


def sweep(_rounds: int) -> Iterator[Line]:
    """1000 concepts, 20 replications of 20 shifts each: seconds on one core, and over the C++ for as many parts.

    One sweep is all the rounds there are: its blocks are paired with the opponent, each for the parts of that block.
    """
    cells, hours = concepts(CONCEPTS), SHIFTS * SHIFT_S / 3600
    size, seconds, prepared, ratios = CONCEPTS // BLOCKS, 0.0, 0.0, []
    with one_core(), cpp() as other:
        per_replication = other.report(replications=50, days=DAYS)["parts"] / 50
        timed_run(cells[0], numbers=range(1), hours=hours)
        for block in range(BLOCKS):
            chosen = cells[block * size : (block + 1) * size]
            parts, took = 0, 0.0
            for cell in chosen:
                run = timed_run(cell, numbers=range(REPLICATIONS), hours=hours)
                parts, took = parts + run.parts, took + run.seconds
            report = other.report(replications=max(1, round(parts / per_replication)), days=DAYS)
            ratios.append(took / (parts / rate(report)))
            seconds += took
            prepared += statistics.median(seconds_of(lambda cell=cell: compiled(cell))() for cell in chosen) * size  # type: ignore[misc]
    yield Line(figure="kernel_sweep_s", value=seconds, unit="s on one core", rounds=1)
    yield median_line("kernel_sweep_to_cpp", ratios, unit="times its time for the same number of parts")
    yield Line(figure="kernel_sweep_preparing", value=prepared / seconds, unit="of the sweep's time, to make arrays of cells", rounds=1)


def logging(rounds: int) -> Iterator[Line]:
    """Time of a replication with its log over that of one without."""
    c = compiled(reference_cell())
    horizon = round(DAYS * 86_400 / c.grid_s)

    def run(*, log: bool) -> None:
        for replication in range(LOGGED):
            finished_run(c, horizon, seed=1, replication=replication, logging=log)

    with one_core():
        pair = Pair(ours=seconds_of(lambda: run(log=True)), other=seconds_of(lambda: run(log=False)))
        yield median_line("kernel_log_on", paired_ratios(pair, rounds=rounds), unit="times a run without its log")
