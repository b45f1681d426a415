"""What the closed forms have in common: a shoulder that turns towards a point, and two links that reach for it."""

import numpy as np

from millhand.solvers.pose.links import Bools, Floats

ROUNDING_M = 1e-9  # by how much a point at the very edge may seem to lie outside
ON_AXIS_M = 1e-12  # nearer to an axis than this a point has no direction


def turned_to(x_m: Floats, *, y_m: Floats, beside_m: float) -> tuple[tuple[Floats, Floats], Floats]:
    """The two angles of an upright axis that bring a point (x, y) `beside_m` to the side of the arm's plane, and how
    far the point is outside of the circle about the axis within which it cannot be had.

    The plane's normal is (sin, -cos, 0) of the angle. A point on the axis itself can be had at any angle: 0 is taken.
    """
    out = np.hypot(x_m, y_m)
    away = np.maximum(out, ON_AXIS_M)
    lean = np.arctan2(beside_m, np.sqrt(np.maximum(0.0, (away - beside_m) * (away + beside_m))))
    towards = np.where(out < ON_AXIS_M, 0.0, np.arctan2(y_m, x_m))
    return (towards + lean, towards + np.pi - lean), out - abs(beside_m)


def two_links(x_m: Floats, *, y_m: Floats, first_m: float, second_m: float) -> list[tuple[Floats, Floats]]:
    """Both ways in which two links in a plane reach for a point: angle of the first, of the second against it.

    The law of cosines for half the angle, which keeps its digits where the arm is stretched or folded; out of reach the
    links point at the point, stretched or folded.
    Source: siciliano2009, sec. 2.12.1, with half angles.
    """
    away = np.hypot(x_m, y_m)
    total, gap, alike = first_m + second_m, first_m - second_m, np.sign(first_m * second_m)
    to_stretched = np.maximum(0.0, alike * (total - away) * (total + away))
    to_folded = np.maximum(0.0, alike * (away - gap) * (away + gap))
    found = []
    for way in (1.0, -1.0):
        bend = 2.0 * np.arctan2(way * np.sqrt(to_stretched), np.sqrt(to_folded))
        beside = way * np.sign(second_m) * np.sqrt(to_stretched * to_folded) / (2.0 * abs(first_m))
        along = (away * away + gap * total) / (2.0 * first_m)
        found.append((np.arctan2(y_m, x_m) - np.arctan2(beside, along), bend))
    return found


def slack_m(x_m: Floats, *, y_m: Floats, first_m: float, second_m: float) -> Floats:
    """By how much a point lies inside the ring that two links reach; negative outside of it."""
    away = np.hypot(x_m, y_m)
    return np.minimum(abs(first_m) + abs(second_m) - away, away - abs(abs(first_m) - abs(second_m)))


def reached(slack: Floats) -> Bools:
    """True where nothing but rounding is missing."""
    return slack >= -ROUNDING_M
