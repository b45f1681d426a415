"""The people of an inquiry: how many operators there are and how many machines each tends follow from each other."""

from dataclasses import replace

from millhand.intake.form import Number
from millhand.intake.form_shop import FREED, PEOPLE
from millhand.intake.inquiry_facts import fact_of, known_keys
from millhand.intake.inquiry_groups import Spot, entries_at, missing, only, spot_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.model.fact import Choice, Fact
from millhand.model.machine import Machine
from millhand.model.shop import Fates, People

HEADS = ("operators", "machines_per_operator")
ONE_USE = ("freed_use", "share_usable")  # in their place several fates may be told
SHARES = ("not_hired", "redeployed", "overtime", "temporary", "not_usable")
WORTHS = ("redeployed", "overtime", "temporary")
NEAR_ONE = 0.0005


def people_of(top: Spot, machines: tuple[Machine, ...], opened: Opened) -> People:
    """Who tends the machines; of heads and machines a head one is enough."""
    spot = spot_of(PEOPLE, top, opened)
    if spot.table is not None:
        known_keys(spot.table, tuple(entry.key for entry in PEOPLE.entries), opened)
    fates = fates_of(spot, opened)
    apart = HEADS if fates is None else (*HEADS, *ONE_USE)
    rest = tuple(entry for entry in PEOPLE.entries if entry.key not in apart)
    found = entries_at(rest, replace(spot, table=only(spot.table, rest)), opened)
    if fates is not None:
        found |= {"freed": fates, "freed_use": several(fates, spot), "share_usable": usable(fates, spot)}
    counts = [machine.count.value for machine in machines if machine.count is not None]
    return People(**found, **tending(spot, sum(counts), opened))  # type: ignore[arg-type]


def fates_of(above: Spot, opened: Opened) -> Fates | None:
    """What becomes of freed hours; None where it is left to one use with its share."""
    spot = spot_of(FREED, above, opened)
    if spot.table is None:
        return None
    found = entries_at(FREED.entries, spot, opened)
    for name in WORTHS:
        if found[name] is None and child(spot.table, f"{name}_worth") is not None:
            write = f"{name} too, such as {name}: 20 %, or no {name}_worth"
            opened.bad(spot.where, f"{name}_worth without {name}", write, "fate_without_share")
        found[f"{name}_worth"] = found[f"{name}_worth"] if found[name] is not None else None
    fates = Fates(**found)
    told = [*fates.shares.values(), *((fates.not_usable,) if fates.not_usable else ())]
    total = sum(fact.value for fact in told)
    if all(child(spot.table, name) is None for name in SHARES):
        opened.bad(spot.where, "people.freed without a share", "one share or more, such as not_hired: 50 %", "no_fate")
    if total > 1.0 + NEAR_ONE:
        write = "shares that add up to 100 % at most; freed hours are there once"
        opened.bad(spot.where, f"shares of {100.0 * total:g} % together", write, "fates_too_many")
    for key in ONE_USE:
        if child(above.table, key) is not None:
            write = "either freed, or freed_use with share_usable"
            opened.bad(spot.where, f"freed and {key}", write, "fates_and_one_use")
    return fates


def several(fates: Fates, spot: Spot) -> Choice:
    """The one use, where there are several."""
    place = spot.place.down("freed_use")
    names = ", ".join(fates.shares).replace("_", " ")
    source = f"{spot.where}, people.freed"
    return Choice(id=place.id, value="several", options=("several",), basis="given", source=source, note=names)


def usable(fates: Fates, spot: Spot) -> Fact:
    """The share of freed hours that somebody pays less for, or uses."""
    return Fact(
        id=spot.place.down("share_usable").id, value=min(1.0, sum(share.value for share in fates.shares.values())),
        unit="1", basis="given", source=f"{spot.where}, sum of the shares of people.freed",
    )  # fmt: skip


def tending(spot: Spot, machines: float, opened: Opened) -> dict[str, Fact | None]:
    """Heads and machines a head; what is not written follows from what is and the number of machines."""
    written, other = sorted(HEADS, key=lambda key: child(spot.table, key) is None)
    if child(spot.table, written) is None and not any(f"people.{key}" in opened.judged for key in HEADS):
        missing(head_entry("operators"), spot, opened)
        return dict.fromkeys(HEADS)
    if child(spot.table, written) is None:
        written, other = sorted(HEADS, key=lambda key: f"people.{key}" not in opened.judged)
    first = fact_of(head_entry(written), child(spot.table, written), spot.place.down(written), opened)
    gap = derived(other, machines, first, spot) if first is not None and machines else None
    second = fact_of(head_entry(other), child(spot.table, other), spot.place.down(other), opened, gap)
    return {written: first, other: second}


def head_entry(key: str) -> Number:
    """The form of heads or of machines a head; what is missing is worked out here, not assumed from a row."""
    entry = next(entry for entry in PEOPLE.entries if entry.key == key)
    assert isinstance(entry, Number)
    return replace(entry, gap="none")


def derived(key: str, machines: float, known: Fact, spot: Spot) -> Fact:
    """Heads from machines a head, or the other way round, by the number of machines."""
    return Fact(
        id=spot.place.down(key).id, value=machines / known.value, unit="1", basis="assumed",
        source=f"number of machines divided by {known.id}", question="How many machines does one operator tend?",
    )  # fmt: skip
