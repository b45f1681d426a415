"""How far what moves must be from a fence over which somebody reaches."""

from collections.abc import Iterable, Mapping, Sequence

from millhand.formulas.register import formula
from millhand.formulas.separation import CAUTION

# Height of the hazard (m): least distance (m) behind a structure that is as high as FENCES says, high risk.
FENCES_M = (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.2, 2.4, 2.5, 2.7)
OVER_M = {
    0.0: (1.1, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    0.2: (1.2, 0.9, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    0.4: (1.4, 1.2, 0.4, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    0.6: (1.4, 1.3, 0.8, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    0.8: (1.5, 1.3, 0.9, 0.6, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    1.0: (1.5, 1.4, 1.0, 0.8, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    1.2: (1.5, 1.4, 1.1, 0.9, 0.7, 0.0, 0.0, 0.0, 0.0, 0.0),
    1.4: (1.5, 1.4, 1.1, 0.9, 0.8, 0.0, 0.0, 0.0, 0.0, 0.0),
    1.6: (1.5, 1.4, 1.1, 0.9, 0.8, 0.5, 0.0, 0.0, 0.0, 0.0),
    1.8: (1.5, 1.4, 1.1, 0.9, 0.8, 0.6, 0.0, 0.0, 0.0, 0.0),
    2.0: (1.4, 1.3, 1.1, 0.9, 0.8, 0.6, 0.4, 0.0, 0.0, 0.0),
    2.2: (1.3, 1.2, 1.0, 0.9, 0.8, 0.6, 0.4, 0.3, 0.0, 0.0),
    2.4: (1.1, 1.0, 0.9, 0.8, 0.7, 0.6, 0.4, 0.3, 0.1, 0.0),
    2.6: (0.9, 0.8, 0.7, 0.6, 0.6, 0.5, 0.4, 0.3, 0.1, 0.0),
    2.7: (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
}
HEIGHT_M = (0.0, 10.0)
LEAST_M = 1.4  # lower fences only with further measures
# The same where the risk is low. What stands higher than 2.5 m is not reached.
LOW_FENCES_M = (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.2, 2.4)
LOW_OVER_M = {
    0.2: (1.1, 0.2, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    0.4: (1.2, 0.3, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    0.6: (1.2, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    0.8: (1.3, 0.9, 0.6, 0.0, 0.0, 0.0, 0.0, 0.0),
    1.0: (1.4, 1.0, 0.9, 0.3, 0.0, 0.0, 0.0, 0.0),
    1.2: (1.4, 1.0, 0.9, 0.5, 0.0, 0.0, 0.0, 0.0),
    1.4: (1.3, 1.0, 0.9, 0.8, 0.1, 0.0, 0.0, 0.0),
    1.6: (1.3, 1.0, 0.9, 0.9, 0.5, 0.0, 0.0, 0.0),
    1.8: (1.1, 1.0, 0.9, 0.9, 0.6, 0.0, 0.0, 0.0),
    2.0: (1.1, 0.9, 0.7, 0.6, 0.5, 0.35, 0.0, 0.0),
    2.2: (0.6, 0.6, 0.5, 0.5, 0.4, 0.35, 0.25, 0.0),
    2.4: (0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1),
    2.5: (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
}
BY_TABLE = " The standard's own text decides, and whether a risk is low or high is found by the risk assessment."


@formula(
    source="iso13857_over, table 2, high risk",
    valid={"fence_m": (1.4, 10.0), "low_m": HEIGHT_M, "top_m": HEIGHT_M},
    caution=CAUTION
    + " Most of the table is held from memory: compare it with the standard before anything is built."
    + BY_TABLE,
)
def over_fence_distance_m(fence_m: float, *, low_m: float, top_m: float) -> float:
    """Least distance behind a fence of what moves between two heights, so that nobody reaches it over the fence [m].

    Nothing is read between two entries: the next lower fence counts, and the worst height of all that are met, those
    next to the ends too. For a high risk, as of an arm at its full speed.
    Source: iso13857_over, table 2.  Valid for fences from 1.4 m on, lower ones only with further measures.

    >>> over_fence_distance_m(2.0, low_m=0.0, top_m=2.4), over_fence_distance_m(2.2, low_m=0.5, top_m=1.5)
    (0.6, 0.0)
    """
    return _over_m(OVER_M, FENCES_M, fence_m, (low_m, top_m))


@formula(
    source="iso13857_over, table 2, high risk, turned round",
    valid={"distance_m": (0.0, 10.0), "low_m": HEIGHT_M, "top_m": HEIGHT_M},
    caution=CAUTION
    + " Most of the table is held from memory: compare it with the standard before anything is built."
    + BY_TABLE,
)
def fence_for_distance_m(distance_m: float, *, low_m: float, top_m: float) -> float:
    """Least height of a fence over which nobody reaches what moves between two heights so far behind it [m].

    One of the heights of the table, from 1.4 m on; behind the highest nothing is asked for.
    Source: iso13857_over, table 2, for a high risk.  Valid as over_fence_distance_m is.

    >>> fence_for_distance_m(0.35, low_m=0.0, top_m=2.4), fence_for_distance_m(0.0, low_m=0.0, top_m=2.4)
    (2.4, 2.7)
    """
    higher = (fence for fence in FENCES_M if fence >= LEAST_M)
    return next(
        fence for fence in higher if over_fence_distance_m(fence, low_m=low_m, top_m=top_m) <= distance_m + 1e-9
    )


@formula(
    source="at_amvo, annex C, reaching over edges",
    valid={"fence_m": (1.0, 10.0), "low_m": HEIGHT_M, "top_m": HEIGHT_M},
    caution=CAUTION + BY_TABLE,
)
def over_fence_low_risk_distance_m(fence_m: float, *, low_m: float, top_m: float) -> float:
    """The same where the risk assessment finds that the risk is low: friction, a knock that leaves nothing behind [m].

    Read as for a high risk, the more careful entry of two. The lowest entry counts down to the floor.
    Source: at_amvo, annex C; wac_296_806 has the same in inches.  Valid for fences from 1 m on.

    >>> over_fence_low_risk_distance_m(1.8, low_m=0.0, top_m=2.4)
    0.6
    """
    return _over_m(LOW_OVER_M, LOW_FENCES_M, fence_m, (low_m, top_m))


def _over_m(
    table: Mapping[float, Sequence[float]], fences_m: Sequence[float], fence_m: float, met_m: tuple[float, float]
) -> float:
    """The greatest entry of all heights that are met, behind the next lower fence of a table."""
    if fence_m < fences_m[0] - 1e-9:
        raise ValueError("the table knows fences of 1 m and higher only")
    column = max(at for at, height in enumerate(fences_m) if height <= fence_m + 1e-9)
    return max(table[height][column] for height in table if met(height, table, met_m))


def met(height_m: float, heights_m: Iterable[float], met_m: tuple[float, float]) -> bool:
    """Whether an entry counts: between the lowest and the highest that is met, or the next beyond one of them."""
    entries = tuple(heights_m)
    below = max((entry for entry in entries if entry <= met_m[0] + 1e-9), default=entries[0])
    above = next(entry for entry in (*entries, float("inf")) if entry >= met_m[1] - 1e-9)
    return below <= height_m <= above
