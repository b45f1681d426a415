"""How long does it run with nobody there, what ends it first, and what would end it next."""

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, operations, shown, verdict
from millhand.stages.feasibility.endings import SAID, ending, gauges_itself, next_of
from millhand.stages.feasibility.fire import claim
from millhand.stages.feasibility.rate import rate
from millhand.trace import apply


def capacity_night(asked: Asked) -> Verdict | None:
    """Parts that the wished hours alone could bring, against the first limit that ends them; None without the wish."""
    wish = asked.inquiry.wishes.unattended_s
    if asked.concept.arm is None or wish.value <= 0.0:
        return None
    demand = night_parts(asked)
    limit, first = ending(asked)
    alone = apply(asked.sheet, "time_of_parts_s", asked.id("autonomy"), parts=limit, rate_parts_per_h=rate(asked))
    after = next_of(asked, first)
    then = f"; next comes {SAID[first.next_kind]}, after {shown(after, 'parts')}" if after and first.next_kind else ""
    words = f"In {shown(wish, 'hours')} alone {shown(demand, 'parts')} parts could be made"
    least, parts = SAID[first.kind], f"{shown(limit, 'parts')} parts"
    return verdict(
        asked,
        Finding(
            check="capacity_night",
            demand=demand,
            limit=limit,
            well=f"{words}, and nothing ends the run before: the first limit, {least}, comes after {parts}{then}"
            f"{claim(asked)}.",
            ill=f"{words}, but {least} ends the run after {parts}, that is {shown(alone, 'hours')}{then}"
            f"{claim(asked)}.",
            formula="least",
            caution=caution_of("least_limit"),
        ),
    )


def gauging_night(asked: Asked) -> Verdict | None:
    """Parts made alone between two checks by hand; None too where the arm gauges."""
    wish = asked.inquiry.wishes.unattended_s
    if asked.concept.arm is None or wish.value <= 0.0 or gauges_itself(asked):
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
