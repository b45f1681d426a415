"""What a description of the inquiry file is made of: reader, JSON Schema and the page of keys come out of it."""

from dataclasses import dataclass
from typing import Literal

# What a missing value means: 'assume' fills it from the assumptions, 'ask' refuses the file, 'none' leaves it open,
# 'known' fills it where the assumptions have a row for such a thing, and else leaves it open.
Gap = Literal["assume", "known", "ask", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """A number with its range: a text with a unit, or the long form with value, low, high, source ..."""

    key: str
    field: str  # of the record
    dimension: str  # of units.DIMENSIONS
    help: str
    least: float = 0.0  # in SI
    most: float = 1e9
    whole: bool = False
    gap: Gap = "assume"
    bare: str = ""  # the unit of a number without one, where people would write no other here
    share_of: str = ""  # the assumption is a share of this field of the same record


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One word out of a stated set."""

    key: str
    field: str
    options: tuple[str, ...]
    help: str
    gap: Gap = "assume"
    tells: bool = False  # later assumptions of the same thing may depend on this word
    unknown: bool = False  # 'unknown' may be written, and is the same as a gap


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A text for the reader, or a name."""

    key: str
    field: str
    help: str
    pattern: str = r"\S.{0,199}"
    example: str = "one line of text"
    gap: Gap = "none"
    many: bool = False  # a list of such texts


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """A table of entries under one key; `record` names what it becomes."""

    key: str
    field: str
    help: str
    entries: tuple["Entry", ...]
    gap: Gap = "assume"
    short: str = ""  # an example of the short form, where one text may stand instead of the table


@dataclass(frozen=True, slots=True, kw_only=True)
class Several:
    """A list of tables, each with a name of its own where `named`."""

    key: str
    field: str
    help: str
    entries: tuple["Entry", ...]
    named: bool = True
    gap: Gap = "none"
    short: str = ""


Entry = Number | Word | Text | Group | Several
