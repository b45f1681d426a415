"""The loops of this package as machine code, kept between runs; None where everything is interpreted."""

import pickle
from collections.abc import Callable
from functools import cache
from typing import Any

from millhand.compiling import kept_code, sources_hash

SOURCES = ("solvers/pose", "solvers/kernel/events/jit.py")  # whatever the machine code may depend on
Loop = Callable[..., None]


@cache
def gap_loop() -> Loop | None:
    """The loop of `gap_loop.py`."""
    return _loop("gap_loop", ("3", "1", "2", "i", "2", "2"))


def _loop(name: str, takes: tuple[str, ...]) -> Loop | None:
    """One loop for arrays of floats with so many axes, or a whole number: i."""
    from importlib import import_module

    from numba import config, types

    if getattr(config, "DISABLE_JIT", False):
        return None
    from millhand.solvers.kernel.events import jit

    run: Any = getattr(import_module(f"millhand.solvers.pose.{name}"), name)
    signature = tuple(types.int64 if each == "i" else types.Array(types.float64, int(each), "C") for each in takes)
    kept_code(
        f"pose-{sources_hash('millhand', SOURCES)}",
        jit.machine_name((name,)),
        make=lambda: pickle.dumps(jit.compiled_code(run, signature)),  # machine code of our own alone
        use=lambda whole: jit.take_code(run, signature, pickle.loads(whole)),
    )
    loop: Loop = run.overloads[signature].entry_point
    return loop
