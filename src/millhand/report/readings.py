"""What a mark of a chart says when somebody points at it, where it leads to, and which switch puts it out of sight.

The chart library carries the three through as a mark's description; in the page they stand as attributes, which the
script beside the charts reads. Without the script the picture is the same, and a mark that leads somewhere still does.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

BETWEEN = "¶"
TOLD = re.compile(rf'<(?P<name>\w+) aria-label="{BETWEEN}([^"{BETWEEN}]*){BETWEEN}([^"{BETWEEN}]*){BETWEEN}([^"]*)"'
                  r"(?P<rest>[^>]*?)(?P<end>/>|>[^<]*</(?P=name)>)")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What one mark says; '' where it only belongs to a switch."""

    words: str = ""
    groups: tuple[str, ...] = ()  # names of the switches that it is put out of sight by
    link: str = ""  # the name of a place in the page

    @property
    def described(self) -> str:
        """As the chart library carries it."""
        parts = (" ".join(self.groups), self.link, self.words.replace(BETWEEN, " "))
        return BETWEEN + BETWEEN.join(parts)

    @property
    def attributes(self) -> Markup:
        """As it stands in an element of the page."""
        groups = Markup(' data-in="{}"').format(" ".join(self.groups)) if self.groups else Markup("")
        return groups + (Markup(' data-say="{}"').format(self.words) if self.words else Markup(""))


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch:
    """One name by which marks are put out of sight and back, and what it is called."""

    group: str
    words: str


def with_readings(text: str) -> str:
    """A drawing of the chart library whose described marks say it in the page's own attributes."""
    return TOLD.sub(said, text)


def said(found: re.Match[str]) -> str:
    """One mark; inside a link where it leads somewhere."""
    groups, link, words = (found[index] for index in (2, 3, 4))
    own = (f' data-in="{groups}"' if groups else "") + (f' data-say="{words}"' if words else "")
    if not link:
        return f"<{found['name']}{own}{found['rest']}{found['end']}"
    mark = f"<{found['name']}{found['rest']}{found['end']}"
    return f'<a href="#{link}" aria-label="{words}"{own}>{mark}</a>'


def spoken_list(readings: Iterable[Reading]) -> tuple[str, ...]:
    """What a chart says, each thing once, in the order of its marks: the words that stand in the place of a picture."""
    return tuple(dict.fromkeys(each.words for each in readings if each.words))
