"""The floor of an inquiry file: obstacles and pinned pieces."""

from millhand.intake.form_floor import OBSTACLES, PINNED
from millhand.intake.inquiry_groups import Spot, entries_at, spots_of
from millhand.intake.inquiry_opened import Opened
from millhand.model.floor import Block, Pinned


def obstacles_of(top: Spot, opened: Opened) -> tuple[Block, ...]:
    """What stands in the way."""
    return tuple(
        Block(**entries_at(OBSTACLES.entries, spot, opened) | {"name": name})
        for name, spot in spots_of(OBSTACLES, top, opened)
    )


def pinned_of(top: Spot, opened: Opened) -> tuple[Pinned, ...]:
    """What is to stand where; each piece once."""
    found: dict[str, Pinned] = {}
    for _, spot in spots_of(PINNED, top, opened):
        pinned = Pinned(**entries_at(PINNED.entries, spot, opened))
        if pinned.what is not None and pinned.what.value in found:
            write = f"each piece once: {pinned.what.value!r} is pinned already"
            opened.bad(spot.where, pinned.what.value, write, "pinned_twice")
        elif pinned.what is not None:
            found[pinned.what.value] = pinned
    return tuple(found.values())
