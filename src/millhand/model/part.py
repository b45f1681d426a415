"""A part family: what it is, how it comes and goes, and what is done to it."""

from dataclasses import dataclass

from millhand.model.fact import Choice, Fact
from millhand.model.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """Outer measures; a round part has a diameter and a length, another length, width and height."""

    length_m: Fact
    width_m: Fact  # of a round part: its diameter
    height_m: Fact  # of a round part: its diameter
    bore_m: Fact | None = None  # of the raw part; None: no bore that jaws could open in was told


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """What the file with the shape of a part says; volume, centre and grip faces are None where it has holes."""

    file: str
    unit: Choice  # mm, cm, m, inch: the file has none
    state: Choice  # raw, finished
    along_x_m: Fact  # extents along the axes of the file
    along_y_m: Fact
    along_z_m: Fact
    box: Size  # the least box found about it, longest side first
    volume_m3: Fact | None
    mass_kg: Fact | None  # None: holes, or the material was not said
    centre_x_m: Fact | None  # of gravity, from the origin of the file
    centre_y_m: Fact | None
    centre_z_m: Fact | None
    grip_m: Fact | None  # a guess: distance of the largest pair of opposite flat faces
    grip_area_m2: Fact | None  # the smaller of the two


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """What a feeder cuts the parts from; part and cut-off follow each other down to the remnant."""

    length_m: Fact
    remnant_m: Fact
    cut_off_m: Fact
    bars: Fact  # put in at one visit
    change_s: Fact  # the machine stands from one bar to the next, nobody needed


@dataclass(frozen=True, slots=True, kw_only=True)
class Dressing:
    """A stop that the machine makes by itself, nobody needed: dressing a wheel, spraying a mould."""

    every_parts: Fact
    takes_s: Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One visit of the part to a machine."""

    name: str
    machine: str
    time_s: Fact  # of one machine cycle
    time_is: Choice  # cycle (cycle start to end) or floor_to_floor (exchange included)
    parts_per_cycle: Fact  # fixture places, cavities, blanks
    sides: Choice  # one; two_vises: first and second side in two vises, exchanged in one door opening
    good: Fact  # share of good parts
    gauge_every: Fact  # gauge each n-th part
    tool_life_parts: Fact  # parts until somebody must change a tool, sister tools used up
    bar: Bar | None = None  # what cycles_per_visit then follows from
    cycles_per_visit: Fact | None = None  # the machine feeds itself so long; None: each load is put in by somebody
    hands_bound: Fact | None = None  # share of the cycle in which the operator's hands are held
    take_out_within_s: Fact | None = None  # after the end of the cycle; later it is scrap; None: it may wait
    dressing: Dressing | None = None
    passes: Fact | None = None  # times that a part comes to the machines, of which this is the mean; None: once
    phases: "tuple[Phase, ...]" = ()  # of which this is the mean, each as if all parts were in it; none: the only one


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase:
    """One pass of a whole lot, alone on the machines: its operation, counted in finished parts, and today's elements
    while it is under way."""

    operation: Operation
    elements: "tuple[ManualElement, ...]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One family of parts that the cell is to carry."""

    name: str
    shape: Choice  # prismatic, round, flat, other
    raw: Size
    finished: Size
    raw_mass_kg: Fact
    finished_mass_kg: Fact
    raw_tolerance_m: Fact  # scatter of the raw measure that is gripped
    condition: Choice  # sawn, cast, forged, machined, moulded, blank
    film: Choice  # dry, oily, hot
    arrives: Choice  # ordered (trays, stacked), pallet, loose
    leaves: Choice  # ordered, box
    delicate: Choice  # yes (scratches or dents count), no
    families: Fact  # how many families share the cell
    lot_size: Fact
    orders_per_y: Fact  # parts a year that somebody buys
    contribution_per_part: Fact  # money that one more sold part leaves after material and direct cost
    material: Choice  # steel, stainless, aluminium, magnesium, titanium, brass, plastic, other
    operations: tuple[Operation, ...]
    bears_n: Fact | None = None  # force of each jaw that leaves no damage; None: nobody said
    mesh: Mesh | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Stopwatch readings of one element, as they stand in a file: all of them, those out of line marked."""

    file: str
    column: str
    rows: tuple[int, ...]  # of the file, one for each reading
    values_s: tuple[float, ...]
    marked: tuple[int, ...]  # rows of the readings beyond the inner fences
    unit: Choice
    readings: Fact  # how many
    out_of_line: Fact  # how many of them are marked
    mean_s: Fact
    deviation_s: Fact
    rating: Fact
    allowance: Fact | None  # in the convention of allowance_of; None: that of the people
    allowance_of: Choice | None  # work (share of the normal time) or day (share of the whole day)
    precision: Fact
    confidence: Fact
    fit: Span  # what a draw of this element follows, before the rating


@dataclass(frozen=True, slots=True, kw_only=True)
class ManualElement:
    """One element of today's manual work on one machine load."""

    name: str
    readings: Readings | None = None
    time_s: Fact  # normal time where it was measured
    allowance: Fact | None = None  # of this element, a share of work time; None: that of the people
    side: Choice  # outside: the machine stands; inside: it runs
    every_parts: Fact | None = None  # done at each n-th part: what every_n then follows from
    every_n: Fact  # done at each n-th load; below 1: several times in a load
    operation: str | None = None  # the one that it belongs to; None: each of them
    place: str | None = None  # machine or bench; None: at the machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """What happens now, and what really leaves the shop."""

    parts_per_shift: Fact  # good parts, all machines together
    walk_s: Fact  # between two machines, one way
    elements: tuple[ManualElement, ...]
    setup_s: Fact  # of a changeover between lots, machine's own
    tool_change_s: Fact | None = None  # of worn tools or inserts, at the machine; None: the catalogue's figure
