"""The expected value of information: what it is worth to know everything, or one number, before choosing.

Raiffa and Schlaifer's preposterior analysis: the choice made now is the one of the best mean; the choice made after
knowing is the best one in each case. One number's worth comes from a single set of draws by regression (Strong, Oakley
and Brennan, Estimating multiparameter partial expected value of perfect information from a probabilistic sensitivity
analysis sample, 2014; from memory, not re-read): the mean of each choice given the number is a curve over its draws.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from millhand.solvers.knowing.additive import Curves, Floats, curves, terms_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """An amount with the standard error that comes from the number of draws."""

    value: float
    error: float


def of_everything(worths: Floats) -> Worth:
    """What it is worth to know everything: the best of each draw against the best mean. Draws by choices."""
    best = int(np.argmax(worths.mean(axis=0)))
    gains = worths.max(axis=1) - worths[:, best]
    return Worth(value=float(gains.mean()), error=float(gains.std()) / math.sqrt(len(gains)))


def regrets(worths: Floats) -> Floats:
    """What each choice is expected to bring less than the one that would have been best. Draws by choices."""
    return np.asarray((worths.max(axis=1)[:, None] - worths).mean(axis=0), dtype=np.float64)


def chances(worths: Floats) -> Floats:
    """The share of the draws in which each choice is the best; of equals the first."""
    return np.bincount(np.argmax(worths, axis=1), minlength=worths.shape[1]) / len(worths)


def of_each(worths: Floats, numbers: Floats) -> tuple[Worth, ...]:
    """What it is worth to know each number alone. Draws by choices, and draws by numbers.

    Choices are compared with the best one, so that what all of them share in a draw is out of it. A number that tells
    nothing of any difference is worth nothing; none is worth more than to know everything.
    """
    best = int(np.argmax(worths.mean(axis=0)))
    terms = terms_of(numbers)
    fitted = [curves(worths[:, choice] - worths[:, best], terms) for choice in range(worths.shape[1])]
    most = of_everything(worths).value
    return tuple(_of_one(fitted, terms[:, number], number, most) for number in range(numbers.shape[1]))


def _of_one(fitted: Sequence[Curves], terms: Floats, number: int, most: float) -> Worth:
    """One number: the best mean at each of its values, less the best mean of all.

    The error is that of means and curves as they follow from what is left: right for draws in slices, whose means hold
    no error of the curves themselves.
    """
    if all(number not in each.parts for each in fitted):
        return Worth(value=0.0, error=0.0)
    count = len(terms)
    means = np.column_stack([each.mean + each.parts.get(number, np.zeros(count)) for each in fitted])
    taken = np.argmax(means, axis=1)
    value = float(means.max(axis=1).mean()) - max(each.mean for each in fitted)
    influence = np.zeros(count)
    for choice, each in enumerate(fitted):
        own = (taken == choice).astype(np.float64)
        at = np.full(count, own.mean())
        if number in each.parts:
            at = at + np.einsum("ib,b->i", terms, np.einsum("ib,i->b", terms, own))
        influence += each.rest * at
    free = max(count - max(each.terms_n for each in fitted) - 1, 1)
    error = math.sqrt(float(np.einsum("i,i", influence, influence)) / free / count)
    return Worth(value=min(max(value, 0.0), most), error=error)
