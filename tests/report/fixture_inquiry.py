"""A small complete inquiry for the tests of the faces: an invented shop with two mills and one family."""

from dataclasses import dataclass, field

from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry, Wishes
from millhand.model.machine import Inside, Machine, Stops
from millhand.model.money import Terms
from millhand.model.part import ManualElement, Operation, Part, Size, Today
from millhand.model.shop import Break, People, Shift, Shop


@dataclass
class Source:
    """Makes facts that say where they stand: given ones line by line, assumed ones with range and question."""

    line: int = 0
    made: list[Fact | Choice] = field(default_factory=list)

    def given(self, fact_id: str, value: float, unit: str = "1") -> Fact:
        """A number that the shop wrote."""
        self.line += 1
        fact = Fact(id=fact_id, value=value, unit=unit, basis="given", source=f"inquiry.yaml:{self.line}:9")
        self.made.append(fact)
        return fact

    def assumed(self, fact_id: str, value: float, low: float, high: float, unit: str = "1") -> Fact:
        """A number that nobody gave."""
        fact = Fact(
            id=fact_id, value=value, unit=unit, low=low, high=high, shape="triangular", basis="assumed",
            source="common practice", question=f"What is {fact_id.replace('.', ' ')}?",
        )  # fmt: skip
        self.made.append(fact)
        return fact

    def word(self, fact_id: str, value: str, *options: str) -> Choice:
        """A word that the shop wrote."""
        self.line += 1
        choice = Choice(id=fact_id, value=value, options=(value, *options), basis="given",
                        source=f"inquiry.yaml:{self.line}:9")  # fmt: skip
        self.made.append(choice)
        return choice


def inquiry() -> Inquiry:
    """All of it; names with digits in them, so that a face has to cope."""
    at = Source()
    return Inquiry(
        name="Two mills, line 4",
        shop=Shop(name="Brook Street Parts 2000", country="US", currency="USD",
                  work_days_per_y=at.given("shop.work_days", 250, "d/y")),
        people=people(at),
        shifts=shifts(at),
        machines=(machine(at),),
        parts=(part(at),),
        today=today(at),
        wishes=wishes(at),
        money=Terms(
            rate=at.assumed("money.rate", 0.10, 0.08, 0.14),
            horizon_y=at.assumed("money.horizon", 8, 6, 10, "y"),
            wage_growth=at.assumed("money.wage_growth", 0.03, 0.02, 0.04),
            exchange_rate=at.given("money.exchange_rate", 1),
            escalation=at.assumed("money.escalation", 0.03, 0.02, 0.05),
            tax=None,
        ),
    )  # fmt: skip


def people(at: Source) -> People:
    """One operator a shift, who tends both mills."""
    return People(
        operators=at.given("people.operators", 1),
        machines_per_operator=at.given("people.machines_per_operator", 2),
        wage_per_h=at.given("people.wage", 27.5, "money/h"),
        on_cost=at.assumed("people.on_cost", 0.30, 0.22, 0.42),
        on_cost_per=at.word("people.on_cost_per", "paid", "worked"),
        premium_late=at.assumed("people.premium_late", 0.10, 0.05, 0.15),
        premium_night=at.assumed("people.premium_night", 0.22, 0.15, 0.30),
        premium_weekend=at.assumed("people.premium_weekend", 0.50, 0.25, 1.0),
        allowance=at.assumed("people.allowance", 0.12, 0.10, 0.15),
        absence=at.assumed("people.absence", 0.10, 0.08, 0.12),
        unreplaced=at.given("people.unreplaced", 0),
        handover_s=at.given("people.handover", 0, "s"),
        tend=at.word("people.tend", "own", "together"),
        break_cover=at.word("people.break_cover", "none", "each_other", "relief"),
        away=at.given("people.away", 0),
        away_takes_s=at.given("people.away_takes", 900, "s"),
        freed_use=at.word("people.freed_use", "finishing", "none", "vacancy"),
        share_usable=at.assumed("people.share_usable", 0.50, 0.10, 0.95),
    )


def shifts(at: Source) -> tuple[Shift, ...]:
    """One shift with one unpaid break."""
    return (
        Shift(
            name="early",
            start_s=at.given("shifts.early.start", 21_600, "s"),
            length_s=at.given("shifts.early.length", 30_600, "s"),
            days_per_week=at.given("shifts.early.days", 5, "d"),
            operators=at.given("shifts.early.operators", 1),
            manned=at.word("shifts.early.manned", "yes", "no"),
            premium=at.word("shifts.early.premium", "none", "late"),
            breaks=(
                Break(
                    start_s=at.given("shifts.early.breaks.noon.start", 43_200, "s"),
                    length_s=at.given("shifts.early.breaks.noon.length", 1_800, "s"),
                    paid=at.word("shifts.early.breaks.noon.paid", "no", "yes"),
                ),
            ),
        ),
    )


