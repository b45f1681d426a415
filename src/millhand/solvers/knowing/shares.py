"""How much of the spread of a figure comes from each number: first-order and total shares (Sobol's indices).

First order: what would go if the number were known, on the mean. Total: what would stay if all others were. Both from
pairs of draws that differ in one number alone (Saltelli and others, Variance based sensitivity analysis of model
output, 2010: the first order by their equation (b), the total by Jansen's; from memory, not re-read).
"""

import math
from dataclasses import dataclass

import numpy as np

from millhand.solvers.knowing.additive import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """Shares of the variance that one number has, each with the standard error from the number of draws."""

    first: float
    first_error: float
    total: float
    total_error: float


def shares(one: Floats, other: Floats, mixed: Floats) -> tuple[Share, ...]:
    """The share of each number.

    one, other: the figure in two sets of draws that have nothing to do with each other. mixed: numbers by draws, the
    figure in the draws of the first set with that number alone taken from the other. Estimates of the first order may
    come out a little below nothing, by chance.
    """
    both = np.concatenate((one, other))
    middle, variance = float(both.mean()), float(both.var())
    if variance <= 0.0:
        return tuple(Share(first=0.0, first_error=0.0, total=0.0, total_error=0.0) for _ in mixed)
    return tuple(_share(one - middle, other - middle, each - middle, variance) for each in mixed)


def _share(one: Floats, other: Floats, mixed: Floats, variance: float) -> Share:
    """One number's share."""
    first, total = other * (mixed - one) / variance, (one - mixed) ** 2 / (2.0 * variance)
    count = math.sqrt(len(one))
    return Share(
        first=float(first.mean()),
        first_error=float(first.std()) / count,
        total=float(total.mean()),
        total_error=float(total.std()) / count,
    )
