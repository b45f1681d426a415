"""A small but complete study made by hand: two mills today, one change by hand, one cell, and one cell that fell.

Every number on its sheet has an origin: the fixture inquiry, invented catalogue figures, registered formulas, or the
name of a cell for what a simulation would have found.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

from millhand.intake.cell import read_cell
from millhand.model.canonical import content_hash
from millhand.model.case import Case, CashLine, CashRow, Rung, SteadyYear
from millhand.model.cell import Cell
from millhand.model.concept import Component, Concept
from millhand.model.decision import (
    Ask,
    Decision,
    Driver,
    Known,
    Orders,
    Outlook,
    PartLimit,
    Ranked,
    SpreadShare,
    Sureness,
)
from millhand.model.estimate import Estimate, Group, PriceLine
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.performance import MachineUse, MachineWait, PeopleTime, Performance
from millhand.model.study import Dropped, Result, Study
from millhand.model.verdict import Verdict
from millhand.model.walk import facts_in
from millhand.stages.tradeoff import Space, tradeoff
from millhand.trace import Sheet, apply, found
from tests.report.fixture_inquiry import inquiry
from tests.report.fixture_placed import placed, timed

ARM = "drawers-pedestal-fenced_20-double-fence"
LIGHT = "tray_table-pedestal-limited_10-single-scanner"
CELLS = Path(__file__).resolve().parents[2] / "examples" / "cells"
VISE = "by_hand-second_vise"
CAUTION = "An aid for concept work; the risk assessment, local codes and competent persons decide."


@cache
def study() -> Study:
    """The whole study."""
    asked = inquiry()
    sheet = Sheet(facts_in(asked))
    results = (
        today(sheet, asked), by_hand(sheet), cell(sheet), fallen(sheet),
    )  # fmt: skip
    decided = decision(sheet)
    weighed = tradeoff(Space(combinations=12, left_out=0, added=0, needless=1), results, decided.sureness, sheet)
    return Study(
        version="0.1.0", seed=7, inquiry=asked, facts=sheet.facts, choices=sheet.choices, results=results,
        decision=replace(decided, tradeoff=weighed),
        dropped=(Dropped(choices="loose_bin-double_2", words="parts that lie in order need no camera"),),
    )  # fmt: skip


def number(
    sheet: Sheet, fact_id: str, value: float, unit: str = "1", *, ends: tuple[float, float] | None = None
) -> Fact:
    """An invented catalogue figure, assumed."""
    low, high = ends or (None, None)
    fact = Fact(id=fact_id, value=value, unit=unit, low=low, high=high, shape="triangular" if ends else "point",
                basis="assumed", source="invented for tests")  # fmt: skip
    sheet.add(fact)
    return fact


def simulated(sheet: Sheet, fact_id: str, value: float, unit: str, of: Cell) -> str:
    """What a simulation of this cell would have found, with a range of 5 % to either side."""
    fact = Fact(id=fact_id, value=value, unit=unit, basis="computed", source=f"simulation of cell {content_hash(of)}",
                low=value * 0.95, high=value * 1.05, shape="triangular")  # fmt: skip
    return found(sheet, fact).id


def cell_of(name: str, file: str) -> Cell:
    """A cell out of the examples under a name of its own."""
    return replace(read_cell(CELLS / f"{file}.json"), name=name, origins={})


def performance(sheet: Sheet, concept: str, of: Cell, rates: tuple[float, float | None, float]) -> Performance:
    """Output of one concept from parts an hour attended and alone, and people's hours a year."""
    attended, alone, hours = rates
    top = f"concepts.{concept}.performance"
    seen = {
        "bound": (attended * 1.1, "parts/h"), "cycle": (attended * 1.05, "parts/h"), "attended": (attended, "parts/h"),
        "shift": (attended * 8.0, "parts"), "attended_h": (2000.0, "h/y"),
        "unattended_h": (1500.0 if alone else 0.0, "h/y"), "autonomy": (21_600.0 if alone else 0.0, "s"),
        "parts_per_y": (attended * 2000.0 + (alone or 0.0) * 1500.0, "parts/y"), "operator_h": (hours, "h/y"),
    }  # fmt: skip
    ids = {name: simulated(sheet, f"{top}.{name}", value, unit, of) for name, (value, unit) in seen.items()}
    return Performance(
        concept=concept, cell=content_hash(of), bound_per_h=ids["bound"], cycle_per_h=ids["cycle"],
        attended_per_h=ids["attended"],
        unattended_per_h=simulated(sheet, f"{top}.alone", alone, "parts/h", of) if alone else None,
        parts_per_shift=ids["shift"], attended_h_per_y=ids["attended_h"], unattended_h_per_y=ids["unattended_h"],
        autonomy_s=ids["autonomy"], parts_per_y=ids["parts_per_y"], operator_h_per_y=ids["operator_h"],
        pace_setter="the mills set the pace",
    )  # fmt: skip


