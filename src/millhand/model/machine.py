"""A machine as an attendant meets it: what it does, how it opens and clamps, and how often it stops."""

from dataclasses import dataclass

from millhand.model.fact import Choice, Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Stops:
    """Machine stops that need a person, in two classes, counted on running time."""

    short_every_s: Fact
    short_takes_s: Fact
    long_every_s: Fact
    long_takes_s: Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """What a hand meets in a machine: the way in through the door, the seat that takes the part, what cools the cut."""

    door_width_m: Fact  # clear opening, door open
    door_height_m: Fact
    catch_m: Fact  # how far off the seat of chuck, vise or nest still takes a part in
    fluid: Choice  # water, neat_oil, none
    fire_settled: Choice  # yes, no: protection against fire in a run with nobody there
    from_above: Choice  # yes, no: a part can be put in from above, through an opening in the roof


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """One kind of machine in the inquiry, `count` of them alike; or several kinds that share their work, as one."""

    name: str
    shared: tuple["Machine", ...] = ()  # the kinds that this one stands for; then each field holds the more demanding
    kind: Choice  # mill, lathe, moulding, press, grinder, other
    count: Fact
    age_y: Fact
    control: Choice  # free_outputs, fieldbus, none
    door: Choice  # hand, powered, none
    clamping: Choice  # hand_vise, powered_vise, hand_chuck, powered_chuck, nest, mould
    extra: Choice  # feeder that is already there: none, bar_feeder, pallet_changer
    probe: Choice  # yes, no
    tool_check: Choice  # broken-tool detection: yes, no
    warranty: Choice  # yes, no
    load_height_m: Fact  # of the load position above the floor
    load_depth_m: Fact  # of the load position behind the door plane
    spacing_m: Fact  # from the load position of one machine to that of the next
    chip_limit_parts: Fact  # pieces cut until the chip box is full: a part that comes twice is two
    inside: Inside
    stops: Stops
    rate_per_h: Fact | None = None  # money/h: what an hour of the machine costs without people


@dataclass(frozen=True, slots=True, kw_only=True)
class MachinePlace:
    """Where one machine stands, if the shop said so: the middle of its door plane on the floor plan."""

    machine: str
    number: int
    x_m: Fact
    y_m: Fact
    faces: Choice  # the side that the door looks to: north, east, south, west
