"""A hand-made shop for the tests of price, case and decision: two mills, one part, two shifts, figures round."""

import dataclasses
from collections.abc import Mapping
from typing import Any

from millhand.catalogue.components import read_catalogue
from millhand.model.case import Case
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.estimate import Estimate
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry, Wishes
from millhand.model.machine import Inside, Machine, Stops
from millhand.model.money import Terms
from millhand.model.part import Operation, Part, Size, Today
from millhand.model.performance import Performance
from millhand.model.shop import Break, People, Shift, Shop
from millhand.model.walk import facts_in
from millhand.stages.case import case
from millhand.stages.estimate import estimate
from millhand.trace import Sheet

CATALOGUE = read_catalogue()

# Every number of the shop that a test may want to change, by fact id.
NUMBERS: Mapping[str, tuple[float, str]] = {
    "shop.work_days": (250.0, "d/y"),
    "people.wage": (24.0, "money/h"),
    "people.on_cost": (0.30, "1"),
    "people.premium_late": (0.10, "1"),
    "people.premium_night": (0.22, "1"),
    "people.premium_weekend": (0.50, "1"),
    "people.absence": (0.08, "1"),
    "people.unreplaced": (0.0, "1"),
    "people.handover": (0.0, "s"),
    "people.away": (0.0, "1"),
    "people.away_takes": (900.0, "s"),
    "people.share_usable": (0.8, "1"),
    "people.operators": (1.0, "heads"),
    "people.machines_per_operator": (2.0, "1"),
    "people.allowance": (0.12, "1"),
    "machines.mill.count": (2.0, "1"),
    "machines.mill.spacing": (3.0, "m"),
    "parts.bracket.families": (3.0, "1"),
    "parts.bracket.orders": (50_000.0, "parts/y"),
    "parts.bracket.contribution": (4.0, "money/part"),
    "parts.bracket.lot_size": (200.0, "parts"),
    "wishes.hurdle": (24.0, "months"),
    "wishes.unattended": (0.0, "s"),
    "money.rate": (0.08, "1"),
    "money.horizon": (8.0, "y"),
    "money.wage_growth": (0.03, "1"),
    "money.exchange_rate": (1.0, "1"),
    "money.escalation": (0.03, "1"),
}
# What the performances say: parts and operator hours a year, by concept.
OUTPUT: Mapping[str, tuple[float, float]] = {
    "today": (50_000.0, 3_750.0),
    "cell": (60_000.0, 900.0),
    "by_hand": (55_000.0, 3_300.0),
}
Numbers = Mapping[str, float]


def fact(fact_id: str, value: float, unit: str = "1", *, question: str | None = None) -> Fact:
    """A number as the shop gave it; one with a question is assumed, a fifth up or down."""
    ends = {"low": 0.8 * value, "high": 1.2 * value, "shape": "triangular"} if question else {}
    return Fact(
        id=fact_id, value=value, unit=unit, basis="assumed" if question else "given", source="hand-made",
        question=question, **ends,  # type: ignore[arg-type]
    )  # fmt: skip


def word(fact_id: str, value: str) -> Choice:
    """A word as the shop gave it."""
    return Choice(id=fact_id, value=value, options=(value,), basis="given", source="hand-made")


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """The words of the shop that a test may want to change."""

    control: str = "free_outputs"
    door: str = "hand"
    clamping: str = "hand_vise"
    sides: str = "one"
    integrator: str = "turnkey"
    on_cost_per: str = "paid"
    premium: str = "late"
    breaks_paid: str = "no"
    contribution: str = "given"


def inquiry(numbers: Numbers | None = None, words: Words | None = None) -> Inquiry:
    """The whole inquiry, with some numbers changed."""
    words = words or Words()
    changed = numbers or {}

    def given(fact_id: str) -> Fact:
        value, unit = NUMBERS[fact_id]
        return fact(fact_id, changed.get(fact_id, value), unit)

    return Inquiry(
        name="two mills",
        shop=Shop(name="a shop", country="US", currency="USD", work_days_per_y=given("shop.work_days")),
        people=people(given, words),
        shifts=(shift("early", 6.0, "none", words), shift("late", 14.0, words.premium, words)),
        machines=(mill(given, words),),
        parts=(bracket(given, words),),
        today=Today(
            parts_per_shift=fact("today.parts_per_shift", 100.0, "parts"), walk_s=fact("today.walk", 4.0, "s"),
            elements=(), setup_s=fact("today.setup", 3600.0, "s"),
        ),
        wishes=Wishes(
            unattended_s=given("wishes.unattended"), budget=None, hurdle_months=given("wishes.hurdle"), floor_m2=None,
            height_m=None, people_pass=word("wishes.people_pass", "no"), must_move=word("wishes.must_move", "no"),
            integrator=word("wishes.integrator", words.integrator),
        ),
        money=Terms(
            rate=given("money.rate"), horizon_y=given("money.horizon"), wage_growth=given("money.wage_growth"),
            exchange_rate=given("money.exchange_rate"), escalation=given("money.escalation"), tax=None,
        ),
    )  # fmt: skip


