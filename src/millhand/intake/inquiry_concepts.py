"""The concepts that an inquiry asks for or leaves out; whether their parts exist the catalogue knows."""

from millhand.intake.form_concepts import CONCEPTS
from millhand.intake.form_only import CHOICES
from millhand.intake.inquiry_floor import pinned_of
from millhand.intake.inquiry_groups import Spot, entries_at, spots_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.model.inquiry import Named, Only, Wished

PARTS = tuple(key for key, _ in CHOICES)


def concepts_of(top: Spot, opened: Opened) -> tuple[Wished, ...]:
    """Every wish with its place in the file."""
    return tuple(wished_at(name, spot, opened) for name, spot in spots_of(CONCEPTS, top, opened))


def wished_at(name: str, spot: Spot, opened: Opened) -> Wished:
    """One wish: what is meant, what is another part than there, what stands where."""
    told = entries_at(CONCEPTS.entries, spot, opened)
    nodes = ((key, child(spot.table, key)) for key in PARTS)
    named = {key: (Named(name=told[key], where=node.where),) for key, node in nodes if node is not None and told[key]}
    pinned = pinned_of(spot, opened)
    if told["treatment"] is not None:
        refuse_half(told["treatment"].value, told["base"], bool(pinned), spot, opened)
    return Wished(
        name=name, where=spot.where, treatment=told["treatment"], base=told["base"], parts=Only(**named),
        works=told["works"], pinned=pinned, by=told["by"], reason=told["reason"],
    )  # fmt: skip


def refuse_half(treatment: str, base: str, pinned: bool, spot: Spot, opened: Opened) -> None:
    """What is left out stands nowhere, and either wish says what it means."""
    parts = spot.table is not None and any(key in spot.table.entries for key in (*PARTS, "by_arm"))
    if treatment == "left_out" and pinned:
        opened.bad(spot.where, "places of what is left out", "'pinned' with 'is: kept' alone", "left_out_pinned")
    if not base and not parts:
        opened.bad(spot.where, "neither 'of' nor a part", "which concept is meant: of: its name", "concept_unnamed")
