"""What a proposal is made of before it has a language: sections of words by their keys and figures by their facts.

The same sections are told in each language, so that both carry the same figures.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Part = Literal["shown", "value", "bare", "low", "high", "most", "ends", "bare_ends"]
Align = Literal["left", "right", "center"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of the study; without a format in that of its own unit, or of the fact that it is `like`."""

    fact: str
    form: str = ""
    like: str = ""
    part: Part = "shown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What the user or the study wrote, as it stands."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """The study's own words (a component, a check, a question), of which other languages have a list."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """A text of the catalogue by its key, with what fills its places."""

    key: str
    slots: Mapping[str, "Item"] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Several items one behind the other."""

    items: tuple["Item", ...]
    between: str = ", "


Item = Figure | Given | Term | Say | Joined
EMPTY = Given(text="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Words from side to side; `strong` ones carry the answer."""

    item: Item
    strong: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Bullets:
    """A list of points, or of steps one after the other."""

    items: tuple[Item, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyFigure:
    """One figure that a hurried reader looks for: what it is, what it comes to, and its range or what it is against."""

    label: Say
    figure: Item
    note: Item = EMPTY


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyFigures:
    """A row of them."""

    items: tuple[KeyFigure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column by the key of its head; `width` is its part of the page, 0 as wide as its words."""

    head: str
    align: Align = "left"
    width: float = 0.0


PAIR = (Column(head="", width=0.0), Column(head="", width=1.0))  # names, and what each is


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows under heads; `sums` are the numbers of rows that add up those before them, `groups` those of rows whose
    first words stand over the rows that follow, `parts` those of rows that tell what a row before them is made of."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Item, ...], ...]
    caption: Item = EMPTY
    sums: tuple[int, ...] = ()
    groups: tuple[int, ...] = ()
    parts: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture by its name, what somebody who cannot see it is told, and its caption."""

    name: str
    alt: Say
    caption: Item
    width: float = 1.0  # of the text


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """How a layer of a plan looks, and what it stands for."""

    layer: str
    item: Item


@dataclass(frozen=True, slots=True, kw_only=True)
class Legend:
    """The signs of a plan, each in the look that it is drawn with."""

    signs: tuple[Sign, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What must not be overlooked, set apart."""

    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Two groups of blocks beside each other; `share` is the left one's part of the page."""

    left: tuple["Block", ...]
    right: tuple["Block", ...]
    share: float = 0.5


Block = Paragraph | Bullets | KeyFigures | Table | Picture | Legend | Caution | Beside


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One heading with what stands under it. `internal`: holds cost or margin, and never leaves the house."""

    key: str
    blocks: tuple[Block, ...]
    internal: bool = False
    appendix: bool = False
    title: str = ""  # key of another heading than the section's own


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """All sections of one form, with what stands on top of them."""

    title: Item
    head: tuple[tuple[Say, Item], ...]  # label, words: for whom, number, revision, dates
    sections: tuple[Section, ...]
