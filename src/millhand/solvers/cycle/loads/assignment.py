"""The cheapest way to let each end be followed by a start (linear assignment), with the prices that prove it."""

from collections.abc import Sequence

FAR = 1e15  # what cannot follow


def assignment_prices(cost: Sequence[Sequence[float]]) -> tuple[list[float], list[float]]:
    """Prices of rows and columns with row + column <= cost everywhere and the largest sum: the least assignment's cost.

    By shortest augmenting paths (the method of Jonker and Volgenant), n x n, about n^3 steps. Any such prices bound the
    cost of every flow with given row and column sums from below, fractional ones too.
    """
    count = len(cost)
    row_price, column_price = [0.0] * (count + 1), [0.0] * (count + 1)
    row_of, came_from = [0] * (count + 1), [0] * (count + 1)
    for row in range(1, count + 1):
        row_of[0] = row
        least, used, column = [float("inf")] * (count + 1), [False] * (count + 1), 0
        while row_of[column] != 0:
            used[column] = True
            current, step, following = row_of[column], float("inf"), 0
            for other in range(1, count + 1):
                if used[other]:
                    continue
                reduced = cost[current - 1][other - 1] - row_price[current] - column_price[other]
                if reduced < least[other]:
                    least[other], came_from[other] = reduced, column
                if least[other] < step:
                    step, following = least[other], other
            for other in range(count + 1):
                if used[other]:
                    row_price[row_of[other]] += step
                    column_price[other] -= step
                else:
                    least[other] -= step
            column = following
        while column:
            row_of[column], column = row_of[came_from[column]], came_from[column]
    return row_price[1:], column_price[1:]
