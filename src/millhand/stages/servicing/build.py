"""One operator and his machines: the figures of each number of machines, in step and by chance."""

from collections.abc import Sequence

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.schedule import Schedule
from millhand.model.servicing import Serviced, Servicing
from millhand.stages.servicing.bench import Bench
from millhand.stages.servicing.chance import by_chance
from millhand.stages.servicing.step import in_step

LOOKED_AT = "follows from what is looked at: one machine and up to one more than today's and the ideal number"


def serviced(bench: Bench, count: int, schedule: Schedule | None) -> Serviced:
    """One number of machines, in step and by chance."""
    machines = bench.number(f"{count}.machines", float(count), "1", LOOKED_AT)
    hour = hour_cost(bench, machines, count)
    chance, constant = by_chance(bench, machines, hour)
    return Serviced(
        machines=machines.id,
        chart=in_step(bench, schedule, machines, hour) if schedule is not None else None,
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
