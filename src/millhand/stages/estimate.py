"""What a concept costs to buy: price lines built from amounts, their sums, and how long it takes to hand-over."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.errors import ToolError
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Component, Concept
from millhand.model.estimate import Estimate, Group, PriceLine
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.shop import Shift
from millhand.trace import Sheet, apply, found

INTERFACES = {"free_outputs": "interface_free_outputs", "fieldbus": "interface_fieldbus", "none": "interface_none"}
CLAMPING = {"hand_vise": "powered_vise", "hand_chuck": "powered_chuck"}
PREMIUMS = {"late": "premium_late", "night": "premium_night", "weekend": "premium_weekend"}
TRACK_TRAVEL = "layout.track.travel"  # under the concept
MORE_GATES = "layout.gates.more"  # the same; only where a fence has more than one
EXCLUDED = (
    "compressed air, electric power and network up to the cell",
    "floor anchors and work on the building",
    "fixtures, jaws and their changes",
    "raw parts used up in trials",
    "chip and coolant work on the machines",
    "permits, and tests asked for by an insurer or an authority",
)
EXCLUDED_OWN = "engineering, programming, risk assessment, training and freight, which the shop takes on itself"


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """One concept being priced, and the factor from the catalogue's money to the inquiry's."""

    sheet: Sheet
    inquiry: Inquiry
    concept: Concept
    catalogue: Catalogue
    factor: Fact

    def id(self, name: str) -> str:
        """The fact id of one figure of this concept's estimate."""
        return f"concepts.{self.concept.id}.estimate.{name}"

    def line(self, name: str, words: str, price: Fact, counts: tuple[Fact, ...] = ()) -> PriceLine:
        """A line of equipment or bought work: a catalogue price, times pieces where there may be several."""
        group: Group = "work" if name in ("engineering", "training") else "equipment"
        found(self.sheet, price)
        if counts:
            amount = apply(
                self.sheet, "priced_pieces_money", self.id(name),
                amount_money=price, counts=counts, price_factor=self.factor,
            )  # fmt: skip
        else:
            amount = apply(self.sheet, "priced_money", self.id(name), amount_money=price, price_factor=self.factor)
        return PriceLine(id=name, words=words, group=group, amount=amount)

    def figure(self, name: str) -> Fact:
        """A figure of the catalogue, written into the sheet because a sum will rest on it."""
        return found(self.sheet, self.catalogue.figures[name])

    def zero(self, name: str, unit: str = "money") -> Fact:
        """A figure that is nought because of what the concept is."""
        why = f"follows from the concept's kind, {self.concept.kind}"
        return found(self.sheet, Fact(id=self.id(name), value=0.0, unit=unit, basis="computed", source=why))


def estimate(inquiry: Inquiry, concept: Concept, catalogue: Catalogue, sheet: Sheet) -> Estimate:
    """The price lines of one concept, their sums, the time to hand-over, and what is not in the price."""
    wage = worked_hour(inquiry, sheet)
    factor = price_factor(inquiry, catalogue, sheet)
    quote = Quote(sheet=sheet, inquiry=inquiry, concept=concept, catalogue=catalogue, factor=factor)
    own = inquiry.wishes.integrator.value == "own"
    lines = {"today": _no_lines, "by_hand": _hand_lines, "cell": _cell_lines}[concept.kind](quote)
    bought = (*lines, _contingency(quote, lines)) if lines else lines
    mine = _own_work(quote, wage) if concept.kind == "cell" else ()
    installed = _total(quote, "installed", bought)
    return Estimate(
        concept=concept.id,
        currency=inquiry.shop.currency,
        lines=bought + mine,
        equipment=_total(quote, "equipment", tuple(line for line in lines if line.group == "equipment")).id,
        installed=installed.id,
        order_to_hand_over_s=_hand_over(quote).id,
        estimate_class=_estimate_class(quote, installed) if lines else "",
        excluded=() if not lines else (*EXCLUDED, EXCLUDED_OWN) if own and concept.kind == "cell" else EXCLUDED,
        own=_total(quote, "own", mine).id,
        worked_hour=wage.id,
        price_factor=factor.id,
    )


