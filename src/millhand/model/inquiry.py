"""The inquiry: all that a shop said, its gaps filled by assumptions that say so. Format `millhand-inquiry/1`."""

from dataclasses import dataclass

from millhand.model.claims import Claims
from millhand.model.fact import Choice, Fact
from millhand.model.floor import Block, Pinned
from millhand.model.machine import Machine, MachinePlace
from millhand.model.money import Terms
from millhand.model.part import Part, Today
from millhand.model.part_list import PartList
from millhand.model.shop import Evidence, People, Shift, Shop

INQUIRY_FORMAT = "millhand-inquiry/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorSides:
    """The two sides of the free floor, where it was told by them."""

    long_m: Fact
    short_m: Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the shop wants and what it can give."""

    unattended_s: Fact  # hours a working day with nobody there
    budget: Fact | None  # money
    hurdle_months: Fact  # longest simple payback it accepts
    floor_m2: Fact | None
    height_m: Fact | None
    people_pass: Choice  # yes, no: do people pass close to the machines
    must_move: Choice  # yes, no: must the cell go to another machine
    integrator: Choice  # turnkey, own
    floor_load_pa: Fact | None = None  # spread load that the floor bears
    aisle_m: Fact | None = None  # width that ways for people must keep
    floor_sides: FloorSides | None = None  # None: told as an area alone
    by_arm: tuple[str, ...] = ()  # work on the part that the arm may do besides loading, by the component's name


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A component of the catalogue that the file names, and where it does."""

    name: str
    where: str  # file:line:column


@dataclass(frozen=True, slots=True, kw_only=True)
class Only:
    """Components that the study is kept to, by what they are for; none named: all of that kind."""

    presenter: tuple[Named, ...] = ()
    outfeed: tuple[Named, ...] = ()
    mount: tuple[Named, ...] = ()
    arm: tuple[Named, ...] = ()
    gripper: tuple[Named, ...] = ()
    safeguarding: tuple[Named, ...] = ()
    sharing: tuple[Named, ...] = ()  # how a second arm shares a track; one arm is looked at in any case


@dataclass(frozen=True, slots=True, kw_only=True)
class Wished:
    """One concept, or several that share parts, that somebody wants looked at closely or left out.

    Kept: `base` with other parts and places is one concept. Left out: `base` alone, or all that have the parts.
    """

    name: str
    where: str  # file:line:column
    treatment: Choice  # kept, left_out
    base: str = ""  # the id of a concept
    parts: Only = Only()
    works: tuple[str, ...] = ()  # what the arm does besides loading, by the component's name
    pinned: tuple[Pinned, ...] = ()  # go before those of the inquiry
    by: str = ""
    reason: str = ""

    @property
    def is_kept(self) -> bool:
        """Whether it is looked at in any case."""
        return self.treatment.value == "kept"


@dataclass(frozen=True, slots=True, kw_only=True)
class Correlation:
    """Two uncertain figures that go together in the draws, by the ids of their facts."""

    of: str
    other: str
    rank: Fact  # correlation of Spearman, from -1 to 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Inquiry:
    """The whole inquiry. Every number is a Fact and every word out of a set a Choice; gaps are assumed and say so."""

    format: str = INQUIRY_FORMAT
    name: str
    shop: Shop
    people: People
    shifts: tuple[Shift, ...]
    machines: tuple[Machine, ...]
    places: tuple[MachinePlace, ...] = ()
    obstacles: tuple[Block, ...] = ()
    pinned: tuple[Pinned, ...] = ()
    parts: tuple[Part, ...]
    today: Today
    wishes: Wishes
    money: Terms
    claims: Claims | None = None  # what somebody else's calculation says
    part_list: PartList | None = None  # the parts of these machines, a row for each
    correlations: tuple[Correlation, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    only: Only | None = None  # the components that cells are made of; None: all that the catalogue has
    concepts: tuple[Wished, ...] = ()  # what is looked at closely in any case, or left out, by somebody's wish
    before: tuple[Fact | Choice, ...] = ()  # what judged facts replaced; stays beside them in the study's map
