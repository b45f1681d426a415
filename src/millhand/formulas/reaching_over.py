"""How far what moves must be from a fence over which somebody reaches."""

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


@formula(
    source="iso13857_over, table 2, high risk",
    valid={"fence_m": (1.4, 10.0), "low_m": HEIGHT_M, "top_m": HEIGHT_M},
    caution=CAUTION + " The table is held from memory: compare it with the standard before anything is built.",
)
def over_fence_distance_m(fence_m: float, *, low_m: float, top_m: float) -> float:
    """Least distance behind a fence of what moves between two heights, so that nobody reaches it over the fence [m].

    Nothing is read between two entries: the next lower fence counts, and the worst height of all that are met, those
    next to the ends too. High risk: table 1, for low risk, is not held.
    Source: iso13857_over, table 2.  Valid for fences from 1.4 m on, lower ones only with further measures.

    >>> over_fence_distance_m(2.0, low_m=0.0, top_m=2.4), over_fence_distance_m(2.2, low_m=0.5, top_m=1.5)
    (0.6, 0.0)
    """
    if fence_m < FENCES_M[0] - 1e-9:
        raise ValueError("the table knows fences of 1 m and higher only")
    column = max(at for at, height in enumerate(FENCES_M) if height <= fence_m + 1e-9)
    heights = [height for height in OVER_M if met(height, low_m, top_m)]
    return max(OVER_M[height][column] for height in heights)


def met(height_m: float, low_m: float, top_m: float) -> bool:
    """Whether an entry counts: between the two heights, or the next beyond one of them."""
    beyond = [*OVER_M, float("inf")]
    below = max(entry for entry in OVER_M if entry <= low_m + 1e-9)
    above = next(entry for entry in beyond if entry >= top_m - 1e-9)
    return below <= height_m <= above