def price_factor(inquiry: Inquiry, catalogue: Catalogue, sheet: Sheet) -> Fact:
    """The inquiry's money for one unit of the catalogue's, prices carried on to the time of the order."""
    age = found(
        sheet,
        Fact(
            id="money.price_age", value=1.0, low=0.0, high=2.0, shape="triangular", unit="y", basis="assumed",
            source=f"judged: an order about a year after the prices of {catalogue.price_year} were gathered",
            question="When would you order, if you do?", title="age of the prices when you order",
        ),
    )  # fmt: skip
    terms = inquiry.money
    return apply(
        sheet, "price_factor", "money.price_factor",
        exchange_rate=terms.exchange_rate, escalation=terms.escalation, age_y=age,
    )  # fmt: skip


def _no_lines(quote: Quote) -> tuple[PriceLine, ...]:
    """As today: nothing is bought."""
    return ()


def _hand_lines(quote: Quote) -> tuple[PriceLine, ...]:
    """The change by hand, for each machine that it fits, for each family, or once."""
    change = next((each for each in quote.catalogue.hand_changes if each.id == quote.concept.change), None)
    if change is None:
        raise ToolError(f"no change by hand is called {quote.concept.change}", code="unknown_change")
    pieces = {
        "machine": tuple(machine.count for machine in quote.inquiry.machines if machine.kind.value in change.kinds),
        "family": tuple(part.families for part in quote.inquiry.parts),
        "once": (),
    }[change.per]
    return (quote.line("change", change.title, change.price, pieces),)


def _cell_lines(quote: Quote) -> tuple[PriceLine, ...]:
    """All that is bought for a cell, before contingency."""
    concept = quote.concept
    own = quote.inquiry.wishes.integrator.value == "own"
    built = (
        ("arm", concept.arm), ("gripper", concept.gripper), ("presenter", concept.presenter),
        ("outfeed", concept.outfeed), ("safeguarding", concept.safeguarding),
    )  # fmt: skip
    lines = [
        quote.line(name, each.title, each.figures["price"])
        for name, each in built
        if each is not None and each.figures["price"].value > 0.0
    ]
    lines += [*_gates(quote), *_mount(quote), *_fingers(quote), *_options(quote), *_around_machines(quote)]
    return tuple(lines if own else [*lines, *_bought_work(quote)])


def _part(quote: Quote, name: str) -> Component:
    """A component of the catalogue by its id."""
    return quote.catalogue.components[name]


def _mount(quote: Quote) -> tuple[PriceLine, ...]:
    """Pedestal or stand at its price; a track by the travel that the layout found."""
    mount = quote.concept.mount
    if mount is None:
        return ()
    if "price_per_m" not in mount.figures:
        return (quote.line("mount", mount.title, mount.figures["price"]),)
    price = apply(
        quote.sheet, "track_money", quote.id("track_price"),
        price_money=found(quote.sheet, mount.figures["price"]),
        money_per_m=found(quote.sheet, mount.figures["price_per_m"]),
        travel_m=quote.sheet[f"concepts.{quote.concept.id}.{TRACK_TRAVEL}"],
        included_m=found(quote.sheet, mount.figures["travel_m"]),
    )  # fmt: skip
    return (quote.line("mount", mount.title, price),)


def _gates(quote: Quote) -> Iterator[PriceLine]:
    """Gates that are drawn in a fence beyond the one that comes with it."""
    guard, name = quote.concept.safeguarding, f"concepts.{quote.concept.id}.{MORE_GATES}"
    if guard is not None and "gate_price" in guard.figures and name in quote.sheet:
        yield quote.line("gates", "interlocked gate besides", guard.figures["gate_price"], (quote.sheet[name],))


def _fingers(quote: Quote) -> tuple[PriceLine, ...]:
    """One finger set for each family; fingers that take all of them come with their gripper."""
    if quote.concept.gripper is not None and "fingers" in quote.concept.gripper.words:
        return ()
    families = tuple(part.families for part in quote.inquiry.parts)
    component = _part(quote, "finger_set")
    return (quote.line("fingers", "finger sets, one for each family", component.figures["price"], families),)


