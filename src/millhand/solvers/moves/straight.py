"""A path of the tool, sampled into joint positions: the quickest double-S along it that keeps every axis in its limits.

One profile runs from end to end. Its speed v and acceleration a along the path are chosen so that at every sample and
axis |q'| v stays below the axis's speed, |q'| a + |q''| v² below its acceleration, and |q'| times the jerk below its
jerk, with q' and q'' the change of the joint by the metre. Among all such pairs the quickest is taken.

What that leaves lying: the tightest place of the path holds for the whole of it, and greatest speed and greatest
acceleration count together though the profile never has both. `least_s` is what no motion can undercut, so that
`time_s / least_s` bounds how much too long the time is. Not kept are the parts of joint jerk that come from the bend of
the path, and anything between two samples: near a singular position samples have to lie close.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from millhand.formulas.motion import s_curve_move_time_s
from millhand.solvers.moves.axes import AxisLimits, ToolLimits
from millhand.solvers.moves.profile import s_curve_times_s

TOOL = -1  # the tool's own limits set the pace, no axis
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
ROUNDS = 90  # the last interval is below 1e-18 of the first


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToolPath:
    """Joint positions at places of equal distance along a way of the tool: samples by axes, three samples or more."""

    joints: NDArray[np.float64]
    length_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightMove:
    """Time of one move along a path, the limits of its profile, the axis that holds it back, and the least time."""

    time_s: float
    speed_m_s: float
    accel_m_s2: float
    jerk_m_s3: float
    held_by: int  # number of the axis, or TOOL
    least_s: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bends:
    """First and second change of each joint by the metre at each sample, without sign."""

    first: NDArray[np.float64]
    second: NDArray[np.float64]


def tool_path(joints: ArrayLike, *, length_m: float) -> ToolPath:
    """A path from samples; a ValueError where there are too few to see a bend, or a pose without joints."""
    samples = np.asarray(joints, dtype=np.float64)
    if samples.ndim != 2 or len(samples) < 3 or not length_m > 0.0:
        raise ValueError("a path needs three samples or more of all axes, and a length above zero")
    if not np.isfinite(samples).all():
        raise ValueError("a pose of the path has no joint position: the arm does not reach it")
    return ToolPath(joints=samples, length_m=float(length_m))


def straight_move(path: ToolPath, *, limits: AxisLimits, tool: ToolLimits) -> StraightMove:
    """The quickest double-S along the path that keeps tool and axes within their limits at every sample."""
    bends = bends_of(path)
    speeds, accels, jerks = limits.arrays()
    jerk = min(tool.jerk_m_s3, float(np.min(shares(jerks, bends.first))))
    top = min(tool.speed_m_s, float(np.min(shares(speeds, bends.first))))
    top = min(top, math.sqrt(float(np.min(shares(accels, bends.second)))))

    def time_s(speed: float) -> float:
        accel = accel_left(bends, accels, tool=tool, speed=speed)
        if accel <= 0.0 or speed <= 0.0:
            return math.inf
        return s_curve_move_time_s(path.length_m, speed_m_s=speed, accel_m_s2=accel, jerk_m_s3=jerk)

    speed = quickest(time_s, top)
    return StraightMove(
        time_s=time_s(speed),
        speed_m_s=speed,
        accel_m_s2=accel_left(bends, accels, tool=tool, speed=speed),
        jerk_m_s3=jerk,
        held_by=holding(bends, limits, tool=tool, speed=speed),
        least_s=least_time_s(path, bends, limits=limits, tool=tool),
    )


def bends_of(path: ToolPath) -> Bends:
    """Changes by the metre from the neighbouring samples; at the ends from the three nearest."""
    step_m = path.length_m / (len(path.joints) - 1)
    first = np.gradient(path.joints, step_m, axis=0, edge_order=2)
    second = np.empty_like(path.joints)
    second[1:-1] = (path.joints[2:] - 2.0 * path.joints[1:-1] + path.joints[:-2]) / (step_m * step_m)
    for end, near, far in ((0, 1, 2), (-1, -2, -3)):  # carried on in a line to the ends, where arms often bend most
        second[end] = second[near] if len(second) < 4 else 2.0 * second[near] - second[far]
    noise = 8.0 * np.spacing(np.abs(path.joints).max()) / (step_m * step_m)  # rounding of the samples is no bend
    return Bends(first=np.abs(first), second=np.where(np.abs(second) <= noise, 0.0, np.abs(second)))


def shares(limits: NDArray[np.float64], changes: NDArray[np.float64]) -> NDArray[np.float64]:
    """Limit over change, infinite where nothing changes, or next to nothing."""
    with np.errstate(over="ignore"):  # beyond the greatest number is infinite too
        return np.divide(limits, changes, out=np.full_like(changes, np.inf), where=changes > 0.0)


def accels_left(bends: Bends, accels: NDArray[np.float64], speed: float) -> NDArray[np.float64]:
    """Acceleration along the path that each sample and axis leaves at this speed; infinite where the joint rests."""
    free = accels - bends.second * (speed * speed)
    return shares(free, bends.first)


def accel_left(bends: Bends, accels: NDArray[np.float64], *, tool: ToolLimits, speed: float) -> float:
    """Acceleration along the path that all of them and the tool leave at this speed."""
    return min(tool.accel_m_s2, float(np.min(accels_left(bends, accels, speed))))


def quickest(time_s: Callable[[float], float], top: float) -> float:
    """The speed up to `top` of the least time, by the golden section.

    The way that a profile covers in a given time is concave in its limits (of two profiles the mean is one under the
    mean limits), and the acceleration left is concave in the speed: so the time falls, then rises, and has one valley.
    """
    low, high = 0.0, top
    one, two = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_one, at_two = time_s(one), time_s(two)
    for _ in range(ROUNDS):
        if at_one < at_two:
            high, two, at_two = two, one, at_one
            one = high - GOLDEN * (high - low)
            at_one = time_s(one)
        else:
            low, one, at_one = one, two, at_two
            two = low + GOLDEN * (high - low)
            at_two = time_s(two)
    return min((one, two, top), key=time_s)


def holding(bends: Bends, limits: AxisLimits, *, tool: ToolLimits, speed: float) -> int:
    """The axis whose speed or acceleration leaves least beside the tool's own limits, or TOOL."""
    speeds, accels, _ = limits.arrays()
    fast = np.min(shares(speeds, bends.first), axis=0) / tool.speed_m_s
    quick = np.min(accels_left(bends, accels, speed), axis=0) / tool.accel_m_s2
    left = np.minimum(fast, quick)
    return TOOL if float(left.min()) >= 1.0 else int(left.argmin())


def least_time_s(path: ToolPath, bends: Bends, *, limits: AxisLimits, tool: ToolLimits) -> float:
    """What no motion along the path undercuts: the tool alone, each axis alone from end to end, all speeds in turn."""
    speeds, accels, _ = limits.arrays()
    alone = s_curve_move_time_s(
        path.length_m, speed_m_s=tool.speed_m_s, accel_m_s2=tool.accel_m_s2, jerk_m_s3=tool.jerk_m_s3
    )
    ends = s_curve_times_s(np.abs(path.joints[-1] - path.joints[0]), speeds=speeds, accels=accels, jerks=np.inf)
    fastest = np.minimum(tool.speed_m_s, np.min(shares(speeds, bends.first), axis=1))
    step_m = path.length_m / (len(path.joints) - 1)
    in_turn = float(np.sum(step_m / np.maximum(fastest[1:], fastest[:-1])))
    return float(max(alone, ends.max(), in_turn))
