"""Parts that come to the same machines several times, a whole lot at a time: what one piece laid in stands for."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import SAME, formula


@formula(
    source="own_computation, pieces over passes",
    unit=SAME,
    units={"pieces": SAME},
    valid={"pieces": NOT_NEGATIVE, "passes": FROM_ONE},
)
def finished_in_pieces(pieces: float, *, passes: float) -> float:
    """Finished parts that so many pieces laid into the machines stand for [as its input].

    Source: own_computation.  Valid where every part comes to the machines equally often.

    >>> finished_in_pieces(400.0, passes=2.0)
    200.0
    """
    return pieces / passes


@formula(
    source="own_computation, each times passes",
    unit=SAME,
    units={"each": SAME},
    valid={"each": NOT_NEGATIVE, "passes": FROM_ONE},
)
def of_all_passes(each: float, *, passes: float) -> float:
    """What comes once a pass, over all passes of a part [as its input].

    Source: own_computation.  Valid where every pass asks for as much.

    >>> of_all_passes(20.0, passes=2.0)
    40.0
    """
    return each * passes


@formula(
    source="own_computation, calls of all passes together",
    unit="parts",
    units={"each_parts": "parts"},
    valid={"each_parts": POSITIVE},
)
def between_calls_parts(each_parts: Sequence[float]) -> float:
    """Finished parts between two calls, where each pass calls after so many of its own: tools, checks [parts].

    Source: own_computation.  Valid for passes that call independently of each other.

    >>> between_calls_parts([180.0, 90.0])
    60.0
    """
    return 1.0 / math.fsum(1.0 / each for each in each_parts)


@formula(
    source="own_computation, rate times share",
    unit="1/h",
    valid={"mean_per_h": NOT_NEGATIVE, "share": SHARE},
    units={"mean_per_h": "1/h"},
)
def loads_in_phases_per_h(mean_per_h: float, *, share: float) -> float:
    """Loads an hour over all phases of a lot, from those of the mean and what the phases make of them [1/h].

    Source: own_computation.  Valid for as many loads in each phase.
    """
    return mean_per_h * share


@formula(
    source="own_computation, loads over the sum of their times",
    unit="1/h",
    valid={"loads_s": POSITIVE},
)
def loads_in_turn_per_h(loads_s: Sequence[float]) -> float:
    """Loads an hour where each phase takes its own time for a load, and all have as many [1/h].

    Source: own_computation.  Valid for as many loads in each phase.

    >>> loads_in_turn_per_h([100.0, 260.0])
    20.0
    """
    return 3600.0 * len(loads_s) / math.fsum(loads_s)
