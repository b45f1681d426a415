"""Duties of a cell: called by something, done by somebody, restoring what they are called for."""

from collections.abc import Iterator
from typing import NamedTuple

from millhand.errors import InputError
from millhand.intake.cell_check_moves import seconds_between
from millhand.intake.cell_check_stations import owners
from millhand.intake.cell_fields import listed, pointer
from millhand.model.cell import Cell
from millhand.model.duty import Duty, Trigger

WEEK_S = 604800.0
# Kind of trigger: the fields it needs. Clock needs one of at_s and every.
NEEDS = {"level": ("at", "below"), "parts": ("at", "every")}
STOCKS = ("supply", "store")


class Call(NamedTuple):
    """One place of the cell that calls a duty, and with which kinds of trigger."""

    at: str
    duty: str
    kinds: tuple[str, ...]
    station: str | None  # which station calls, None for an attendant


def calls(cell: Cell) -> Iterator[Call]:
    """Everything that names a duty to be done."""
    for owner in owners(cell):
        at, station = owner.at, owner.station
        for i, fault in enumerate(owner.faults):
            if fault.duty:
                yield Call(f"{at}/faults/{i}/duty", fault.duty, ("fault",), station)
        for i, wear in enumerate(owner.wear):
            if wear.duty:
                yield Call(f"{at}/wear/{i}/duty", wear.duty, ("wear",), station)
    for name, station_ in cell.stations.items():
        if station_.refill:
            yield Call(f"{pointer('/stations', name)}/refill", station_.refill, ("level", "clock"), name)
    for i, row in enumerate(cell.handling):
        if row.miss is not None and row.miss.duty:
            yield Call(f"/handling/{i}/miss/duty", row.miss.duty, ("fault",), row.at[0] if row.at else None)
    for i, change in enumerate(cell.changeovers):
        yield Call(f"/changeovers/{i}/duty", change.duty, ("changeover",), change.at[0] if change.at else None)


def called_duties(cell: Cell) -> Iterator[InputError]:
    """Who calls a duty calls one that waits for such calls."""
    for call in calls(cell):
        duty = cell.duties.get(call.duty)
        if duty is not None and not {trigger.kind for _, trigger in triggers("", duty)} & set(call.kinds):
            write = f"a duty whose trigger is {listed(call.kinds)}"
            yield InputError(call.at, f"{call.duty}, trigger {duty.trigger.kind}", write, "wrong_trigger")


def triggers(at: str, duty: Duty) -> Iterator[tuple[str, Trigger]]:
    """The one or two triggers of a duty with their pointers."""
    yield f"{at}/trigger", duty.trigger
    if duty.also is not None:
        yield f"{at}/also", duty.also


def trigger_fields(cell: Cell) -> Iterator[InputError]:
    """A trigger has the fields of its kind, all of them and no others."""
    for name, duty in cell.duties.items():
        for at, trigger in triggers(pointer("/duties", name), duty):
            yield from one_trigger(at, trigger)


def one_trigger(at: str, trigger: Trigger) -> Iterator[InputError]:
    """The fields of one trigger against its kind."""
    given = {"at": trigger.at, "below": trigger.below, "at_s": trigger.at_s, "every": trigger.every_n or trigger.every}
    present = {key for key, value in given.items() if value not in (None, ())}
    if trigger.kind == "clock":
        if len(present & {"at_s", "every"}) != 1:
            write = "either at_s (times of the day) or every (a span)"
            yield InputError(at, f"clock with {listed(sorted(present)) if present else 'nothing'}", write, "clock_when")
        allowed: set[str] = {"at_s", "every"}
    else:
        allowed = set(NEEDS.get(trigger.kind, ()))
        for key in sorted(allowed - present):
            yield InputError(f"{at}/{key}", "nothing", f"{key!r}; a trigger {trigger.kind} needs it", "trigger_missing")
    for key in sorted(present - allowed):
        yield InputError(f"{at}/{key}", trigger.kind, f"no {key!r}; a trigger {trigger.kind} has none", "trigger_extra")
    for i, seconds in enumerate(trigger.at_s):
        if seconds >= WEEK_S:
            yield InputError(
                f"{at}/at_s/{i}", f"{seconds:g}", "seconds after midnight, below 604800 (a week)", "clock_after_week"
            )


