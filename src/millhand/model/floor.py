"""The shop's floor as far as a cell has to respect it: what stands in the way, and what is to stand where."""

from dataclasses import dataclass

from millhand.model.fact import Choice, Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A block that neither a piece of a cell nor an arm may touch: a column, a cabinet, another machine."""

    name: str
    x_m: Fact  # of its middle
    y_m: Fact
    width_m: Fact  # along x
    depth_m: Fact  # along y
    height_m: Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Pinned:
    """A piece of the cell that is to stand at one place, wherever the search would put it."""

    what: Choice  # arm (of a track its line), presenter, outfeed
    x_m: Fact  # of its middle
    y_m: Fact
    turned: Choice | None = None  # where the length of presenter or outfeed leads: east, north, west, south


def standing(shop: tuple[Pinned, ...], own: tuple[Pinned, ...]) -> tuple[Pinned, ...]:
    """What stands at one place in a concept: its own pieces before those of the shop."""
    named = {each.what.value for each in own}
    return (*own, *(each for each in shop if each.what.value not in named))
