"""The sections of a change by hand: how it comes, what people do then, what moves, what it has to show."""

import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.resources import files

from millhand.model.introduction import ByHand, Fillings
from millhand.report.proposal.agreed import ACTS, letters_of
from millhand.report.proposal.attending import told
from millhand.report.proposal.ground import Ground, ends, figure
from millhand.report.proposal.introduced import brought, by_hand, chips, training
from millhand.report.proposal.records import (
    Block,
    Bullets,
    Caution,
    Column,
    Figure,
    Given,
    Item,
    Paragraph,
    Say,
    Section,
    Table,
    Term,
)
from millhand.report.proposal.safety import questions

LONG_S = 7200.0  # from here on told in hours
KINDS = ("care", "other", "waiting")
RULES = ("parts", "raw", "record")  # those of a cell that hold here as well


def coming(ground: Ground) -> Section | None:
    """When it runs, how long machines stand for it, and what it asks of the shop's own people."""
    made, intro = by_hand(ground), brought(ground)
    if made is None or intro is None:
        return None
    counted = ground.long and ground.of_concept("estimate.all_in") is not None  # in the price, with its ends
    rows = [(Say(key=f"come.{name}"), figure(fact, form, "value"), ends(ground, fact, form, "ends"))
            for name, fact, form in (
                ("delivery", made.delivery_s, "weeks"), ("mass", made.mass_kg, "lift"),
                ("stands", made.stands_d, "days"), ("own", made.own_h, "hours"),
                ("money", None if counted else made.own_money, "money_2"),
                *(("training", each.hours, "hours") for each in intro.training),
            ) if fact is not None]  # fmt: skip
    heads = (Column(head="come.step", width=1.0), Column(head="come.likely", align="right"),
             Column(head="come.range", align="right"))  # fmt: skip
    blocks: list[Block] = [Paragraph(item=Say(key=f"come.{made.takes}")), Table(columns=heads, rows=tuple(rows))]
    bought = made.takes != "arrangement"
    words = ["come.in_price", "come.counted"] if bought else ["come.own_in_price"]
    words += ["come.steps" if bought else "come.steps_own", "come.assumed"] if ground.long else []
    blocks.append(Bullets(items=tuple(Say(key=each) for each in words)))
    return Section(key="come", blocks=tuple(blocks))


def people(ground: Ground) -> Section | None:
    """What people do in a shift beside today, what they lift, who shows them, who is told."""
    made, intro = by_hand(ground), brought(ground)
    if made is None or intro is None:
        return None
    now = ground.today.performance.people if ground.today and ground.today.performance else None
    new = {each.kind: each.hours for each in intro.care}
    named = {} if chips(ground) else {"care": "care_plain", "gauging": "gauging_plain"}
    case = ground.subject.case if ground.subject else None
    if case is not None and ground.value(case.year.freed_h_per_y) > 0.0:
        named["waiting"] = "waiting_freed"
    rows = tuple(
        (Say(key=f"work.{named.get(kind, kind)}"), figure(now.a_shift.get(kind) if now else None, "hours"),
         figure(new[kind], "hours", "value"), ends(ground, new[kind], "hours"))
        for kind in KINDS if kind in new
    )  # fmt: skip
    heads = (Column(head="work.what", width=1.0), Column(head="work.today", align="right"),
             Column(head="work.then", align="right"), Column(head="work.range", align="right"))  # fmt: skip
    by_whom = "by_whom_own" if made.takes == "arrangement" else "by_whom"
    items = [*on_parts(ground), *lifted(ground, made), *training(ground), *out_of_order(ground, made)]
    items += [Say(key=f"work.{named.get(each, each)}") for each in (by_whom, "gauging", "told")]
    table = (Table(columns=heads, rows=rows),) if rows else ()
    return Section(key="work", blocks=(*table, Bullets(items=tuple(items))))


