"""How long does it run with nobody there: the least of presenter, outfeed, tools, chips and lot."""

from collections.abc import Iterator

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, operations, part_of, shown, verdict
from millhand.stages.feasibility.rate import groups, rate
from millhand.trace import apply

CUTTING = ("mill", "lathe", "other")  # machines whose tools wear and whose chips fill a box


def capacity_night(asked: Asked) -> Verdict | None:
    """Parts that the wished hours alone could bring, against the first limit that ends them; None without the wish."""
    wish = asked.inquiry.wishes.unattended_s
    if asked.concept.arm is None or wish.value <= 0.0:
        return None
    demand = night_parts(asked)
    named = list(limits(asked))
    limit = apply(
        asked.sheet, "least_parts", asked.id("capacity_night.limit"), limits_parts=tuple(fact for _, fact in named)
    )
    least = min(named, key=lambda pair: pair[1].value)[0]
    alone = apply(asked.sheet, "time_of_parts_s", asked.id("autonomy"), parts=limit, rate_parts_per_h=rate(asked))
    words = f"In {shown(wish, 'hours')} alone {shown(demand, 'parts')} parts could be made"
    first = f"{shown(limit, 'parts')} parts"
    return verdict(
        asked,
        Finding(
            check="capacity_night",
            demand=demand,
            limit=limit,
            well=f"{words}, and nothing ends the run before: the first limit, {least}, comes after {first}.",
            ill=f"{words}, but {least} ends the run after {first}, that is {shown(alone, 'hours')}.",
            formula="least_parts",
            caution=caution_of("least_limit"),
        ),
    )


def gauging_night(asked: Asked) -> Verdict | None:
    """Parts made alone between two checks by hand."""
    wish = asked.inquiry.wishes.unattended_s
    if asked.concept.arm is None or wish.value <= 0.0:
        return None
    operation = min((each for each, _ in operations(asked)), key=lambda each: each.gauge_every.value)
    count = next(machine.count for machine in asked.inquiry.machines if machine.name == operation.machine)
    demand = night_parts(asked)
    limit = apply(
        asked.sheet, "limit_of_machines_parts", asked.id("gauging_night.limit"),
        each_parts=operation.gauge_every, machines=count,
    )  # fmt: skip
    words = f"People gauge after {shown(limit, 'parts')} parts; alone {shown(demand, 'parts')} could be made"
    return verdict(
        asked,
        Finding(
            check="gauging_night",
            demand=demand,
            limit=limit,
            well=f"{words}: no check falls due.",
            ill=f"{words} unchecked, unless the arm or the machine gauges, or lays parts aside in order.",
            formula="limit_of_machines_parts",
            caution=caution_of("least_limit"),
        ),
    )


def night_parts(asked: Asked) -> Fact:
    """Parts that the wished hours alone bring at full pace."""
    return apply(
        asked.sheet, "parts_in_time", asked.id("capacity_night.demand"),
        rate_parts_per_h=rate(asked), time_s=asked.inquiry.wishes.unattended_s,
    )  # fmt: skip


def limits(asked: Asked) -> Iterator[tuple[str, Fact]]:
    """What ends a run alone, in words, and after how many parts of the cell."""
    part = part_of(asked)
    yield "the room in presenter and outfeed", asked.sheet[asked.layout.pockets]
    if part.families.value > 1.0:
        yield "the end of the lot", part.lot_size
    for machine in groups(asked):
        if machine.kind.value not in CUTTING:
            continue
        yield "a full chip box", together(asked, f"chips.{machine.name}", machine.chip_limit_parts, machine.count)
        for operation, _ in operations(asked):
            if operation.machine == machine.name:
                yield "tool life", together(asked, f"tools.{operation.name}", operation.tool_life_parts, machine.count)


def together(asked: Asked, name: str, each: Fact, count: Fact) -> Fact:
    """A limit of each machine, for all machines of its kind."""
    return apply(
        asked.sheet, "limit_of_machines_parts", asked.id(f"capacity_night.{name}"), each_parts=each, machines=count
    )
