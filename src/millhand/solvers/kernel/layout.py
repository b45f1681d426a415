"""The compiled cell: everything the event loop reads, as columns of whole numbers and floats.

How it is laid out
------------------
Every noun of the cell has a number: its place in file order, which is also the tie order. A record below is a table; a
field is a column, with one entry for each thing that the table lists. Nothing in it changes during a run.

* Times are whole grid steps; -1 stands for 'none' or 'unlimited' in a column of counts, numbers or times.
* *Owners* number stations and attendants together: station s is owner s, attendant a is owner S + a.
* *Ranges*: where a thing has several others (faults of a station, alternatives of a step), the table has two columns,
  `..._from` and `..._to`, into the table of those others: the slice from `from` up to, not including, `to`.
* *Spans* is the table of all durations. An entry is one use of a duration by one source of chance: the distribution and
  its three numbers, the factor from its unit to grid steps (pace is in it) and the stream that it draws from. `fixed`
  holds the whole steps of a constant one, so that the loop need not draw.
* *Streams* holds the source number of each stream (docs/streams.md); the loop keeps one counter for each.
* *Work rows*: a visit is one of pick, place and swap of one attendant at one station; visit 3 * row + kind.
  `row_of` finds the row of (attendant, station, part). What an attendant may do with a part in hand is listed per
  (attendant, step of a route) as *options*: the stations that the step allows, in the order of the file, with the row.
  Attendants list as *sources* the stations from which they pick.
* *Steps* numbers the steps of all routes one after the other; a part in hand points to the step that it goes to, a
  part in a station to the step that it is at.
* *Slots* for calls: one for each (duty, caller) pair, the caller being a fault, a wear, a miss or nobody. A slot counts
  calls that wait. Slots are in the order of duties, then callers.
* *Moves*: one flat list of times; table t, from place p to place q at t * P * P + p * P + q; -1 = cannot.

Events are slots of one list of times, in this order, which is the tie rule: attendants, clocks of duties, stations,
faults, calendars. The next event is the least time, and of equal ones the first.
"""

from dataclasses import dataclass

Ints = tuple[int, ...]
Floats = tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """How many of each noun there are."""

    stations: int
    attendants: int
    places: int
    parts: int
    steps: int
    slots: int
    hands: int  # the most that one attendant has
    day: int  # steps of a day
    room: int  # pieces that can be inside process stations, stores and hands together


