"""One operator and his machines: the figures of each number of machines, in step and by chance."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.schedule import Schedule
from millhand.model.servicing import Serviced, Servicing, Side
from millhand.model.timing import Timing
from millhand.solvers.cycle.lanes import lanes
from millhand.trace import Sheet, apply, found

MOST, ROWS = 12, 8  # machines for one operator that are looked at; rows that are shown
WAITS = ("done", "empty")  # what a machine does that nobody tends and that does not work


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

    def apply(self, formula: str, name: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
        """A computed fact of this page."""
        return apply(self.sheet, formula, f"servicing.{name}", **inputs)

    def number(self, name: str, value: float, unit: str, source: str) -> Fact:
        """A number that was chosen, or read off a schedule."""
        return found(
            self.sheet,
            Fact(id=f"servicing.{name}", value=value, unit=unit, basis="computed", source=source),
        )


def bench(inquiry: Inquiry, times: Timing, operator: Fact | None, sheet: Sheet) -> Bench:
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
    )


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


def serviced(bench: Bench, count: int, schedule: Schedule | None) -> Serviced:
    """One number of machines, in step and by chance."""
    machines = bench.number(f"{count}.machines", float(count), "1", "a number of machines that is looked at")
    hour = hour_cost(bench, machines, count)
    chance, constant = by_chance(bench, machines, count, hour)
    return Serviced(
        machines=machines.id,
        chart=in_step(bench, schedule, count, hour) if schedule is not None else None,
        chance=chance,
        constant_parts_per_h=constant,
    )


def hour_cost(bench: Bench, machines: Fact, count: int) -> Fact | None:
    """What an hour of the operator and so many machines costs; of the operator alone where no machine has a price."""
    if bench.operator is None:
        return None
    return bench.apply(
        "cluster_money_per_h", f"{count}.hour",
        operator_money_per_h=bench.operator, machines=tuple(machines for _ in bench.rates),
        machine_money_per_h=bench.rates,
    )  # fmt: skip


def in_step(bench: Bench, schedule: Schedule, count: int, hour: Fact | None) -> Side:
    """What the best cycle gives, and who waits in it."""
    period_s, source = schedule.period_steps * schedule.grid_s, f"best cycle of the cell {schedule.cell}"
    cycle_s = bench.number(f"{count}.cycle", period_s, "s", source)
    loads = bench.number(f"{count}.loads", float(schedule.parts_per_period), "1", source)
    rate = bench.apply(
        "cluster_parts_per_h", f"{count}.parts_per_h", cycle_s=cycle_s, loads=loads, parts_per_load=bench.parts_per_load
    )
    operator, waiting = shares(schedule, count * bench.kinds)
    return Side(
        parts_per_h=rate.id,
        operator_share=bench.number(f"{count}.operator_share", operator, "1", source).id,
        waiting_share=bench.number(f"{count}.waiting_share", waiting, "1", source).id,
        money_per_part=money(bench, f"{count}.money", hour, rate),
    )


def shares(schedule: Schedule, machines: int) -> tuple[float, float]:
    """Share of the cycle in which the operator works or walks, and share of machine time that waits for him."""
    waits = {"attendant": 0, "station": 0}
    for lane in lanes(schedule):
        idle = ("waiting",) if lane.owner == "attendant" else WAITS
        waits[lane.owner] += sum(each.end - each.start for each in lane.stretches if each.state in idle)
    return 1.0 - waits["attendant"] / schedule.period_steps, waits["station"] / (machines * schedule.period_steps)


def money(bench: Bench, name: str, hour: Fact | None, rate: Fact) -> str | None:
    """Cost of a part."""
    if hour is None or rate.value <= 0.0:
        return None
    return bench.apply("cluster_money_per_part", name, hour_money_per_h=hour, rate_parts_per_h=rate).id


def by_chance(bench: Bench, machines: Fact, count: int, hour: Fact | None) -> tuple[Side | None, str | None]:
    """What the finite-source models give: all of it for exponential service, the rate for constant service."""
    if bench.kinds > 1 or bench.inside.value >= bench.machining.value or bench.work.value <= 0.0:
        return None, None
    one = bench.number("operators", 1.0, "1", "one operator")
    free = bench.apply("free_run_s", "free_run", machining_s=bench.machining, inside_s=bench.inside)
    given = {"run_s": free, "service_s": bench.work}
    running = bench.apply("machines_running", f"{count}.chance.running", machines=machines, attendants=one, **given)
    waiting = bench.apply("machines_waiting", f"{count}.chance.waiting", machines=machines, attendants=one, **given)
    constant = bench.apply("ashcroft_machines_running", f"{count}.constant.running", machines=machines, **given)

    def rate(name: str, running: Fact) -> Fact:
        return bench.apply(
            "cluster_parts_per_h", f"{count}.{name}.parts_per_h",
            cycle_s=free, loads=running, parts_per_load=bench.parts_per_load,
        )  # fmt: skip

    chance = rate("chance", running)
    side = Side(
        parts_per_h=chance.id,
        operator_share=bench.apply(
            "all_busy_share", f"{count}.chance.operator_share", machines=machines, attendants=one, **given
        ).id,
        waiting_share=bench.apply("part_of", f"{count}.chance.waiting_share", part=waiting, whole=machines).id,
        money_per_part=money(bench, f"{count}.chance.money", hour, chance),
    )
    return side, rate("constant", constant).id


def summed(bench: Bench, inquiry: Inquiry, rows: Sequence[Serviced]) -> Servicing:
    """The rows with what follows from them together."""
    ideal = None
    if bench.kinds == 1 and bench.load.value > 0.0:
        times = {"machining_s": bench.machining, "walk_s": bench.inside}
        ideal = bench.apply("ideal_machines", "ideal", load_s=bench.load, **times).id
    binomial, wright = shortcuts(bench, inquiry)
    return Servicing(
        rows=tuple(rows),
        today=inquiry.people.machines_per_operator.id,
        ideal=ideal,
        cheapest=cheapest(bench, rows) if bench.rates else None,
        break_even=break_even(bench, rows) if bench.kinds == 1 else None,
        binomial=binomial,
        wright=wright,
    )


def cheapest(bench: Bench, rows: Sequence[Serviced]) -> str | None:
    """The number of machines with the cheapest part, by the chart; the fewer where two cost the same."""
    priced = [row for row in rows if row.chart is not None and row.chart.money_per_part is not None]
    return min(priced, key=lambda row: cost(bench, row)).machines if priced else None


def cost(bench: Bench, row: Serviced) -> float:
    """What a part costs by the chart of a row."""
    assert row.chart is not None
    return bench.sheet.value(row.chart.money_per_part or "")


def break_even(bench: Bench, rows: Sequence[Serviced]) -> str | None:
    """The price of a machine hour at which the last row costs a part as much as the one before; None without either."""
    pairs = [row for row in rows if row.chart is not None]
    if bench.operator is None or len(pairs) < 2:
        return None
    few, more = pairs[-2:]
    a, b = bench.sheet[few.machines], bench.sheet[more.machines]
    rates = [bench.sheet[row.chart.parts_per_h] for row in (few, more) if row.chart is not None]
    if b.value * rates[0].value - a.value * rates[1].value <= 1e-9 * rates[0].value:
        return None
    return bench.apply(
        "break_even_machine_money_per_h", "break_even", few=a, more=b,
        few_parts_per_h=rates[0], more_parts_per_h=rates[1], operator_money_per_h=bench.operator,
    ).id  # fmt: skip


def shortcuts(bench: Bench, inquiry: Inquiry) -> tuple[str | None, str | None]:
    """Binomial and Wright for the number of machines of today, as handbooks print them; None where machines differ."""
    if bench.kinds > 1 or bench.inside.value >= bench.machining.value or bench.work.value <= 0.0:
        return None, None
    free, machines = bench.sheet["servicing.free_run"], inquiry.people.machines_per_operator
    down = bench.apply("part_of", "down_share", part=bench.work, whole=bench.apply(
        "attendant_work_s", "own_cycle", elements_s=(free, bench.work)))  # fmt: skip
    ratio = bench.apply("part_of", "run_to_service", part=free, whole=bench.work)
    one = bench.sheet["servicing.operators"]
    return (
        bench.apply("binomial_lost_share", "binomial_share", machines=machines, down_share=down, operators=one).id,
        bench.apply("wright_interference", "wright", machines=machines, run_to_service=ratio).id,
    )
