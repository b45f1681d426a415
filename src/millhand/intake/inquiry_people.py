"""The people of an inquiry: how many operators there are and how many machines each tends follow from each other."""

from dataclasses import replace

from millhand.intake.form import Number
from millhand.intake.form_shop import PEOPLE
from millhand.intake.inquiry_facts import fact_of, known_keys
from millhand.intake.inquiry_groups import Spot, entries_at, missing, only, spot_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.model.shop import People

HEADS = ("operators", "machines_per_operator")


def people_of(top: Spot, machines: tuple[Machine, ...], opened: Opened) -> People:
    """Who tends the machines; of heads and machines a head one is enough."""
    spot = spot_of(PEOPLE, top, opened)
    if spot.table is not None:
        known_keys(spot.table, tuple(entry.key for entry in PEOPLE.entries), opened)
    rest = tuple(entry for entry in PEOPLE.entries if entry.key not in HEADS)
    found = entries_at(rest, replace(spot, table=only(spot.table, rest)), opened)
    counts = [machine.count.value for machine in machines if machine.count is not None]
    return People(**found, **tending(spot, sum(counts), opened))  # type: ignore[arg-type]


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
