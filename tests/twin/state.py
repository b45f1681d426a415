"""What changes during one replication: columns again, and the books of time spent in each state."""

from dataclasses import dataclass

from millhand.solvers.kernel.codes import A_IDLE, ATTENDANT_STATES, COUNTS, IDLE, NEVER, S_STARVED, STATION_STATES
from millhand.solvers.kernel.layout import Compiled
from tests.twin.flags import FLAGS

STATION_KINDS_OF_TIME = len(STATION_STATES)
ATTENDANT_KINDS_OF_TIME = len(ATTENDANT_STATES)


@dataclass(slots=True, kw_only=True)
class StationRun:
    """One entry a station."""

    mode: list[int]
    ready: list[int]  # since when it stands empty or done
    end: list[int]  # when its load will be finished, as far as anybody can know
    left: list[int]  # process steps that the load still needs
    since_work: list[int]  # when work was last taken up
    stood: list[int]  # when work last ended
    trouble: list[int]  # how many things keep it from being served
    down: list[int]  # faults that are not ended
    worn: list[int]
    held: list[int]  # stopped from outside
    off: list[int]
    served: list[int]  # somebody is repairing or renewing it
    held_as: list[int]  # state while held
    stock: list[int]  # supply: parts; sink: parts in it
    inside: list[int]  # pieces in a process station or store
    done: list[int]  # how many of them are done (the first ones)
    piece: list[int]
    claimed: list[int]  # attendants on their way to take here
    expected: list[int]  # attendants on their way to put here


@dataclass(slots=True, kw_only=True)
class AttendantRun:
    """One entry an attendant."""

    mode: list[int]
    place: list[int]
    holds: list[int]  # pieces in its hands
    hand: list[int]  # [attendant * H + i]
    source: list[int]  # the station it takes from, -1
    target: list[int]  # the station it puts to, -1
    visit: list[int]  # the visit under way
    which: list[int]  # the hand that puts
    last: list[int]  # the station it served last without leaving
    picked_last: list[int]  # 1 where that visit was a pick
    lifted: list[int]  # when the last pick ended
    slot: list[int]  # the call it answers
    halted: list[int]
    on: list[int]  # 1 while its calendar has it here
    misses: list[int]
    want: list[int]  # the part type it takes from a supply


@dataclass(slots=True, kw_only=True)
class Hindered:
    """One entry an attendant: what is kept while it is halted, slowed or away."""

    left: list[int]  # time that was left when it was halted
    slowed: list[int]  # persons in its way
    full_way: list[int]  # the way under way at full speed, and at slow speed
    slow_way: list[int]
    way_state: list[int]
    away_as: list[int]  # off or break
    dropped: list[int]  # 1 where its hours ended in the middle of its work


@dataclass(slots=True, kw_only=True)
class Books:
    """Time in each state, booked when the state changes.

    An attendant's action has up to three phases that are known when it begins; they are booked when it ends, is cut or
    is halted: `first` until `until_first`, `second` until `until_second`, then `state`.
    """

    station: list[int]  # [station * states + state]
    station_state: list[int]
    station_since: list[int]
    attendant: list[int]
    state: list[int]
    since: list[int]
    first: list[int]
    until_first: list[int]
    second: list[int]
    until_second: list[int]
    halted_as: list[int]
    duty_time: list[int]
    duty_ended: list[int]


@dataclass(slots=True, kw_only=True)
class Pieces:
    """Parts under way: a pool with a list of free numbers."""

    step: list[int]
    settled: list[int]  # the step that it goes to next, once that is settled
    bad: list[int]
    maker: list[int]
    number: list[int]  # the maker's count of parts
    marked: list[int]  # known to be bad
    since: list[int]  # when it was put where it lies
    late: list[int]  # per station: parts that stayed too long
    free: list[int]
    made: list[int]  # per station: parts made
    checked: list[int]  # per station: the number of the last part found good
    checking: list[int]  # per station: the number of the part that lies in the gauge
    good_since: list[int]  # per station: good parts in sinks made since the last good check
    escaped_since: list[int]
    good_after: list[int]  # the same, but made after the part that lies in the gauge
    escaped_after: list[int]
    step_count: list[int]  # per step: parts that came to it
    given: list[int]  # per part type: parts lifted from supplies


@dataclass(slots=True, kw_only=True)
class Calls:
    """Calls that wait, and the counters behind faults, wear and triggers."""

    waiting: list[int]  # per slot
    since: list[int]
    ready: list[int]  # when the response time is over
    serving: list[int]
    left: list[int]  # what an interrupted answer still needs
    fault_left: list[int]  # busy steps or loads until the next one; clock: its time
    fault_open: list[int]  # 1 while it lasts
    fault_due: list[int]  # 1 when it came while the station could not stop
    worn: list[int]  # per wear: used since it was new
    spares: list[int]
    worn_out: list[int]
    parts: list[int]  # per trigger by parts
    log: list[tuple[int, str, str, str]]  # time, what, who, where; only when asked for
    away: list[int]  # per absence of all people: steps until something needed one
    away_open: list[int]  # one entry: 1 while nobody is here and nothing has needed anybody


