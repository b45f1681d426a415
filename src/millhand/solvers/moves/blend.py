"""Via points that are passed without a stop: each segment begins while the one before brakes, within a given radius.

From radius before a via point the arm brakes along the old direction as if to stop there, and at the same time speeds
up along the new one: formulas.blending gives the greatest speed at which that keeps acceleration and jerk. Between two
corners the arm changes from one corner speed to the next within the same limits. A corner at which stopping is quicker,
as narrow ones are under a limit on jerk, is not rounded. The time is never below that of the straight short cuts
through all corners, for the same speeds would do on them, and never above that of stopping everywhere.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from millhand.formulas.blending import corner_chord_m, corner_speed_m_s
from millhand.formulas.motion import s_curve_move_time_s, speed_change_time_s
from millhand.solvers.moves.axes import ToolLimits

HALVINGS = 80
LEAST_RADIUS_M = 1e-9  # below it nothing is rounded: its square would be nothing beside a number of everyday size


@dataclass(frozen=True, slots=True, kw_only=True)
class ViaPath:
    """Straight segments one after the other; between each two a turn and the radius within which it is rounded."""

    lengths_m: tuple[float, ...]
    turns_rad: tuple[float, ...]  # 0 straight on, pi back
    radii_m: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend:
    """Time past all via points, with its two bounds and the speed in each corner, 0 where the arm stops."""

    time_s: float
    stopping_s: float
    short_cut_s: float
    corner_speeds_m_s: tuple[float, ...]

    @property
    def won_s(self) -> float:
        """Time won over stopping at every via point."""
        return self.stopping_s - self.time_s


def via_path(points_m: ArrayLike, *, radii_m: Sequence[float]) -> ViaPath:
    """The segments between points; a radius for each inner point, cut to half of the segments beside it."""
    points = np.asarray(points_m, dtype=np.float64)
    ways = np.diff(points, axis=0)
    lengths = np.sqrt((ways * ways).sum(axis=1))
    if len(radii_m) != len(points) - 2 or not (lengths > 0.0).all():
        raise ValueError("a via path needs a radius for each inner point, and no point twice in a row")
    units = ways / lengths[:, None]
    across = units[1:] - units[:-1]
    along = units[1:] + units[:-1]
    turns = 2.0 * np.arctan2(np.sqrt((across * across).sum(axis=1)), np.sqrt((along * along).sum(axis=1)))
    room = np.minimum(lengths[:-1], lengths[1:]) / 2.0
    return ViaPath(
        lengths_m=tuple(lengths.tolist()),
        turns_rad=tuple(turns.tolist()),
        radii_m=tuple(np.minimum(np.asarray(radii_m, dtype=np.float64), room).tolist()),
    )


def blended(path: ViaPath, *, limits: ToolLimits) -> Blend:
    """The time past all via points, corners rounded where that is quicker."""
    stopping_s = sum(rest_to_rest_s(each, limits) for each in path.lengths_m)
    radii = [each if each >= LEAST_RADIUS_M else 0.0 for each in path.radii_m]
    best_s, speeds = rounded(path, radii, limits)
    for corner in range(len(radii)):
        trial_s, trial = rounded(path, [0.0 if n == corner else radius for n, radius in enumerate(radii)], limits)
        if trial_s < best_s:
            best_s, speeds, radii[corner] = trial_s, trial, 0.0
    if best_s > stopping_s:
        best_s, speeds = stopping_s, [0.0] * len(radii)
    chords = sum(corner_chord_m(r, turn_rad=turn) for r, turn in zip(path.radii_m, path.turns_rad, strict=True))
    cut_m = sum(path.lengths_m) - 2.0 * sum(path.radii_m) + chords
    return Blend(
        time_s=best_s,
        stopping_s=stopping_s,
        short_cut_s=rest_to_rest_s(cut_m, limits),
        corner_speeds_m_s=tuple(speeds),
    )


def rest_to_rest_s(distance_m: float, limits: ToolLimits) -> float:
    """Time of one straight move."""
    return s_curve_move_time_s(
        distance_m, speed_m_s=limits.speed_m_s, accel_m_s2=limits.accel_m_s2, jerk_m_s3=limits.jerk_m_s3
    )


def rounded(path: ViaPath, radii: Sequence[float], limits: ToolLimits) -> tuple[float, list[float]]:
    """Time with these corners rounded (a radius of 0 stops), and the speeds in them."""
    ends = [0.0, *radii, 0.0]
    legs = [length - before - after for length, before, after in zip(path.lengths_m, ends, ends[1:], strict=False)]
    speeds = [0.0, *(free_speed(r, turn, limits) for r, turn in zip(radii, path.turns_rad, strict=True)), 0.0]
    for at in range(1, len(speeds)):  # no faster than can be reached from the corner before
        speeds[at] = reachable_m_s(legs[at - 1], speeds[at - 1], speeds[at], limits)
    for at in range(len(speeds) - 2, -1, -1):  # nor than can be braked to the next one
        speeds[at] = reachable_m_s(legs[at], speeds[at + 1], speeds[at], limits)
    legs_s = sum(leg_time_s(leg, (speeds[n], speeds[n + 1]), limits) for n, leg in enumerate(legs))
    corners_s = sum(2.0 * r / speed for r, speed in zip(radii, speeds[1:-1], strict=True) if r > 0.0)
    return legs_s + corners_s, speeds[1:-1]


def free_speed(radius_m: float, turn_rad: float, limits: ToolLimits) -> float:
    """The corner's own speed; 0 without a radius."""
    if radius_m == 0.0:
        return 0.0
    return corner_speed_m_s(
        radius_m,
        turn_rad=turn_rad,
        speed_m_s=limits.speed_m_s,
        accel_m_s2=limits.accel_m_s2,
        jerk_m_s3=limits.jerk_m_s3,
    )


def change_s(one_m_s: float, other_m_s: float, limits: ToolLimits) -> float:
    """Time from one speed to another."""
    return speed_change_time_s(abs(other_m_s - one_m_s), accel_m_s2=limits.accel_m_s2, jerk_m_s3=limits.jerk_m_s3)


def change_m(one_m_s: float, other_m_s: float, limits: ToolLimits) -> float:
    """Way from one speed to another."""
    return (one_m_s + other_m_s) / 2.0 * change_s(one_m_s, other_m_s, limits)


def reachable_m_s(way_m: float, from_m_s: float, wanted_m_s: float, limits: ToolLimits) -> float:
    """The wanted speed, or the greatest one that fits into the way; never below where it starts."""
    if wanted_m_s <= from_m_s or change_m(from_m_s, wanted_m_s, limits) <= way_m:
        return wanted_m_s
    return greatest(lambda speed: change_m(from_m_s, speed, limits) <= way_m, from_m_s, wanted_m_s)


def leg_time_s(way_m: float, speeds_m_s: tuple[float, float], limits: ToolLimits) -> float:
    """Quickest time over a way that begins and ends at given speeds, each to be reached from the other on it."""
    start, end = speeds_m_s

    def changes_m(peak: float) -> float:
        return change_m(start, peak, limits) + change_m(peak, end, limits)

    peak = limits.speed_m_s
    if changes_m(peak) > way_m:
        peak = greatest(lambda speed: changes_m(speed) <= way_m, max(start, end), peak)
    changing_s = change_s(start, peak, limits) + change_s(peak, end, limits)
    if peak == 0.0:
        return changing_s
    return changing_s + max(way_m - changes_m(peak), 0.0) / peak


def greatest(fits: Callable[[float], bool], low: float, high: float) -> float:
    """The greatest value between a fitting and a too great one that fits, by halving."""
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