def people(given: Any, words: Words) -> People:
    """One operator a shift who tends both mills."""
    return People(
        operators=given("people.operators"),
        machines_per_operator=given("people.machines_per_operator"),
        wage_per_h=given("people.wage"),
        on_cost=given("people.on_cost"),
        on_cost_per=word("people.on_cost_per", words.on_cost_per),
        premium_late=given("people.premium_late"),
        premium_night=given("people.premium_night"),
        premium_weekend=given("people.premium_weekend"),
        allowance=given("people.allowance"),
        absence=given("people.absence"),
        unreplaced=given("people.unreplaced"),
        handover_s=given("people.handover"),
        tend=word("people.tend", "own"),
        break_cover=word("people.break_cover", "none"),
        away=given("people.away"),
        away_takes_s=given("people.away_takes"),
        freed_use=word("people.freed_use", "vacancy"),
        share_usable=given("people.share_usable"),
    )


def shift(name: str, hour: float, premium: str, words: Words) -> Shift:
    """Eight hours on five days, with a break of half an hour."""
    pause = Break(
        start_s=fact(f"shifts.{name}.break.start", 3600.0 * (hour + 4.0), "s"),
        length_s=fact(f"shifts.{name}.break.length", 1800.0, "s"),
        paid=word(f"shifts.{name}.break.paid", words.breaks_paid),
    )
    return Shift(
        name=name,
        start_s=fact(f"shifts.{name}.start", 3600.0 * hour, "s"),
        length_s=fact(f"shifts.{name}.length", 28_800.0, "s"),
        days_per_week=fact(f"shifts.{name}.days", 5.0, "d"),
        operators=fact(f"shifts.{name}.operators", 1.0, "heads"),
        manned=word(f"shifts.{name}.manned", "yes"),
        premium=word(f"shifts.{name}.premium", premium),
        breaks=(pause,),
    )


def mill(given: Any, words: Words) -> Machine:
    """Two alike mills."""
    stops = ("short_every", "short_takes", "long_every", "long_takes")
    return Machine(
        name="mill",
        kind=word("machines.mill.kind", "mill"),
        count=given("machines.mill.count"),
        age_y=fact("machines.mill.age", 6.0, "y"),
        control=word("machines.mill.control", words.control),
        door=word("machines.mill.door", words.door),
        clamping=word("machines.mill.clamping", words.clamping),
        extra=word("machines.mill.extra", "none"),
        probe=word("machines.mill.probe", "no"),
        tool_check=word("machines.mill.tool_check", "no"),
        warranty=word("machines.mill.warranty", "no"),
        load_height_m=fact("machines.mill.load_height", 1.0, "m"),
        load_depth_m=fact("machines.mill.load_depth", 0.6, "m"),
        spacing_m=given("machines.mill.spacing"),
        chip_limit_parts=fact("machines.mill.chip_limit", 150.0, "parts"),
        inside=Inside(
            door_width_m=fact("machines.mill.door_width", 0.8, "m"),
            door_height_m=fact("machines.mill.door_height", 0.8, "m"),
            catch_m=fact("machines.mill.catch", 0.002, "m"),
            fluid=word("machines.mill.fluid", "water"),
            fire_settled=word("machines.mill.fire_settled", "no"),
            from_above=word("machines.mill.from_above", "no"),
        ),
        stops=Stops(**{f"{name}_s": fact(f"machines.mill.{name}", 72_000.0, "s") for name in stops}),
    )


def bracket(given: Any, words: Words) -> Part:
    """The one part."""
    size = Size(**{f"{name}_m": fact(f"parts.bracket.{name}", 0.1, "m") for name in ("length", "width", "height")})
    return Part(
        name="bracket",
        shape=word("parts.bracket.shape", "prismatic"),
        raw=size,
        finished=size,
        raw_mass_kg=fact("parts.bracket.raw_mass", 2.0, "kg"),
        finished_mass_kg=fact("parts.bracket.finished_mass", 1.5, "kg"),
        raw_tolerance_m=fact("parts.bracket.raw_tolerance", 0.001, "m"),
        condition=word("parts.bracket.condition", "sawn"),
        film=word("parts.bracket.film", "oily"),
        arrives=word("parts.bracket.arrives", "ordered"),
        leaves=word("parts.bracket.leaves", "ordered"),
        delicate=word("parts.bracket.delicate", "no"),
        families=given("parts.bracket.families"),
        lot_size=given("parts.bracket.lot_size"),
        orders_per_y=given("parts.bracket.orders"),
        contribution_per_part=given("parts.bracket.contribution") if words.contribution == "given" else fact(
            "parts.bracket.contribution", 0.0, "money/part", question="What does one more part leave?"
        ),
        material=word("parts.bracket.material", "steel"),
        operations=(
            Operation(
                name="milling", machine="mill", time_s=fact("parts.bracket.milling.time", 420.0, "s"),
                time_is=word("parts.bracket.milling.time_is", "cycle"),
                parts_per_cycle=fact("parts.bracket.milling.parts_per_cycle", 1.0, "parts"),
                sides=word("parts.bracket.milling.sides", words.sides),
                good=fact("parts.bracket.milling.good", 0.99),
                gauge_every=fact("parts.bracket.milling.gauge", 20.0, "parts"),
                tool_life_parts=fact("parts.bracket.milling.tool_life", 300.0, "parts"),
            ),
        ),
    )  # fmt: skip


