"""Source numbers of chance: kind * 1 000 000 + first * 1 000 + second. docs/streams.md lists them; none is reused."""

from millhand.errors import NotYet

PROCESS_TIME = 1  # station, part type
GOOD_SHARE = 2  # station, 0
STATION_FAULT = 3  # station, which of its faults
STATION_FAULT_END = 4  # station, which of its faults
ATTENDANT_FAULT = 5  # attendant, which of its faults
ATTENDANT_FAULT_END = 6  # attendant, which of its faults
DUTY_TAKES = 7  # duty, caller
DUTY_RESPONSE = 8  # duty, caller
CLOCK_CALL = 9  # duty, 0 for trigger, 1 for also
PICK_HOLD, PICK_LEAD, PICK_TAIL = 10, 11, 12  # attendant, station
PLACE_HOLD, PLACE_LEAD, PLACE_TAIL = 13, 14, 15
SWAP_HOLD, SWAP_LEAD, SWAP_TAIL = 16, 17, 18
MISS = 19  # attendant, station
RETRY = 20  # attendant, station

CALLER_NOBODY = 0
CALLER_STATION = 1  # plus the station's number
CALLER_ATTENDANT = 500  # plus the attendant's number
MOST = 400  # stations, attendants or duties that the numbers have room for


def source_number(kind: int, first: int, second: int) -> int:
    """The number of one source of chance."""
    if first >= 1000 or second >= 1000:
        raise NotYet(f"cells with more than {MOST} stations, attendants or duties")
    return kind * 1_000_000 + first * 1_000 + second