def machine(at: Source) -> Machine:
    """Two alike mills."""
    return Machine(
        name="mill 3",
        kind=at.word("machines.mill_3.kind", "mill", "lathe"),
        count=at.given("machines.mill_3.count", 2),
        age_y=at.given("machines.mill_3.age", 6, "y"),
        control=at.word("machines.mill_3.control", "free_outputs", "none"),
        door=at.word("machines.mill_3.door", "hand", "powered"),
        clamping=at.word("machines.mill_3.clamping", "hand_vise", "powered_vise"),
        extra=at.word("machines.mill_3.extra", "none", "bar_feeder"),
        probe=at.word("machines.mill_3.probe", "yes", "no"),
        tool_check=at.word("machines.mill_3.tool_check", "no", "yes"),
        warranty=at.word("machines.mill_3.warranty", "no", "yes"),
        load_height_m=at.assumed("machines.mill_3.load_height", 1.05, 0.95, 1.2, "m"),
        load_depth_m=at.assumed("machines.mill_3.load_depth", 0.45, 0.3, 0.6, "m"),
        spacing_m=at.given("machines.mill_3.spacing", 3.2, "m"),
        chip_limit_parts=at.assumed("machines.mill_3.chip_limit", 180, 100, 320, "parts"),
        inside=Inside(
            door_width_m=at.assumed("machines.mill_3.door_width", 0.8, 0.55, 1.2, "m"),
            door_height_m=at.assumed("machines.mill_3.door_height", 0.8, 0.55, 1.1, "m"),
            catch_m=at.assumed("machines.mill_3.catch", 0.002, 0.001, 0.004, "m"),
            fluid=at.word("machines.mill_3.fluid", "water", "neat_oil"),
            fire_settled=at.word("machines.mill_3.fire_settled", "no", "yes"),
            from_above=at.word("machines.mill_3.from_above", "no", "yes"),
        ),
        stops=Stops(
            short_every_s=at.assumed("machines.mill_3.stops.short_every", 72_000, 21_600, 216_000, "s"),
            short_takes_s=at.assumed("machines.mill_3.stops.short_takes", 1_200, 600, 3_600, "s"),
            long_every_s=at.assumed("machines.mill_3.stops.long_every", 2_880_000, 1_080_000, 9_000_000, "s"),
            long_takes_s=at.assumed("machines.mill_3.stops.long_takes", 28_800, 10_800, 216_000, "s"),
        ),
    )


def size(at: Source, name: str, height_m: float) -> Size:
    """Outer measures of the bracket."""
    top = f"parts.bracket.{name}"
    return Size(
        length_m=at.given(f"{top}.length", 0.120, "m"),
        width_m=at.given(f"{top}.width", 0.080, "m"),
        height_m=at.given(f"{top}.height", height_m, "m"),
    )


def part(at: Source) -> Part:
    """A bracket of aluminium, one operation."""
    top = "parts.bracket"
    return Part(
        name="bracket 40 <b>",
        shape=at.word(f"{top}.shape", "prismatic", "round"),
        raw=size(at, "raw", 0.045),
        finished=size(at, "finished", 0.040),
        raw_mass_kg=at.given(f"{top}.raw_mass", 1.17, "kg"),
        finished_mass_kg=at.assumed(f"{top}.finished_mass", 0.7, 0.5, 0.9, "kg"),
        raw_tolerance_m=at.assumed(f"{top}.raw_tolerance", 0.001, 0.0005, 0.002, "m"),
        condition=at.word(f"{top}.condition", "sawn", "cast"),
        film=at.word(f"{top}.film", "oily", "dry"),
        arrives=at.word(f"{top}.arrives", "ordered", "loose"),
        leaves=at.word(f"{top}.leaves", "ordered", "box"),
        delicate=at.word(f"{top}.delicate", "no", "yes"),
        families=at.given(f"{top}.families", 6),
        lot_size=at.given(f"{top}.lot_size", 120, "parts"),
        orders_per_y=at.given(f"{top}.orders", 44_000, "parts/y"),
        contribution_per_part=at.assumed(f"{top}.contribution", 6.0, 3.0, 12.0, "money/part"),
        material=at.word(f"{top}.material", "steel", "aluminium"),
        operations=(
            Operation(
                name="first side",
                machine="mill 3",
                time_s=at.given(f"{top}.first_side.time", 330, "s"),
                time_is=at.word(f"{top}.first_side.time_is", "cycle", "floor_to_floor"),
                parts_per_cycle=at.given(f"{top}.first_side.parts_per_cycle", 1, "parts"),
                sides=at.word(f"{top}.first_side.sides", "one", "two_vises"),
                good=at.assumed(f"{top}.first_side.good", 0.985, 0.96, 0.995),
                gauge_every=at.given(f"{top}.first_side.gauge_every", 10, "parts"),
                tool_life_parts=at.assumed(f"{top}.first_side.tool_life", 150, 60, 400, "parts"),
            ),
        ),
    )


def today(at: Source) -> Today:
    """What happens now."""
    rows = (
        ("open, blow off", 12, "outside", 1, None),
        ("part out, next in, clamp", 30, "outside", 1, None),
        ("close, start", 6, "outside", 1, None),
        ("deburr 2 edges", 25, "inside", 1, "bench"),
        ("gauge", 60, "inside", 10, "bench"),
    )
    return Today(
        parts_per_shift=at.given("today.parts_per_shift", 128, "parts"),
        walk_s=at.given("today.walk", 5, "s"),
        elements=tuple(
            ManualElement(
                name=name,
                time_s=at.given(f"today.elements.{name.replace(' ', '_').replace(',', '')}.time", seconds, "s"),
                side=at.word(f"today.elements.{name.replace(' ', '_').replace(',', '')}.side", side, "inside"),
                every_n=at.given(f"today.elements.{name.replace(' ', '_').replace(',', '')}.every", every),
                place=place,
            )
            for name, seconds, side, every, place in rows
        ),
        setup_s=at.given("today.setup", 3_600, "s"),
    )


def wishes(at: Source) -> Wishes:
    """What the shop wants."""
    return Wishes(
        unattended_s=at.given("wishes.unattended", 28_800, "s"),
        budget=at.given("wishes.budget", 250_000, "money"),
        hurdle_months=at.assumed("wishes.hurdle", 24, 12, 36, "months"),
        floor_m2=at.given("wishes.floor", 14, "m2"),
        height_m=None,
        people_pass=at.word("wishes.people_pass", "no", "yes"),
        must_move=at.word("wishes.must_move", "no", "yes"),
        integrator=at.word("wishes.integrator", "turnkey", "own"),
    )
