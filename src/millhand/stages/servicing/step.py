"""In step: what the best cycle of a schedule gives, and who waits in it."""

from collections.abc import Iterator

from millhand.model.fact import Fact
from millhand.model.schedule import Schedule
from millhand.model.servicing import Side
from millhand.solvers.cycle.lanes import Lane, lanes
from millhand.stages.servicing.bench import Bench, money

WAITS = ("done", "empty")  # what a machine does that nobody tends and that does not work


def in_step(bench: Bench, schedule: Schedule, machines: Fact, hour: Fact | None) -> Side:
    """What the best cycle gives, and who waits in it."""
    count = round(machines.value)
    period_s, source = schedule.period_steps * schedule.grid_s, cycle_words(bench, schedule, count)
    cycle_s = bench.number(f"{count}.cycle", period_s, "s", source)
    loads = bench.number(f"{count}.loads", float(schedule.parts_per_period), "1", source)
    rate = bench.apply(
        "cluster_parts_per_h", f"{count}.parts_per_h", cycle_s=cycle_s, loads=loads, parts_per_load=bench.parts_per_load
    )
    waits = [*waits_of(bench, schedule, count, source)]
    operator = tuple(fact for lane, fact in waits if lane.owner == "attendant")
    stands = tuple(fact for lane, fact in waits if lane.owner == "station")
    each = tuple(machines for _ in range(bench.kinds))
    return Side(
        parts_per_h=rate.id,
        operator_share=bench.apply("worked_share", f"{count}.operator_share", waits_s=operator, cycle_s=cycle_s).id,
        waiting_share=bench.apply(
            "machines_wait_share", f"{count}.waiting_share", waits_s=stands, machines=each, cycle_s=cycle_s
        ).id,
        money_per_part=money(bench, f"{count}.money", hour, rate),
    )


def cycle_words(bench: Bench, schedule: Schedule, count: int) -> str:
    """Which cycle it is: that of today's cell, or of the same cell with another number of machines."""
    if schedule.cell == bench.today:
        return f"best cycle of cell {bench.today}"
    each = "machines of each kind" if bench.kinds > 1 else "machines" if count > 1 else "machine"
    return f"best cycle of cell {bench.today} with {count} {each} and one operator, cell {schedule.cell}"


def waits_of(bench: Bench, schedule: Schedule, count: int, source: str) -> Iterator[tuple[Lane, Fact]]:
    """Each stretch of the cycle in which an operator waits, or a machine for him, as the schedule has it."""
    for lane in lanes(schedule):
        idle = ("waiting",) if lane.owner == "attendant" else WAITS
        stretches = [each for each in lane.stretches if each.state in idle]
        for number, each in enumerate(stretches, start=1):
            start_s, end_s = each.start * schedule.grid_s, each.end * schedule.grid_s
            words = f"{source}, {lane.name} {each.state} from {start_s:g} s to {end_s:g} s"
            name = f"{count}.waits.{lane.name.replace(' ', '_')}.{number}"
            yield lane, bench.number(name, end_s - start_s, "s", words)
