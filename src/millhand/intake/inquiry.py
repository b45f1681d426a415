"""An inquiry file to an Inquiry: every value with its place, every gap assumed, every error at once."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from millhand.errors import InputError, InputErrors
from millhand.intake.answered import answered_in
from millhand.intake.contradictions import contradictions
from millhand.intake.form import Group
from millhand.intake.form_shop import SHOP
from millhand.intake.form_wishes import WISHES
from millhand.intake.form_work import ELEMENTS, INQUIRY, TODAY
from millhand.intake.inquiry_concepts import concepts_of
from millhand.intake.inquiry_correlations import correlations_of, wrong_correlations
from millhand.intake.inquiry_evidence import evidence_of
from millhand.intake.inquiry_facts import assumed_fact, choice_of, fact_of
from millhand.intake.inquiry_feeding import as_gauged, how_often
from millhand.intake.inquiry_floor import obstacles_of, pinned_of
from millhand.intake.inquiry_groups import Spot, entries_at, missing, spot_of, spots_of
from millhand.intake.inquiry_money import claims_of, money_of
from millhand.intake.inquiry_only import only_of
from millhand.intake.inquiry_opened import Opened, Place, child
from millhand.intake.inquiry_parts import as_map, machine_words, machines_of, parts_of, places_of, with_meaning
from millhand.intake.inquiry_people import people_of
from millhand.intake.inquiry_pools import in_pools, pooled
from millhand.intake.inquiry_readings import Files, normal_time, readings_of, work_allowance
from millhand.intake.inquiry_shifts import shifts_of
from millhand.intake.inquiry_sides import sides_of
from millhand.intake.judged import judgements, unknown_paths
from millhand.intake.part_list import part_list_of
from millhand.intake.text import Manner, currency_in
from millhand.intake.yaml_tree import Node, Scalar, Table, read_tree
from millhand.model.fact import Assumption, Fact
from millhand.model.inquiry import Inquiry, Wishes
from millhand.model.machine import Machine
from millhand.model.part import ManualElement, Part, Today
from millhand.model.shop import Shift, Shop

SELF_FED = ("lathe", "moulding", "press")  # kinds whose fillings have usual elements of their own
USUAL_WEEK_D, YEAR_D = 5.0, 365.0
AFTER = (float("inf"), 0.0)


def read_inquiry(path: Path, assumptions: Mapping[str, Assumption], *, leave_out: bool = False) -> Inquiry:
    """The inquiry in a file, its gaps filled; InputErrors with every error at once where it cannot be used.

    leave_out: rows of a part list that cannot be read are left out, whatever the file says.
    """
    return inquiry_of(read_tree(path), path.parent, assumptions, leave_out=leave_out)


def inquiry_of(tree: Table, folder: Path, assumptions: Mapping[str, Assumption], *, leave_out: bool = False) -> Inquiry:
    """The inquiry in a tree; `folder` holds the files that it names."""
    return inquiry_and_form(tree, folder, assumptions, leave_out=leave_out)[0]


def inquiry_and_form(
    tree: Table, folder: Path, assumptions: Mapping[str, Assumption], *, leave_out: bool = False
) -> tuple[Inquiry, Opened]:
    """The same with how its file lies open: how it writes numbers, and what may be written at the path of each fact."""
    top = Spot(table=tree, where=tree.where, place=Place())
    opened = replace(opened_for(tree, assumptions), leave_out=leave_out)
    evidence = evidence_of(top, folder, opened)
    opened = replace(opened, evidence=frozenset(each.name for each in evidence))
    opened = replace(opened, judged=judgements(child(tree, "judged"), opened))
    opened = replace(opened, answered=answered_in(child(tree, "answered"), opened))
    found = entries_at(INQUIRY.entries, top, opened)
    found.pop("decimal")
    found |= things_of(top, folder, opened)
    unknown_paths(opened)
    if not opened.errors and not opened.manner.currency:  # amounts of several currencies would be added up
        opened.bad(tree.where, "no currency", "shop with currency: three letters, such as USD", "no_currency")
    if opened.errors:
        raise InputErrors(in_order(opened.errors, tree))
    inquiry = Inquiry(**found, evidence=evidence, before=tuple(opened.before))
    wrong = [*contradictions(inquiry), *wrong_correlations(inquiry)]
    if wrong:
        raise InputErrors(in_order(wrong, tree))
    return inquiry, opened


def things_of(top: Spot, folder: Path, opened: Opened) -> dict[str, Any]:
    """Shop, people, shifts, machines, parts, today, wishes and money."""
    top = replace(top, place=top.place.told(text_at(top.table, "shop", "country"), opened.manner.currency))
    machines = pooled(machines_of(top, opened), top, opened)
    people = people_of(top, machines, opened)
    parts = parts_of(top, machines, folder, opened)
    shifts = shifts_of(top, people, opened)
    shop = shop_of(top, shifts, opened)
    today = today_of(top, parts, load_words(parts, machines), Files(folder=folder), opened)
    return {
        "shop": shop, "people": people, "shifts": shifts, "machines": machines,
        "places": in_pools(places_of(top, opened), machines),
        "obstacles": obstacles_of(top, opened), "pinned": pinned_of(top, opened),
        "today": today, "parts": meant(parts, today, opened),
        "wishes": wishes_of(top, opened), "money": money_of(top, opened),
        "claims": claims_of(top, opened), "part_list": part_list_of(top, parts, folder, opened),
        "only": only_of(top, opened), "concepts": concepts_of(top, opened),
        "correlations": correlations_of(top, opened),
    }  # fmt: skip


def wishes_of(top: Spot, opened: Opened) -> Wishes:
    """What the shop wants and can give; a floor that was told by its sides keeps them."""
    found = group(WISHES, top, opened)
    return Wishes(**found, floor_sides=sides_of(found["floor_m2"], top, opened))


def meant(parts: tuple[Part, ...], today: Today, opened: Opened) -> tuple[Part, ...]:
    """The parts with a range on times whose meaning is not known; not while something is wrong with the file."""
    return parts if opened.errors else tuple(with_meaning(part, today.elements) for part in parts)


def opened_for(tree: Table, assumptions: Mapping[str, Assumption]) -> Opened:
    """The file with its decimal sign and currency."""
    decimal = child(tree, "decimal")
    comma = isinstance(decimal, Scalar) and decimal.text == "comma"
    told = isinstance(decimal, Scalar)
    return Opened(assumptions=assumptions, manner=Manner(comma=comma, currency=currency_of(tree), told=told))


def currency_of(tree: Table) -> str:
    """The currency that the shop names, else the one that the wage is written in."""
    named, wage = text_at(tree, "shop", "currency"), text_at(tree, "people", "wage")
    return named or currency_in(wage)


def text_at(tree: Table | None, key: str, inner: str) -> str:
    """The text two levels down, or that of its `value`; '' where there is none."""
    table = tree.entries.get(key) if tree is not None else None
    node: Node | None = table.entries.get(inner) if isinstance(table, Table) else None
    if isinstance(node, Table):
        node = node.entries.get("value")
    return node.text if isinstance(node, Scalar) else ""


def group(form: Group, top: Spot, opened: Opened) -> dict[str, Any]:
    """The entries of a group that is one table of numbers and words."""
    return entries_at(form.entries, spot_of(form, top, opened), opened)


def shop_of(top: Spot, shifts: tuple[Shift, ...], opened: Opened) -> Shop:
    """Who asks. Work days that nobody gave are those of five days a week, more or less where the shifts say so."""
    spot = spot_of(SHOP, top, opened)
    found = entries_at(SHOP.entries, spot, opened)
    week = max((shift.days_per_week.value for shift in shifts if shift.days_per_week is not None), default=USUAL_WEEK_D)
    if found["work_days_per_y"] is not None and found["work_days_per_y"].basis == "assumed" and week != USUAL_WEEK_D:
        found["work_days_per_y"] = of_week(found["work_days_per_y"], week)
    return Shop(**found | {"currency": opened.manner.currency})


def of_week(work_days: Fact, week_d: float) -> Fact:
    """Work days of another week than the usual one, in the same proportion."""
    value, low, high = (
        min(end * week_d / USUAL_WEEK_D, YEAR_D) if end is not None else None
        for end in (work_days.value, work_days.low, work_days.high)
    )
    note = f"for {week_d:g} days a week, in proportion to {USUAL_WEEK_D:g}"
    return replace(work_days, value=value or work_days.value, low=low, high=high, note=note)


def today_of(top: Spot, parts: tuple[Part, ...], words: tuple[str, ...], files: Files, opened: Opened) -> Today:
    """Today's work; what nobody says about it depends on the words of the first operation."""
    spot = spot_of(TODAY, replace(top, place=top.place.told(*words)), opened)
    found = entries_at(TODAY.entries, spot, opened)
    given = [element_of(name, each, parts, files, opened) for name, each in spots_of(ELEMENTS, spot, opened)]
    return Today(**found, elements=tuple(given) or usual_elements(spot, parts, opened))


