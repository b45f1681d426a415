"""What is said of hours with nobody there: where none are counted why, else how long the cell runs and what ends it."""

from collections.abc import Iterator

from millhand.report.proposal.attending import told
from millhand.report.proposal.ground import Ground, figure
from millhand.report.proposal.introduced import by_hand
from millhand.report.proposal.records import EMPTY, Block, Column, Figure, Item, Say, Table

ENDS = {
    "lot": ("lot_size",), "tools": ("tool_limit_parts", "tools"), "chips": ("chip_limit_parts", "chips", "loose_chips"),
    "coolant": ("coolant",), "gauge": ("gauge",),
}  # fmt: skip  # what ends a run alone: the pieces of a limit's id that tell it; stock is the rest


NIGHTS = "performance.nights.count"
ENDED = ("empty", "full", "arm", "machine", "tools", "chips", "other", "over")  # what a simulated night may end by


def nobody_alone(ground: Ground) -> Iterator[Item]:
    """That none are counted and why, and what then ends a stretch that nobody has a hand on."""
    if ground.subject is None or ground.subject.performance is None or ground.subject.performance.unattended_per_h:
        return
    wished = ground.study.inquiry.wishes.unattended_s.value > 0.0
    yield Say(key="alone.not_met" if wished else "alone.not_wished")
    made = by_hand(ground)
    if ground.cell:
        yield Say(key="alone.cell")
    elif made is not None and made.fills:
        yield Say(key=f"alone.{made.fills}")


def left_alone(ground: Ground) -> Iterator[Item]:
    """How long the cell runs with nobody there; where that is less than wished, what ends it and what comes next."""
    if not ground.cell or ground.subject is None or ground.subject.performance is None:
        return
    performance, wish = ground.subject.performance, ground.study.inquiry.wishes.unattended_s
    lasts = performance.autonomy_s
    if ground.value(lasts) <= 0.0:
        return
    wished = bool(performance.unattended_per_h)
    if wished and ground.value(lasts) < wish.value:
        yield from told(ground, "output.alone_short", {"time": (lasts, "hours"), "wished": (wish.id, "hours")})
        yield from several(ground)
        yield from ended(ground, lasts) if ground.long else ()
    elif ground.long:
        yield from told(ground, "output.alone_most", {"time": (lasts, "hours")})
        yield from several(ground)
    if wished and ground.long:
        yield from reached(ground)
    if wished:
        yield Say(key="output.alone_mean")


def alone_in_short(ground: Ground) -> Iterator[Item]:
    """On two pages: what a stop does with nobody there, whether the wish is reached, and what the hours are."""
    performance, wish = ground.subject.performance if ground.subject else None, ground.study.inquiry.wishes.unattended_s
    if performance is None or not performance.unattended_per_h:
        return
    yield Say(key="short.alone_ends")
    if 0.0 < ground.value(performance.autonomy_s) < wish.value:
        yield from told(ground, "short.alone_less", {"time": (performance.autonomy_s, "hours"),
                                                     "wished": (wish.id, "hours")})  # fmt: skip
    yield Say(key="short.alone_mean")


def machines(ground: Ground) -> float:
    """How many machines the cell loads."""
    return sum(each.count.value for each in ground.study.inquiry.machines)


def several(ground: Ground) -> Iterator[Item]:
    """That the others go on where one of several machines stops."""
    if machines(ground) > 1.0:
        yield Say(key="output.alone_several")


def stays_so(ground: Ground) -> Item:
    """That what needs a person waits for one, and what a stop of one machine does to the others."""
    others = Say(key="output.others" if machines(ground) > 1.0 else "output.others_one")
    return Say(key="output.alone_ends", slots={"others": others})


def reached(ground: Ground) -> Iterator[Item]:
    """From what a run alone starts, how surely it gets as far as its limits, and what else ends it."""
    tests = ground.study.acceptance
    chance = tests.alone_through if tests and ground.subject and tests.concept == ground.subject.concept.id else None
    yield from told(ground, "output.alone_reach", {
        "limit": (ground.of_concept("performance.alone_limit"), "tally"), "chance": (chance, "chance"),
        "share": (ground.of_concept("performance.stop_share_alone"), "share"),
        "own": (ground.of_concept("cells.fault_share"), "share"),
    })  # fmt: skip
    if ground.of_concept(NIGHTS) is not None:
        yield Say(key="output.alone_log")
    yield from at_a_lot(ground)