def _options(quote: Quote) -> Iterator[PriceLine]:
    """What the cell has besides its choices, at each machine that needs it or once."""
    for option in quote.concept.options:
        component = option.component
        counts = tuple(machine.count for machine in quote.inquiry.machines if machine.name in option.machines)
        yield quote.line(component.id, f"{component.title}: {option.words}", component.figures["price"], counts)


def _around_machines(quote: Quote) -> list[PriceLine]:
    """What each machine needs: an interface by its control, a powered door and powered clamping where a hand works."""
    wanted: dict[str, list[Fact]] = {}
    for machine in quote.inquiry.machines:
        wanted.setdefault(INTERFACES[machine.control.value], []).append(machine.count)
        if machine.door.value == "hand":
            wanted.setdefault("door_retrofit", []).append(machine.count)
        if machine.clamping.value in CLAMPING:
            wanted.setdefault(CLAMPING[machine.clamping.value], []).extend([machine.count] * _vises(quote, machine))
    return [
        quote.line(name, _part(quote, name).title, _part(quote, name).figures["price"], tuple(counts))
        for name, counts in wanted.items()
    ]


def _vises(quote: Quote, machine: Machine) -> int:
    """How many clamping devices one machine has: two where first and second side sit in two vises."""
    operations = (operation for part in quote.inquiry.parts for operation in part.operations)
    return 2 if any(each.machine == machine.name and each.sides.value == "two_vises" for each in operations) else 1


def _bought_work(quote: Quote) -> list[PriceLine]:
    """Engineering to start-up by what the arm serves, and training, freight and first spares."""
    machines = sum(round(machine.count.value) for machine in quote.inquiry.machines)
    on_track = quote.concept.mount is not None and "track" in quote.concept.mount.id
    engineering = _part(quote, "engineering_track" if on_track else f"engineering_{'one' if machines == 1 else 'two'}")
    training = _part(quote, "training_freight_spares")
    return [
        quote.line("engineering", engineering.title, engineering.figures["price"]),
        quote.line("training", training.title, training.figures["price"]),
    ]


def _contingency(quote: Quote, lines: tuple[PriceLine, ...]) -> PriceLine:
    """What is put by at concept stage, as an amount."""
    before = _total(quote, "before_contingency", lines)
    share = quote.figure("contingency_share")
    amount = apply(
        quote.sheet, "contingency_money", quote.id("contingency"), amount_money=before, contingency_share=share
    )
    return PriceLine(id="contingency", words="contingency at concept stage", group="contingency", amount=amount)


def _own_work(quote: Quote, wage: Fact) -> tuple[PriceLine, ...]:
    """The shop's own hours, and the parts that it makes up for while its machines stand."""
    sheet = quote.sheet
    hours = {"own_hours": ("own_installation_h", "the shop's own hours for planning, installation and trials")}
    if quote.inquiry.wishes.integrator.value == "own" and "own_engineering_h" in quote.catalogue.figures:
        hours["own_engineering"] = ("own_engineering_h", "the shop's own hours for engineering and programming")
    lines = [
        PriceLine(
            id=name, words=words, group="own",
            amount=apply(sheet, "own_work_money", quote.id(name), work_h=quote.figure(figure), wage_money_per_h=wage),
        )
        for name, (figure, words) in hours.items()
    ]  # fmt: skip
    shifts = manned(quote.inquiry)
    stands = apply(
        sheet, "standstill_money", quote.id("standstill"),
        stands_d=quote.figure("installation_machine_d"),
        head_h_per_week=present_hours(quote.inquiry, sheet),
        days_per_week=max((shift.days_per_week for shift in shifts), key=lambda days: days.value),
        wage_money_per_h=wage,
    )  # fmt: skip
    words = "parts made up for by hand after the days on which the machines stand"
    return (*lines, PriceLine(id="standstill", words=words, group="own", amount=stands))


def _total(quote: Quote, name: str, lines: tuple[PriceLine, ...]) -> Fact:
    """The sum of some lines."""
    if not lines:
        return quote.zero(name)
    return apply(quote.sheet, "sum_money", quote.id(name), amounts_money=tuple(line.amount for line in lines))


