"""What a cell really puts out, attended and alone, with its interval."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from millhand.model.phases import Phases


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A mean over replications with its 95 % interval."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """Absences of all people, from the last one's leaving to the first one's coming."""

    absences: int
    ran_through: float  # share of them at whose end the cell still ran
    until_end_s: Mapping[str, float]  # of those that stood: quantiles of the time until the last part
    parts: Figure  # parts made in one absence
    first_need: Mapping[str, float]  # what needed somebody first: share of all absences
    ended_by: Mapping[str, float]  # what it stood for in the end: share of all absences


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """What the simulation of one cell counted: per hour of the horizon and as shares that add up to one per owner."""

    cell: str  # hash of the canonical cell
    seed: int
    replications: int
    horizon_s: float
    parts_per_h: Figure
    good_per_h: Figure
    states: Mapping[str, Mapping[str, float]] = field(default_factory=dict)  # station or attendant: state: share
    duties: Mapping[str, Figure] = field(default_factory=dict)  # duty: calls ended per hour
    duty_share: Mapping[str, Figure] = field(default_factory=dict)  # duty: share of the horizon somebody works on it
    counts: Mapping[str, Figure] = field(default_factory=dict)  # misses, scrapped, escaped, refills ... per hour
    attended_share: float = 0.0  # share of the horizon with at least one operator on shift
    alone_s: Mapping[str, float] = field(default_factory=dict)  # time to the first stop with nobody there: quantiles
    alone: "Alone | None" = None  # what absences of all people came to; None where there are none
    levels: Mapping[str, float] = field(default_factory=dict)  # supply, store, sink with a limit: mean parts in it
    cycles: Mapping[str, Mapping[str, float]] = field(default_factory=dict)  # process station: mean_s, p10_s, ...
    effectiveness: Mapping[str, Mapping[str, float]] = field(
        default_factory=dict
    )  # process station: OEE, its parts, waits
    by_part: Mapping[str, Figure] = field(default_factory=dict)  # part type: good parts per hour
    late_at: Mapping[str, Figure] = field(default_factory=dict)  # station with limited stays: too long ones per hour
    finished_s: Figure | None = None  # when the last part of all lots left; None without lots that end
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleTime:
    """People's time by kind (care, other, waiting) as fact ids: hours of a mean shift, and hours a good part.

    care: hands on the machines, ways, stops, tools, chips, refills, set-ups. other: work on the parts that somebody
    has to do whoever loads: deburring, gauging, packing. waiting: what is left of the hours there.
    """

    there: str | None  # hours of all heads in a shift; None where people only come when they are called
    a_shift: Mapping[str, str]
    a_part: Mapping[str, str]
    busy: str | None = None  # of a simulated cell: share of one post's hours that its work takes
    cells: str | None = None  # how many such cells one person could look after; 0: not even this one alone
    post: str | None = None  # hours a year of the post that fall to it, shared with the other cells that were told


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineUse:
    """Key figures of the machines of one operation in the hours with somebody there, as fact ids (iso22400)."""

    operation: str
    availability: str  # after set-ups, long stops and the loss that nothing explains
    simulated_availability: str  # APT / PBT of the simulated states alone
    effectiveness: str  # PRI x PQ / APT, performance
    quality: str  # GQ / PQ
    oee: str  # good parts x planned time a part / planned busy time


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineWait:
    """How long the machines of one operation stand ready and wait to be loaded or unloaded.

    As simulated: the arm's moves before it begins are in it, its own wait at another machine, and the time in which it
    is stopped for a refill or a fault.
    """

    operation: str
    share: str  # fact id: of the hours in which the cell may run, with the 95 % interval as its range
    a_load: str  # fact id: the same for each load of a machine [s]


@dataclass(frozen=True, slots=True, kw_only=True)
class Performance:
    """One concept's output as fact ids into the study's map."""

    concept: str
    cell: str
    bound_per_h: str  # load bound of the means
    cycle_per_h: str | None  # best simple cycle of the means; None where no simple cycle covers the cell
    attended_per_h: str  # simulated, somebody there
    unattended_per_h: str | None  # in the hours alone; None where none are wished
    parts_per_shift: str
    attended_h_per_y: str
    unattended_h_per_y: str
    autonomy_s: str  # how long it runs with nobody there: the least limit
    parts_per_y: str
    operator_h_per_y: str  # people's hours on the cell: duties, and hands-on tending in today's process
    pace_setter: str  # words: which resource sets the pace
    output: Output | None = None
    parts_alone: str | None = None  # of one run alone
    bound_loads_per_h: str = ""  # the load bound as the solver gave it: machine loads
    people: PeopleTime | None = None
    uses: tuple[MachineUse, ...] = ()  # today's process alone
    waits: tuple[MachineWait, ...] = ()  # of a cell that was simulated
    phases: Phases | None = None  # of a lot that goes through the same machines several times