def at_a_lot(ground: Ground) -> Iterator[Item]:
    """In which share of the nights a lot ends, which the simulation does not know."""
    own, lot = ground.subject.performance if ground.subject else None, ground.study.inquiry.parts[0].lot_size.id
    yield from told(ground, "output.alone_lot", {
        "lot": (lot, "parts"), "parts": (own.parts_alone if own else None, "parts"),
        "share": (next(ground.known("introduction.lot_ends"), None), "percent"),
    })  # fmt: skip


def nights(ground: Ground) -> Iterator[Block]:
    """How many of the simulated nights each cause ended, the most first, and what makes a night longer there."""
    count = ground.of_concept(NIGHTS)
    if count is None or not ground.cell:
        return
    ends = [(kind, ground.of_concept(f"performance.nights.{kind}")) for kind in ENDED]
    known = sorted(((kind, each) for kind, each in ends if each), key=lambda pair: -ground.value(pair[1]))
    one = "machine_one" if machines(ground) == 1.0 else "machine"
    rows = tuple(
        (
            Say(key=f"nights.{one if kind == 'machine' else kind}"),
            Figure(fact=each, form="percent", part="value"),
            Say(key=f"nights.longer_{kind}"),
        )
        for kind, each in known
    )
    heads = (Column(head="nights.by", width=0.7), Column(head="nights.share", align="right"),
             Column(head="nights.longer", width=1.0))  # fmt: skip
    yield Table(columns=heads, rows=rows, caption=Say(key="nights.caption", slots={
        "count": Figure(fact=count, form="count"),
        "several": Say(key="nights.several") if machines(ground) > 1.0 else EMPTY}))  # fmt: skip


def paced(ground: Ground) -> Iterator[Item]:
    """What the cell would make in an hour without any waiting, and what takes the rest; in the long form."""
    tests = ground.study.acceptance
    if ground.long and tests is not None and ground.subject is not None and tests.concept == ground.subject.concept.id:
        yield Say(key="output.pace", slots={"pace": figure(tests.pace_per_h, "per_hour", "value")})


def unmade(ground: Ground) -> Iterator[Item]:
    """How many of the parts ordered are made beyond today, or are missing; how many without hours alone."""
    short, lost = ground.of_case("without_alone.short"), ground.of_case("lost_parts")
    if lost is not None and ground.value(lost) > 0.0 and ground.cell:
        yield from told(ground, "output.fewer", {
            "orders": (ground.of_case("orders"), "parts"), "lost": (lost, "parts"),
            "money": (ground.of_case("lost_output"), "money_2"),
        })  # fmt: skip
    more = tuple(ordered(ground))
    yield from more
    if more and short is not None and ground.value(short) > 0.0:
        yield from told(ground, "output.short_alone", {"short": (short, "parts")})


def ordered(ground: Ground) -> Iterator[Item]:
    """How many are ordered, and how many of those the case counts beyond today's; nothing where none are."""
    extra = ground.of_case("extra_parts")
    if extra is not None and ground.value(extra) > 0.0:
        left, orders = ground.of_case("contribution"), (ground.of_case("orders"), "parts")
        free = left is not None and ground.value(left) == 0.0
        yield from told(ground, "output.short_free" if free else "output.short", {
            "orders": orders, "extra": (extra, "parts"),
        })  # fmt: skip


def ended(ground: Ground, lasts: str) -> Iterator[Item]:
    """What ends the run first and what would lengthen it, then what would end it next; by the limits counted with."""
    least: dict[str, str] = {}
    for limit in sorted(limits(ground, lasts), key=ground.value):
        least.setdefault(kind(limit), limit)
    ordered = [(name, Figure(fact=limit, form="tally", part="bare")) for name, limit in least.items()]
    for name, parts in ordered[:1]:
        yield Say(key=f"output.ends_{name}", slots={"parts": parts})
    for name, parts in ordered[1:2]:
        yield Say(key="output.ends_next", slots={"what": Say(key=f"output.end_{name}"), "parts": parts})


def limits(ground: Ground, lasts: str) -> Iterator[str]:
    """What the time alone was worked out from; of the least of several, each of them."""
    for key, given in ground.facts[lasts].inputs:
        if key.startswith("limits_parts"):
            several = [each for name, each in ground.facts[given].inputs if name.startswith("values")]
            yield from several if given.endswith("capacity_night.limit") else (given,)


def kind(limit: str) -> str:
    """Which of stock, lot, tools, chips, coolant and gauging a limit is."""
    pieces = limit.split(".")
    return next((name for name, words in ENDS.items() if any(each in pieces for each in words)), "stock")