def on_parts(ground: Ground) -> Iterator[Item]:
    """Which share of today's work on a part is judged to be left, where the change moves it."""
    change = ground.subject.concept.change if ground.subject else None
    share = next(ground.known(f"catalogue.{change}.inside"), None)
    if share is not None and ground.value(share) < 1.0:
        yield Say(key="work.inside", slots={
            "share": figure(share, "percent", "value"), "ends": figure(share, "percent", "ends"),
        })  # fmt: skip


def out_of_order(ground: Ground, made: ByHand) -> Iterator[Item]:
    """How the machines are tended while what the change brings stands."""
    now = ground.today.performance if ground.today else None
    if made.moving and now is not None:
        yield from told(ground, "work.out_of_order", {"today": (now.parts_per_shift, "parts")})


def lifted(ground: Ground, made: ByHand) -> Iterator[Item]:
    """How many full boxes of which mass, and what lifting them comes to."""
    if made.boxes is None:
        return
    own = made.boxes
    yield from told(ground, "work.boxes", {
        "mass": (own.mass_kg, "mass"), "parts": (own.parts, "tally"), "count": (own.a_shift, "count"),
        "made": (ground.subject.performance.parts_per_shift if ground.subject and ground.subject.performance else None,
                 "parts"),
    })  # fmt: skip
    within = ground.value(own.limit_kg) >= ground.value(own.mass_kg)
    key = "work.limit" if within else "work.over_limit"
    yield from told(ground, key, {"mass": (own.mass_kg, "mass"), "limit": (own.limit_kg, "mass")})


def guarding(ground: Ground) -> Section | None:
    """What moves by power, what it can do, how it is guarded as a rule, and at which distance."""
    made = by_hand(ground)
    if made is None:
        return None
    if not made.moving:
        return Section(key="move", blocks=(Paragraph(item=Say(key="move.nothing")), Caution(items=signed(False))))
    rows = tuple((Term(text=each.hazard), Term(text=each.guard)) for each in made.moving)
    heads = (Column(head="move.hazard", width=1.0), Column(head="move.guard", width=1.0))
    metres = tuple((Term(text=each.words), Given(text=each.rule), figure(each.fact, "asked_mm", "value"))
                   for each in made.distances)  # fmt: skip
    columns = (Column(head="guard.distance", width=1.0), Column(head="guard.rule"),
               Column(head="report.answered.asked", align="right"))  # fmt: skip
    blocks: list[Block] = [Caution(items=signed(True)), Table(columns=heads, rows=rows)]
    if metres and made.slot_m is not None:
        by = Say(key="move.by", slots={"slot": figure(made.slot_m, "mm", "value")})
        blocks += [Table(columns=columns, rows=metres, caption=by), Paragraph(item=Say(key="move.wider"))]
    return Section(key="move", blocks=tuple(blocks))


def signed(moves: bool) -> tuple[Item, ...]:
    """Who decides and who signs."""
    return (Say(key="move.concept"), Say(key="move.machine")) if moves else (Say(key="move.work"),)


def acceptance(ground: Ground) -> Section | None:
    """What the change has to show, with numbers, and by which rules."""
    made = by_hand(ground)
    if made is None:
        return None
    heads = (Column(head="accept.test", width=1.0), Column(head="accept.goal", width=1.0))
    blocks: list[Block] = [Table(columns=heads, rows=tuple(test_rows(ground, made)))]
    if made.tests.fillings is not None:
        blocks += meant(made.tests.fillings)
    own = ("shown.rule_retest", "shown.rule_stops")
    rules = tuple(
        Say(key=each) for each in (*(f"accept.rule_{each}" for each in RULES if each != "raw" or raw(ground)), *own)
    )
    return Section(key="shown", blocks=(*blocks, Bullets(items=rules)))


def raw(ground: Ground) -> bool:
    """Whether raw parts are loaded, which may be out of tolerance."""
    return any(part.condition.value != "moulded" for part in ground.study.inquiry.parts)


