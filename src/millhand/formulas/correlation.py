"""Figures that go together: rank correlations as those of normal numbers, and whether they can all be had at once."""

import math
from collections.abc import Mapping, Sequence

from millhand.formulas.register import formula

NOUGHT = 1e-9  # what a pivot may miss by rounding

Matrix = list[list[float]]
Pairs = Mapping[tuple[str, str], float]  # names of two figures: their rank correlation


@formula(source="pearson1907, correlation of ranks", unit="1", valid={"rank_correlation": (-1.0, 1.0)})
def normal_correlation(rank_correlation: float) -> float:
    """Correlation r of two normal numbers whose ranks have this correlation of Spearman, 6 / pi asin(r / 2) [1].

    Source: pearson1907.  Valid for two numbers that are normal together.

    >>> round(normal_correlation(0.5), 4), round(normal_correlation(-1.0), 9)
    (0.5176, -1.0)
    """
    return 2.0 * math.sin(math.pi * rank_correlation / 6.0)


def matrix(names: Sequence[str], pairs: Pairs, *, times: float = 1.0) -> Matrix:
    """Correlations of normal numbers, by the order of the names; figures of no pair have none. times: of each rank."""
    known = {frozenset(pair): normal_correlation(rank * times) for pair, rank in pairs.items()}
    return [
        [1.0 if one == other else known.get(frozenset((one, other)), 0.0) for other in names] for one in names
    ]  # fmt: skip


def triangle(correlations: Sequence[Sequence[float]]) -> Matrix | None:
    """The lower triangle that gives the correlations times its own transpose; None where no numbers can have them.

    By Cholesky: independent normal numbers times its rows are normal numbers of these correlations.

    >>> triangle([[1.0, 0.6], [0.6, 1.0]])
    [[1.0, 0.0], [0.6, 0.8]]
    >>> triangle([[1.0, 0.9, 0.0], [0.9, 1.0, 0.9], [0.0, 0.9, 1.0]]) is None
    True
    """
    count = len(correlations)
    rows: Matrix = [[0.0] * count for _ in range(count)]
    for i in range(count):
        for j in range(i + 1):
            rest = correlations[i][j] - math.fsum(rows[i][k] * rows[j][k] for k in range(j))
            if i == j:
                if rest < -NOUGHT:
                    return None
                rows[i][i] = math.sqrt(max(0.0, rest))
            elif rows[j][j] > math.sqrt(NOUGHT):
                rows[i][j] = rest / rows[j][j]
            elif abs(rest) > math.sqrt(NOUGHT):
                return None
    return rows


def largest_share(names: Sequence[str], pairs: Pairs) -> float:
    """The largest twentieth, below one, that all ranks may be multiplied by so that figures can have them."""
    twentieths = (number / 20.0 for number in range(19, -1, -1))
    return next(share for share in twentieths if triangle(matrix(names, pairs, times=share)) is not None)
