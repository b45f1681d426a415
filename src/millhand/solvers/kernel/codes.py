"""The small whole numbers that stand for words inside the event loop."""

NEVER = 1 << 51  # a time that does not come: with a slot below it still a whole number of 63 bits

# what has changed for others: parts or stations, calls or hours, stock or room (a station may stand for another
# reason), and how far somebody's turn is, for parts that come by themselves after it
PARTS, CALLS, STOCK, TURNS = 1, 2, 4, 8

# kinds of station
SUPPLY, PROCESS, STORE, SINK = range(4)
KINDS = {"supply": SUPPLY, "process": PROCESS, "store": STORE, "sink": SINK}

# what a process station is at
EMPTY, DONE, WARM, WORK, HANDLED, TAIL = range(6)  # the first two stand
NO_MODE = 9  # of what is no process station

# what an attendant is at: from ON_DUTY on it may be called away or look for something else
VISIT, MOVE, TO_DUTY, STUCK, AWAY, ON_DUTY, IDLE, WAIT, STAY = range(9)

# the states of rule 7, in the order in which they are reported
STATION_STATES = (
    "working",
    "handled",
    "waiting_attendant",
    "starved",
    "blocked",
    "failed",
    "in_repair",
    "worn",
    "setup",
    "warming",
    "off",
)
(
    S_WORKING,
    S_HANDLED,
    S_WAITING,
    S_STARVED,
    S_BLOCKED,
    S_FAILED,
    S_IN_REPAIR,
    S_WORN,
    S_SETUP,
    S_WARMING,
    S_OFF,
) = range(11)
ATTENDANT_STATES = (
    "travelling",
    "carrying",
    "handling",
    "waiting_station",
    "waiting_track",
    "slowed",
    "stopped",
    "failed",
    "in_repair",
    "on_duty",
    "idle",
    "break",
    "off",
)
(
    A_TRAVELLING,
    A_CARRYING,
    A_HANDLING,
    A_WAITING,
    A_TRACK,
    A_SLOWED,
    A_STOPPED,
    A_FAILED,
    A_IN_REPAIR,
    A_ON_DUTY,
    A_IDLE,
    A_BREAK,
    A_OFF,
) = range(13)

# visits of a handling row, in this order
PICK, PLACE, SWAP = range(3)

# what faults count on
BUSY, CLOCK, LOAD = range(3)
COUNTED_ON = {"busy": BUSY, "clock": CLOCK, "load": LOAD}

# what a slot for calls ends
ENDS_NOTHING, ENDS_FAULT, ENDS_WEAR, ENDS_MISS, ENDS_CHANGE = range(5)

# what a duty holds
HOLDS_NOTHING, HOLDS_STATION, HOLDS_ARM = range(3)
HOLDS = {"nothing": HOLDS_NOTHING, "station": HOLDS_STATION, "arm": HOLDS_ARM}


# dispatch
LONGEST_WAITING, NEAREST, FIRST_TO_FINISH, ORDER = range(4)
RULES = {"longest_waiting": LONGEST_WAITING, "nearest": NEAREST, "first_to_finish": FIRST_TO_FINISH, "order": ORDER}

# what an attendant does in turn under the rule `cycle`
OP_LIFT, OP_SET, OP_SWAP, OP_GO, OP_DUTY = range(5)

# what a calendar does to what is under way
FINISH_ELEMENT, FINISH_DUTY, FINISH_LOAD, DROP = range(4)
AT_END = {"finish_element": FINISH_ELEMENT, "finish_duty": FINISH_DUTY, "finish_load": FINISH_LOAD, "drop": DROP}

# what a gauge does with what it finds bad
ON_BAD_NOTHING, SCRAP_THIS, SCRAP_SINCE_LAST = range(3)
ON_BAD = {None: ON_BAD_NOTHING, "scrap_this": SCRAP_THIS, "scrap_since_last": SCRAP_SINCE_LAST}

# counts of a run
(
    C_PARTS,
    C_GOOD,
    C_SCRAPPED,
    C_ESCAPED,
    C_GAUGED,
    C_MISSES,
    C_PICKED,
    C_ATTENDED,
    C_ALONE,
    C_CALLS,
    C_GOOD_ALONE,
    C_LATE,
) = range(12)
COUNTS = (
    "parts",
    "good",
    "scrapped",
    "escaped",
    "gauged",
    "misses",
    "picked",
    "attended",
    "unattended",
    "calls",
    "good_unattended",
    "late",
)

# a slot of events stands below its time in one whole number: the least is the next event, ties settled
SLOT_BITS = 11
SLOT_MASK = (1 << SLOT_BITS) - 1

# cycle times: bins with edges at equal ratios, the first and the last open
CYCLE_BINS, CYCLE_LOW_S, CYCLES_PER_DECADE = 102, 1.0, 20

# why a run comes back before its horizon: the log is full, so are the absences; it may be locked up; it does not get on
AT_ONCE = 100_000  # events on one moment, after which the run is said not to get on
EMPTY_TURNS = 64  # turns of a schedule passed over with nothing done, more than any line needs to fill
STOP_LOG, STOP_AWAY, STOP_QUIET, STOP_AT_ONCE, STOP_EVENTS, STOP_OVERFLOW = range(1, 7)

# what happened, in the log: a number of its own for each kind of visit, duty and state
LOG_CALL, LOG_FAILS, LOG_FINISHED, LOG_SCRAPPED, LOG_OUT, LOG_VISIT = range(6)
LOG_GOES, LOG_STATION, LOG_ATTENDANT, LOG_BEGINS, LOG_ENDS = 50, 100, 200, 1000, 2000
LOG_ROOM, LOG_LEAVES = 768, 384  # lines that a run holds before somebody takes them; room kept for one event
AWAY_ROOM, AWAY_LEAVES = 32, 8
GONE_ROOM = 32  # parts of a schedule that are remembered as gone: more than are under way at a time

# what needed somebody: a call (plus its slot), an empty supply, a full outfeed (plus the station)
CAUSE_SLOT, CAUSE_EMPTY, CAUSE_FULL, CAUSE_NOBODY = 0, 100_000, 200_000, 300_000
