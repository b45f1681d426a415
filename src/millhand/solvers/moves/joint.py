"""Moves from joint position to joint position: axes start and end together, the slowest one sets the time."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from millhand.solvers.moves.axes import AxisLimits
from millhand.solvers.moves.profile import s_curve_times_s

NOBODY = -1  # where nothing moves, no axis sets the time


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JointMoves:
    """Times of many moves: of the whole, of each axis alone (last dimension), and the number of the slowest axis.

    Every other axis is stretched to the same time, which keeps all its limits.
    """

    times_s: NDArray[np.float64]
    axis_times_s: NDArray[np.float64]
    slowest: NDArray[np.int64]


def joint_moves(starts: ArrayLike, ends: ArrayLike, *, limits: AxisLimits) -> JointMoves:
    """The moves between starts and ends, whose last dimension is the axes and whose others may broadcast."""
    distances = np.abs(np.asarray(ends, dtype=np.float64) - np.asarray(starts, dtype=np.float64))
    speeds, accels, jerks = limits.arrays()
    alone = s_curve_times_s(distances, speeds=speeds, accels=accels, jerks=jerks)
    times = alone.max(axis=-1)
    return JointMoves(times_s=times, axis_times_s=alone, slowest=np.where(times > 0.0, alone.argmax(axis=-1), NOBODY))


def joint_table(positions: ArrayLike, *, limits: AxisLimits) -> JointMoves:
    """The moves between all pairs of n joint positions, from row to column."""
    places = np.asarray(positions, dtype=np.float64)
    return joint_moves(places[:, None, :], places[None, :, :], limits=limits)
