"""What the kernel costs before it runs: import, machine code made or loaded, first run; and what it holds in memory.

    python -m benchmarks.kernel_start

As a program: one start, its phases in seconds as JSON.
"""

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from time import perf_counter

from benchmarks.measuring import Line, median_line

MADE_ROUNDS = 3  # of a start that has to compile: a quarter of a minute each
UNIT = "s, in a fresh process"


def start(rounds: int) -> Iterator[Line]:
    """Each phase of a start in seconds: with nothing kept, and with the machine code kept."""
    with tempfile.TemporaryDirectory() as folder:
        made = [phases(f"{folder}/{turn}") for turn in range(MADE_ROUNDS)]
        kept = [phases(f"{folder}/0") for _ in range(rounds)]
    yield median_line("kernel_start_import", [each["import"] for each in kept], unit=UNIT)
    yield median_line("kernel_start_compile", [each["ready"] for each in made], unit=f"{UNIT}, one shape, nothing kept")
    yield median_line("kernel_start_load", [each["ready"] for each in kept], unit=f"{UNIT}, machine code kept")
    yield median_line("kernel_start_first_run", [each["first run"] for each in kept], unit=f"{UNIT}, one day")


def phases(folder: str) -> dict[str, float]:
    """A start of a fresh process that keeps its machine code in that folder."""
    words = [sys.executable, "-m", "benchmarks.kernel_start"]
    environment = {**os.environ, "MILLHAND_CODE": folder}
    printed = subprocess.run(words, check=True, capture_output=True, text=True, env=environment).stdout
    found: dict[str, float] = json.loads(printed)
    return found


def memory(_rounds: int) -> Iterator[Line]:
    """Kilobytes (1000 bytes) of a cell's record, of a replication's record, and of what a replication counted."""
    from benchmarks.kernel_cells import reference_cell
    from benchmarks.kernel_runs import timed_run
    from millhand.solvers.kernel.compiled import compiled
    from millhand.solvers.kernel.records import cell_type, run_type, shape_of

    c = compiled(reference_cell())
    shape = shape_of(c)
    [counts] = timed_run(c, numbers=range(1), hours=480).counts
    sizes = {"cell": cell_type(shape).itemsize, "replication": run_type(shape).itemsize}
    sizes["counts"] = bytes_of(counts)
    for name, size in sizes.items():
        yield Line(figure=f"kernel_memory_{name}", value=size / 1000, unit="kB, reference cell", rounds=1)


def bytes_of(thing: object) -> int:
    """A record, tuple or number with all that it holds; what it holds several times is counted once."""
    return sum(sys.getsizeof(each) for each in {id(each): each for each in held(thing)}.values())


def held(thing: object) -> Iterator[object]:
    """The thing and all that it holds."""
    yield thing
    below = [getattr(thing, each.name) for each in fields(thing)] if is_dataclass(thing) else thing
    if isinstance(below, tuple | list):
        for each in below:
            yield from held(each)


def main() -> None:
    """Start, and tell how long each phase took."""
    begun = perf_counter()
    import numba  # noqa: F401

    from benchmarks.kernel_cells import reference_cell
    from benchmarks.kernel_runs import timed_run
    from millhand.solvers.kernel.compiled import compiled
    from millhand.solvers.kernel.events.loop import run_to  # noqa: F401
    from millhand.solvers.kernel.running import ready

    imported = perf_counter()
    c = compiled(reference_cell())
    packed = perf_counter()
    ready(c)
    got = perf_counter()
    timed_run(c, numbers=range(1), hours=24)
    ran = perf_counter()
    print(
        json.dumps(
            {"import": imported - begun, "cell": packed - imported, "ready": got - packed, "first run": ran - got}
        )
    )


if __name__ == "__main__":
    main()
