"""What several changes do together, shared out among them.

The value of Shapley is the mean of what a change adds over all orders in which the changes can be made (Shapley 1953);
its shares add up to what all of them do. It needs the value of every set of changes, two to the power of their number.
Of many changes the mean of changing first and changing last is told instead, whose shares need not add up.
"""

import math
from collections.abc import Callable, Sequence
from itertools import combinations

Figures = tuple[float, ...]  # one value for each figure that is shared out
Worth = Callable[[frozenset[str]], Figures]


def all_orders(names: Sequence[str], worth: Worth) -> dict[str, Figures]:
    """The value of Shapley of each change.

    >>> all_orders(["a", "b"], lambda made: (float(len(made) == 2),))
    {'a': (0.5,), 'b': (0.5,)}
    """
    count, full = len(names), math.factorial(len(names))
    found: dict[str, Figures] = {}
    for name in names:
        others = [each for each in names if each != name]
        sums: list[Figures] = []
        for size in range(count):
            orders = math.factorial(size) * math.factorial(count - size - 1) / full
            for chosen in combinations(others, size):
                made = frozenset(chosen)
                sums.append(times(difference(worth(made | {name}), worth(made)), orders))
        found[name] = total(sums)
    return found


def first_and_last(names: Sequence[str], worth: Worth) -> dict[str, Figures]:
    """Half of what each change does alone, and half of what it does after all others.

    >>> first_and_last(["a", "b"], lambda made: (float(len(made) == 2),))
    {'a': (0.5,), 'b': (0.5,)}
    """
    nothing, everything = worth(frozenset()), worth(frozenset(names))
    found: dict[str, Figures] = {}
    for name in names:
        first = difference(worth(frozenset({name})), nothing)
        last = difference(everything, worth(frozenset(names) - {name}))
        found[name] = times(total([first, last]), 0.5)
    return found


def total(figures: Sequence[Figures]) -> Figures:
    """The sum of each figure, whatever the order."""
    return tuple(_sum(each) for each in zip(*figures, strict=True))


def difference(one: Figures, other: Figures) -> Figures:
    """Each figure less the other one; no number where neither is finite."""
    return tuple(a - b for a, b in zip(one, other, strict=True))


def times(figures: Figures, factor: float) -> Figures:
    """Each figure so many times."""
    return tuple(factor * each for each in figures)


def _sum(numbers: Sequence[float]) -> float:
    """The exact sum, rounded once; no number where one of them is not finite."""
    return math.fsum(numbers) if all(map(math.isfinite, numbers)) else math.nan