def levels(cell: Cell) -> Iterator[InputError]:
    """A level is watched where a stock falls, and below what it can hold."""
    for name, duty in cell.duties.items():
        for at, trigger in triggers(pointer("/duties", name), duty):
            watched = [(i, s) for i, s in enumerate(trigger.at) if s in cell.stations and trigger.kind == "level"]
            for i, where in watched:
                station = cell.stations[where]
                if station.kind not in STOCKS:
                    yield InputError(
                        f"{at}/at/{i}", f"{where}, a {station.kind}", "a supply or a store", "level_not_stock"
                    )
                elif station.capacity is None or (trigger.below or 0) > station.capacity:
                    read = f"below {trigger.below} of {'no limit' if station.capacity is None else station.capacity}"
                    yield InputError(f"{at}/below", read, "a level that the station can hold", "level_above_capacity")


def people(cell: Cell) -> Iterator[InputError]:
    """Who does a duty has the hands that it needs, and a duty that holds the arm finds one."""
    for name, duty in cell.duties.items():
        at = pointer("/duties", name)
        for i, who in enumerate(duty.who):
            attendant = cell.attendants.get(who)
            if attendant is not None and duty.needs_hands > attendant.hands:
                write = f"somebody with {duty.needs_hands} hands, or a duty that needs fewer"
                yield InputError(f"{at}/who/{i}", f"{who}, hands {attendant.hands}", write, "too_few_hands")
        if duty.holds == "arm" and not any(one.kind == "arm" for one in cell.attendants.values()):
            yield InputError(f"{at}/holds", "arm", "station or nothing; there is no arm", "no_arm_to_hold")


def reach_of_duties(cell: Cell) -> Iterator[InputError]:
    """Who does a duty can go to its place."""
    for name, duty in cell.duties.items():
        for i, who in enumerate(duty.who):
            if duty.place is not None and not can_go(cell, who, duty.place):
                write = f"somebody whose move table leads from home to {duty.place!r}"
                yield InputError(f"{pointer('/duties', name)}/who/{i}", who, write, "duty_out_of_reach")


def can_go(cell: Cell, who: str, place: str) -> bool:
    """Whether an attendant can walk or travel from home to a place; who has no table at all is taken to be there."""
    attendant = cell.attendants[who]
    table = cell.moves.get(attendant.moves_full or "")
    if table is None or attendant.home == place:
        return True
    if attendant.home is None:
        return False
    return seconds_between(table, attendant.home, place, loaded=False) is not None


def reach_of_calls(cell: Cell) -> Iterator[InputError]:
    """A duty without a place is done at the station that calls it: somebody must be able to go there."""
    for call in calls(cell):
        duty = cell.duties.get(call.duty)
        station = cell.stations.get(call.station or "")
        if duty is None or duty.place is not None or station is None or station.place is None:
            continue
        doers = [who for who in duty.who if who in cell.attendants]
        if doers and not any(can_go(cell, who, station.place) for who in doers):
            write = f"a duty with a place, or somebody who can go to {station.place!r}"
            yield InputError(call.at, call.duty, write, "caller_out_of_reach")


def restoring(cell: Cell) -> Iterator[InputError]:
    """A refill restores the station that calls it; full is for what is taken from, empty for what is filled."""
    for name, station in cell.stations.items():
        duty = cell.duties.get(station.refill or "")
        if duty is not None and name not in duty.restores:
            write = f"a duty that restores {name!r}"
            yield InputError(f"{pointer('/stations', name)}/refill", str(station.refill), write, "refill_not_restored")
    for name, duty in cell.duties.items():
        for where, state in duty.restores.items():
            at = pointer(f"{pointer('/duties', name)}/restores", where)
            yield from one_restored(cell, at, where, state)


def one_restored(cell: Cell, at: str, where: str, state: str) -> Iterator[InputError]:
    """What one station is restored to."""
    station = cell.stations.get(where)
    if station is None:
        return
    fitting = {"full": ("supply", "store"), "empty": ("sink", "store")}[state]
    if station.kind not in fitting:
        yield InputError(at, f"{state}, a {station.kind}", "full for a supply, empty for a sink", "restores_wrong")
    elif state == "full" and station.capacity is None:
        yield InputError(at, "full, without limit", "a station that has a capacity", "restores_without_limit")
