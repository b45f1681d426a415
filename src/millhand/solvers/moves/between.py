"""What an arm moves from one joint position to another: the axis that sets the time, and the way of the tool."""

from dataclasses import dataclass

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.moves.axes import AxisLimits
from millhand.solvers.moves.joint import joint_moves
from millhand.solvers.pose.links import forward

SAMPLES = 33


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """joint: number of the axis that takes longest; way: how far it goes (rad or m); tool_m: how far the tool's tip
    goes meanwhile."""

    joint: int
    way: float
    tool_m: float


def between(
    arm: Linkage, start: tuple[float, ...], end: tuple[float, ...], *, limits: AxisLimits, tool_m: float
) -> Way:
    """The move of all axes at once, each in proportion to the one that takes longest."""
    moves = joint_moves(start, end, limits=limits)
    slowest = int(moves.slowest)
    shares = np.linspace(0.0, 1.0, SAMPLES)[:, None]
    flange = forward(arm, np.asarray(start) + shares * (np.asarray(end) - np.asarray(start)))
    tips = flange[:, :3, 3] + tool_m * flange[:, :3, 2]
    length = float(np.linalg.norm(np.diff(tips, axis=0), axis=1).sum())
    way = 0.0 if slowest < 0 else abs(end[slowest] - start[slowest])
    return Way(joint=max(slowest, 0) + 1, way=way, tool_m=length)


def limits_of(arm: Linkage, *, ramp_s: float, jerk_ramp_s: float) -> AxisLimits:
    """The limits of all axes: full speed after the ramp, full acceleration after the shorter one."""
    speeds = tuple(joint.speed for joint in arm.joints)
    accels = tuple(speed / ramp_s for speed in speeds)
    return AxisLimits(speeds=speeds, accels=accels, jerks=tuple(accel / jerk_ramp_s for accel in accels))