def today(sheet: Sheet, asked: Inquiry) -> Result:
    """As it is, with what people's time costs a part and a cycle by formula."""
    of = cell_of("two mills today", "one_operator_two_mills")
    outside = [element.time_s for element in asked.today.elements[:3]]
    load = apply(sheet, "weight_limit_of_multipliers_kg", "concepts.today.check.limit",
                 multipliers=(number(sheet, "catalogue.lift_multiplier", 0.6),),
                 load_constant_kg=number(sheet, "catalogue.load_constant", 23.0, "kg"))  # fmt: skip
    apply(sheet, "servicing_cycle_s", "concepts.today.timing.cycle", load_s=outside[1],
          machining_s=asked.parts[0].operations[0].time_s, walk_s=asked.today.walk_s,
          machines=asked.machines[0].count)  # fmt: skip
    apply(sheet, "labour_money_per_part", "concepts.today.case.labour_a_part",
          h_per_y=number(sheet, "concepts.today.case.hours", 3_600.0, "h/y", ends=(3_400.0, 3_700.0)),
          money_per_h=asked.people.wage_per_h, parts_per_y=asked.parts[0].orders_per_y)  # fmt: skip
    concept = Concept(id="today", kind="today", title="As today")
    index = apply(
        sheet, "lifting_index", "concepts.today.check.lifting", load_kg=asked.parts[0].raw_mass_kg, limit_kg=load
    )
    margin = number(sheet, "concepts.today.check.lifting_margin", 0.8)
    verdict = Verdict(
        concept="today", check="lifting", holds=True, kills=False, demand=index.id, margin=margin.id,
        limit=number(sheet, "catalogue.lifting_goal", 1.0).id, formula="lifting_index", caution=CAUTION,
        words=f"The lifting index is [[{index.id}|ratio]].",
    )  # fmt: skip
    number(sheet, "shifts.head_h_per_y", 1_940.0, "h/y")
    seen = replace(
        performance(sheet, "today", of, (16.0, None, 1900.0)), people=people_time(sheet, of), uses=(use(sheet, of),)
    )
    return Result(concept=concept, verdicts=(verdict,), cell=of, performance=seen)


def people_time(sheet: Sheet, of: Cell) -> PeopleTime:
    """People's time today by kind: half of it waiting."""
    top = "concepts.today.performance.people"
    spent = {"care": (2.2, 74.0), "other": (1.8, 62.0), "waiting": (3.8, 130.0)}
    return PeopleTime(
        there=simulated(sheet, f"{top}.there", 7.8, "h", of),
        a_shift={kind: simulated(sheet, f"{top}.{kind}", hours, "h", of) for kind, (hours, _) in spent.items()},
        a_part={kind: simulated(sheet, f"{top}.{kind}_a_part", each, "s", of) for kind, (_, each) in spent.items()},
    )


def use(sheet: Sheet, of: Cell) -> MachineUse:
    """How the mills are used today."""
    shares = {"simulated_availability": 0.89, "availability": 0.75, "effectiveness": 0.88, "quality": 0.99, "oee": 0.65}
    top = "concepts.today.performance.use"
    ids = {name: simulated(sheet, f"{top}.{name}", share, "1", of) for name, share in shares.items()}
    return MachineUse(operation="milling", **ids)


def by_hand(sheet: Sheet) -> Result:
    """A second vise: cheap, and a little faster."""
    of = cell_of("two mills, second vise", "one_operator_two_mills")
    concept = Concept(id=VISE, kind="by_hand", title="By hand, with a second vise", change="second_vise")
    bought = estimate(sheet, VISE, (("vises", "Two vises, fitted", "equipment", 8_000, 4_000, 12_000),))
    return Result(
        concept=concept, verdicts=(), cell=of, performance=performance(sheet, VISE, of, (17.5, None, 1850.0)),
        estimate=bought, case=case(sheet, VISE, bought, (11_000.0, 9_000.0)),
    )  # fmt: skip


