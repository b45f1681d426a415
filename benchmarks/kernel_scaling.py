"""What a second process of the local runner adds, against what a second process of the C++ program adds."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from time import perf_counter

from benchmarks.kernel_cells import reference_cell
from benchmarks.kernel_figures import DAYS, TURN_S, enough
from benchmarks.kernel_runs import timed_run
from benchmarks.measuring import Line, median_line
from benchmarks.opponents import Program, cpp, rate_by_clock, reports
from millhand.run import LocalRunner
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.layout import Compiled

CHUNKS = 12  # of each process; the first one loads the kernel and is not counted
CHUNK_S = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Some replications for one process."""

    cell: Compiled
    numbers: range


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """When a task began and ended on the clock that all processes of a machine share, and what it made."""

    process: int
    begin: float
    end: float
    parts: int


def done(task: Task) -> Done:
    """Do a task, in whatever process this is."""
    from os import getpid

    begin = perf_counter()
    parts = timed_run(task.cell, numbers=task.numbers, hours=24 * DAYS).parts
    return Done(process=getpid(), begin=begin, end=perf_counter(), parts=parts)


def scaling(rounds: int) -> Iterator[Line]:
    """Two processes over one, ours over theirs; then each alone. The start of processes is not in it."""
    c = compiled(reference_cell())
    timed_run(c, numbers=range(1), hours=24)
    turn = enough(lambda replications: timed_run(c, numbers=range(replications), hours=24 * DAYS).processor_s)
    size = max(1, round(turn * CHUNK_S / TURN_S))
    ours, theirs = [], []
    with cpp() as program:
        count = enough(lambda replications: float(program.report(replications=replications, days=DAYS)["seconds"]))
        before = their_gain(program, count=2 * count)
        for _ in range(rounds):
            ours.append(our_rate(c, size=size, workers=2) / our_rate(c, size=size, workers=1))
            after = their_gain(program, count=2 * count)
            theirs.append((before + after) / 2)  # other work on the machine comes and goes within one of our turns
            before = after
    ratios = [a / b for a, b in zip(ours, theirs, strict=True)]
    yield median_line("kernel_scaling", ratios, unit="of what a second process of the C++ program adds")
    yield median_line("kernel_scaling_ours", ours, unit="times the parts per s of one process")
    yield median_line("kernel_scaling_cpp", theirs, unit="times the parts per s of one process")


def their_gain(program: Program, *, count: int) -> float:
    """Two runs of the C++ program side by side over one alone."""
    two = sum(map(rate_by_clock, reports([program, program], replications=count, days=DAYS)))
    return two / rate_by_clock(program.report(replications=count, days=DAYS))


def our_rate(c: Compiled, *, size: int, workers: int) -> float:
    """Parts a second of the local runner while all its processes are at work."""
    tasks = [Task(cell=c, numbers=range(at * size, (at + 1) * size)) for at in range(CHUNKS * workers)]
    return steady_rate(list(LocalRunner(workers=workers).map(done, tasks)))


def steady_rate(tasks: Sequence[Done]) -> float:
    """Parts a second between the last process's second task and the first process's end."""
    each = {
        process: [task for task in tasks if task.process == process] for process in {task.process for task in tasks}
    }
    begin = max(sorted(task.begin for task in own)[1] for own in each.values())
    end = min(max(task.end for task in own) for own in each.values())
    shares = [max(0.0, min(end, task.end) - max(begin, task.begin)) / (task.end - task.begin) for task in tasks]
    return sum(task.parts * share for task, share in zip(tasks, shares, strict=True)) / (end - begin)
