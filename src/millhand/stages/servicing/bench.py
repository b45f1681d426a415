"""What all numbers of machines for one operator share: facts of one load, what an hour costs, which are looked at."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.timing import OperationTiming, Timing
from millhand.trace import Sheet, apply, found

MOST, ROWS = 12, 8  # machines for one operator that are looked at; rows that are shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """The facts of one load at the machines of one kind."""

    free: Fact  # the machine runs and nobody works for it
    work: Fact  # the operator works or walks for it


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What all numbers of machines share: the facts of one load, and what an hour costs."""

    sheet: Sheet
    kinds: int  # kinds of machines that a part visits: so many stand for each one counted
    load: Fact  # operator and machine together
    inside: Fact  # operator alone, the machine running
    work: Fact  # both
    machining: Fact
    slowest_s: float  # exchange and machining of the operation that takes longest
    parts_per_load: Fact
    operator: Fact | None  # money/h
    rates: tuple[Fact, ...]  # money/h of each kind; none where one of them has no price
    today: str  # hash of today's cell, of which all others are made
    own: tuple[Own, ...]  # of each kind where they differ; none where they have no model by chance

    def apply(self, formula: str, name: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
        """A computed fact of this page."""
        return apply(self.sheet, formula, f"servicing.{name}", **inputs)

    def number(self, name: str, value: float, unit: str, source: str) -> Fact:
        """A number that was chosen, or read off a schedule."""
        return found(
            self.sheet,
            Fact(id=f"servicing.{name}", value=value, unit=unit, basis="computed", source=source),
        )


def bench(inquiry: Inquiry, times: Timing, operator: Fact | None, today: Cell | None, sheet: Sheet) -> Bench:
    """The facts of one load through all operations, and what an hour of operator and machines costs."""

    def total(name: str, ids: Sequence[str]) -> Fact:
        return apply(sheet, "attendant_work_s", f"servicing.{name}", elements_s=tuple(sheet[each] for each in ids))

    rates = tuple(machine.rate_per_h for machine in inquiry.machines if machine.rate_per_h is not None)
    inside = total("inside", [each for one in times.operations for each in (one.other, one.travel)])
    return Bench(
        sheet=sheet,
        kinds=len(inquiry.machines),
        load=total("load", [one.exchange for one in times.operations]),
        inside=inside,
        work=total("work", [one.work for one in times.operations]),
        machining=total("machining", [one.process for one in times.operations]),
        slowest_s=max(sheet.value(one.exchange) + sheet.value(one.process) for one in times.operations),
        parts_per_load=sheet[times.operations[0].parts_per_load],
        operator=operator,
        rates=rates if len(rates) == len(inquiry.machines) else (),
        today=content_hash(today) if today is not None else "",
        own=tuple(own(one, sheet) for one in times.operations) if apart(inquiry, times, sheet) else (),
    )


def apart(inquiry: Inquiry, times: Timing, sheet: Sheet) -> bool:
    """Whether there are several kinds, each with one operation, alike loads, and a machine that runs on by itself."""
    ops = times.operations
    loads = {sheet.value(one.parts_per_load) for one in ops}
    free = all(sheet.value(one.other) + sheet.value(one.travel) < sheet.value(one.process) for one in ops)
    worked = all(sheet.value(one.work) > 0.0 for one in ops)
    return 1 < len(inquiry.machines) == len(ops) and len(loads) == 1 and free and worked


def own(one: OperationTiming, sheet: Sheet) -> Own:
    """How long a machine of one kind runs free, and how long the operator works on it."""
    name = f"servicing.{one.operation}"
    inside = apply(sheet, "attendant_work_s", f"{name}.inside", elements_s=(sheet[one.other], sheet[one.travel]))
    free = apply(sheet, "free_run_s", f"{name}.free_run", machining_s=sheet[one.process], inside_s=inside)
    return Own(free=free, work=sheet[one.work])


def looked_at(bench: Bench, inquiry: Inquiry) -> tuple[int, ...]:
    """One machine up to one more than the ideal number and than today's; of many the first ones and those near both."""
    today = math.ceil(inquiry.people.machines_per_operator.value / bench.kinds)
    ideal = max(1, math.floor(ideal_number(bench)))
    last = min(MOST, max(ideal + 1, today))
    near = [count for count in range(1, last + 1) if abs(count - ideal) <= 1 or abs(count - today) <= 1]
    first = [count for count in range(1, last + 1) if count not in near]
    return tuple(sorted([*near, *first[: max(0, ROWS - len(near))]]))


def ideal_number(bench: Bench) -> float:
    """Machines of each kind that keep operator and slowest machine both busy; all there are where he never works."""
    if bench.work.value <= 0.0:
        return float(MOST)
    return bench.slowest_s / bench.work.value


def money(bench: Bench, name: str, hour: Fact | None, rate: Fact) -> str | None:
    """Cost of a part."""
    if hour is None or rate.value <= 0.0:
        return None
    return bench.apply("cluster_money_per_part", name, hour_money_per_h=hour, rate_parts_per_h=rate).id
