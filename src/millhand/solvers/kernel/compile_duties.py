"""Duties, their slots for calls and their triggers as columns."""

from dataclasses import dataclass, field

from millhand.model.cell import Cell
from millhand.model.duty import Duty, Trigger
from millhand.solvers.kernel import sources
from millhand.solvers.kernel.codes import ENDS_CHANGE, ENDS_FAULT, ENDS_MISS, ENDS_NOTHING, ENDS_WEAR, HOLDS
from millhand.solvers.kernel.compile_cycle import Turns
from millhand.solvers.kernel.compile_stations import ranges
from millhand.solvers.kernel.layout import Duties, Ints, Slots, Triggers
from millhand.solvers.kernel.owners import faults_of, owners_of, wears_of
from millhand.solvers.kernel.span_table import SpanTable

DAY_S = 86_400.0
WEEK_S = 604_800.0


Caller = tuple[int, int, int, str]  # what the answer ends, which of them, whose, in words


@dataclass(slots=True, kw_only=True)
class SlotTable:
    """Slots for calls, gathered in the order of duties, then callers."""

    duty: list[int] = field(default_factory=list)
    kind: list[int] = field(default_factory=list)
    what: list[int] = field(default_factory=list)
    owner: list[int] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    takes: list[int] = field(default_factory=list)
    response: list[int] = field(default_factory=list)
    of: dict[tuple[str, str, int], int] = field(default_factory=dict)
    own: list[int] = field(default_factory=list)
    at_station: dict[tuple[int, int], int] = field(default_factory=dict)


def compiled_slots(cell: Cell, spans: SpanTable) -> SlotTable:
    """One slot for each fault, wear and miss that calls a duty, and one for all other calls of the duty."""
    slots = SlotTable()
    owners = owners_of(cell)
    for d, (name, duty) in enumerate(cell.duties.items()):
        faults = wears = 0
        for o, (who, owner) in enumerate(owners):
            for at, fault in enumerate(faults_of(owner)):
                if fault.duty == name:
                    slots.of["fault", who, at] = _add(
                        slots, spans, (d, duty), (ENDS_FAULT, faults + at, o, f"{who} {fault.id}"), cell
                    )
            for at, wear in enumerate(wears_of(owner)):
                if wear.duty == name:
                    slots.of["wear", who, at] = _add(
                        slots, spans, (d, duty), (ENDS_WEAR, wears + at, o, f"{who} {wear.id}"), cell
                    )
            faults, wears = faults + len(owner.faults), wears + len(owner.wear)
        for a, who in enumerate(cell.attendants):
            for at, line in enumerate(cell.handling):
                if line.miss is not None and line.miss.duty == name and who in line.who:
                    caller = (ENDS_MISS, a, len(cell.stations) + a, f"{who} misses its pick")
                    slots.of["miss", who, at] = _add(slots, spans, (d, duty), caller, cell)
        for number, change in enumerate(cell.changeovers):
            for s, station in enumerate(cell.stations):
                if change.duty == name and station in change.at:
                    caller = (ENDS_CHANGE, -1, s, f"{station} lot end")
                    slots.of["changeover", station, number] = _add(slots, spans, (d, duty), caller, cell)
        slots.own.append(_add(slots, spans, (d, duty), (ENDS_NOTHING, -1, -1, name), cell))
        kinds = {"parts"} if duty.holds == "station" else {"parts", "level"} if asks_where(cell, duty) else set()
        for s, station in enumerate(cell.stations):
            if any(t.kind in kinds and station in t.at for t in _triggers(duty)):
                slots.at_station[d, s] = _add(slots, spans, (d, duty), (ENDS_NOTHING, -1, s, f"{station} {name}"), cell)
    return slots


def asks_where(cell: Cell, duty: Duty) -> bool:
    """True for a duty that is done at whatever called, where that is not one place for all calls."""
    if duty.place is not None or not {"parts", "level"} & _kinds(duty):
        return False
    return len(_spots(cell, duty)) > 1 or not _kinds(duty) <= {"parts", "level"}


def _place_of(cell: Cell, duty: Duty) -> str | None:
    """Where all calls of a duty are answered; None where that depends on who calls."""
    if duty.place is not None or asks_where(cell, duty):
        return duty.place
    spots = _spots(cell, duty)
    return spots.pop() if len(spots) == 1 else None


def _spots(cell: Cell, duty: Duty) -> set[str | None]:
    """Where the stations are that call a duty by their parts or their level."""
    return {cell.stations[at].place for trigger in _triggers(duty) for at in trigger.at}


def _triggers(duty: Duty) -> list[Trigger]:
    """Both triggers of a duty."""
    return [duty.trigger, *([duty.also] if duty.also else [])]


def _kinds(duty: Duty) -> set[str]:
    """The kinds of its triggers."""
    return {trigger.kind for trigger in _triggers(duty)}


def _add(
    slots: SlotTable, spans: SpanTable, duty: tuple[int, Duty], caller: tuple[int, int, int, str], cell: Cell
) -> int:
    """The number of a new slot."""
    kind, what, owner, words = caller
    count = len(cell.stations)
    person = sources.CALLER_ATTENDANT + owner - count
    second = 0 if owner < 0 else sources.CALLER_STATION + owner if owner < count else person
    slots.duty.append(duty[0])
    slots.kind.append(kind)
    slots.what.append(what)
    slots.owner.append(owner)
    slots.words.append(words)
    slots.takes.append(spans.add(duty[1].takes, sources.source_number(sources.DUTY_TAKES, duty[0], second)))
    response = sources.source_number(sources.DUTY_RESPONSE, duty[0], second)
    slots.response.append(spans.add(duty[1].response_s, response))
    return len(slots.duty) - 1


