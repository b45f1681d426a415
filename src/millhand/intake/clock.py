"""Times of day as people write them: `06:00`, `6.30`, `6am`, `2:30 pm`; and from one to another: `6am-2pm`."""

import re

from millhand.errors import InputError
from millhand.intake.form_shop import DAY_S

NOON_H = 12
_TIME = re.compile(r"(?P<hour>[01]?[0-9]|2[0-4])(?:[:.](?P<minute>[0-5][0-9]))?\s*(?P<half>[ap]m)?", re.IGNORECASE)
_SPAN = re.compile(r"(?P<start>[^-–,;]+?)\s*(?:-|–|\bto\b|\buntil\b)\s*(?P<end>[^-–,;]+)")


def seconds_of_day(text: str) -> int | None:
    """A time of day in seconds; None where it is none, or where it could be before or after noon.

    >>> seconds_of_day("06:00"), seconds_of_day("2:30 pm"), seconds_of_day("14"), seconds_of_day("6")
    (21600, 52200, 50400, None)
    """
    match = _TIME.fullmatch(text.strip())
    if match is None:
        return None
    hour, half = int(match["hour"]), (match["half"] or "").lower()
    if half and not 1 <= hour <= NOON_H:
        return None
    if not half and match["minute"] is None and hour <= NOON_H:
        return None
    hour = hour % NOON_H + (NOON_H if half == "pm" else 0) if half else hour
    seconds = hour * 3600 + int(match["minute"] or 0) * 60
    return seconds if seconds <= DAY_S else None


def spans_in(text: str) -> list[tuple[int, int]]:
    """Start and length of each stretch in `6am-2pm, 2pm-10pm`, in seconds; none where the text is no such list.

    InputError, without its place, where a stretch could be two.
    """
    pieces = [_SPAN.fullmatch(each.strip()) for each in re.split(r"[,;]|\band\b", text)]
    return [_span(each["start"], each["end"], text) for each in pieces if each] if all(pieces) else []


def _span(start: str, end: str, whole: str) -> tuple[int, int]:
    """Start and length of one stretch, over midnight where it ends earlier than it starts."""
    begins, ends = seconds_of_day(start), seconds_of_day(end)
    if (begins is None) != (ends is None) and are_hours(start, end):  # `6-14`: one shows a clock of 24 hours
        begins, ends = int(start) * 3600, int(end) * 3600
    if begins is None or ends is None:
        raise InputError("", whole, _both(start, end), "not_a_time_of_day")
    return begins, int((ends - begins) % DAY_S or DAY_S)


def are_hours(*texts: str) -> bool:
    """Whether these are hours alone."""
    return all(re.fullmatch(r"[01]?[0-9]|2[0-4]", each) for each in texts)


def _both(start: str, end: str) -> str:
    """What to write for the readings of a stretch without the half of the day: at most half a day, from either half."""
    if are_hours(start, end):
        length = (int(end) - int(start)) % NOON_H or NOON_H
        begins = (int(start) % NOON_H, int(start) % NOON_H + NOON_H)
        both = " or ".join(f"{hour:02}:00-{(hour + length) % 24 or 24:02}:00" for hour in begins)
        return f"{both}: '{start}-{end}' can be read both ways"
    return "times of day, such as 06:00-14:00 or 6am-2pm"
