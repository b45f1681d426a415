"""The jerk-limited rest-to-rest time for whole arrays of distances and limits."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray


def s_curve_times_s(
    distances: ArrayLike, *, speeds: ArrayLike, accels: ArrayLike, jerks: ArrayLike
) -> NDArray[np.float64]:
    """formulas.motion.s_curve_move_time_s of each element; the shapes may broadcast, nothing for no distance.

    An infinite jerk gives the trapezoid's time.
    """
    d, v, a, j = np.broadcast_arrays(
        *(np.asarray(each, dtype=np.float64) for each in (distances, speeds, accels, jerks))
    )
    ramp = a / j
    speeding = np.where(v * j >= a * a, v / a + ramp, 2.0 * np.sqrt(v / j))
    lost = a * ramp
    peak = (np.sqrt(lost * lost + 4.0 * a * d) - lost) / 2.0
    times: NDArray[np.float64] = np.where(d >= v * speeding, d / v + speeding, 2.0 * (peak / a + ramp))
    short = (d < v * speeding) & (d < 2.0 * a * ramp * ramp)
    # cube roots one by one: the array's own differ in the last digit from processor to processor
    times[short] = [4.0 * math.cbrt(each) for each in (d[short] / (2.0 * j[short])).tolist()]
    return times
