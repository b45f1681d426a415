"""A figure as it answers to many numbers, fitted to a few dozen runs: to be asked at any other place, with its error.

The logarithm of the figure against its base, over lines and bends of the logarithms of the numbers against theirs;
terms are taken in one by one as long as they tell more than chance would (see additive.py). At the base the answer is
the base itself.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from millhand.solvers.knowing.additive import BENDS, Floats, chosen_terms

FOLDS = 8
FARTHEST = 2.0  # a number further out than so many times the farthest run is taken to stand there


@dataclass(frozen=True, slots=True, kw_only=True)
class Response:
    """By which factor a figure moves when numbers move by factors."""

    centre: tuple[float, ...]  # of the logarithms, one a number
    width: tuple[float, ...]
    terms: tuple[tuple[int, int, float], ...]  # number, 1 for a line or 2 for a bend, weight
    reach: tuple[float, ...]  # farthest run from the centre, in widths
    start: float  # where no term moves anything
    error: float = 0.0  # in runs that it did not see, as a share of the figure: root mean square
    spread: float = 0.0  # of the figure over the runs: standard deviation

    def factor(self, logarithms: tuple[float, ...]) -> float:
        """The figure against its base, for the logarithms of the numbers against theirs."""
        return math.exp(self.at(logarithms) - self.at((0.0,) * len(logarithms)))

    def at(self, logarithms: tuple[float, ...]) -> float:
        """The logarithm of the figure as the runs have it, at the base too."""
        total = self.start
        for number, bend, weight in self.terms:
            most = FARTHEST * self.reach[number]
            z = (logarithms[number] - self.centre[number]) / self.width[number]
            total += weight * max(-most, min(most, z)) ** bend
        return total


def response(figure: Floats, numbers: Floats) -> Response:
    """The response that a few dozen runs show: logarithms of the figure, and of runs by numbers, against their base.

    Its error is that in runs that it did not see: an eighth of them is left out at a time. Where that is no smaller
    than what the figure moves by, there is no response.
    """
    whole, spread = _fit(figure, numbers), float(figure.std())
    if not whole.terms:
        return replace(whole, error=spread, spread=spread)
    off = np.zeros(len(figure))
    for part in range(FOLDS):
        out = np.arange(len(figure)) % FOLDS == part
        other = _fit(figure[~out], numbers[~out])
        for run in np.flatnonzero(out):
            off[run] = figure[run] - other.at(tuple(numbers[run].tolist()))
    error = math.sqrt(float(np.einsum("i,i", off, off)) / len(off))
    if error >= spread:
        return replace(whole, terms=(), error=spread, spread=spread)
    return replace(whole, error=error, spread=spread)


def _fit(figure: Floats, numbers: Floats) -> Response:
    """The terms that tell something, with their weights."""
    centre, width = numbers.mean(axis=0), numbers.std(axis=0)
    width = np.where(width > 0.0, width, 1.0)
    z = (numbers - centre) / width
    flat = np.stack([z ** (bend + 1) for bend in range(BENDS)], axis=2).reshape(len(z), -1)
    chosen = chosen_terms(figure - figure.mean(), flat - flat.mean(axis=0))
    weights = np.linalg.lstsq(np.column_stack((np.ones(len(z)), flat[:, chosen])), figure, rcond=None)[0]
    return Response(
        centre=tuple(centre.tolist()),
        width=tuple(width.tolist()),
        start=float(weights[0]),
        terms=tuple(
            (term // BENDS, term % BENDS + 1, float(weight)) for term, weight in zip(chosen, weights[1:], strict=True)
        ),
        reach=tuple(np.abs(z).max(axis=0).tolist()),
    )