def compiled_slot_columns(slots: SlotTable) -> Slots:
    """The slots as columns."""
    return Slots(
        duty=tuple(slots.duty),
        kind=tuple(slots.kind),
        what=tuple(slots.what),
        owner=tuple(slots.owner),
        takes=tuple(slots.takes),
        response=tuple(slots.response),
        words=tuple(slots.words),
    )


def slots_of(cell: Cell, slots: SlotTable, turns: Turns) -> list[list[int]]:
    """Per attendant the slots whose calls it answers. Who follows a schedule leaves to it the duties that are in it."""
    duties = list(cell.duties.values())
    in_turn = {slots.own[op.duty] for own in turns.ops for op in own if op.duty >= 0}
    in_turn |= {slots.own[d] for d, most in enumerate(turns.most_calls) if most}
    return [
        [slot for slot, d in enumerate(slots.duty) if who in duties[d].who and not (own and slot in in_turn)]
        for who, own in zip(cell.attendants, turns.ops, strict=True)
    ]


def compiled_duties(cell: Cell, slots: SlotTable) -> Duties:
    """One entry a duty."""
    duties, names = list(cell.duties.items()), list(cell.stations)
    people = list(cell.attendants)
    places = list(cell.places)
    zones = [
        [
            (people.index(who), int(how == "slow"))
            for zone in cell.zones.values()
            if name in zone.duties
            for who, how in zone.slows.items()
        ]
        for name, _ in duties
    ]
    zone_from, zone_to = ranges([len(row) for row in zones])
    restore_from, restore_to = ranges([len(duty.restores) for _, duty in duties])
    restored = [(names.index(at), int(how == "full")) for _, duty in duties for at, how in duty.restores.items()]
    return Duties(
        priority=tuple(duty.priority for _, duty in duties),
        place=tuple(places.index(at) if at in places else -1 for at in (_place_of(cell, duty) for _, duty in duties)),
        needs=tuple(duty.needs_hands for _, duty in duties),
        holds=tuple(HOLDS[duty.holds] for _, duty in duties),
        interruptible=tuple(int(duty.interruptible) for _, duty in duties),
        stack=tuple(int("parts" in _kinds(duty)) for _, duty in duties),
        own_slot=tuple(slots.own),
        zone_from=zone_from,
        zone_to=zone_to,
        zone_attendant=tuple(who for row in zones for who, _ in row),
        zone_slow=tuple(slow for row in zones for _, slow in row),
        restore_from=restore_from,
        restore_to=restore_to,
        restore=tuple(station for station, _ in restored),
        restore_full=tuple(full for _, full in restored),
    )


@dataclass(slots=True, kw_only=True)
class _Found:
    """Triggers, gathered."""

    level: list[tuple[int, int, int]] = field(default_factory=list)
    parts: list[tuple[int, int]] = field(default_factory=list)  # station, trigger
    every: list[tuple[int, int]] = field(default_factory=list)  # n, duty
    clock: list[tuple[int, int, int]] = field(default_factory=list)  # duty, span, period
    at: list[Ints] = field(default_factory=list)


def compiled_triggers(cell: Cell, spans: SpanTable) -> Triggers:
    """What calls a duty apart from faults and wear."""
    names, found = list(cell.stations), _Found()
    for d, duty in enumerate(cell.duties.values()):
        for which, trigger in enumerate(_triggers(duty)):
            _sort_in(found, trigger, (d, which), names, spans)
    clock_from, clock_to = ranges([len(row) for row in found.at])
    return Triggers(
        level_station=tuple(s for s, _, _ in found.level),
        level_below=tuple(below for _, below, _ in found.level),
        level_duty=tuple(d for _, _, d in found.level),
        parts_station=tuple(s for s, _ in found.parts),
        parts_trigger=tuple(t for _, t in found.parts),
        parts_every=tuple(n for n, _ in found.every),
        parts_duty=tuple(d for _, d in found.every),
        clock_duty=tuple(d for d, _, _ in found.clock),
        clock_span=tuple(span for _, span, _ in found.clock),
        clock_from=clock_from,
        clock_to=clock_to,
        clock_at=tuple(at for row in found.at for at in row),
        clock_period=tuple(period for _, _, period in found.clock),
    )


def _sort_in(found: _Found, trigger: Trigger, whose: tuple[int, int], names: list[str], spans: SpanTable) -> None:
    """One trigger to its kind."""
    d, which = whose
    if trigger.kind == "level":
        found.level += [(names.index(at), trigger.below or 1, d) for at in trigger.at]
    elif trigger.kind == "parts":
        found.parts += [(names.index(at), len(found.every)) for at in trigger.at]
        found.every.append((trigger.every_n or 1, d))
    elif trigger.kind == "clock":
        source = sources.source_number(sources.CLOCK_CALL, d, which)
        span = spans.add(trigger.every, source) if trigger.every else -1
        period = DAY_S if max(trigger.at_s, default=0.0) < DAY_S else WEEK_S
        found.clock.append((d, span, spans.steps(period)))
        found.at.append(() if span >= 0 else tuple(sorted(spans.steps(at) for at in trigger.at_s)))