def element_of(name: str, spot: Spot, parts: tuple[Part, ...], files: Files, opened: Opened) -> ManualElement:
    """One element: its time as written, or the normal time of its stopwatch readings."""
    found = how_often(entries_at(ELEMENTS.entries, spot, opened), spot, parts, opened)
    readings = readings_of(spot, name, files, opened)
    time, entry = child(spot.table, "time"), ELEMENTS.entries[1]
    if time is not None and child(spot.table, "readings") is not None:
        opened.bad_node(
            time, "either 'time' or 'readings'; a value of your own stands under 'judged'", "readings_and_time"
        )
    elif readings is not None:
        gap = normal_time(readings, spot)
        found["time_s"] = fact_of(entry, None, spot.place.down("time"), opened, gap)  # type: ignore[arg-type]
    elif time is None and child(spot.table, "readings") is None:
        missing(entry, spot, opened)
    return ManualElement(
        **found | {"place": place_in(spot)}, readings=readings, allowance=work_allowance(readings, spot)
    )


def place_in(spot: Spot) -> str | None:
    """Where an element is done, as written; None: at the machine."""
    node = child(spot.table, "place")
    return node.text if isinstance(node, Scalar) else None


def load_words(parts: tuple[Part, ...], machines: tuple[Machine, ...]) -> tuple[str, ...]:
    """What one load of the first operation is like: the words that the usual elements depend on."""
    first = parts[0].operations[0] if parts and parts[0].operations else None
    if first is None or first.parts_per_cycle is None or first.sides is None:
        return ()
    machine = next((each for each in machines if each.name == first.machine), None)
    if first.cycles_per_visit is not None:
        return (self_fed_word(machine),)
    several = ("several",) if first.parts_per_cycle.value > 1 else ()
    return (first.sides.value, *several, *machine_words(as_map(machine)))


