"""Many draws of one case, and the measures of each: checked, laid out, handed to the compiled loop."""

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from millhand.errors import ToolError
from millhand.solvers.cashflow.running import compiled

Floats = npt.NDArray[np.float64]
MOST_YEARS, MOST_LINES = 50, 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Draws:
    """What a case rests on, one row or number a draw; every amount in money, every share and rate as a share."""

    outlay_money: Floats
    yearly_money: Floats  # signed lines of a steady year
    growths: Floats  # yearly growth of each line
    ramp_up: Floats  # shares of the gains in the first months
    rate: Floats
    horizon_y: Floats
    residual_money: Floats  # at the end of the last year that counts


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """The measures, one a draw, in the order of the loop's columns.

    A payback that never comes is infinite, what does not exist is not a number.
    """

    payback_months: Floats
    discounted_payback_months: Floats
    npv_money: Floats
    irr: Floats  # the smallest from 0 up, else the one nearest below
    rates_n: Floats  # how many internal rates there are: with more than one, `irr` alone says little
    mirr: Floats  # both rates that of the draw
    annual_worth_money: Floats
    profitability: Floats


def measured(draws: Draws) -> Measures:
    """The measures of every draw, as formulas/cashflow.py and formulas/rates.py have them."""
    once = np.column_stack((draws.outlay_money, draws.rate, draws.horizon_y, draws.residual_money)).astype(np.float64)
    flows = tuple(
        np.ascontiguousarray(each, dtype=np.float64) for each in (draws.yearly_money, draws.growths, draws.ramp_up)
    )
    _checked(once, flows)
    found = np.empty((len(once), len(fields(Measures))))
    compiled()(once, flows, found, np.zeros(MOST_YEARS + 2), np.zeros((4, MOST_LINES + 4)))
    names = [field.name for field in fields(Measures)]
    return Measures(**{name: found[:, column] for column, name in enumerate(names)})


def _checked(once: Floats, flows: tuple[Floats, ...]) -> None:
    """The loop looks at no bounds: what would go beyond them is our own error."""
    yearly, growths, ramp = flows
    fits = all(each.ndim == 2 and len(each) == len(once) for each in flows) and yearly.shape == growths.shape
    if not fits or yearly.shape[1] > MOST_LINES or ramp.shape[1] > 12 * MOST_YEARS:
        raise ToolError(f"draws of unlike shapes: {[each.shape for each in (once, *flows)]}", code="draws_unlike")
    if not (np.all(once[:, 1] > -1.0) and np.all(once[:, 2] > 0.0) and np.all(once[:, 2] <= MOST_YEARS)):
        raise ToolError("a draw with a rate of -1 or less, or a horizon that is not counted", code="draws_beyond")
