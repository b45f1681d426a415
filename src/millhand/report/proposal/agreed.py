"""What has to be agreed: acceptance, who does what, terms of the company, time, and what is excluded."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files

from millhand.model.acceptance import Acceptance
from millhand.model.company import Company
from millhand.model.study import Result
from millhand.report.proposal.attending import attending, changeover_steps
from millhand.report.proposal.ground import Ground, called, ends, figure
from millhand.report.proposal.introduced import brought, by_hand, by_year, hours, training
from millhand.report.proposal.money import milestones
from millhand.report.proposal.records import (
    EMPTY,
    Block,
    Bullets,
    Column,
    Figure,
    Given,
    Item,
    Joined,
    Paragraph,
    Say,
    Section,
    Table,
)
from millhand.report.proposal.risks import tried
from millhand.report.proposal.scope import WHEN

ACTS = ("supplies", "connects", "moves", "programs", "tests", "signs")
RULES = ("stand", "parts", "raw", "stops", "retest", "alone", "ramp", "record")
HANDOVER = ("programs", "stands_in", "shift", "told", "freed", "heavy")
MONTHS = ("1", "2", "3", "4")
ALIKE = 0.005  # paces that differ by less print alike


def acceptance(ground: Ground) -> Section | None:
    """What is shown before shipping and on site, with numbers, and by which rules."""
    tests = ground.study.acceptance
    if tests is None or ground.subject is None or tests.concept != ground.subject.concept.id:
        return None
    heads = (Column(head="accept.test", width=1.0), Column(head="accept.before"), Column(head="accept.site"),
             Column(head="accept.goal", width=1.0))  # fmt: skip
    shares = (Column(head="accept.faults", width=0.5), Column(head="accept.low", align="right", width=1.0),
              Column(head="accept.high", align="right", width=1.0))  # fmt: skip
    after = tuple(
        (
            Figure(fact=each.faults, form="count"),
            figure(each.low, "share"),
            figure(each.high, "share"),
        )
        for each in tests.after
    )
    named: dict[str, Item] = {"time": Say(key="time.title")}
    slots: dict[str, Item] = {"parts": Figure(fact=tests.faultless_parts, form="count"),
                              "sure": Figure(fact=tests.confidence, form="percent"),
                              "share": Figure(fact=tests.shown_share, form="share"),
                              "counted": Figure(fact=tests.counted_share, form="share", part="value"),
                              "chance": Figure(fact=tests.pass_chance, form="chance")}  # fmt: skip
    return Section(
        key="accept",
        blocks=(
            Table(columns=heads, rows=tuple(test_rows(ground, tests))),
            Paragraph(item=Joined(items=(Say(key="accept.meaning", slots=slots), *both(tests)), between=" ")),
            Table(columns=shares, rows=after, caption=Say(key="accept.after", slots=slots)),
            Bullets(items=tuple(Say(key=f"accept.rule_{each}", slots=named) for each in RULES)),
        ),
    )


def both(tests: Acceptance) -> Iterator[Item]:
    """The chance that a good cell passes both runs at the first try."""
    if tests.both_chance is not None:
        yield Say(key="accept.both", slots={"chance": Figure(fact=tests.both_chance, form="chance")})


def paced_by_machines(ground: Ground, result: Result, tests: Acceptance) -> bool:
    """Whether the pace is that of machines of one operation which stand and run in turn and never wait."""
    timed = result.timing.operations if result.timing is not None else ()
    if len(timed) != 1 or len(ground.study.inquiry.machines) != 1:
        return False
    one, count = timed[0], ground.study.inquiry.machines[0].count.value
    each_s = (ground.value(one.gap) + ground.value(one.process)) / ground.value(one.parts_per_load)
    return abs(ground.value(tests.pace_per_h) * each_s / (3600.0 * count) - 1.0) < ALIKE


def test_rows(ground: Ground, tests: Acceptance) -> Iterator[tuple[Item, ...]]:
    """Each test: where it is done, and what it has to reach."""
    yes, no = Say(key="accept.yes"), Say(key="page.none")
    timed: dict[str, Item] = {"parts": Figure(fact=tests.timed_parts, form="count"),
                              "time": Figure(fact=tests.timed_most, form="minutes", part="value")}  # fmt: skip
    timed |= {"pace": figure(tests.pace_per_h, "per_hour", "value"), "cycle": Say(key="cycle.title"),
              "over": figure("catalogue.acceptance_over_share", "percent", "value")}  # fmt: skip
    as_cycle = ground.subject is not None and paced_by_machines(ground, ground.subject, tests)
    yield (
        Say(key="accept.pace"),
        no,
        yes,
        Say(key="accept.pace_goal_of" if as_cycle else "accept.pace_goal", slots=timed),
    )
    for each in tests.standstills:
        gap: dict[str, Item] = {"most": Figure(fact=each.most, form="whole_seconds", part="value"),
                                "counted": Figure(fact=each.counted, form="whole_seconds", part="value")}  # fmt: skip
        name = Say(key="accept.standstill", slots={"operation": called(each.operation)})
        yield name, no, yes, Say(key="accept.standstill_goal", slots=gap)
    run: dict[str, Item] = {"parts": Figure(fact=tests.faultless_parts, form="count")}
    yield Say(key="accept.faultless"), Say(key="accept.stand"), yes, Say(key="accept.faultless_goal", slots=run)
    if tests.alone_s is not None:
        hours: dict[str, Item] = {"hours": Figure(fact=tests.alone_s, form="hours", part="value")}
        goal = Say(key="accept.alone_goal")
        if tests.alone_through is not None:
            goal = Say(key="accept.alone_chance", slots={"chance": Figure(fact=tests.alone_through, form="chance")})
        yield Say(key="accept.alone", slots=hours), no, yes, goal
    yield Say(key="accept.stops"), yes, yes, Say(key="accept.stops_goal")
    yield from tried(ground)
    made = brought(ground)
    if made is not None and made.standby is not None:
        time: dict[str, Item] = {"time": figure(made.standby.switch_s, "minutes", "most"),
                                 "counted": figure(made.standby.switch_s, "minutes", "value")}  # fmt: skip
        yield Say(key="accept.by_hand"), no, yes, Say(key="accept.by_hand_goal", slots=time)
    stands = ground.of_concept("performance.changeover_stands")
    within = {"stands": figure(stands, "minutes", "most"), "counted": figure(stands, "minutes", "value")}
    goal = Say(key="accept.changeover_within", slots=within) if stands else Say(key="accept.changeover_goal")
    yield Say(key="accept.changeover"), no, yes, goal
    yield from shifts(ground, tests)


def shifts(ground: Ground, tests: Acceptance) -> Iterator[tuple[Item, ...]]:
    """Good parts of whole shifts: the promise that the pace of a few parts does not show."""
    made = ground.subject.performance if ground.subject else None
    if not tests.shifts or made is None or ground.facts[made.parts_per_shift].low is None:
        return
    name = Say(key="accept.shifts", slots={"shifts": Figure(fact=tests.shifts, form="count", part="value")})
    goal = Say(key="accept.shifts_goal", slots={
        "low": figure(made.parts_per_shift, "parts", "low"), "counted": figure(made.parts_per_shift, "parts", "value"),
    })  # fmt: skip
    yield name, Say(key="page.none"), Say(key="accept.yes"), goal


@cache
def duty_rows() -> dict[str, dict[str, str]]:
    """Who does what, by how the cell is bought and by thing: one letter for each act."""
    return tomllib.loads((files("millhand.report.proposal") / "duties.toml").read_text(encoding="utf-8"))


def duties(ground: Ground) -> Section | None:
    """Who supplies, connects, moves, programs, tests and signs each thing between the companies."""
    if not ground.cell or not ground.offered:
        return None
    listed = duty_rows()[ground.study.inquiry.wishes.integrator.value]
    told = {thing: acts for thing, acts in listed.items() if thing != "door" or WHEN["door"](ground)}
    rows = tuple(
        (Say(key=f"duty.{thing}"), *(Say(key=f"duty.who_{letter}") for letter in letters))
        for thing, letters in told.items()
    )
    heads = (Column(head="duty.thing", width=1.0), *(Column(head=f"duty.{act}", align="center") for act in ACTS))
    changed = any(WHEN[each](ground) for each in ("door", "clamping"))
    return Section(key="duty", blocks=(Table(columns=heads, rows=rows), letters_of(told, changed=changed)))


def letters_of(told: Mapping[str, str], key: str = "duty", *, changed: bool = False) -> Paragraph:
    """What the letters of such a table stand for: those that occur in it; changed: the machine's own guarding is."""
    met = [each for each in "SCMB" if any(each in letters for letters in told.values())]
    names = tuple(Say(key=f"{key if each == 'S' else 'duty'}.is_{each}") for each in met)
    settled = Say(key="duty.changed", slots={"where": Say(key="guard.title")}) if changed else EMPTY
    return Paragraph(item=Say(key="duty.letters", slots={"who": Joined(items=names), "changed": settled}))