def self_fed_word(machine: Machine | None) -> str:
    """The one word for a load of many cycles: a bar, a coil, a box of shots, or any other filling."""
    kind = machine.kind.value if machine is not None and machine.kind is not None else ""
    return f"self_fed_{kind}" if kind in SELF_FED else "self_fed"


def usual_elements(spot: Spot, parts: tuple[Part, ...], opened: Opened) -> tuple[ManualElement, ...]:
    """The elements that the assumptions know for this kind of machine, each with its range."""
    prefix = "today.elements."
    names = dict.fromkeys(key.partition("@")[0].split(".")[2] for key in opened.assumptions if key.startswith(prefix))
    below = replace(spot, place=spot.place.down("elements"))
    found = (
        usual_element(name, below.place.down(name), opened, as_gauged(name, parts, below))
        for name in names if name != "*"
    )  # fmt: skip
    return tuple(element for element in found if element is not None)


def usual_element(name: str, place: Place, opened: Opened, often: Fact | None) -> ManualElement | None:
    """One usual element; None where no row gives its time for this kind of machine."""
    if opened.assumption(place.down("time")) is None:
        return None
    time, side, every = (each for each in ELEMENTS.entries if each.key in ("time", "side", "every_n"))
    any_name = replace(place, key="today.elements.*")
    of = place if opened.assumption(place.down("every_n")) is not None else any_name
    gap = assumed_fact(place.down("time"), opened.assumption(place.down("time")))  # type: ignore[arg-type]
    return ManualElement(
        name=name, time_s=fact_of(time, None, place.down("time"), opened, gap),  # type: ignore[arg-type]
        side=choice_of(side, None, place.down("side"), opened),  # type: ignore[arg-type]
        every_n=fact_of(every, None, of.down("every_n"), opened, often),  # type: ignore[arg-type]
    )  # fmt: skip


def in_order(errors: Iterable[InputError], tree: Table) -> list[InputError]:
    """The errors of the inquiry itself by their places, then those of the files that it names, each as it was read."""
    own = f"{tree.where.partition(':')[0]}:"
    return sorted(errors, key=lambda error: in_file(error) if error.where.startswith(own) else AFTER)


def in_file(error: InputError) -> tuple[float, float]:
    """Line and column of an error, to sort by."""
    numbers = [int(piece) for piece in re.findall(r":(\d+)", error.where)]
    return (numbers[0], numbers[1]) if len(numbers) >= 2 else (0, 0)