def test_rows(ground: Ground, made: ByHand) -> Iterator[tuple[Item, ...]]:
    """Each test, and what it has to reach."""
    own, new = made.tests, ground.subject.performance if ground.subject else None
    form = "minutes" if ground.value(own.timed_most) < LONG_S else "hours"
    timed: dict[str, Item] = {"parts": Figure(fact=own.timed_parts, form="count"),
                              "time": Figure(fact=own.timed_most, form=form, part="value")}  # fmt: skip
    yield Say(key="accept.pace"), Say(key="accept.pace_goal", slots=timed)
    if new is not None:
        made_of = new.parts_per_shift
        yield (
            Say(key="shown.shifts", slots={"shifts": Figure(fact=own.shifts, form="count")}),
            Say(key="shown.shifts_goal", slots={"low": figure(made_of, "parts", "low"),
                                                "counted": figure(made_of, "parts", "value")}),
        )  # fmt: skip
    if own.fillings is not None:
        run: dict[str, Item] = {"run": Figure(fact=own.fillings.run, form="count")}
        yield Say(key=f"shown.{made.fills}"), Say(key="shown.fillings_goal", slots=run)
    for name in ("stops", "jam") if made.moving else ("work",):
        yield Say(key=f"shown.{name}"), Say(key=f"shown.{name}_goal")


def left_open(ground: Ground) -> Section | None:
    """What the supplier, the shop or a competent person answers, and what the paper takes for granted until then."""
    made = by_hand(ground)
    if made is None or not made.asks:
        return None
    return Section(key="open", blocks=(Caution(items=(Say(key="open.caution"),)), questions(ground, "hand", made.asks)))


def meant(fillings: Fillings) -> Iterator[Block]:
    """What the run of fillings says, without a fault and with some."""
    slots: dict[str, Item] = {"run": Figure(fact=fillings.run, form="count"),
                              "sure": Figure(fact=fillings.confidence, form="percent"),
                              "share": Figure(fact=fillings.shown_share, form="percent"),
                              "counted": Figure(fact=fillings.counted_share, form="percent", part="value"),
                              "chance": Figure(fact=fillings.pass_chance, form="chance", part="value")}  # fmt: skip
    yield Paragraph(item=Say(key="shown.meaning", slots=slots))
    rows = tuple(
        (Figure(fact=each.faults, form="count"), figure(each.low, "percent"), figure(each.high, "percent"))
        for each in fillings.after
    )
    heads = (Column(head="accept.faults", width=0.5), Column(head="accept.low", align="right", width=1.0),
             Column(head="accept.high", align="right", width=1.0))  # fmt: skip
    yield Table(columns=heads, rows=rows, caption=Say(key="shown.after", slots=slots))


@cache
def duty_rows() -> dict[str, dict[str, str]]:
    """Who does what, by whether something is bought and moves, and by thing: one letter for each act."""
    return tomllib.loads((files("millhand.report.proposal") / "hand_duties.toml").read_text(encoding="utf-8"))


def duties(ground: Ground) -> Section | None:
    """Who supplies, connects, brings in, tests and signs what between the companies."""
    made = by_hand(ground)
    if made is None:
        return None
    kind = "moving" if made.moving else "arranged" if made.takes == "arrangement" else "bought"
    listed = duty_rows()[kind]
    named = {} if chips(ground) else {"gauging": "gauging_plain"}
    rows = tuple(
        (Say(key=f"doing.{named.get(thing, thing)}"), *(Say(key=f"duty.who_{letter}") for letter in letters))
        for thing, letters in listed.items()
    )
    heads = (Column(head="duty.thing", width=1.0), *(Column(head=f"duty.{act}", align="center") for act in ACTS))
    return Section(key="doing", blocks=(Table(columns=heads, rows=rows), letters_of(listed, "doing")))
