"""The shifts of an inquiry: short as `2 x 8 h`, or a list with times of day and breaks."""

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from millhand.errors import InputError
from millhand.intake.clock import seconds_of_day, spans_in
from millhand.intake.form import Entry, Number
from millhand.intake.form_shop import BREAKS, DAY_S, SHIFTS
from millhand.intake.inquiry_facts import choice_of, fact_of, known_keys, marked
from millhand.intake.inquiry_groups import Spot, entries_at, missing, only, spots_of
from millhand.intake.inquiry_opened import Opened, Place, child
from millhand.intake.yaml_tree import Node, Scalar
from millhand.model.fact import Fact
from millhand.model.shop import Break, People, Shift

SHORT = re.compile(r"([1-9])\s*[x×]\s*(.+)")
ONE = re.compile(r"(?P<length>[0-9][^x×,;-]*)")  # `8 hours`: one shift
FEW = re.compile(r"[1-4]")  # alone it could be so many shifts, or one of so many hours
LONG_SHIFT_S = 6 * 3600.0  # from here on a break is taken for granted
ORDER = ("first", "second", "third")
START = Number(key="start", field="start_s", dimension="time", most=DAY_S, help="time of day")
ENTRIES = {entry.key: entry for entry in SHIFTS.entries}


def shifts_of(above: Spot, people: People, opened: Opened) -> tuple[Shift, ...]:
    """Every shift of the file."""
    node = child(above.table, SHIFTS.key)
    if isinstance(node, Scalar):
        return tuple(short_shifts(node, above, people, opened))
    found = []
    for index, (name, spot) in enumerate(spots_of(SHIFTS, above, opened)):
        place = spot.place.told(ORDER[min(index, 2)])
        found.append(listed_shift(name, replace(spot, place=place), people, opened))
    return tuple(found)


def short_shifts(node: Scalar, above: Spot, people: People, opened: Opened) -> Iterator[Shift]:
    """The shifts of `2 x 8 h`, one after another from the usual start on."""
    mark, text = marked(node.text.strip())
    if FEW.fullmatch(text):
        opened.bad_node(node, few_or_short(int(text)), "unit_missing")
        return
    try:  # what comes `3 x`, or has a range in brackets, is a length
        spans = [] if SHORT.fullmatch(text) or "(" in text else spans_in(text)
    except InputError as error:
        opened.bad_node(node, error.write, error.code)
        return
    count, one = counted(text)
    if not count and not spans:
        opened.bad_node(node, f"shifts such as {SHIFTS.short} or 6:00-14:00, or a list of shifts", "not_shifts")
        return
    lengths = [replace(node, text=mark + each) for each in [f"{span} s" for _, span in spans] or [one] * count]
    start: Fact | None = None
    for index, length in enumerate(lengths):
        place = above.place.down(SHIFTS.key).named(f"shift_{index + 1}").told(ORDER[min(index, 2)])
        spot = Spot(table=None, where=node.where, place=place)
        length_s = fact_of(number_entry("length"), length, place.down("length"), opened)
        if length_s is None:
            return
        told = replace(node, text=f"{mark}{spans[index][0]} s") if spans else None
        start = fact_of(START, told, place.down("start"), opened, following(start, length_s, place))
        if start is None:
            missing(START, spot, opened)
            return
        yield shift(f"shift_{index + 1}", spot, {"start_s": start, "length_s": length_s}, people, opened)


def few_or_short(number: int) -> str:
    """What to write for a number alone: so many shifts of a whole day, or one shift of so many hours.

    >>> few_or_short(2)
    "2 x 8 h or 2 h: '2' can be read both ways"
    """
    return f"{number} x {min(8, 24 // number)} h or {number} h: '{number}' can be read both ways"


def how_many(text: str) -> int:
    """How many shifts a short form tells; 0 where it cannot be read.

    >>> how_many("3 x 8 h"), how_many("6am-2pm, 2pm-10pm"), how_many("soon")
    (3, 2, 0)
    """
    text = marked(text.strip())[1]
    try:
        return counted(text)[0] or len(spans_in(text))
    except InputError:
        return 0


def counted(text: str) -> tuple[int, str]:
    """How many shifts of which length `2 x 8 h` or `8 hours` says; 0 where it says something else."""
    short, one = SHORT.fullmatch(text), ONE.fullmatch(text)
    return (int(short[1]), short[2]) if short else (1, one["length"]) if one else (0, "")


def following(before: Fact | None, length_s: Fact, place: Place) -> Fact | None:
    """The start of a shift that begins when the one before ends."""
    if before is None:
        return None
    value = (before.value + length_s.value) % DAY_S
    return replace(before, id=place.down("start").id, value=value, low=None, high=None, shape="point", basis="assumed",
                   source=f"one shift after another, from {before.id}", note=None, instead_of=None)  # fmt: skip


