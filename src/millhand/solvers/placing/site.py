"""What stands on the floor before a cell is placed, and what is to be placed: plain numbers in metres.

The floor's frame: x to the east, y to the north, z up from the floor. A door looks along one of the four ways of the
plan; its opening is a rectangle in the door plane, and the load position lies straight behind its middle.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.placing.serving import FRONT_M, Hand
from millhand.solvers.placing.stands import Target
from millhand.solvers.pose.clearance import Box
from millhand.solvers.pose.links import Floats

PANEL_M = 0.1  # thickness of the front of a machine round its opening: judged
HIGH_M = 2.2  # how high the front of a machine is taken to be: judged
FLOOR = Box(name="floor", middle_m=(0.0, 0.0, -0.5), half_m=(50.0, 50.0, 0.5))
YAWS_RAD = (-0.6, -0.3, 0.0, 0.3, 0.6)  # how far aslant the hand may come in, seen from above: judged, 35 degrees
ROUNDING_M = 1e-9  # by which rectangles that touch may seem to overlap
Foot = tuple[float, float, float, float]  # x, y, z [m], heading [rad]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rect:
    """A rectangle on the floor along the plan's ways, and how high what stands there is."""

    name: str
    x_m: float
    y_m: float
    width_m: float  # along x
    depth_m: float  # along y
    height_m: float = HIGH_M

    def box(self) -> Box:
        """As a block for gaps."""
        half = (self.width_m / 2.0, self.depth_m / 2.0, self.height_m / 2.0)
        return Box(name=self.name, middle_m=(self.x_m, self.y_m, self.height_m / 2.0), half_m=half)


def gap_m(one: Rect, other: Rect) -> float:
    """How far two rectangles are apart along x or along y, whichever is more; below nought where they overlap."""
    x = abs(one.x_m - other.x_m) - (one.width_m + other.width_m) / 2.0
    y = abs(one.y_m - other.y_m) - (one.depth_m + other.depth_m) / 2.0
    return max(x, y)


def free_of(room: Rect, others: Sequence[Rect]) -> bool:
    """Whether a rectangle overlaps none of the others."""
    return all(gap_m(room, each) >= -ROUNDING_M for each in others)


def gaps_at(one: Rect, at: tuple[Floats, Floats], other: Rect) -> Floats:
    """The same with the middle of the first one at each of some places."""
    x = np.abs(at[0] - other.x_m) - (one.width_m + other.width_m) / 2.0
    y = np.abs(at[1] - other.y_m) - (one.depth_m + other.depth_m) / 2.0
    return np.asarray(np.maximum(x, y))