def handover(ground: Ground) -> Section | None:
    """What is done at the cell in a shift, who stands in, who is told and consulted, and where freed hours go."""
    if not ground.cell:
        return None
    told = {"freed": "freed_told"} if ground.study.inquiry.people.freed_use.value != "none" else {}
    rules = (Say(key=f"hand.{told.get(each, each)}") for each in (HANDOVER if ground.offered else ("heavy",)))
    people = (*hours(ground), *training(ground))
    listed = Bullets(items=(*attending(ground), *people, *rules))
    return Section(key="hand", blocks=(listed, *by_year(ground), *changeover_steps(ground)))


def timeline(ground: Ground) -> Section | None:
    """From the order to steady output; nothing where nobody orders."""
    if ground.subject is None or ground.subject.estimate is None or not ground.cell or not ground.offered:
        return None
    hand_over = ground.subject.estimate.order_to_hand_over_s
    rows: list[tuple[Item, ...]] = [(Say(key="time.order"), Say(key="time.start"), Say(key="page.none"))]
    told = [("hand_over", hand_over, "weeks")]
    told += [("installation", fact_id, "weeks") for fact_id in ground.known("catalogue.delivery_to_hand_over_s")]
    told += [("stands", fact_id, "days") for fact_id in ground.known("catalogue.installation_machine_d")]
    ramp_up = ground.subject.case.year.ramp_up if ground.subject.case else ()
    told += [(f"month_{number}", fact_id, "percent") for number, fact_id in zip(MONTHS, ramp_up, strict=False)]
    rows += [
        (Say(key=f"time.{name}"), figure(fact_id, form, "value"), ends(ground, fact_id, form, "ends"))
        for name, fact_id, form in told
    ]
    heads = (Column(head="time.step", width=1.0), Column(head="time.likely", align="right"),
             Column(head="time.range", align="right"))  # fmt: skip
    blocks: list[Block] = [Table(columns=heads, rows=tuple(rows))]
    first = Joined(items=tuple(Say(key=f"time.lead_{each}") for each in long_leads(ground)), between="; ")
    leads = (Say(key="time.leads", slots={"what": first}), Say(key="time.lead_parts"))
    blocks.append(Bullets(items=leads))
    return Section(key="time", blocks=tuple(blocks))