def listed_shift(name: str, spot: Spot, people: People, opened: Opened) -> Shift:
    """One shift out of a list: from and to, or from and length."""
    table = spot.table
    if table is not None:
        known_keys(table, tuple(ENTRIES), opened)
    start = clock(ENTRIES["from"], spot, "start", opened)
    length_node: Node | None = child(table, "length")
    end = child(table, "to")
    if length_node is None and isinstance(end, Scalar) and start is not None:
        length_node = span_to(end, start.value, opened)
    elif end is not None and not isinstance(end, Scalar):
        opened.bad_node(end, "a time of day, such as 14:00", "not_a_time_of_day")
    elif (length_node is None) == (end is None):
        read = "neither to nor length" if end is None else "to and length"
        opened.bad(spot.where, read, "to: a time of day such as 14:00, or length: a time such as 8 h", "shift_end")
    length_s = fact_of(number_entry("length"), length_node, spot.place.down("length"), opened) if length_node else None
    return shift(name, spot, {"start_s": start, "length_s": length_s}, people, opened)


def number_entry(key: str) -> Number:
    """One of the numbers of a shift's form."""
    entry = ENTRIES[key]
    assert isinstance(entry, Number)
    return entry


def clock(entry: Entry, spot: Spot, name: str, opened: Opened) -> Fact | None:
    """A time of day at a spot, as a number of seconds since midnight."""
    node = child(spot.table, entry.key)
    if node is None:
        missing(entry, spot, opened)
        return None
    seconds = seconds_of_day(node.text) if isinstance(node, Scalar) else None
    if seconds is None:
        opened.bad_node(node, "a time of day, such as 06:00", "not_a_time_of_day")
        return None
    return fact_of(START, Scalar(text=f"{seconds} s", where=node.where), spot.place.down(name), opened)


def span_to(end: Scalar, start_s: float, opened: Opened) -> Scalar | None:
    """The length of a shift up to a time of day, over midnight where the end is earlier."""
    seconds = seconds_of_day(end.text)
    if seconds is None:
        opened.bad_node(end, "a time of day, such as 14:00", "not_a_time_of_day")
        return None
    length = (seconds - start_s) % DAY_S or DAY_S
    return Scalar(text=f"{length:.0f} s", where=end.where)


def shift(name: str, spot: Spot, span: dict[str, Any], people: People, opened: Opened) -> Shift:
    """The shift with these times; its other entries from the file, else assumed."""
    rest = tuple(entry for entry in SHIFTS.entries if entry.key in ("premium", "manned", "days_per_week"))
    found = entries_at(rest, replace(spot, table=only(spot.table, rest)), opened)
    own = child(spot.table, "operators")
    heads = fact_of(number_entry("operators"), own, spot.place.down("operators"), opened, people.operators)
    return Shift(name=name, **span, **found, operators=heads, breaks=breaks_of(spot, span, found, opened))  # type: ignore[arg-type]


def breaks_of(spot: Spot, span: dict[str, Any], found: dict[str, Any], opened: Opened) -> tuple[Break, ...]:
    """The breaks of one shift: a list, one length in the middle, or the usual one in a long manned shift."""
    node, start, length = child(spot.table, "breaks"), span["start_s"], span["length_s"]
    if start is None or length is None or found["manned"] is None:
        return ()
    if node is not None and not isinstance(node, Scalar):
        return tuple(listed_break(each, opened) for _, each in spots_of(BREAKS, spot, opened))
    if node is None and (found["manned"].value == "no" or length.value < LONG_SHIFT_S):
        return ()
    place = replace(spot.place.down("breaks").down("pause"), key="shifts.*.breaks.*")
    taken = fact_of(break_length(), node, place.down("length"), opened)
    paid = choice_of(BREAKS.entries[2], None, place.down("paid"), opened)  # type: ignore[arg-type]
    if taken is None or paid is None:
        if node is None:
            missing(BREAKS, spot, opened)
        return ()
    middle = (start.value + (length.value - taken.value) / 2) % DAY_S
    at = Fact(id=place.down("start").id, value=middle, unit="s", basis="assumed", source="the middle of the shift")
    at_fact = fact_of(START, None, place.down("start"), opened, at)
    return (Break(start_s=at_fact or at, length_s=taken, paid=paid),)


def break_length() -> Number:
    """The form of a break's length, assumed where nothing is written."""
    entry = BREAKS.entries[1]
    assert isinstance(entry, Number)
    return replace(entry, gap="assume")


def listed_break(spot: Spot, opened: Opened) -> Break:
    """One break out of a list; its name in paths is its time of day."""
    node = child(spot.table, "from")
    digits = node.text.replace(":", "") if isinstance(node, Scalar) else ""
    path = spot.place.id.rpartition(".")[0]
    named = replace(spot, place=replace(spot.place, id=f"{path}.at_{digits}"))
    start = clock(BREAKS.entries[0], named, "start", opened)
    if spot.table is not None:
        known_keys(spot.table, tuple(entry.key for entry in BREAKS.entries), opened)
    rest = entries_at(BREAKS.entries[1:], replace(named, table=only(spot.table, BREAKS.entries[1:])), opened)
    return Break(start_s=start, **rest)  # type: ignore[arg-type]
