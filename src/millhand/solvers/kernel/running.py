"""One replication: the loop compiled for the cell's shape, run to the horizon, and what it wrote down on the way."""

import pickle
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from types import SimpleNamespace
from typing import Any, NoReturn

from millhand.compiling import kept_code, sources_hash
from millhand.errors import ToolError
from millhand.run import Runner, Watch, watched
from millhand.solvers.kernel.codes import (
    PROCESS,
    STOP_AT_ONCE,
    STOP_AWAY,
    STOP_EVENTS,
    STOP_LOG,
    STOP_OVERFLOW,
    STOP_QUIET,
)
from millhand.solvers.kernel.layout import Compiled

EVENTS_PER_SIMULATED_HOUR, EVENTS_AT_LEAST = 5_000_000, 100_000
SOURCES = ("solvers/kernel", "solvers/sampling")  # whatever machine code of the loop may depend on
Lines = list[tuple[int, ...]]


@dataclass(slots=True, kw_only=True)
class Finished:
    """A replication that has reached its horizon."""

    c: Compiled
    k: Any  # the run's record
    log: Lines = field(default_factory=list)  # (time, what, who, where, how long), only when asked for
    away: Lines = field(default_factory=list)  # one line an absence of all people (hours.py)


def warm_up(watch: Watch, runner: Runner) -> int:
    """Compile the loop for every shape that cells are fitted into, where no earlier run has; tells how many. What
    takes longest comes first, so that several processes end together."""
    from millhand.solvers.kernel.records import SHAPES

    return sum(1 for _ in watched(watch, "compiling", runner.map(keep_loop, SHAPES[::-1]), total=len(SHAPES)))


def keep_loop(shape: Any) -> None:
    """Have the loop for one shape among what is kept; may run in another process."""
    loop_for(shape)


class Same:
    """Something as a key of what is kept for it: equal only to itself, since to compare all its numbers takes long."""

    __slots__ = ("it",)

    def __init__(self, it: Any) -> None:
        self.it = it

    def __hash__(self) -> int:
        """Where it is."""
        return id(self.it)

    def __eq__(self, other: object) -> bool:
        """True for the very same thing."""
        return isinstance(other, Same) and other.it is self.it


def ready(c: Compiled, *, logging: bool = False) -> tuple[Any, Any, Any]:
    """A cell's shape and record, and the loop for them; a run that writes a log needs a shape with room for it."""
    return _ready_for(Same(c), logging)


@lru_cache(maxsize=16)
def _ready_for(same: Same, logging: bool) -> tuple[Any, Any, Any]:
    """The same for a cell that was seen before, whoever made it: other processes send a copy with each task."""
    return _ready(same.it, logging)


@lru_cache(maxsize=64)
def _ready(c: Compiled, logging: bool) -> tuple[Any, Any, Any]:
    """The same for a cell that is new."""
    from millhand.solvers.kernel.records import packed, shape_of

    shape = shape_of(c, logging=logging)
    record = packed(c, shape)
    return shape, record, loop_for(shape)


@lru_cache(maxsize=8)
def loop_for(shape: Any) -> Callable[[Any, Any, int], int]:
    """The event loop for all cells of one shape: compiled, kept from an earlier run, or interpreted."""
    from numba import config

    from millhand.solvers.kernel.events.loop import run_to

    if getattr(config, "DISABLE_JIT", False):
        return interpreted(run_to)
    from millhand.solvers.kernel.events import jit
    from millhand.solvers.kernel.records import cell_type, run_type

    signature = jit.signature_of(cell_type(shape), run_type(shape))
    folder = f"kernel-{sources_hash('millhand', SOURCES)}"
    kept_code(
        folder,
        jit.machine_name(shape),
        make=lambda: pickle.dumps(jit.compiled_code(run_to, signature)),  # records and machine code of our own alone
        use=lambda whole: jit.take_code(run_to, signature, pickle.loads(whole)),
    )
    compiled_loop: Any = run_to
    loop: Callable[[Any, Any, int], int] = compiled_loop.overloads[signature].entry_point  # asks for no types any more
    return loop