def long_leads(ground: Ground) -> Iterator[str]:
    """What is ordered first, because it takes longest."""
    assert ground.subject is not None
    yield "arm"
    if ground.subject.concept.mount is not None and "track" in ground.subject.concept.mount.id:
        yield "track"
    if any(each.door.value == "hand" for each in ground.study.inquiry.machines):
        yield "door"
    if any(each.clamping.value.startswith("hand") for each in ground.study.inquiry.machines):
        yield "clamping"


def terms(ground: Ground, company: Company) -> Section:
    """Validity, delivery, payment, warranty and service: the company's own words, or what is still to be agreed."""
    own = (("delivery", company.delivery), ("milestones", company.milestones), ("warranty", company.warranty),
           ("service", company.service))  # fmt: skip
    rows: list[tuple[Item, ...]] = [
        (Say(key=f"terms.{name}"), Given(text=text) if text else Say(key="terms.open")) for name, text in own
    ]
    blocks: list[Block] = [Table(columns=(Column(head=""), Column(head="", width=1.0)), rows=tuple(rows))]
    estimate = ground.subject.estimate if ground.subject else None
    untold = not any(text for _, text in own) and company.valid_days is None
    if ground.offered and ground.cell and estimate is not None and untold:
        weeks = figure(estimate.order_to_hand_over_s, "weeks", "value")
        blocks = [Paragraph(item=Say(key="terms.untold", slots={"weeks": weeks}))]
    if not ground.offered:
        blocks = [Paragraph(item=Say(key="terms.none"))]
    elif not company.milestones and ground.cell:
        blocks += [Paragraph(item=Say(key="terms.counted")), Bullets(items=tuple(milestones(ground)))]
    blocks += [
        Paragraph(item=Joined(items=each, between=" ")) for each in (held(ground, company), taken(ground)) if each
    ]
    blocks += [Paragraph(item=each) for each in of_a_change(ground, company)]
    if company.closing:
        blocks.append(Paragraph(item=Given(text=company.closing)))
    return Section(key="terms", blocks=tuple(blocks))


def held(ground: Ground, company: Company) -> tuple[Item, ...]:
    """What a day of validity holds, and apart from it of when the prices are; nothing where no day is named."""
    if company.valid_days is None or not ground.offered:
        return ()
    by = (("age", "money.price_age", "years"), ("share", "money.escalation", "percent"))
    reckoned = {name: figure(fact_id, form, "value") for name, fact_id, form in by if fact_id in ground.facts}
    told = (Say(key="terms.held", slots={"valid": Say(key="page.valid")}),)
    if len(reckoned) < len(by):
        return told
    year = ground.subject.estimate.prices_of if ground.subject and ground.subject.estimate else ""
    of = {"year": Given(text=year)} if year else {}
    return (*told, Say(key="terms.held_of" if year else "terms.held_for", slots={**reckoned, **of}))


def taken(ground: Ground) -> tuple[Item, ...]:
    """Which tests are the acceptance that terms speak of, and what becomes of it without the run alone."""
    tests = ground.study.acceptance
    if not ground.offered or tests is None or ground.subject is None or tests.concept != ground.subject.concept.id:
        return ()
    told = (Say(key="terms.tests_of_it", slots={"accept": Say(key="accept.title")}),)
    return (*told, Say(key="terms.tests_alone")) if tests.alone_s is not None else told


def of_a_change(ground: Ground, company: Company) -> Iterator[Item]:
    """Of a change by hand: in how many orders it is bought, who its supplier is, and whose warranty counts."""
    made = by_hand(ground)
    if made is None:
        return
    machines = ground.study.inquiry.machines
    bought = ground.offered and made.takes != "arrangement"
    if bought and (len(machines) > 1 or any(each.count.value > 1.0 for each in machines)):
        yield Say(key="terms.orders_two")
    if bought and company.name:
        yield Say(key="terms.by_hand_supplier")
    yield Say(key="terms.by_hand_beside" if company.warranty else "terms.by_hand")
