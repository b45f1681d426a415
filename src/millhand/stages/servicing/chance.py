"""By chance: machines that call at random and queue, alike ones by the finite source, others by the chain of orders."""

from millhand.formulas.unlike_machines import order_count
from millhand.model.fact import Fact
from millhand.model.servicing import Side
from millhand.stages.servicing.bench import Bench, money

MOST_ORDERS = 2000  # of waiting machines: six that all differ, or five of each of two kinds


def by_chance(bench: Bench, machines: Fact, hour: Fact | None) -> tuple[Side | None, str | None]:
    """One number of machines by chance, and its rate with constant service; None where there is no model."""
    if bench.kinds > 1:
        return unlike(bench, machines, hour), None
    return alike(bench, machines, round(machines.value), hour)


def unlike(bench: Bench, machines: Fact, hour: Fact | None) -> Side | None:
    """So many of each kind: the chain of orders, where its states can be counted."""
    count = round(machines.value)
    if not bench.own or order_count((count,) * bench.kinds) > MOST_ORDERS:
        return None
    given = {
        "machines": (machines,) * bench.kinds,
        "run_s": tuple(each.free for each in bench.own),
        "service_s": tuple(each.work for each in bench.own),
    }
    sets = bench.apply("unlike_sets_per_h", f"{count}.chance.sets_per_h", **given)
    rate = bench.apply(
        "parts_of_loads_per_h", f"{count}.chance.parts_per_h", loads_per_h=sets, parts_per_load=bench.parts_per_load
    )
    return Side(
        parts_per_h=rate.id,
        operator_share=bench.apply("unlike_busy_share", f"{count}.chance.operator_share", **given).id,
        waiting_share=bench.apply("unlike_wait_share", f"{count}.chance.waiting_share", **given).id,
        money_per_part=money(bench, f"{count}.chance.money", hour, rate),
    )


def alike(bench: Bench, machines: Fact, count: int, hour: Fact | None) -> tuple[Side | None, str | None]:
    """What the finite-source models give: all of it for exponential service, the rate for constant service."""
    if bench.inside.value >= bench.machining.value or bench.work.value <= 0.0:
        return None, None
    one = bench.number("operators", 1.0, "1", "follows from the question, one operator")
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
