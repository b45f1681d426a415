"""A chain of joint axes in space turned into the rows of links and joints of a family, where it is one.

Lengths in metres, angles in radians, everything in the frame of the base with all joints at nothing.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations

import numpy as np
from numpy.typing import NDArray

from millhand.catalogue.arms import NOTHING, QUARTERS, SLIDES
from millhand.model.arm import Family, Joint

Vector = NDArray[np.float64]
SAME_M = 5e-5  # lengths below it are taken for nothing: an arm of this kind repeats no better
SAME_RAD = 1e-4  # files write their angles with a few digits
ASKEW = 99  # stands for a turn between two axes that is no whole number of quarters
UPRIGHT = np.array([0.0, 0.0, 1.0])
KNOWN = (
    "six joints that turn, 2 and 3 parallel, 4, 5 and 6 meeting in one point; six joints that turn, 2, 3 and 4 "
    "parallel; two turns, a slide and a turn, all upright; three slides at right angles and an upright turn"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The line about which a joint turns, or along which it slides."""

    point: Vector
    direction: Vector
    slides: bool
    low: float
    high: float
    speed: float
    accel: float


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """Where the flange is, the way it looks, along the last axis, and a direction across that."""

    point: Vector
    out: Vector
    across: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where the row of a joint begins: its z is the joint's axis, `sign` the way in which that was taken."""

    origin: Vector
    x: Vector
    z: Vector
    sign: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row behind a joint, with the quarter turns to the next axis."""

    a_m: float
    d_m: float
    offset_rad: float
    quarters: int
    sign: int


def family_of(axes: Sequence[Axis], end: End) -> tuple[Family, tuple[Joint, ...]] | None:
    """The family that the chain belongs to, and its joints; None where it is none of them.

    The slides of a gantry stand in the order that its rows have.
    """
    for family, order in candidates(axes):
        placed = slid(order, end.point)
        first = foot(placed[0])
        if first is None:
            continue
        rows = next(chains(family, placed, (first, ()), end), None)
        if rows is not None:
            return family, tuple(joint_of(axis, row) for axis, row in zip(placed, rows, strict=True))
    return None


def candidates(axes: Sequence[Axis]) -> Iterator[tuple[Family, tuple[Axis, ...]]]:
    """The families whose joints turn and slide like these; slides one after another may stand in any order."""
    kinds = tuple(at for at, axis in enumerate(axes, start=1) if axis.slides)
    for family, patterns in QUARTERS.items():
        if len(axes) == len(patterns[0]) and kinds == SLIDES.get(family, ()):
            orders = permutations(axes[:3]) if family == "gantry" else iter((tuple(axes[:3]),))
            yield from ((family, (*order, *axes[3:])) for order in orders)


def slid(axes: Sequence[Axis], tip: Vector) -> tuple[Axis, ...]:
    """The axes, each that slides laid through the next that turns: only its direction counts."""
    found: list[Axis] = []
    through = tip
    for axis in reversed(axes):
        through = through if axis.slides else axis.point
        found.append(moved(axis, through))
    return tuple(reversed(found))


def moved(axis: Axis, point: Vector) -> Axis:
    """The same axis through another point."""
    return Axis(
        point=point, direction=axis.direction, slides=axis.slides, low=axis.low, high=axis.high, speed=axis.speed,
        accel=axis.accel,
    )  # fmt: skip


def foot(first: Axis) -> Frame | None:
    """The arm's foot: upright on the first axis, level with the base; None where the first axis is not upright."""
    facing = float(first.direction @ UPRIGHT)
    if abs(facing) < math.cos(SAME_RAD):
        return None
    origin = np.zeros(3) if first.slides else np.array([first.point[0], first.point[1], 0.0])
    return Frame(origin=origin, x=np.array([1.0, 0.0, 0.0]), z=UPRIGHT, sign=1 if facing > 0.0 else -1)


def chains(
    family: Family, axes: Sequence[Axis], done: tuple[Frame, tuple[Row, ...]], end: End
) -> Iterator[tuple[Row, ...]]:
    """Every list of rows that fits the family, whichever way axes and common normals are taken."""
    frame, rows = done
    if len(rows) == len(axes):
        yield rows
        return
    last = len(rows) + 1 == len(axes)
    for row, after in ended(frame, end) if last else stepped(frame, axes[len(rows) + 1]):
        if allowed(family, (*rows, row)):
            yield from chains(family, axes, (after, (*rows, row)), end)


def allowed(family: Family, rows: tuple[Row, ...]) -> bool:
    """Whether the rows so far may begin an arm of the family."""
    quarters = tuple(row.quarters for row in rows)
    lengths = {"a_m": rows[-1].a_m, "d_m": rows[-1].d_m}
    if any(at == len(rows) and lengths[column] != 0.0 for at, column in NOTHING[family]):
        return False
    return any(pattern[: len(rows)] == quarters for pattern in QUARTERS[family])


