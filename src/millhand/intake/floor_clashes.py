"""What cannot be on a floor: a piece pinned into an obstacle."""

from collections.abc import Iterator

from millhand.errors import InputError
from millhand.intake.inquiry_sums import place_of
from millhand.model.floor import Block, Pinned
from millhand.model.inquiry import Inquiry


def pinned_clear(inquiry: Inquiry) -> Iterator[InputError]:
    """The middle of what is pinned lies outside of every obstacle."""
    for pinned in inquiry.pinned:
        for obstacle in inquiry.obstacles:
            if within(pinned, obstacle):
                read = f"{pinned.what.value} at x {pinned.x_m.value:g} m, y {pinned.y_m.value:g} m"
                write = f"a place outside of {obstacle.name}, whose middle is at {middle(obstacle)}"
                yield InputError(place_of(pinned.x_m), read, write, "pinned_into_obstacle")


def within(pinned: Pinned, obstacle: Block) -> bool:
    """Whether a pinned middle lies in the rectangle of an obstacle."""
    away_x = abs(pinned.x_m.value - obstacle.x_m.value)
    away_y = abs(pinned.y_m.value - obstacle.y_m.value)
    return away_x < obstacle.width_m.value / 2.0 and away_y < obstacle.depth_m.value / 2.0


def middle(obstacle: Block) -> str:
    """The place of an obstacle in words."""
    sides = f"{obstacle.width_m.value:g} m by {obstacle.depth_m.value:g} m"
    return f"x {obstacle.x_m.value:g} m, y {obstacle.y_m.value:g} m, {sides}"
