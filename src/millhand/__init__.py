"""millhand: whether and how robots should load a shop's machines, what that earns, and how surely.

>>> import millhand as mh
>>> study = mh.study(mh.load("inquiry.yaml"))  # doctest: +SKIP
"""

import sys
from importlib import import_module
from types import ModuleType
from typing import Any

PUBLIC = {
    "load": "millhand.front",
    "study": "millhand.front",
    "frame": "millhand.front",
    "rows": "millhand.front",
    "read_cell": "millhand.intake.cell",
    "load_bounds": "millhand.solvers.cycle.bounds",
    "schedule": "millhand.solvers.cycle.simple",
    "simulate": "millhand.solvers.kernel.replications",
    "REGISTER": "millhand.formulas",
}

__all__ = sorted(PUBLIC)


def __getattr__(name: str) -> Any:
    """Load a public name only when it is asked for, so that a command's start stays quick."""
    if name not in PUBLIC:
        raise AttributeError(f"millhand has no {name!r}; it has {', '.join(__all__)}")
    return getattr(import_module(PUBLIC[name]), name)


class _Package(ModuleType):
    """This package: what it offers keeps its name, also where a module of that name is loaded (study)."""

    def __setattr__(self, name: str, value: object) -> None:
        if not (name in PUBLIC and isinstance(value, ModuleType)):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package