@dataclass(frozen=True, slots=True, kw_only=True)
class Doorway:
    """The opening of one machine and where its part lies. `from_above`: the hand may also hang down inside; `roof`: it
    comes straight down through an opening in the roof as wide as the door, over the load position."""

    name: str
    x_m: float
    y_m: float
    faces: tuple[int, int]
    width_m: float
    sill_m: float
    lintel_m: float
    depth_m: float  # from the door plane to the load position
    height_m: float  # of the load position
    from_above: bool
    roof: bool = False
    before_m: float = FRONT_M  # from the door plane, or over the roof, to the tip where the way in begins

    @property
    def point_m(self) -> tuple[float, float, float]:
        """The load position."""
        return self.x_m - self.depth_m * self.faces[0], self.y_m - self.depth_m * self.faces[1], self.height_m

    @property
    def way_m(self) -> float:
        """How long the straight way in is, from where it begins outside."""
        return HIGH_M + self.before_m - self.height_m if self.roof else self.depth_m + self.before_m

    @property
    def target(self) -> Target:
        """The load position with the ways in that may be tried; the way out leads straight through the opening."""
        if self.roof:
            return Target(
                name=self.name, point_m=self.point_m, directions=((0.0, 0.0, -1.0),), back_m=(self.way_m, 0.0)
            )
        inwards = math.atan2(-self.faces[1], -self.faces[0])
        flat = [(inwards + yaw, 0.0) for yaw in YAWS_RAD]
        steep = [(inwards, math.pi / 4.0), (inwards, math.pi / 2.0)] if self.from_above else []
        return Target(
            name=self.name,
            point_m=self.point_m,
            directions=tuple(
                (math.cos(yaw) * math.cos(down), math.sin(yaw) * math.cos(down), -math.sin(down))
                for yaw, down in (*flat, *steep)
            ),
            back_m=(self.way_m, 0.0),
            out=(float(self.faces[0]), float(self.faces[1]), 0.0),
        )

    def rim(self, machine: Rect) -> tuple[Box, ...]:
        """The machine round a square opening in its roof, as four blocks as high as its front."""
        x, y, _ = self.point_m
        half, found = self.width_m / 2.0, []
        west, east = machine.x_m - machine.width_m / 2.0, machine.x_m + machine.width_m / 2.0
        south, north = machine.y_m - machine.depth_m / 2.0, machine.y_m + machine.depth_m / 2.0
        for low_x, high_x, low_y, high_y in (
            (west, x - half, south, north), (x + half, east, south, north),
            (x - half, x + half, south, y - half), (x - half, x + half, y + half, north),
        ):  # fmt: skip
            sides = (max(0.0, high_x - low_x), max(0.0, high_y - low_y))
            found.append(Rect(
                name="rim of the roof", x_m=(low_x + high_x) / 2.0, y_m=(low_y + high_y) / 2.0,
                width_m=sides[0], depth_m=sides[1],
            ).box())  # fmt: skip
        return tuple(found)

    def frame(self, machine: Rect, *, thick_m: float = PANEL_M) -> tuple[Box, ...]:
        """The front of the machine round the opening: beside it to both sides, below and above; or round its roof's."""
        if self.roof:
            return self.rim(machine)
        across_x = self.faces[0] == 0
        whole = machine.width_m if across_x else machine.depth_m
        beside = max(0.0, (whole - self.width_m) / 2.0)
        deep = thick_m / 2.0

        def block(name: str, aside: float, half: float, low: float, high: float) -> Box:
            x, y = self.x_m - deep * self.faces[0], self.y_m - deep * self.faces[1]
            halves = (half, deep, (high - low) / 2.0) if across_x else (deep, half, (high - low) / 2.0)
            at = (x + aside, y) if across_x else (x, y + aside)
            return Box(name=name, middle_m=(*at, (low + high) / 2.0), half_m=halves)

        off = (self.width_m + beside) / 2.0
        top = max(HIGH_M, self.lintel_m)
        return (
            block("door frame", -off, beside / 2.0, 0.0, top),
            block("door frame", off, beside / 2.0, 0.0, top),
            block("sill of the door", 0.0, self.width_m / 2.0, 0.0, self.sill_m),
            block("top of the door", 0.0, self.width_m / 2.0, self.lintel_m, top),
        )

    def hollow(self, machine: Rect) -> tuple[Box, ...]:
        """The whole machine but for what lies straight behind the opening."""
        return self.frame(machine, thick_m=machine.depth_m if self.faces[0] == 0 else machine.width_m)

    def room(self, deep_m: float) -> Rect:
        """The floor before the opening, where nothing may stand that is not the arm."""
        x, y = self.x_m + deep_m / 2.0 * self.faces[0], self.y_m + deep_m / 2.0 * self.faces[1]
        sides = (self.width_m, deep_m) if self.faces[0] == 0 else (deep_m, self.width_m)
        return Rect(name=self.name, x_m=x, y_m=y, width_m=sides[0], depth_m=sides[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A presenter or outfeed: its rectangle, and the points that the hand goes down to, from its middle [m].

    Points are (along the length, along the width, height above the floor). What stands high is `solid_m` of the width,
    on the side that the points lead away from; the rest is floor that must be free, as for a drawer pulled out.
    """

    name: str
    length_m: float
    width_m: float
    high_m: float
    solid_m: float
    picks: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Machines with their openings, what else stands there, and how much room people keep.

    above: what the arm keeps clear of and does not stand on the floor; under: floor on which pieces may stand and
    nobody may, for something hangs over it.
    """

    doorways: tuple[Doorway, ...]
    machines: tuple[Rect, ...]  # as many as doorways, in their order
    obstacles: tuple[Rect, ...] = ()
    aisle_m: float = 0.8  # for somebody at the presenter
    before_door_m: float = 0.5  # kept free before each opening
    above: tuple[Box, ...] = ()
    under: tuple[Rect, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """Where something is to stand: the middle of it, and for a stand the quarter turn of its length."""

    x_m: float
    y_m: float
    quarter: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """A beam on columns with a carriage, under which an arm hangs, and the room that there is for it [m].

    carriage_m: from the arm's foot up to the beam; span_m: longest span between columns that is wanted; above_m: kept
    free between all of it and the ceiling; ram_m: of a loader, how far its ram goes up beyond its hand's flange.
    """

    depth_m: float
    width_m: float
    carriage_m: float
    column_m: float
    span_m: float
    above_m: float
    ceiling_m: float
    ram_m: float = 0.0

    def fits(self, foot_m: float, top_m: float) -> bool:
        """Whether beam and arm keep below the ceiling, the arm's foot and its highest point so high above the floor."""
        return max(foot_m + self.carriage_m + self.depth_m, top_m) + self.above_m <= self.ceiling_m + 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class People:
    """What people round a cell need: how wide a way; how far a fence lies from what it encloses (None: there is none),
    by how much a track is built longer than its travel, and how wide a gate is between its posts where it can be."""

    width_m: float
    fence_m: float | None = None
    beyond_m: float = 0.0
    gate_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two arms of a kind on one track: how they share the work, and how far apart their carriages keep [m].

    own: each has machines of its own, presenter and outfeed between them; feed: one feeds and one takes out, from one
    end to the other; free: both serve all.
    """

    way: str  # own, feed, free
    keep_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """What a concept puts on the floor; `foot_m` are the sides of what the arm stands on, with a track its width.

    With `heights_m` the foot is tried so high, one after the other, and `foot_height_m` is one of them. `heading_rad`:
    which way a loader looks, whose slides run along its beam and across; None: the foot may look anywhere. Without
    `people` nobody's way is looked at.
    """

    arm: Linkage
    hand: Hand
    foot_height_m: float
    foot_m: tuple[float, float]
    on_track: bool = False
    presenter: Stand | None = None
    outfeed: Stand | None = None
    pinned: tuple[tuple[str, Pin], ...] = ()  # "arm", "presenter", "outfeed"
    heights_m: tuple[float, ...] = ()
    beam: Beam | None = None
    heading_rad: float | None = None
    people: People | None = None
    pair: Pair | None = None  # a second arm like it on the same track

    @property
    def on_beam(self) -> bool:
        """Whether it is a loader, whose ram slides along its own beam."""
        return self.arm.family == "gantry"

    def looks(self, foot: tuple[float, ...], point: tuple[float, ...]) -> float:
        """Which way the foot looks while it is tried at a point: at it, where it may."""
        return math.atan2(point[1] - foot[1], point[0] - foot[0]) if self.heading_rad is None else self.heading_rad

    def pin(self, name: str) -> Pin | None:
        """Where the user wants one of them."""
        return dict(self.pinned).get(name)


def boxes_round(site: Site, doorway: Doorway | None, stands: tuple[Rect, ...]) -> tuple[Box, ...]:
    """What an arm at a target has to keep clear of: the front of the machine that it reaches into, others as blocks."""
    found = [FLOOR, *site.above]
    for each, machine in zip(site.doorways, site.machines, strict=True):
        found.extend(each.frame(machine) if doorway is not None and each.name == doorway.name else (machine.box(),))
    return (*found, *(rect.box() for rect in (*site.obstacles, *stands)))
