"""Move times between all pairs of stations, at full speed and with the tool held below a speed.

A move leaves its station along the station's own straight way, goes from joint position to joint position, and enters
the next one along that one's way. What it carries may differ from pair to pair and slows it down, so that the way there
with a part takes longer than the way back without. Slow, all axes go in proportion, so that the way of the tool between
two joint positions is known; the cap holds for the tool only, an elbow may be faster.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from millhand.solvers.moves.axes import AxisLimits, ToolLimits
from millhand.solvers.moves.burden import Burden, Kept, Rating, kept_under
from millhand.solvers.moves.joint import NOBODY
from millhand.solvers.moves.profile import s_curve_times_s
from millhand.solvers.moves.straight import ToolPath, straight_move

SAMPLES = 65  # along each move, to see where the tool is fastest

ToolPlaces = Callable[[NDArray[np.float64]], NDArray[np.float64]]  # joint positions (..., axes) to places (..., 3) [m]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stop:
    """A station as the arm meets it: joint position in front of it, and the straight way in, if there is one."""

    name: str
    joints: tuple[float, ...]
    way_in: ToolPath | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mover:
    """An arm: what its axes and its tool can do without a load, what it is rated for, and where its tool then is."""

    axes: AxisLimits
    tool: ToolLimits
    rating: Rating
    tool_places: ToolPlaces


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MoveTimes:
    """Times from row to column, in the order of the names; `slowest` is the axis that sets the full joint move."""

    names: tuple[str, ...]
    full_s: NDArray[np.float64]
    slow_s: NDArray[np.float64]
    slowest: NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shares:
    """Shares of speed and acceleration that the loads leave, pair by pair."""

    speed: NDArray[np.float64]
    accel: NDArray[np.float64]


def move_times(
    stops: Sequence[Stop], mover: Mover, *, burdens: Mapping[tuple[str, str], Burden], slow_m_s: float
) -> MoveTimes:
    """The table of all pairs; a pair without a burden carries nothing, from a station to itself takes no time."""
    kept = [[kept_for(burdens.get((one.name, other.name)), mover) for other in stops] for one in stops]
    shares = Shares(
        speed=np.array([[each.speed for each in row] for row in kept]),
        accel=np.array([[each.accel for each in row] for row in kept]),
    )
    full, slowest = joint_times(stops, mover, shares)
    slow = np.maximum(full, proportional_times_s(stops, mover, shares, slow_m_s))
    apart = ~np.eye(len(stops), dtype=bool)
    return MoveTimes(
        names=tuple(each.name for each in stops),
        full_s=(full + ways_s(stops, mover, kept, mover.tool.speed_m_s)) * apart,
        slow_s=(slow + ways_s(stops, mover, kept, slow_m_s)) * apart,
        slowest=np.where(apart, slowest, NOBODY),
    )


def kept_for(burden: Burden | None, mover: Mover) -> Kept:
    """What the load of a pair leaves; all without one."""
    return Kept(speed=1.0, accel=1.0) if burden is None else kept_under(burden, mover.rating)


def distances(stops: Sequence[Stop]) -> NDArray[np.float64]:
    """How far each axis goes, from row to column."""
    places = np.array([each.joints for each in stops], dtype=np.float64)
    return np.abs(places[None, :, :] - places[:, None, :])


def joint_times(stops: Sequence[Stop], mover: Mover, shares: Shares) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Synchronised times and slowest axes under the loads of each pair."""
    speeds, accels, jerks = mover.axes.arrays()
    alone = s_curve_times_s(
        distances(stops),
        speeds=shares.speed[..., None] * speeds,
        accels=shares.accel[..., None] * accels,
        jerks=shares.accel[..., None] * jerks,
    )
    times = alone.max(axis=-1)
    return times, np.where(times > 0.0, alone.argmax(axis=-1), NOBODY)


def proportional_times_s(stops: Sequence[Stop], mover: Mover, shares: Shares, cap_m_s: float) -> NDArray[np.float64]:
    """Times of moves in which all axes go in proportion and the tool nowhere beyond the cap.

    The share of the move done is the path: each axis allows it as much as its own limit over its own distance.
    """
    ways = distances(stops)
    speed, accel, jerk = (
        np.divide(each, ways, out=np.full_like(ways, np.inf), where=ways > 0.0).min(axis=-1)
        for each in mover.axes.arrays()
    )
    fastest = greatest_tool_m(stops, mover)
    held = np.divide(cap_m_s, fastest, out=np.full_like(fastest, np.inf), where=fastest > 0.0)
    moving = ways.max(axis=-1) > 0.0
    times: NDArray[np.float64] = np.zeros(moving.shape)
    times[moving] = s_curve_times_s(
        1.0,
        speeds=np.minimum(speed * shares.speed, held)[moving],
        accels=(accel * shares.accel)[moving],
        jerks=(jerk * shares.accel)[moving],
    )
    return times


def greatest_tool_m(stops: Sequence[Stop], mover: Mover) -> NDArray[np.float64]:
    """How far the tool would go in a whole move at the pace of its fastest piece, pair by pair [m]."""
    places = np.array([each.joints for each in stops], dtype=np.float64)
    done = np.linspace(0.0, 1.0, SAMPLES)[:, None]
    found = np.zeros((len(places), len(places)))
    for row, start in enumerate(places):  # row by row: all pairs at once would fill the memory for a hundred stations
        joints = start + done * (places[:, None, :] - start)
        steps = np.diff(mover.tool_places(joints), axis=1)
        found[row] = np.sqrt((steps * steps).sum(axis=-1)).max(axis=-1) * (SAMPLES - 1)
    return found


def ways_s(stops: Sequence[Stop], mover: Mover, kept: Sequence[Sequence[Kept]], cap_m_s: float) -> NDArray[np.float64]:
    """Time of the straight way out of the row's station and into the column's, at the load of the pair."""
    known: dict[tuple[int, Kept], float] = {}

    def way_s(number: int, share: Kept) -> float:
        path = stops[number].way_in
        if path is None:
            return 0.0
        if (number, share) not in known:
            axes = mover.axes.kept(speed=share.speed, accel=share.accel)
            tool = mover.tool.kept(speed=share.speed, accel=share.accel).capped(cap_m_s)
            known[number, share] = straight_move(path, limits=axes, tool=tool).time_s
        return known[number, share]

    rows = range(len(stops))
    return np.array([[way_s(one, kept[one][other]) + way_s(other, kept[one][other]) for other in rows] for one in rows])