def _hand_over(quote: Quote) -> Fact:
    """From order to hand-over: longer with a track or door work; a change by hand is bought from stock."""
    if quote.concept.kind != "cell":
        return quote.zero("order_to_hand_over", "s")
    on_track = quote.concept.mount is not None and "track" in quote.concept.mount.id
    doors = any(machine.door.value == "hand" for machine in quote.inquiry.machines)
    return quote.figure("order_to_hand_over_track_s" if on_track or doors else "order_to_hand_over_s")


def _estimate_class(quote: Quote, installed: Fact) -> str:
    """The class of the estimate, and between which amounts such estimates end."""
    low, high = (quote.figure(f"accuracy_{end}_share") for end in ("low", "high"))
    least = apply(quote.sheet, "usual_low_money", quote.id("usual_low"), amount_money=installed, accuracy_share=low)
    most = apply(quote.sheet, "usual_high_money", quote.id("usual_high"), amount_money=installed, accuracy_share=high)
    return (
        f"Concept stage: what is paid in the end lies, as a rule, between [[{least.id}|money_2]] and "
        f"[[{most.id}|money_2]], that is [[{low.id}|percent]] below and [[{high.id}|percent]] above this sum."
    )


def manned(inquiry: Inquiry) -> tuple[Shift, ...]:
    """The shifts in which somebody is at the machines."""
    return tuple(shift for shift in inquiry.shifts if shift.manned.value == "yes" and shift.operators.value > 0.0)


def present_hours(inquiry: Inquiry, sheet: Sheet) -> Fact:
    """Hours a week of all heads in the manned shifts, from coming to going."""
    return _hours(sheet, "wage.present_hours", [(shift, shift.length_s) for shift in manned(inquiry)])


def _hours(sheet: Sheet, fact_id: str, lengths: list[tuple[Shift, Fact]]) -> Fact:
    """Hours a week of the heads of some shifts, each for a length of its own; nought where there are none."""
    if not lengths:
        none = Fact(id=fact_id, value=0.0, unit="h", basis="computed", source="follows from the shifts: there are none")
        return found(sheet, none)
    return apply(
        sheet, "head_h_per_week", fact_id,
        heads=tuple(shift.operators for shift, _ in lengths),
        lengths_s=tuple(length for _, length in lengths),
        days=tuple(shift.days_per_week for shift, _ in lengths),
    )  # fmt: skip


def worked_hour(inquiry: Inquiry, sheet: Sheet) -> Fact:
    """What one hour worked at the machines costs: wage, premiums of the shifts, on-cost, hours paid but not worked."""
    people, shifts = inquiry.people, manned(inquiry)
    present = present_hours(inquiry, sheet)
    wage = people.wage_per_h
    dear = [shift for shift in shifts if shift.premium.value in PREMIUMS]
    if dear:
        premium = apply(
            sheet, "mean_premium_share", "wage.premium",
            premiums=tuple(getattr(people, PREMIUMS[shift.premium.value]) for shift in dear),
            premium_h=tuple(_hours(sheet, f"wage.hours.{shift.name}", [(shift, shift.length_s)]) for shift in dear),
            present_h=present,
        )  # fmt: skip
        wage = apply(
            sheet, "wage_with_premium_per_h", "wage.with_premium", wage_money_per_h=wage, premium_share=premium
        )
    loaded = apply(sheet, "loaded_wage_per_h", "wage.loaded", wage_money_per_h=wage, on_cost_share=people.on_cost)
    if people.on_cost_per.value == "worked" or present.value <= 0.0:
        return loaded
    breaks = [(shift, pause) for shift in shifts for pause in shift.breaks]
    ratio = apply(
        sheet, "paid_per_worked", "wage.paid_per_worked",
        present_h=present,
        breaks_h=_hours(sheet, "wage.break_hours", [(shift, pause.length_s) for shift, pause in breaks]),
        unpaid_breaks_h=_hours(
            sheet, "wage.unpaid_break_hours",
            [(shift, pause.length_s) for shift, pause in breaks if pause.paid.value == "no"],
        ),
        absence_share=people.absence,
    )  # fmt: skip
    return apply(
        sheet, "worked_hour_money_per_h", "wage.worked_hour", paid_hour_money_per_h=loaded, paid_per_worked=ratio
    )