def stepped(frame: Frame, axis: Axis) -> Iterator[tuple[Row, Frame]]:
    """The rows from a joint to the next axis, taken either way, the common normal either way too."""
    for sign in (1, -1):
        z = sign * axis.direction
        across = np.cross(frame.z, z)
        between = axis.point - frame.origin
        if np.linalg.norm(across) < SAME_RAD:
            beside = between - (between @ frame.z) * frame.z
            apart = float(np.linalg.norm(beside))
            normals = [frame.x] if apart < SAME_M else [beside / apart, -beside / apart]
            origin = frame.origin + (beside if apart >= SAME_M else 0.0)
        else:
            normal = across / np.linalg.norm(across)
            normals = [normal, -normal]
            origin = foot_of_normal(frame, axis.point, z)
        for x in normals:
            yield row_to(frame, x, z, origin), Frame(origin=origin, x=x, z=z, sign=sign)


def foot_of_normal(frame: Frame, point: Vector, z: Vector) -> Vector:
    """The point of the next axis that is nearest to this one."""
    across = np.cross(frame.z, z)
    along = np.cross(point - frame.origin, frame.z) @ across / (across @ across)
    return np.asarray(point + along * z)


def ended(frame: Frame, end: End) -> Iterator[tuple[Row, Frame]]:
    """The last row, from the last joint to the flange, which looks along its axis."""
    if frame.z @ end.out > 0.0:
        between = end.point - frame.origin
        along = float(between @ frame.z)
        beside = float(np.linalg.norm(between - along * frame.z))
        offset = turn(frame.x, end.across, about=frame.z)
        yield Row(a_m=length(beside), d_m=length(along), offset_rad=offset, quarters=0, sign=frame.sign), frame


def row_to(frame: Frame, x: Vector, z: Vector, origin: Vector) -> Row:
    """The row that leads from a frame to the next."""
    between = origin - frame.origin
    quarters = turn(frame.z, z, about=x) / (math.pi / 2.0)
    whole = round(quarters)
    fits = abs(quarters - whole) * math.pi / 2.0 < SAME_RAD
    return Row(
        a_m=length(float(between @ x)),
        d_m=length(float(between @ frame.z)),
        offset_rad=turn(frame.x, x, about=frame.z),
        quarters=(abs(whole) if abs(whole) == 2 else whole) if fits else ASKEW,
        sign=frame.sign,
    )


def turn(one: Vector, two: Vector, *, about: Vector) -> float:
    """The angle from one direction to another about a third; whole quarter turns where it is all but one."""
    angle = math.atan2(float(np.cross(one, two) @ about), float(one @ two))
    quarter = round(angle / (math.pi / 2.0)) * math.pi / 2.0
    return quarter + 0.0 if abs(angle - quarter) < SAME_RAD else round(angle, 9)


def length(value_m: float) -> float:
    """A length, nothing where it is too small to count."""
    return 0.0 if abs(value_m) < SAME_M else round(value_m, 9)


def joint_of(axis: Axis, row: Row) -> Joint:
    """The joint with its ranges, turned round where its axis was taken the other way."""
    low, high = sorted((row.sign * axis.low, row.sign * axis.high))
    return Joint(
        a_m=row.a_m, alpha_rad=row.quarters * math.pi / 2.0, d_m=row.d_m, offset_rad=row.offset_rad,
        slides=axis.slides, low=low, high=high, speed=axis.speed, accel=axis.accel,
    )  # fmt: skip


def described(axes: Sequence[Axis]) -> str:
    """The geometry in words: how each axis lies to the one before."""
    kinds = ", ".join("slide" if axis.slides else "turn" for axis in axes)
    first = f"axis 1 {tilt(UPRIGHT, axes[0].direction)} to the upright" if axes else "no joint that moves"
    told = (f"{at} and {at + 1} {lie(one, two)}" for at, (one, two) in enumerate(pairwise(axes), start=1))
    return "; ".join((f"{len(axes)} joints ({kinds})", first, *told))


def lie(one: Axis, two: Axis) -> str:
    """How two axes lie to each other."""
    across = np.cross(one.direction, two.direction)
    between = two.point - one.point
    if np.linalg.norm(across) < SAME_RAD:
        apart = float(np.linalg.norm(between - (between @ one.direction) * one.direction))
        same = one.slides or two.slides
        return "parallel" if same else "on one line" if apart < SAME_M else f"parallel, {apart:.3f} m apart"
    apart = abs(float(between @ across)) / float(np.linalg.norm(across))
    turn = tilt(one.direction, two.direction)
    if one.slides or two.slides:
        return turn
    return f"meet {turn}" if apart < SAME_M else f"pass {apart:.3f} m apart {turn}"


def tilt(one: Vector, two: Vector) -> str:
    """The angle between two directions, in words."""
    return f"at {math.degrees(math.acos(min(abs(float(one @ two)), 1.0))):.1f} degrees"
