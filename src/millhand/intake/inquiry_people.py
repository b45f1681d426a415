"""The people of an inquiry: how many operators there are and how many machines each tends follow from each other."""

from dataclasses import replace

from millhand.intake.form import Number
from millhand.intake.form_shop import PEOPLE
from millhand.intake.inquiry_facts import fact_of
from millhand.intake.inquiry_groups import Spot, entries_at, missing, spot_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.model.shop import People

HEADS = ("operators", "machines_per_operator")


def people_of(top: Spot, machines: tuple[Machine, ...], opened: Opened) -> People:
    """Who tends the machines; of heads and machines a head one is enough."""
    spot = spot_of(PEOPLE, top, opened)
    entries = tuple(replace(entry, gap="none") if entry.key in HEADS else entry for entry in PEOPLE.entries)
    found = entries_at(entries, spot, opened)
    heads, tended = (found[name] for name in HEADS)
    counts = [machine.count.value for machine in machines if machine.count is not None]
    if not any(child(spot.table, name) for name in HEADS) and heads is None and tended is None:
        missing(PEOPLE.entries[0], spot, opened)
    elif heads is None and tended is not None and counts:
        found["operators"] = derived("operators", sum(counts) / tended.value, tended, spot, opened)
    elif tended is None and heads is not None and counts:
        found["machines_per_operator"] = derived(HEADS[1], sum(counts) / heads.value, heads, spot, opened)
    return People(**found)


def derived(key: str, value: float, known: Fact, spot: Spot, opened: Opened) -> Fact | None:
    """Heads from machines a head, or the other way round, by the number of machines."""
    entry = next(entry for entry in PEOPLE.entries if entry.key == key)
    assert isinstance(entry, Number)
    gap = Fact(
        id=spot.place.down(key).id, value=value, unit="1", basis="assumed",
        source=f"number of machines divided by {known.id}", question="How many machines does one operator tend?",
    )  # fmt: skip
    return fact_of(entry, None, spot.place.down(key), opened, gap)
