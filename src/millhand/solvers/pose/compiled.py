"""The loops of this package as machine code, kept between runs; None where everything is interpreted."""

import pickle
from collections.abc import Callable
from functools import cache
from typing import Any

from millhand.compiling import kept_code, sources_hash

SOURCES = ("solvers/pose/gap_loop.py", "solvers/kernel/events/jit.py")  # whatever the machine code may depend on
Loop = Callable[..., None]


def warm_up() -> None:
    """Compile every loop of this package where no earlier run has."""
    gap_loop()
    ends_loop()


@cache
def gap_loop() -> Loop | None:
    """The least gaps of poses to boxes."""
    return _loop("gap_loop", "312i22")


@cache
def ends_loop() -> Loop | None:
    """The ends of an arm's bars."""
    return _loop("ends_loop", "22f32")


def _loop(name: str, takes: str) -> Loop | None:
    """One loop of `gap_loop.py` for arrays of floats with so many axes, a whole number (i) or a float (f)."""
    from numba import config, types

    if getattr(config, "DISABLE_JIT", False):
        return None
    from millhand.solvers.kernel.events import jit
    from millhand.solvers.pose import gap_loop as loops

    run: Any = getattr(loops, name)
    kinds = {"i": types.int64, "f": types.float64}
    signature = tuple(kinds.get(each) or types.Array(types.float64, int(each), "C") for each in takes)
    kept_code(
        f"pose-{sources_hash('millhand', SOURCES)}",
        jit.machine_name((name,)),
        make=lambda: pickle.dumps(jit.compiled_code(run, signature)),  # machine code of our own alone
        use=lambda whole: jit.take_code(run, signature, pickle.loads(whole)),
    )
    loop: Loop = run.overloads[signature].entry_point
    return loop
