"""Tables of plain text for the answers of `millhand simulate`: they fit a terminal and read the same when piped."""

from collections.abc import Iterable, Sequence
from textwrap import wrap

from millhand.model.performance import Figure

WIDTH = 80
GAP = "  "
Rows = Sequence[Sequence[str]]


def table(head: Sequence[str], rows: Rows) -> list[str]:
    """Lines of a table: words to the left in the first column, figures to the right in all others.

    Words for which there is no room stand on a line of their own, above their figures.
    """
    widths = [max(map(len, column)) for column in zip(head, *rows, strict=True)]
    figures = sum(widths[1:]) + len(GAP) * (len(widths) - 1)
    room = WIDTH - figures
    widths[0] = max((len(cells[0]) for cells in (head, *rows) if len(cells[0]) <= room), default=0)
    first, *rest = [line for cells in (head, *rows) for line in _lines(cells, widths)]
    return [first, "-" * (widths[0] + figures), *rest]


def _lines(cells: Sequence[str], widths: Sequence[int]) -> list[str]:
    """One row, without blanks at its end; two lines where its words are too long."""
    words, *figures = cells
    short = len(words) <= widths[0]
    told = [figure.rjust(width) for figure, width in zip(figures, widths[1:], strict=True)]
    line = GAP.join([(words if short else "").ljust(widths[0]), *told]).rstrip()
    return [line] if short else [words[:WIDTH], line]


def abreast(names: Iterable[str], *, first: int, least: int) -> list[list[str]]:
    """Names of columns in groups that fit side by side behind a first column; a column is at least so wide."""
    groups: list[list[str]] = []
    room = 0
    for name in names:
        width = max(len(name), least) + len(GAP)
        if not groups or room < width:
            groups.append([])
            room = WIDTH - first
        groups[-1].append(name)
        room -= width
    return groups


def paragraph(words: str, *, indent: str = "") -> list[str]:
    """A sentence or more, broken at the width of the page."""
    return wrap(words, width=WIDTH, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False)


def between(figure: Figure, decimals: int) -> str:
    """The interval of a figure."""
    return f"{figure.low:z.{decimals}f} to {figure.high:z.{decimals}f}"


def lasting(seconds: float) -> str:
    """A length of time in the unit that people would say it in."""
    if seconds < 120.0:
        return f"{seconds:.0f} s"
    return f"{seconds / 60.0:.0f} min" if seconds < 7200.0 else f"{seconds / 3600.0:.1f} h"


def fine_percent(share: float) -> str:
    """A small share with two digits that count."""
    return f"{100.0 * share:.2g} %" if share < 0.1 else percent(share)


def seconds(value: float) -> str:
    """Three or four digits of a time."""
    return f"{value:.1f}" if value < 100.0 else f"{value:.0f}"


def percent(share: float) -> str:
    """A share in whole percent, with a decimal where it would else say nothing or everything."""
    whole = f"{share:.0%}"
    told = f"{share:.1%}" if (whole == "0%" and share > 0.0) or (whole == "100%" and share < 1.0) else whole
    return f"{told[:-1]} %"
