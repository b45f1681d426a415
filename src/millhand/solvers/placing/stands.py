"""Where an arm's foot may stand so that its hand gets to all targets: for each place of the foot the least margin.

A target is a point for the tip of the tool and the directions from which the tool may come; about that direction the
hand may be turned anyhow, tried in equal steps. What counts at a target is its best pose: of all directions, turns and
ways that every joint can do, the one whose joints stay furthest from the ends of their ranges.
"""

from dataclasses import dataclass

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.pose.inverse import inverse, slacks_m, turned_margins
from millhand.solvers.pose.links import Bools, Floats
from millhand.solvers.pose.triangle import ROUNDING_M

TURNS = 12  # tries of the hand's turn about the tool: judged, 30 degrees apart, as flanges have their bolts


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """A point to be reached, in metres in the frame of the floor; the tool may point in each of the directions."""

    name: str
    point_m: tuple[float, float, float]
    directions: tuple[tuple[float, float, float], ...]
    back_m: tuple[float, ...] = (0.0,)  # the tool must also get to points so far back, where it begins its way in
    out: tuple[float, float, float] | None = None  # the way back, of length 1; None: the tool goes back as it points


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """For each place of the foot and each target, [places, targets].

    slack_m: by how much the links reach further than they have to, negative where they are too short or the target too
    near; margin: of the best pose the least margin of a joint (rad or m), negative where each pose turns one too far,
    -inf where the links do not get there.
    """

    names: tuple[str, ...]
    slack_m: Floats
    margin: Floats

    @property
    def there(self) -> Bools:
        """[places, targets]: whether the target is reached, every joint inside its range."""
        return self.margin >= 0.0

    @property
    def everywhere(self) -> Bools:
        """[places]: whether all targets are reached."""
        return np.asarray(self.there.all(axis=1))


def reached(arm: Linkage, feet: Floats, *, targets: tuple[Target, ...], tool_m: float, turns: int = TURNS) -> Reached:
    """What an arm with its foot at each of [places, 4] (x, y, z in m, heading in rad) reaches with a tool of a length.

    Between two turns of the hand that are tried there may be a better one: a margin is never told too large.
    """
    slack, margin = np.empty((2, len(feet), len(targets)))
    for at, target in enumerate(targets):
        poses = tool_poses(target, tool_m=tool_m, turns=1)
        slack[:, at], margin[:, at] = _best(arm, feet, poses, turns)
    return Reached(names=tuple(target.name for target in targets), slack_m=slack, margin=margin)


def nearest_place(arm: Linkage, feet: Floats, *, targets: tuple[Target, ...], tool_m: float, wanted: int) -> int:
    """Which of the places from which all targets are reached is nearest to the wanted one; -1 where there is none."""
    well = reached(arm, feet, targets=targets, tool_m=tool_m).everywhere
    away = np.where(well, np.hypot(*(feet[:, :2] - feet[wanted, :2]).T), np.inf)
    return int(away.argmin()) if well.any() else -1


def tool_poses(target: Target, *, tool_m: float, turns: int) -> Floats:
    """[points back, directions x turns, 4, 4]: the flange poses that bring the tip of the tool to a target."""
    along = np.array(target.directions)
    along = along / np.linalg.norm(along, axis=1)[:, None]
    upright = np.where(np.abs(along[:, 2:]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])
    side = np.cross(along, upright)
    side /= np.linalg.norm(side, axis=1)[:, None]
    other = np.cross(along, side)
    angles = np.arange(turns) * (2.0 * np.pi / turns)
    x = np.cos(angles)[:, None] * side[:, None] + np.sin(angles)[:, None] * other[:, None]
    y = np.cos(angles)[:, None] * other[:, None] - np.sin(angles)[:, None] * side[:, None]
    way = -along if target.out is None else np.broadcast_to(np.array(target.out), along.shape)
    tips = np.array(target.point_m) - tool_m * along + np.array(target.back_m)[:, None, None] * way
    poses = np.zeros((len(target.back_m), len(along), turns, 4, 4))
    poses[..., :3, 0], poses[..., :3, 1], poses[..., :3, 2] = x, y, along[:, None]
    poses[..., :3, 3] = tips[:, :, None]
    poses[..., 3, 3] = 1.0
    return poses.reshape(len(target.back_m), -1, 4, 4)


def _best(arm: Linkage, feet: Floats, poses: Floats, turns: int) -> tuple[Floats, Floats]:
    """Slack and margin [places] of the best of the poses [points, tries], the hand turned so often; all points of a try
    count together. Joints are looked for only where the links are long enough for all points."""
    seen = seen_from(feet, poses.reshape(-1, 4, 4)).reshape(len(feet), *poses.shape)
    slack = slacks_m(arm, seen.reshape(-1, 4, 4)).reshape(seen.shape[:3]).min(axis=1)
    place, number = np.nonzero(slack >= -ROUNDING_M)
    margin = np.full(slack.shape, -np.inf)
    if len(place):
        found = turned_margins(arm, inverse(arm, seen[place, :, number].reshape(-1, 4, 4)), turns)
        best = found.max(axis=1).reshape(len(place), len(poses), turns).min(axis=1)
        margin[place, number] = best.max(axis=1)
    return slack.max(axis=1), margin.max(axis=1)


def slack_left_m(arm: Linkage, feet: Floats, *, target: Target, tool_m: float) -> Floats:
    """[places]: the slack of one target alone, as `reached` tells it: how the hand is turned does not count."""
    poses = tool_poses(target, tool_m=tool_m, turns=1)
    seen = seen_from(feet, poses.reshape(-1, 4, 4))
    slack = slacks_m(arm, seen.reshape(-1, 4, 4)).reshape(len(feet), *poses.shape[:2])
    return np.asarray(slack.min(axis=1).max(axis=1))


def seen_from(feet: Floats, poses: Floats) -> Floats:
    """[places, poses, 4, 4]: the poses as each foot sees them."""
    cos, sin = np.cos(feet[:, 3]), np.sin(feet[:, 3])
    seen = np.zeros((len(feet), 1, 4, 4))
    seen[:, 0, 0, 0], seen[:, 0, 0, 1], seen[:, 0, 1, 0], seen[:, 0, 1, 1] = cos, sin, -sin, cos
    seen[:, 0, 2, 2] = seen[:, 0, 3, 3] = 1.0
    seen[:, 0, :3, 3] = -np.einsum("nij,nj->ni", seen[:, 0, :3, :3], feet[:, :3])
    return seen @ poses[None]
