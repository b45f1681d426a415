"""A concept: one way to load the machines (as today, better by hand, by a cell) and what it is built from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from millhand.model.fact import Fact
from millhand.model.floor import Pinned

Kind = Literal["today", "by_hand", "cell"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """A generic building block out of a data file. Each figure is a Fact `catalogue.<id>.<figure>` with its source."""

    id: str
    kind: str  # presenter, outfeed, mount, sharing, arm, gripper, safeguarding, guarding, interface, door, work ...
    title: str
    figures: Mapping[str, Fact] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)  # families, shapes it fits, speed class ...
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellOption:
    """What a cell has besides its choices, and why; at each of some kinds of machines, or once where none is named."""

    component: Component
    words: str
    machines: tuple[str, ...] = ()


BY_HAND = "by_hand-"  # how the id of a change by hand begins


@dataclass(frozen=True, slots=True, kw_only=True)
class Concept:
    """One choice for each part of the cell; `id` is made from the choices (`drawers-pedestal-fenced_20-double-fence`).

    For kind 'today' every component is None; for 'by_hand' `change` names what is done differently.
    """

    id: str
    kind: Kind
    title: str
    presenter: Component | None = None
    outfeed: Component | None = None
    mount: Component | None = None
    sharing: Component | None = None  # a second arm on the track, and how the two share the work; None: one arm
    arm: Component | None = None
    gripper: Component | None = None
    safeguarding: Component | None = None
    options: tuple[CellOption, ...] = ()
    change: str | None = None
    assumes: str = ""  # words: what a change by hand rests on
    question: str = ""  # whose answer would replace that
    facts: tuple[Fact, ...] = ()
    wish: str = ""  # name under which the inquiry wants it looked at in any case
    pinned: tuple[Pinned, ...] = ()  # pieces that stand by hand in this concept alone

    @property
    def is_fenced(self) -> bool:
        """Whether a fence is drawn round the whole cell, with gates by which people go in."""
        return self.safeguarding is not None and self.safeguarding.words.get("encloses") == "yes"

    @property
    def works(self) -> tuple[Component, ...]:
        """What the arm does with each part besides loading, at a station of its own."""
        return tuple(each.component for each in self.options if each.component.kind == "work")
