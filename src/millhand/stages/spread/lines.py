"""A case of the map laid out for the compiled loop: its signed lines, each with its growth, in every draw."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from millhand.model.case import Case, steady_lines
from millhand.solvers.cashflow.draws import Draws, Floats, Measures, measured
from millhand.trace import Sheet

Worlds = Sequence[Mapping[str, float]]


def draws_of(case: Case, worlds: Worlds, sheet: Sheet) -> Draws:
    """What the measures of a case rest on, in every draw."""
    lines = tuple(steady_lines(case))
    left = next((line.amount for line in case.lines if line.group == "left"), None)
    return Draws(
        outlay_money=_column(case.year.outlay, worlds, sheet),
        yearly_money=_columns([line.amount for line, _ in lines], worlds, sheet),
        growths=_columns([growth for _, growth in lines], worlds, sheet),
        ramp_up=_columns(case.year.ramp_up, worlds, sheet),
        rate=_column("money.rate", worlds, sheet),
        horizon_y=_column("money.horizon", worlds, sheet),
        residual_money=np.zeros(len(worlds)) if left is None else _column(left, worlds, sheet),
    )


def measures_of(case: Case, worlds: Worlds, sheet: Sheet) -> Measures:
    """The measures of a case in every draw; what it costs to pay ahead of hand-over is taken off the present worth."""
    found = measured(draws_of(case, worlds, sheet))
    ahead = f"concepts.{case.concept}.case.paid_ahead"
    return replace(found, npv_money=found.npv_money - _column(ahead, worlds, sheet))


def _columns(names: Sequence[str], worlds: Worlds, sheet: Sheet) -> Floats:
    """Some facts, one row a draw; what no draw moves is as it is."""
    return np.array([[world.get(name, sheet.value(name)) for name in names] for world in worlds])


def _column(name: str, worlds: Worlds, sheet: Sheet) -> Floats:
    """One fact in every draw."""
    return _columns([name], worlds, sheet)[:, 0]