def concept(kind: str = "cell", *, mount: str = "pedestal", change: str = "second_fixture") -> Concept:
    """A cell with drawers and a fenced arm, today, or a change by hand."""
    if kind == "today":
        return Concept(id="today", kind="today", title="as today")
    if kind == "by_hand":
        return Concept(id=f"by_hand-{change}", kind="by_hand", title="better by hand", change=change)
    parts = CATALOGUE.components
    return Concept(
        id=f"drawers-{mount}-fenced", kind="cell", title="an arm with drawers", presenter=parts["drawers"],
        outfeed=parts["back_to_tray"], mount=parts[mount], arm=parts["fenced_20"], gripper=parts["parallel_double"],
        safeguarding=parts["fence"],
    )  # fmt: skip


def performance(made: Concept, sheet: Sheet, output: tuple[float, float]) -> Performance:
    """A performance of which only parts and operator hours matter to the money."""
    parts, hours = output
    base = f"concepts.{made.id}.performance"
    sheet.add(fact(f"{base}.parts_per_y", parts, "parts/y"))
    sheet.add(fact(f"{base}.operator_h_per_y", hours, "h/y"))
    sheet.add(fact("shifts.head_h_per_y", 1875.0, "h/y"))  # 250 days of 7.5 h
    sheet.add(fact(f"{base}.attended_h_per_y", 3750.0, "h/y"))
    sheet.add(fact(f"{base}.unattended_h_per_y", 0.0, "h/y"))
    none = "not looked at"
    return Performance(
        concept=made.id, cell=none, bound_per_h=none, cycle_per_h=none, attended_per_h=none, unattended_per_h=None,
        parts_per_shift=none, attended_h_per_y=f"{base}.attended_h_per_y",
        unattended_h_per_y=f"{base}.unattended_h_per_y", autonomy_s=none,
        parts_per_y=f"{base}.parts_per_y", operator_h_per_y=f"{base}.operator_h_per_y", pace_setter=none,
    )  # fmt: skip


def telling(asked: Inquiry, told: Mapping[str, Any]) -> Inquiry:
    """The inquiry with some of what may stay open told, by the fields of its money."""
    given = {name: fact(f"money.{name}", each) if isinstance(each, float) else each for name, each in told.items()}
    return dataclasses.replace(asked, money=dataclasses.replace(asked.money, **given))


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """One concept priced and counted, with the sheet it stands in."""

    sheet: Sheet
    inquiry: Inquiry
    concept: Concept
    performance: Performance
    estimate: Estimate
    case: Case

    def value(self, fact_id: str | None) -> float:
        """The number of a fact; infinite for a payback that never comes."""
        return float("inf") if fact_id is None else self.sheet.value(fact_id)


def made(
    kind: str = "cell",
    *,
    numbers: Numbers | None = None,
    words: Words | None = None,
    output: Mapping[str, tuple[float, float]] | None = None,
    catalogue: Catalogue = CATALOGUE,
    shop: Sheet | None = None,
    told: Mapping[str, Any] | None = None,
    people: Mapping[str, Any] | None = None,
) -> Made:
    """Price and case of one concept in the hand-made shop; told, people: what may stay open, by its field of the money
    and of the people."""
    asked, chosen = telling(inquiry(numbers, words), told or {}), concept(kind)
    asked = dataclasses.replace(asked, people=dataclasses.replace(asked.people, **(people or {})))
    sheet = shop or Sheet()
    sheet.extend(facts_in(asked))
    outputs = {**OUTPUT, **(output or {})}
    sheet.add(fact("shifts.assigned_h_per_y", outputs["today"][1], "h/y"))
    today = performance(concept("today"), sheet, outputs["today"])
    own = today if kind == "today" else performance(chosen, sheet, outputs[kind])
    price = estimate(asked, chosen, catalogue, sheet)
    count = case(asked, chosen, (own, today), price, catalogue, sheet)
    return Made(sheet=sheet, inquiry=asked, concept=chosen, performance=own, estimate=price, case=count)