@dataclass(frozen=True, slots=True, kw_only=True)
class Stations:
    """One entry a station."""

    kind: Ints
    place: Ints
    capacity: Ints  # parts in a supply, store or sink; -1 unlimited
    start: Ints
    batch: Ints
    attended: Ints
    self_in: Ints
    self_out: Ints
    calendar: Ints
    warm_after: Ints
    warm_takes: Ints
    fault_from: Ints
    fault_to: Ints
    wear_from: Ints
    wear_to: Ints
    piece_from: Ints  # where its pieces stand in the list of pieces
    part_from: Ints  # supplies: which part types it gives
    part_to: Ints
    part: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Attendants:
    """One entry an attendant."""

    arm: Ints  # 1 for an arm, 0 for an operator
    hands: Ints
    turn: Ints
    home: Ints
    full: Ints  # move tables: offset into the list of times, -1 where it has none
    slow: Ints
    pace: Floats
    calendar: Ints
    swaps: Ints  # 1 where it may exchange at some station
    rule: Ints
    rank: Ints  # [attendant * S + station]: place in its order, S where it is not named
    source_from: Ints
    source_to: Ints
    source: Ints  # stations from which it picks
    slot_from: Ints
    slot_to: Ints
    slot: Ints  # slots of calls that it answers
    fault_from: Ints
    fault_to: Ints
    wears: Ints  # 1 where it has wear


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """Rows of handling, their visits, and what can be done with a part in hand."""

    row_of: Ints  # [(attendant * S + station) * K + part]
    has: Ints  # a visit: 1 where the row has it
    lead: Ints  # spans
    hold: Ints
    tail: Ints
    on_finish: Ints
    miss_p: Floats  # a row
    miss_stream: Ints
    retries: Ints
    retry: Ints
    miss_slot: Ints
    option_from: Ints  # [attendant * G + step]
    option_to: Ints
    station: Ints  # an option
    row: Ints
    feeders: Ints  # [station * S + station]: 1 where the second gives parts whose next step may be the first


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """One entry a step of a route, all routes one after the other."""

    part: Ints
    first: Ints  # per part type: its first step
    share: Floats  # per part type
    at_from: Ints
    at_to: Ints
    at: Ints
    lies: Ints  # [step * S + station]: the step at which a part lies that came there, -1 where none comes
    time: Ints  # [step * S + station]: span, where parts lie at the step
    good: Floats
    good_stream: Ints  # per station
    every: Ints  # 0: visited by whichever parts visit the step before it, in a machine with own buffers
    on_bad: Ints
    last: Ints
    stay_max: Ints  # -1: as long as it likes
    family: Ints  # -1: none
    uses_from: Ints  # per step: what a load uses up besides its part
    uses_to: Ints
    uses_at: Ints
    uses_pieces: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Troubles:
    """Faults, then wear: one entry each."""

    owner: Ints
    on: Ints
    every: Ints  # span
    p: Floats
    stream: Ints
    slot: Ints
    self_end: Ints  # span
    keeps: Ints
    stop_from: Ints
    stop_to: Ints
    stop: Ints  # owners that stop with it
    wear_owner: Ints
    wear_loads: Ints  # 1 counts loads, 0 busy steps
    wear_limit: Ints
    wear_spares: Ints
    wear_slot: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Duties:
    """One entry a duty, and below them one a zone that it lies in and one a stock that it restores."""

    priority: Ints
    place: Ints
    needs: Ints
    holds: Ints
    interruptible: Ints
    stack: Ints  # 1 where several calls of one slot add up
    own_slot: Ints  # the slot of calls by level, parts and clock
    zone_from: Ints
    zone_to: Ints
    zone_attendant: Ints
    zone_slow: Ints  # 1 slows, 0 stops
    restore_from: Ints
    restore_to: Ints
    restore: Ints  # station
    restore_full: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Slots:
    """One entry a slot for calls."""

    duty: Ints
    kind: Ints
    what: Ints  # the fault, the wear or the attendant that missed
    owner: Ints
    takes: Ints
    response: Ints
    words: tuple[str, ...]  # what called, for the reader


@dataclass(frozen=True, slots=True, kw_only=True)
class Triggers:
    """What calls a duty apart from faults and wear."""

    level_station: Ints
    level_below: Ints
    level_duty: Ints
    parts_station: Ints  # one entry for each station that counts for a trigger
    parts_trigger: Ints
    parts_every: Ints  # a trigger
    parts_duty: Ints
    clock_duty: Ints
    clock_span: Ints  # -1: at fixed times
    clock_from: Ints
    clock_to: Ints
    clock_at: Ints
    clock_period: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Spans:
    """One entry for each use of a duration."""

    fixed: Ints
    dist: Ints
    a: Floats
    b: Floats
    c: Floats
    scale: Floats
    stream: Ints
    value_from: Ints
    value_to: Ints
    value: Floats
    streams: Ints  # the source of each stream


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendars:
    """One entry a calendar; changes of state inside one period."""

    period: Ints
    on_from: Ints
    on_to: Ints
    start: Ints
    end: Ints
    pause: Ints  # an interval: 1 where the gap after it is a break
    at_end: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Lots:
    """In which order supplies give part types, and what it takes to change a station over from family to family."""

    of_station: tuple[tuple[tuple[int, int], ...], ...]  # per station: (part type, size) of each lot, in order
    first: Ints  # per lot of all stations one after the other: where it stands first, as one that several give
    keeps: Ints  # per lot: so many parts of its supply are for later ones that no other gives
    end: bool  # the lots come to an end (makespan); otherwise they begin anew
    families: int  # how many there are, at least 1
    change_slot: tuple[Ints, ...]  # per station: [from * families + to]: slot of the changeover, -1 none needed
    turnaround: Ints  # per station: a gate's least time between a part set down at its twin and the next lifted here
    twin: Ints
    endless: Ints  # per station: the first of the endless slots that it is one of, -1 none
    only_to: Ints  # per station: the only station to which its parts may go, -1 any that the route names


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """Something of another attendant's turn that has to be over before: `laps` periods earlier than one's own.

    Between two motions on a rail it is the departure that counts, and the later one may come so many steps after it, or
    before it where `lag` is negative. A lift may have to come so many steps after what it waits for is over.
    """

    who: int
    op: int
    laps: int
    lag: int
    begun: bool = False  # it is enough that its hold has begun