def interpreted(run_to: Callable[[Any, Any, int], int]) -> Callable[[Any, Any, int], int]:
    """The same loop without a compiler: records are opened, so that plain Python gets at their fields quickly."""
    import numpy as np

    def run(cells: Any, runs: Any, horizon: int) -> int:
        c, k = cells[0], runs[0]
        opened = SimpleNamespace(**{name: k[name] for name in k.dtype.names})
        with np.errstate(over="ignore"):  # counters of chance turn over on purpose
            ended = run_to([SimpleNamespace(**{name: c[name] for name in c.dtype.names})], [opened], horizon)
        for name in k.dtype.names:
            k[name] = getattr(opened, name)
        return ended

    return run


@lru_cache(maxsize=64)
def at_start(c: Compiled, seed: int, *, logging: bool = False) -> Any:
    """A run's record at time 0, to be copied for each replication."""
    from millhand.solvers.kernel.records import started

    shape, record, _ = ready(c, logging=logging)
    return started(record, shape, seed=seed)


@lru_cache(maxsize=16)
def _bytes_at_start(same: Same, seed: int, logging: bool) -> tuple[Any, Any]:
    """The same as plain bytes, which are copied a hundred times faster than fields, and what they are read as."""
    import numpy as np

    start = at_start(same.it, seed, logging=logging)
    return start.view(np.uint8), np.dtype((np.record, start.dtype))


def finished_run(c: Compiled, horizon: int, *, seed: int, replication: int, logging: bool = False) -> Finished:
    """One replication, run to the horizon (exclusive), in grid steps."""
    start, kind = _bytes_at_start(Same(c), seed, logging)
    k = start.copy().view(kind)[0]
    k["replication"], k["logging"] = replication, logging
    done = Finished(c=c, k=k)
    run_on(done, horizon)
    return done


def run_on(done: Finished, horizon: int) -> None:
    """On to a later horizon; a run is the same however often it is stopped on the way."""
    c, k = done.c, done.k
    _, record, loop = ready(c, logging=len(k["log"]) > 0)
    k["most_events"] = int(EVENTS_AT_LEAST + EVENTS_PER_SIMULATED_HOUR * (horizon * c.grid_s / 3600 + 1))
    while not loop(record.base, k.base, horizon):  # the arrays of one that both are the only entries of
        _empty(done)
        _judge(done)
        k.stop = 0
    _empty(done)
    if k["stop"]:
        _judge(done)
        k.stop = 0


def _empty(done: Finished) -> None:
    """Take the lines that the run has written."""
    k = done.k
    if k["log_lines"]:
        done.log += map(tuple, k["log"][: k["log_lines"]].tolist())
    if k["away_lines"]:
        done.away += map(tuple, k["away"][: k["away_lines"]].tolist())
    k["log_lines"] = k["away_lines"] = 0


def _judge(done: Finished) -> None:
    """Go on where lines were full or nothing is locked up; otherwise say what has come about."""
    from millhand.solvers.kernel.guards import locked_up

    stop = done.k.stop
    if stop in (STOP_LOG, STOP_AWAY) or (stop == STOP_QUIET and not locked_up(done.c, done.k)):
        return
    _give_up(done, stop)


def _give_up(done: Finished, stop: int) -> NoReturn:
    """Say why the run cannot go on, and who waits for whom."""
    from millhand.solvers.kernel.guards import who_waits

    c, k = done.c, done.k
    now = k.before * c.grid_s
    if stop == STOP_OVERFLOW and c.stations.kind[k.stop_at] == PROCESS:
        slots = c.lots.endless.count(k.stop_at)
        raise ToolError(
            f"{c.station_names[k.stop_at]} has endless slots, of which {slots} are simulated, and at {now:g} s all of "
            f"them hold parts. Give it a capacity: how many slots it has.",
            code="endless_full",
        )
    if stop == STOP_OVERFLOW:
        raise ToolError(
            f"{c.station_names[k.stop_at]} holds {k.s_stock[k.stop_at]} parts and grows: parts come faster than they "
            "leave. Give the store a capacity.",
            code="store_grows",
        )
    if stop == STOP_AT_ONCE:
        words = f"The simulation does not get on: {k.at_once} events at {now:g} s."
        raise ToolError(f"{words} {who_waits(c, k)}", code="no_progress")
    if stop == STOP_EVENTS:
        raise ToolError(f"More than {k.most_events:.0f} events. {who_waits(c, k)}", code="no_progress")
    raise ToolError(f"Deadlock at {now:g} s: {who_waits(c, k)}", code="deadlock")
