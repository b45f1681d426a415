"""The loop over draws, ready to run: compiled, kept from an earlier run, or interpreted."""

import pickle
from functools import cache
from typing import Any

from millhand.compiling import kept_code, sources_hash

SOURCES = ("solvers/cashflow", "solvers/kernel/events/jit.py")  # whatever the machine code may depend on


def warm_up() -> None:
    """Compile the loop where no earlier run has."""
    compiled()


@cache
def compiled() -> Any:
    """The loop: compiled, kept from an earlier run, or interpreted."""
    from numba import config, types

    from millhand.solvers.cashflow.measuring import measure

    if getattr(config, "DISABLE_JIT", False):
        return measure
    from millhand.solvers.kernel.events import jit

    table, row = types.Array(types.float64, 2, "C"), types.Array(types.float64, 1, "C")
    signature = (table, types.UniTuple(table, 3), table, row, table)
    kept_code(
        f"cashflow-{sources_hash('millhand', SOURCES)}",
        jit.machine_name(("cashflow",)),
        make=lambda: pickle.dumps(jit.compiled_code(measure, signature)),  # machine code of our own alone
        use=lambda whole: jit.take_code(measure, signature, pickle.loads(whole)),
    )
    loop: Any = measure
    return loop.overloads[signature].entry_point