@dataclass(frozen=True, slots=True, kw_only=True)
class Op:
    """One thing that an attendant does in its turn under the rule `cycle`."""

    what: int
    at: Ints  # stations at one of which it is done: several slots are alike
    place: int  # of a motion: where it leads; of a duty: where it is done; otherwise -1
    duty: int  # which duty, otherwise -1
    part: int  # type of the part that is lifted, and in which lap from the supply on
    lap: int
    lies_at: int  # the step that it has come to there, where parts of several may be at the stations; otherwise -1
    brings: int  # the same of the part that is set down, and the step that it is brought to
    brings_step: int
    brings_lap: int
    lies: int  # the step that the part lifted has come to there, -1 where that is not known
    came: int  # which of the parts that come in in a period is lifted, and which is set down
    brings_came: int
    gap: int  # steps since the visit before began
    waits: tuple[Wait, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A part that enters a station in each period of a schedule."""

    who: int  # who sets it down, and in which place of its turn; -1 where the part comes by itself
    op: int
    sources: Ints  # where it comes from by itself
    step: int  # the step that it comes for, and in which lap from the supply on
    lap: int
    came: int  # which of the parts that come in in a period it is


@dataclass(frozen=True, slots=True, kw_only=True)
class Entries:
    """The parts that enter a station, or the slots of one, in their order."""

    at: Ints
    rows: tuple[Entry, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """How attendants get about."""

    times: Ints
    place_names: tuple[str, ...]
    place_on: Ints  # per place: 1 where it lies on a rail, and where [m]
    place_x: Floats
    track_of: Ints  # per attendant: the rail that it shares, -1 none, and its rank along it
    order: Ints
    keep: Floats  # per rail: least distance of neighbours [m]
    by_order: Ints  # 1: only the order of rest places counts
    ops: tuple[tuple[Op, ...], ...]  # per attendant: what it does in turn (rule `cycle`)
    taken: tuple[
        tuple[tuple[int, int, int], ...], ...
    ]  # per station what it takes out of its own buffer: step, lap, which
    entries: tuple[Entries, ...]  # which part enters before which, where some come by themselves
    comings: int  # how many parts come in in a period of the schedule
    mates: tuple[
        tuple[tuple[int, int, int], ...], ...
    ]  # of each: which are of one load with it, periods later, at a step
    most_calls: Ints  # per duty: so many calls may wait before nobody lifts what makes one more, 0 any number
    comes: tuple[Ints, ...]  # per part type: which of them are of it, where they come in by themselves


@dataclass(frozen=True, slots=True, kw_only=True)
class Compiled:
    """A cell as arrays, with the names for those who read the answer."""

    cell: str
    grid_s: float
    size: Sizes
    stations: Stations
    attendants: Attendants
    ways: Ways
    work: Work
    steps: Steps
    troubles: Troubles
    duties: Duties
    slots: Slots
    triggers: Triggers
    spans: Spans
    calendars: Calendars
    lots: Lots
    station_names: tuple[str, ...]
    attendant_names: tuple[str, ...]
    part_names: tuple[str, ...]
    duty_names: tuple[str, ...]
    left_out: tuple[str, ...]
