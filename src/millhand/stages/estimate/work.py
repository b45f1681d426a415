"""Work on a cell: what is bought from engineering to start-up, contingency, and what the shop does itself."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.estimate import PriceLine
from millhand.model.fact import Fact
from millhand.model.part import Part
from millhand.stages.estimate.quote import Quote, total
from millhand.stages.estimate.wage import manned, present_hours
from millhand.trace import apply, found

ENGINEERING = {
    "work_design": "layout, drawings, electrical design and controls",
    "work_programming": "programming of arm and cell control",
    "work_build": "mechanical and electrical build",
    "work_start_up": "installation, start-up and acceptance",
}
SECOND_ARM = "programming and start-up of the second arm, and how the two wait for each other"
STATION = "design, build and start-up of a station"
AROUND = {"training": "training of the shop's people", "freight": "freight and packing", "spares": "first spares"}


def bought_work(quote: Quote) -> list[PriceLine]:
    """Engineering to start-up by what the arm serves, in four lines that rise and fall together; training, freight and
    first spares; nothing where the shop does all of it itself."""
    if quote.own:
        return []
    machines = sum(round(machine.count.value) for machine in quote.inquiry.machines)
    on_track = quote.concept.mount is not None and "track" in quote.concept.mount.id
    whole = quote.part("engineering_track" if on_track else f"engineering_{'one' if machines == 1 else 'two'}")
    around = quote.part("training_freight_spares")
    engineering, rest = (
        [quote.share(name, words, component.figures["price"]) for name, words in lines.items()]
        for component, lines in ((whole, ENGINEERING), (around, AROUND))
    )
    return [*engineering, *_second_arm(quote), *_stations(quote), *rest]


def _second_arm(quote: Quote) -> Iterator[PriceLine]:
    """Bought work on the second of two arms."""
    if quote.concept.sharing is not None:
        line = quote.line("work_second_arm", SECOND_ARM, quote.concept.sharing.figures["work_price"])
        yield replace(line, group="work")


def _stations(quote: Quote) -> Iterator[PriceLine]:
    """Bought work on the stations at which the arm does more than load."""
    for work in quote.concept.works:
        yield replace(
            quote.line(f"work_{work.id}", f"{STATION}: {work.title}", work.figures["work_price"]), group="work"
        )


def contingency(quote: Quote, lines: tuple[PriceLine, ...]) -> PriceLine:
    """What is put by at concept stage, as an amount."""
    before = total(quote, "before_contingency", lines)
    share = quote.figure("contingency_share")
    amount = apply(
        quote.sheet, "contingency_money", quote.id("contingency"), amount_money=before, contingency_share=share
    )
    return PriceLine(id="contingency", words="contingency at concept stage", group="contingency", amount=amount)


def own_work(quote: Quote, wage: Fact) -> tuple[PriceLine, ...]:
    """The shop's own hours, and the parts that it makes up for while its machines stand."""
    sheet = quote.sheet
    hours = {"own_hours": ("own_installation_h", "the shop's own hours for planning, installation and trials")}
    if quote.own and "own_engineering_h" in quote.catalogue.figures:
        hours["own_engineering"] = ("own_engineering_h", "the shop's own hours for engineering and programming")
    lines = [
        PriceLine(
            id=name, words=words, group="own",
            amount=apply(sheet, "own_work_money", quote.id(name), work_h=quote.figure(figure), wage_money_per_h=wage),
        )
        for name, (figure, words) in hours.items()
    ]  # fmt: skip
    return (
        *lines,
        _standing(quote, "installation_machine_d", wage),
        PriceLine(id="trial_parts", words="raw parts used up in trials", group="own", amount=_trials(quote)),
        _site(quote),
    )


def own_by_hand(quote: Quote, takes: str, wage: Fact) -> tuple[PriceLine, ...]:
    """The same of a change by hand that comes from somebody; another order of work holds it in its price."""
    if takes == "arrangement":
        return ()
    hours = quote.figure(f"by_hand_{takes}_own_h")
    amount = apply(quote.sheet, "own_work_money", quote.id("own_hours"), work_h=hours, wage_money_per_h=wage)
    words = "the shop's own hours for fitting and trying the change"
    return (
        PriceLine(id="own_hours", words=words, group="own", amount=amount),
        _standing(quote, f"by_hand_{takes}_stands_d", wage),
    )


def _standing(quote: Quote, days: str, wage: Fact) -> PriceLine:
    """What it costs that each machine stands for so many days."""
    shifts = manned(quote.inquiry)
    amount = apply(
        quote.sheet, "standstill_money", quote.id("standstill"),
        stands_d=quote.figure(days),
        head_h_per_week=present_hours(quote.inquiry, quote.sheet),
        days_per_week=max((shift.days_per_week for shift in shifts), key=lambda days: days.value),
        wage_money_per_h=wage,
    )  # fmt: skip
    words = "parts made up for by hand after the days on which the machines stand"
    return PriceLine(id="standstill", words=words, group="own", amount=amount)


def _trials(quote: Quote) -> Fact:
    """What the parts that trials use up cost."""
    return apply(
        quote.sheet, "trial_parts_money", quote.id("trial_parts"),
        trial_parts=quote.figure("trial_parts"), material_money_per_part=material(quote),
    )  # fmt: skip


def _site(quote: Quote) -> PriceLine:
    """What leads up to the cell: air, power, network, anchors in the floor."""
    component = quote.part("site_work")
    amount = apply(
        quote.sheet, "priced_money", quote.id("site_work"),
        amount_money=found(quote.sheet, component.figures["price"]), price_factor=quote.factor,
    )  # fmt: skip
    return PriceLine(id="site_work", words=component.title, group="own", amount=amount)


def material(quote: Quote) -> Fact:
    """What a raw part costs on average, as the shop says it or by its mass."""
    own, parts = quote.inquiry.money.raw_cost, quote.inquiry.parts
    if own is not None:
        return own
    return apply(
        quote.sheet, "mean_money_per_part", "money.material_per_part",
        amounts_per_part=tuple(_by_mass(quote, part) for part in parts),
        orders_parts_per_y=tuple(part.orders_per_y for part in parts),
    )  # fmt: skip


def _by_mass(quote: Quote, part: Part) -> Fact:
    """What one raw part costs by its mass."""
    price = apply(
        quote.sheet, "priced_rate", "money.material_per_kg",
        amount=quote.figure("material_per_kg"), price_factor=quote.factor,
    )  # fmt: skip
    return apply(
        quote.sheet, "material_money_per_part", f"parts.{part.name}.raw_cost_by_mass",
        raw_mass_kg=part.raw_mass_kg, money_per_kg=price,
    )  # fmt: skip
