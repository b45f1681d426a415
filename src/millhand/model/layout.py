"""Where things stand, as far as the concept stage knows it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from millhand.model.verdict import Turn


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One rectangle on the floor plan; x, y of its middle, width and depth are fact ids."""

    name: str
    x_m: str
    y_m: str
    width_m: str
    depth_m: str
    height_m: str = ""  # of what stands there; "" where nobody said


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How an arm gets to one target: a machine's load position, or one of the outermost parts of presenter or outfeed.

    slack, room, gap and joined are fact ids; room and gap are "" where no way leads there, joined but where the links
    reach and no way of the arm goes all along.
    """

    target: str  # machine_1, presenter 1
    slack: str  # reach that is left; below 0 what is missing [m]
    room: str = ""  # least room of a joint to an end of its range [rad or m]
    joint: int = 0  # which joint that is, counted from the foot
    gap: str = ""  # least gap to what stands around [m]
    beside: str = ""  # to what
    joined: str = ""  # which share of the straight way one way of the arm goes at most


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """All joints at once from rest to rest: which one takes longest, fact ids of its way [rad or m] and of the tool's
    way [m]."""

    joint: int
    way: str
    tool: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """From one place of an arm to another, before the way in: its legs, several where the direct way is not free.

    gap is a fact id [m], what the arm keeps on the whole way to what stands around, 0 where it touches something; ""
    where both places are one.
    """

    legs: tuple[Leg, ...]
    tool: str  # fact id [m] of the tool's whole way
    led: str = ""  # how it goes round what is in the way of the direct one; "" directly
    gap: str = ""
    beside: str = ""  # to what


@dataclass(frozen=True, slots=True, kw_only=True)
class WayIn:
    """The straight way from where a move ends to a target: length and what the joints allow along it, fact ids."""

    length: str  # [m]
    speed: str  # [m/s]
    accel: str  # [m/s2]
    jerk: str  # [m/s3]


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One place of an arm's foot that was looked at, with the best places of the rest round it; fact ids.

    x and y count from the middle of the first machine's door plane.
    """

    x_m: str
    y_m: str
    score: str  # of what is enough, the least of reach, room at the joints and gap; below 0 something fails
    travel: str  # how far foot or track go for a round
    floor: str  # [m2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """One way in which machines that nobody placed could stand, the best cell put before them; fact ids as in Option.

    travel and floor are "" where the machines alone are out of reach, and the score is theirs.
    """

    words: str  # a row, all doors looking one way
    score: str
    travel: str = ""
    floor: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """One machine's door: the middle of its plane on the floor, the clear opening, the load position behind it.

    Every number a fact id [m]; sill, top and height count from the floor.
    """

    machine: str
    faces: str  # the side that the door looks to: north, east, south, west
    x_m: str
    y_m: str
    width: str
    sill: str
    top: str
    depth: str  # from the door plane to the load position
    height: str  # of the load position


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """Where the middle of an arm's foot stands while it serves one place; fact ids [m]."""

    place: str  # machine_1, presenter, outfeed
    x_m: str
    y_m: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """The way of people from outside to one place: a door, the strip beside presenter or outfeed."""

    place: str  # machine_1, presenter, outfeed
    width: str  # fact id [m]: how wide somebody may be; 0 where no way leads there, no more than the search looks for


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A straight piece of a fence, or a gate in it, from one end to the other; fact ids [m]."""

    name: str  # fence, gate
    x_m: str
    y_m: str
    to_x_m: str
    to_y_m: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Overhead:
    """A beam under which the arm hangs, or along which a ram runs; every number a fact id [m], heights above the
    floor."""

    hangs: str  # arm, ram
    foot: str  # from which it hangs
    beam_low: str  # underside of the beam
    beam_top: str
    arm_top: str  # highest point of the arm on its ways in
    top: str  # of both
    ceiling: str  # clear height that there is
    span: str  # longest from column to column, from middle to middle


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What a drawing of a placed cell needs; every number a fact id [m].

    All places count from the origin, the middle of the first machine's door plane on the floor: x to the east, y to the
    north. Pieces are machines, `presenter`, `outfeed`, `arm` or `track`, obstacles and `fence`; of drawers `presenter`
    is all of it with the part that comes out, and `presenter stand` what stands high. With an arm that hangs there are
    `column 1` ..., `beam` and, in the place of the track, `strip under the beam`.
    """

    pieces: tuple[Spot, ...]
    openings: tuple[Opening, ...]
    feet: tuple[Foot, ...]  # one where the foot stays
    people: tuple[Spot, ...]  # where somebody stands to fill presenter or empty outfeed
    worst: str  # the machine that is served worst
    machine_height: str  # of the front round an opening
    before_door: str  # floor that is kept free before each opening, as wide as the opening
    foot_height: str  # of what the arm is bolted to, above the floor
    shoulder: str  # where the arm's first long link begins, above the floor
    reach: str
    hand: str  # from the flange to the finger tips
    margin: str  # floor kept free by the safeguarding: round all within a fence, else half of it round each piece
    fence: tuple[Stretch, ...] = ()  # as it is built; the piece of that name is the rectangle by which floor is counted
    overhead: Overhead | None = None  # None where nothing hangs


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Spots, the distances that the attendant covers, and the floor that the whole takes; every number a fact id."""

    concept: str
    spots: tuple[Spot, ...]
    distances: Mapping[str, str] = field(default_factory=dict)  # "from to": fact id [m] of people's or a track's way
    reach: tuple[Reach, ...] = ()
    moves: Mapping[str, Move] = field(default_factory=dict)  # "from to", of an arm
    ways_in: Mapping[str, WayIn] = field(default_factory=dict)  # by machine, presenter, outfeed
    options: tuple[Option, ...] = ()
    arrangements: tuple[Arrangement, ...] = ()  # of machines that nobody placed, the chosen one first
    nearest: tuple[str, ...] = ()  # of a pinned foot that does not do: x, y and distance of the nearest that does
    floor_area: str = ""  # fact id [m2]
    outline: tuple[str, ...] = ()  # fact ids [m], to the east and to the north: all that is new, fence and door planes
    pockets: str = ""  # fact id [parts]: raw parts that fit into presenter and, finished, into the outfeed
    walks: tuple[Walk, ...] = ()
    fence_gap: str = ""  # fact id [m]: from arm and held part on their ways to the fence, from above; "" without one
    turns: tuple[Turn, ...] = ()  # what turns reach, room or gap within its range
    track: str = ""  # fact id [m]: travel of the track; "" without one
    overhead: Overhead | None = None  # None where nothing hangs
    drawn: Drawn | None = None
    coarse: bool = True
    words: str = ""