@dataclass(slots=True, kw_only=True)
class Chance:
    """Counters of the streams."""

    seed: int
    replication: int
    day: list[int]
    key: list[int]
    count: list[int]


@dataclass(slots=True, kw_only=True)
class Run:
    """One replication under way."""

    c: Compiled
    st: StationRun
    at: AttendantRun
    by: Hindered
    books: Books
    pieces: Pieces
    calls: Calls
    chance: Chance
    times: list[int]  # the next event of each slot
    flags: list[int]
    counts: list[int]
    logging: bool
    duty_at: int  # where slots of events begin: clocks of duties, stations, faults, calendars
    station_at: int
    fault_at: int
    calendar_at: int


def new_run(c: Compiled, *, seed: int, replication: int, logging: bool = False) -> Run:
    """A replication at time 0: empty machines, full presenters as the cell says, everybody at home."""
    stations, people = c.size.stations, c.size.attendants
    clocks, faults, calendars = len(c.triggers.clock_duty), len(c.troubles.owner), len(c.calendars.period)
    return Run(
        c=c,
        st=_stations(c),
        at=_attendants(c),
        by=Hindered(**{name: [0] * people for name in Hindered.__dataclass_fields__}),
        books=_books(c),
        pieces=_pieces(c),
        calls=_calls(c),
        chance=Chance(
            seed=seed,
            replication=replication,
            day=[-1] * len(c.spans.streams),
            key=[0] * len(c.spans.streams),
            count=[0] * len(c.spans.streams),
        ),
        times=[NEVER] * (people + clocks + stations + faults + calendars),
        flags=[0] * FLAGS,
        counts=[0] * len(COUNTS),
        logging=logging,
        duty_at=people,
        station_at=people + clocks,
        fault_at=people + clocks + stations,
        calendar_at=people + clocks + stations + faults,
    )


def _stations(c: Compiled) -> StationRun:
    """Everything stands empty."""
    n = c.size.stations
    names = [name for name in StationRun.__dataclass_fields__ if name not in ("stock", "piece", "end")]
    columns = {name: [0] * n for name in names}
    return StationRun(**columns, stock=list(c.stations.start), piece=[-1] * (c.size.room + 1), end=[NEVER] * n)


def _attendants(c: Compiled) -> AttendantRun:
    """Everybody is at home with empty hands."""
    n = c.size.attendants
    names = [name for name in AttendantRun.__dataclass_fields__ if name not in ("mode", "place", "hand", "on")]
    start = {"source": -1, "target": -1, "last": -1, "slot": -1, "visit": -1}
    columns = {name: [start.get(name, 0)] * n for name in names}
    hands = [-1] * (n * c.size.hands)
    return AttendantRun(**columns, mode=[IDLE] * n, place=list(c.attendants.home), hand=hands, on=[1] * n)


def _books(c: Compiled) -> Books:
    """Nothing is booked yet."""
    n, a, d = c.size.stations, c.size.attendants, len(c.duty_names)
    return Books(
        station=[0] * (n * STATION_KINDS_OF_TIME),
        station_state=[S_STARVED] * n,
        station_since=[0] * n,
        attendant=[0] * (a * ATTENDANT_KINDS_OF_TIME),
        state=[A_IDLE] * a,
        since=[0] * a,
        first=[A_IDLE] * a,
        until_first=[0] * a,
        second=[A_IDLE] * a,
        until_second=[0] * a,
        halted_as=[A_IDLE] * a,
        duty_time=[0] * d,
        duty_ended=[0] * d,
    )


def _pieces(c: Compiled) -> Pieces:
    """A pool in which every number is free."""
    room, n = c.size.room, c.size.stations
    return Pieces(
        step=[0] * room,
        settled=[-1] * room,
        bad=[0] * room,
        maker=[-1] * room,
        number=[0] * room,
        marked=[0] * room,
        since=[0] * room,
        late=[0] * n,
        free=list(range(room - 1, -1, -1)),
        made=[0] * n,
        checked=[0] * n,
        checking=[0] * n,
        good_since=[0] * n,
        escaped_since=[0] * n,
        good_after=[0] * n,
        escaped_after=[0] * n,
        step_count=[0] * c.size.steps,
        given=[0] * c.size.parts,
    )


def _calls(c: Compiled) -> Calls:
    """Nobody has called."""
    slots, faults, wears = c.size.slots, len(c.troubles.owner), len(c.troubles.wear_owner)
    return Calls(
        waiting=[0] * slots,
        since=[0] * slots,
        ready=[0] * slots,
        serving=[0] * slots,
        left=[0] * slots,
        fault_left=[NEVER] * faults,
        fault_open=[0] * faults,
        fault_due=[0] * faults,
        worn=[0] * wears,
        spares=list(c.troubles.wear_spares),
        worn_out=[0] * wears,
        parts=[0] * len(c.triggers.parts_every),
        log=[],
        away=[],
        away_open=[0],
    )
