"""Which means cover the most: things that each need one or more of them, bought one step after the other."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple


class Need(NamedTuple):
    """Things that need the same means, all of them, and what they weigh together."""

    means: frozenset[str]
    weight: float


class Step(NamedTuple):
    """One step of the curve: the means that it adds, and the weight that is covered with all of them so far."""

    added: tuple[str, ...]
    covered: float


def greedy(needs: Sequence[Need]) -> Iterator[Step]:
    """The means in the order in which each brings most for one of them, until all is covered.

    Where nothing is covered by one more of the means, those that something lacks are bought together. Of equal gains
    the fewer means come first, then those of the first names.
    """
    had: frozenset[str] = frozenset()
    covered = weight_with(needs, had)
    while lacking := {each.means - had for each in needs if not each.means <= had}:
        added = min(lacking, key=lambda more: order(needs, had, more, covered))
        had |= added
        covered = weight_with(needs, had)
        yield Step(tuple(sorted(added)), covered)


def order(
    needs: Sequence[Need], had: frozenset[str], more: frozenset[str], covered: float
) -> tuple[float, int, list[str]]:
    """What is bought first: the greatest gain for one of the means, rounded so that equal ones are equal."""
    gain = (weight_with(needs, had | more) - covered) / len(more)
    return -float(f"{gain:.12g}"), len(more), sorted(more)


def weight_with(needs: Sequence[Need], had: frozenset[str]) -> float:
    """The weight that some means cover."""
    return sum(each.weight for each in needs if each.means <= had)


def gathered(weights: Mapping[frozenset[str], float]) -> tuple[Need, ...]:
    """Needs in an order of their own, whatever order they came in."""
    return tuple(Need(means, weights[means]) for means in sorted(weights, key=sorted))