def cell(sheet: Sheet) -> Result:
    """The cell that can work."""
    of = cell_of("fenced arm at two mills", "one_arm_two_grippers")
    concept = Concept(
        id=ARM, kind="cell", title="Drawers, fenced arm 20 kg, double gripper",
        presenter=component(sheet, "drawers", "presenter", "Drawers", pockets=96.0),
        arm=component(sheet, "fenced_20", "arm", "Fenced arm 20 kg", payload_kg=20.0, reach_m=1.8),
        gripper=component(sheet, "double", "gripper", "Double gripper", mass_kg=6.0),
        safeguarding=component(sheet, "fence", "safeguarding", "Fence with gate"),
    )  # fmt: skip
    bought = estimate(sheet, ARM, (
        ("arm", "Fenced arm 20 kg", "equipment", 38_000, 28_000, 50_000),
        ("drawers", "Drawer stand", "equipment", 16_000, 10_000, 28_000),
        ("fence", "Fence with gate", "equipment", 14_000, 8_000, 26_000),
        ("engineering", "Engineering to start-up", "work", 45_000, 28_000, 70_000),
        ("contingency", "Contingency", "contingency", 17_000, 9_000, 30_000),
        ("own_hours", "Own hours of the shop", "own", 6_000, 3_000, 10_000),
    ))  # fmt: skip
    return Result(
        concept=concept, verdicts=checks(sheet, ARM, payload=20.0, reach_need=1.42), layout=layout(sheet),
        timing=timed(sheet, ARM, number), cell=of,
        performance=replace(performance(sheet, ARM, of, (19.5, 17.0, 420.0)), waits=(wait(sheet, of),)),
        estimate=bought, case=case(sheet, ARM, bought, (30_000.0, 92_000.0)),
    )  # fmt: skip


def wait(sheet: Sheet, of: Cell) -> MachineWait:
    """How long the mills wait for the arm."""
    top = f"concepts.{ARM}.performance.mill"
    return MachineWait(
        operation="mill", share=simulated(sheet, f"{top}.waiting_share", 0.083, "1", of),
        a_load=simulated(sheet, f"{top}.waiting_s", 31.0, "s", of),
    )  # fmt: skip


def fallen(sheet: Sheet) -> Result:
    """A light arm that cannot lift what hangs on it."""
    concept = Concept(
        id=LIGHT, kind="cell", title="Tray table, light arm 10 kg, single gripper",
        arm=component(sheet, "limited_10", "arm", "Force-limited arm 10 kg", payload_kg=7.0, reach_m=1.3),
    )  # fmt: skip
    return Result(concept=concept, verdicts=checks(sheet, LIGHT, payload=7.0, reach_need=1.42))


def component(sheet: Sheet, name: str, kind: str, title: str, **figures: float) -> Component:
    """A component with its figures on the sheet."""
    units = {"kg": "kg", "m": "m"}
    return Component(
        id=name, kind=kind, title=title, source="invented for tests",
        figures={key: number(sheet, f"catalogue.{name}.{key}", value, units.get(key.rpartition("_")[2], "1"))
                 for key, value in figures.items()},
    )  # fmt: skip


