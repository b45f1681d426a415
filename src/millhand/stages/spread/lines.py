"""A case of the map laid out for the compiled loop: the one place that knows what its formulas take.

Labour, output and running cost of the formulas become three signed lines, each with its growth.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from millhand.model.case import Case
from millhand.solvers.cashflow.draws import Draws, Floats
from millhand.trace import Sheet

Worlds = Sequence[Mapping[str, float]]
SIGNS, GROWS = (1.0, 1.0, -1.0), (1.0, 0.0, 1.0)  # of labour, output, running cost


def draws_of(case: Case, worlds: Worlds, sheet: Sheet) -> Draws:
    """What the present worth of a case rests on, in every draw; running cost is a line below zero."""
    behind: dict[str, list[str]] = {}
    for name, fact_id in sheet[case.npv].inputs:
        behind.setdefault(name, []).append(fact_id)

    def columns(name: str) -> Floats:
        return np.array([[world[fact_id] for fact_id in behind[name]] for world in worlds])

    growth = columns("growth")
    return Draws(
        outlay_money=columns("outlay_money")[:, 0],
        yearly_money=columns("yearly_money[]") * SIGNS,
        growths=growth * GROWS,
        ramp_up=columns("ramp_up[]"),
        rate=columns("rate")[:, 0],
        horizon_y=columns("horizon_y")[:, 0],
        residual_money=np.zeros(len(worlds)),
    )
