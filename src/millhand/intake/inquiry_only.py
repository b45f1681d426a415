"""The components that an inquiry keeps its study to, each with its place; whether they exist the catalogue knows."""

from millhand.intake.form import Text
from millhand.intake.form_only import ONLY
from millhand.intake.inquiry_facts import known_keys
from millhand.intake.inquiry_groups import Spot, spot_of, text_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.intake.yaml_tree import Listing
from millhand.model.inquiry import Named, Only


def only_of(above: Spot, opened: Opened) -> Only | None:
    """What is named; None where the file leaves it out, or names nothing."""
    spot = spot_of(ONLY, above, opened)
    if spot.table is None:
        return None
    known_keys(spot.table, tuple(entry.key for entry in ONLY.entries), opened)
    found = {entry.field: names_of(entry, spot, opened) for entry in ONLY.entries if isinstance(entry, Text)}
    return Only(**found) if any(found.values()) else None


def names_of(entry: Text, spot: Spot, opened: Opened) -> tuple[Named, ...]:
    """The names under one key; one alone is a list of one."""
    node = child(spot.table, entry.key)
    items = node.items if isinstance(node, Listing) else (node,) if node is not None else ()
    found = ((text_of(entry, item, spot, opened), item) for item in items)
    return tuple(Named(name=name, where=item.where) for name, item in found if name)