def checks(sheet: Sheet, concept: str, *, payload: float, reach_need: float) -> tuple[Verdict, ...]:
    """Payload by formula, reach as invented, and a distance to people with its caution."""
    top = f"concepts.{concept}.feasibility"
    demand = apply(
        sheet, "payload_demand_kg", f"{top}.payload.demand", part_kg=sheet["parts.bracket.raw_mass"],
        gripper_kg=number(sheet, f"{top}.gripper_mass", 6.0, "kg", ends=(4.0, 9.0)),
        fingers_kg=number(sheet, f"{top}.fingers", 1.0, "kg"), parts_at_once=number(sheet, f"{top}.at_once", 2.0),
    )  # fmt: skip
    limit = number(sheet, f"{top}.payload.limit", payload, "kg")
    margin = number(sheet, f"{top}.payload.margin", (payload - demand.value) / payload)
    away = apply(sheet, "separation_2024_scanner_m", f"{top}.distance.demand",
                 stopping_s=number(sheet, f"{top}.stopping", 0.6, "s", ends=(0.4, 0.9)))  # fmt: skip
    room = number(sheet, f"{top}.distance.limit", 2.5, "m")
    return (
        Verdict(concept=concept, check="payload", holds=payload > demand.value, kills=True, demand=demand.id,
                limit=limit.id, margin=margin.id, formula="payload_demand_kg", caution=CAUTION,
                words=f"The flange carries [[{demand.id}|mass]] of [[{limit.id}|mass]]."),
        Verdict(concept=concept, check="reach", holds=True, kills=True,
                demand=number(sheet, f"{top}.reach.demand", reach_need, "m").id,
                limit=number(sheet, f"{top}.reach.limit", 1.8, "m").id,
                margin=number(sheet, f"{top}.reach.margin", 0.21).id, formula="difference_m", coarse=True,
                words=f"The farthest point is [[{top}.reach.demand|metres]] away."),
        Verdict(concept=concept, check="separation", holds=True, kills=False, demand=away.id, limit=room.id,
                margin=number(sheet, f"{top}.distance.margin", 0.1).id, formula="separation_2024_scanner_m",
                caution=CAUTION, words=f"A scanner must see a person [[{away.id}|metres]] away."),
    )  # fmt: skip


def layout(sheet: Sheet) -> Layout:
    """Where the cell stands."""
    area = number(sheet, f"concepts.{ARM}.layout.floor", 11.5, "m2", ends=(9.0, 14.0))
    return placed(sheet, ARM, number, area=area.id)


def estimate(sheet: Sheet, concept: str, rows: tuple[tuple[str, str, Group, float, float, float], ...]) -> Estimate:
    """Price lines and their sums."""
    top = f"concepts.{concept}.estimate"
    lines = tuple(
        PriceLine(id=name, words=words, group=group,
                  amount=number(sheet, f"{top}.{name}", likely, "money", ends=(low, high)))
        for name, words, group, likely, low, high in rows
    )  # fmt: skip

    def total(name: str, groups: set[Group]) -> str:
        amounts = tuple(line.amount for line in lines if line.group in groups)
        rate = sheet["money.exchange_rate"]
        return apply(sheet, "present_worth", f"{top}.{name}", flows_money=amounts,
                     rate=replace_with_zero(sheet, rate)).id  # fmt: skip

    return Estimate(
        concept=concept, currency="USD", lines=lines, equipment=total("equipment", {"equipment"}),
        installed=total("installed", {"equipment", "work", "contingency"}),
        order_to_hand_over_s=number(sheet, f"{top}.lead", 9_676_800, "s", ends=(4_838_400, 18_144_000)).id,
        estimate_class="concept estimate", excluded=("machine repairs", "building work"),
    )  # fmt: skip


def replace_with_zero(sheet: Sheet, like: Fact) -> Fact:
    """No interest: a present worth of lines due at once is their sum."""
    nothing = replace(like, id="catalogue.no_interest", value=0.0, basis="assumed", source="invented for tests")
    sheet.add(nothing)
    return nothing


