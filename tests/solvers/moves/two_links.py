"""A flat arm of two links, whose joints, tool and their changes along a straight line are known in closed form."""

import numpy as np
from numpy.typing import NDArray

from millhand.solvers.moves.axes import AxisLimits, ToolLimits
from millhand.solvers.moves.straight import ToolPath, tool_path

UPPER_M, FORE_M = 0.5, 0.4
AXES = AxisLimits(speeds=(3.0, 3.5), accels=(12.0, 15.0), jerks=(120.0, 150.0))
TOOL = ToolLimits(speed_m_s=1.5, accel_m_s2=8.0, jerk_m_s3=80.0)


def joints_at(places: NDArray[np.float64]) -> NDArray[np.float64]:
    """Both angles for places (..., 2), the elbow on one side."""
    x, y = places[..., 0], places[..., 1]
    elbow = np.arccos((x**2 + y**2 - UPPER_M**2 - FORE_M**2) / (2.0 * UPPER_M * FORE_M))
    shoulder = np.arctan2(y, x) - np.arctan2(FORE_M * np.sin(elbow), UPPER_M + FORE_M * np.cos(elbow))
    return np.stack([shoulder, elbow], axis=-1)


def places_at(joints: NDArray[np.float64]) -> NDArray[np.float64]:
    """Places (..., 3) of the tool for joints (..., 2)."""
    one, both = joints[..., 0], joints[..., 0] + joints[..., 1]
    x = UPPER_M * np.cos(one) + FORE_M * np.cos(both)
    y = UPPER_M * np.sin(one) + FORE_M * np.sin(both)
    return np.stack([x, y, 0.0 * x], axis=-1)


def line(start: tuple[float, float], end: tuple[float, float], samples: int = 401) -> ToolPath:
    """The straight way between two places."""
    a, b = np.array(start), np.array(end)
    done = np.linspace(0.0, 1.0, samples)[:, None]
    return tool_path(joints_at(a + done * (b - a)), length_m=float(np.linalg.norm(b - a)))