def case(sheet: Sheet, concept: str, bought: Estimate, yearly: tuple[float, float]) -> Case:
    """Eight years of a flow that is the same each year but the first."""
    top = f"concepts.{concept}.case"
    first, steady = yearly
    price = sheet[bought.installed]
    out = number(sheet, f"{top}.outlay", -price.value, "money", ends=(-price.value * 1.3, -price.value * 0.8))
    flows = [out, *(number(sheet, f"{top}.flow_{year}", first if year == 1 else steady, "money",
                           ends=(0.6 * (first if year == 1 else steady), 1.3 * (first if year == 1 else steady)))
                    for year in range(1, 9))]  # fmt: skip
    rate = sheet["money.rate"]
    rows = tuple(
        CashRow(
            year=year, net=flow.id,
            cumulative=apply(sheet, "present_worth", f"{top}.cumulative_{year}", flows_money=tuple(flows[: year + 1]),
                             rate=sheet["catalogue.no_interest"]).id,
        )
        for year, flow in enumerate(flows)
    )  # fmt: skip
    nothing, still = sheet_zero(sheet), number(sheet, "money.no_growth", 0.0)
    months = [f"month_{month}" for month in range(1, 25)]
    lines = (
        CashLine(id="price", words="installed price", group="paid", amount=out.id, growth=None,
                 by_period=(0.3 * out.value, 0.6 * out.value, 0.1 * out.value, *[0.0] * 30)),
        CashLine(id="labour", words="freed work", group="labour", amount=flows[-1].id, growth=still.id,
                 by_period=(0.0, 0.0, 0.0, *[first / 12.0] * 12, *[steady / 12.0] * 12, *[steady] * 6)),
        CashLine(id="upkeep", words="upkeep and spares", group="running", amount=nothing.id, growth=still.id,
                 by_period=(0.0,) * 33),
    )  # fmt: skip
    payback = apply(sheet, "simple_payback_y", f"{top}.payback", flows_money=tuple(flows))
    naive = number(sheet, f"{top}.naive_payback", 9.0, "months")
    return Case(
        concept=concept, against="today", rows=rows, lines=lines,
        periods=("order", "delivery", "hand_over", *months, *(f"year_{year}" for year in range(3, 9))),
        year=SteadyYear(outlay=out.id, output=nothing.id, running=nothing.id, freed_h_per_y=nothing.id, ramp_up=()),
        hurdle_balance=flows[-1].id, saving_per_y=flows[-1].id, payback_months=payback.id,
        payback_from_order_months=number(sheet, f"{top}.from_order", 26.0, "months", ends=(19.0, 40.0)).id,
        discounted_payback_months=apply(sheet, "discounted_payback_y", f"{top}.discounted", flows_money=tuple(flows),
                                        rate=rate).id,
        npv=apply(sheet, "present_worth", f"{top}.npv", flows_money=tuple(flows), rate=rate).id, irr=None,
        plain_ratio_y=apply(sheet, "plain_ratio_y", f"{top}.ratio", price_money=price, saving_money_per_y=flows[-1]).id,
        naive_payback_months=naive.id,
        rungs=(Rung(words="Whole wage saved, nobody left at the cell", payback=naive.id),
               Rung(words="An operator still refills and gauges", payback=None),
               Rung(words="All of it: the honest figure", payback=payback.id)),
        hurdle_chance=number(sheet, f"{top}.hurdle_chance", 0.62).id, reasons={"irr": "the rate is not unique"},
    )  # fmt: skip


def sheet_zero(sheet: Sheet) -> Fact:
    """No upkeep."""
    return number(sheet, "catalogue.no_upkeep", 0.0, "money")


def decision(sheet: Sheet) -> Decision:
    """The cell wins; two drivers, four questions."""
    top = f"concepts.{ARM}"
    payback = f"{top}.case.payback"
    swing = number(sheet, f"{top}.drivers.share_usable.swing", 52_000, "money/y")
    small = number(sheet, f"{top}.drivers.contribution.swing", 31_000, "money/y")
    ends = [number(sheet, f"{top}.drivers.{name}", months, "months").id for name, months in (
        ("usable_high", 13.0), ("contribution_low", 29.0), ("contribution_high", 15.0))]  # fmt: skip
    price = f"{top}.estimate.installed"
    return Decision(
        answer="cell", winner=ARM, second=VISE,
        sentences=(f"Load both mills by an arm from drawers: it costs [[{price}|money_2]] and is back after "
                   f"[[{payback}|months]] from hand-over.",
                   f"It meets the hurdle with a chance of [[{top}.case.hurdle_chance|chance]]."),
        would_change=(f"The answer turns when less than [[{top}.performance.parts_per_y|parts]] parts a year are "
                      "ordered.",),
        ranking=(Ranked(concept=ARM, place=1, fell=None, words="Highest worth over the horizon."),
                 Ranked(concept=VISE, place=2, fell=None, words="Cheap, and can be done first."),
                 Ranked(concept="today", place=3, fell=None, words="What everything is measured against."),
                 Ranked(concept=LIGHT, place=None, fell="payload",
                        words=f"The flange carries [[concepts.{LIGHT}.feasibility.payload.demand|mass]].")),
        drivers=(Driver(fact="people.share_usable", at_low=None, at_high=ends[0], swing=swing.id),
                 Driver(fact="parts.bracket.contribution", at_low=ends[1], at_high=ends[2], swing=small.id)),
        asks=(Ask(fact="people.share_usable", words="What will the freed hours be used for?",
                  why="It decides whether a saving is real.", kills=True),
              Ask(fact="parts.bracket.contribution", words="What does one more sold part leave?",
                  why="Extra output is worth that much.", kills=True),
              Ask(fact="machines.mill_3.chip_limit", words="How many parts fill the chip box?",
                  why="It ends the hours alone.", kills=True),
              Ask(fact="money.rate", words="Which rate do you count with?", why="It moves the worth.", kills=False)),
        sureness=sureness(sheet), orders=orders(sheet), part_limits=tuple(part_limits(sheet)),
    )  # fmt: skip


def orders(sheet: Sheet) -> Orders:
    """A quarter fewer misses the hurdle; what is ordered may fall a little less."""
    told = {
        "now": (52_000.0, "parts/y"),
        "turns_at": (41_200.0, "parts/y"),
        "change": (-0.21, "1"),
        "fall": (0.25, "1"),
        "fewer": (39_000.0, "parts/y"),
        "freed_hours": (940.0, "h/y"),
        "payback": (27.4, "months"),
        "npv": (118_000.0, "money"),
        "hurdle_balance": (-9_400.0, "money"),
    }
    ids = {name: number(sheet, f"decision.orders.{name}", value, unit).id for name, (value, unit) in told.items()}
    return Orders(
        concept=ARM, present=ids["now"], turns_at=ids["turns_at"], change=ids["change"], fall=ids["fall"],
        fewer=ids["fewer"], freed_h_per_y=ids["freed_hours"], payback_months=ids["payback"], npv=ids["npv"],
        hurdle_balance=ids["hurdle_balance"],
        words=(f"With [[{ids['fall']}|percent]] fewer orders the money is back after [[{ids['payback']}|months]].",),
    )  # fmt: skip


def part_limits(sheet: Sheet) -> Iterator[PartLimit]:
    """The arm bears a heavier part, the door a larger one, the fingers a smaller one."""
    mass, sides = "parts.bracket.raw_mass", [f"parts.bracket.raw.{side}" for side in ("length", "width", "height")]
    top, now = f"concepts.{ARM}.part_limits", tuple(each for each in sides if each in sheet)
    number(sheet, f"{top}.finger_set", 640.0, "money", ends=(210.0, 1600.0))
    at = number(sheet, f"{top}.payload.mass", 6.4, "kg")
    yield PartLimit(check="payload", what="mass", end="most", present=(mass,), at=(at.id,))
    for check, end, times in (("door_opening", "most", 2.5), ("finger_room", "least", 0.4)):
        ids = [number(sheet, f"{top}.{check}.{side}", times * sheet.value(side), "m").id for side in now]
        yield PartLimit(check=check, what="size", end=end, present=now, at=tuple(ids))  # type: ignore[arg-type]


def sureness(sheet: Sheet) -> Sureness:
    """Three concepts in invented draws; the cell is the best one in seven of ten."""

    def outlook(concept: str, months: tuple[float, ...], share: float) -> Outlook:
        ids = [
            number(sheet, f"concepts.{concept}.sure.p{place}", each, "months").id for place, each in enumerate(months)
        ]
        worth = number(sheet, f"concepts.{concept}.sure.npv", 10_000.0 * len(months), "money").id
        return Outlook(
            concept=concept, payback_p10=ids[0] if ids else None, payback_p50=ids[1] if ids else None, payback_p90=None,
            npv_p10=worth, npv_p50=worth, npv_p90=worth, regret=worth,
            best_chance=number(sheet, f"concepts.{concept}.sure.best", share).id,
        )  # fmt: skip

    worth, error = (number(sheet, f"decision.knowing.{name}", each, "money").id
                    for name, each in (("everything", 4_100.0), ("error", 350.0)))  # fmt: skip
    half = number(sheet, "drivers.people.share_usable.npv_first_share", 0.5).id
    share = SpreadShare(fact="people.share_usable", npv_first=half, npv_total=half, npv_error=half,
                        payback_first=half, payback_total=half, payback_error=None)  # fmt: skip
    return Sureness(
        shares=(share,),
        draws=number(sheet, "decision.draws", 200.0).id,
        outlooks=(outlook("today", (), 0.1), outlook(VISE, (3.0, 5.0), 0.2), outlook(ARM, (14.0, 20.0), 0.7)),
        everything=worth, error=error,
        short_runs=number(sheet, "decision.short_runs", 24.0).id,
        response_error=number(sheet, "decision.response_error_share", 0.02).id,
        known=(Known(fact="people.share_usable", worth=worth, error=error),),
    )  # fmt: skip
