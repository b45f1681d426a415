"""Writing cells: text that is never taken for a formula, numbers, formulas with their value, each in a style."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from millhand.model.letters import letters
from millhand.report.tables import cell

FONT = {"font_name": "Arial", "font_size": 10, "valign": "vcenter"}
INK, LINE = "#1F2933", "#B8C0C8"
STYLES: dict[str, dict[str, Any]] = {
    "title": {"bold": True, "font_size": 16, "font_color": INK},
    "note": {"italic": True, "font_color": "#52606D", "text_wrap": True},
    "prose": {"text_wrap": True, "align": "left", "indent": 1},
    "head": {
        "bold": True, "bg_color": "#E4E7EB", "bottom": 1, "text_wrap": True, "align": "left", "indent": 1,
    },
    "head_first": {"bold": True, "bg_color": "#E4E7EB", "bottom": 1, "text_wrap": True},
    "head_right": {
        "bold": True, "bg_color": "#E4E7EB", "bottom": 1, "text_wrap": True, "align": "right",
    },
    "group": {"bold": True, "font_size": 11, "bottom": 1, "bottom_color": LINE, "valign": "bottom"},
    "text": {"text_wrap": True, "align": "left"},
    "unit": {"align": "left", "indent": 1, "font_color": "#52606D"},
    "small": {"text_wrap": True, "align": "left", "indent": 1, "font_size": 8, "font_color": "#52606D"},
    "input": {"bg_color": "#FFF3C4", "font_color": "#0B4F8A", "border": 1, "border_color": LINE, "locked": False},
    "found": {"bg_color": "#E0ECF8", "font_color": "#0B4F8A", "border": 1, "border_color": LINE, "locked": False},
    "fixed": {"bg_color": "#F1F3F5", "font_color": "#52606D"},
    "number": {"align": "right"},
    "key": {"bold": True, "align": "right", "bg_color": "#E3F4E8", "border": 1, "border_color": LINE},
    "chosen": {"bold": True, "bg_color": "#E3F4E8", "text_wrap": True},
    "stale": {"bg_color": "#F1F3F5", "font_color": "#52606D", "italic": True},
    "total": {"bold": True, "top": 1},
    "total_text": {"bold": True, "top": 1, "text_wrap": True},
    "internal": {"bg_color": "#FBE4E0", "text_wrap": True},
}  # fmt: skip
LETTERS = {"text": 1.4, "prose": 1.45, "small": 1.8, "internal": 1.4, "total_text": 1.3}  # on a unit of width
SAMPLES = {f"{name}_sample": {**STYLES[name], "locked": True} for name in ("input", "found")}
CHANGED = {"bg_color": "#F9C784"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """A book being written and the formats made for it so far."""

    book: Any
    formats: dict[tuple[str, str], Any] = field(default_factory=dict)

    def style(self, name: str, form: str = "") -> Any:
        """The format of a style with a number format, made once."""
        key = (name, form)
        if key not in self.formats:
            numbered = {"num_format": form} if form else {}
            self.formats[key] = self.book.add_format({**FONT, **(STYLES | SAMPLES)[name], **numbered})
        return self.formats[key]

    def page(self, name: str, widths: Sequence[float]) -> "Page":
        """A new sheet: protected without a password, landscape, one page wide."""
        sheet = self.book.add_worksheet(name)
        for column, width in enumerate(widths):
            sheet.set_column(column, column, width, self.style("text"))
        sheet.protect("", {"format_columns": True, "format_rows": True})
        sheet.set_landscape()
        sheet.set_paper(9)
        sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.6)
        sheet.fit_to_pages(1, 0)
        sheet.set_footer("&L&8&F, &A&R&8page &P of &N")
        sheet.hide_gridlines(2)
        return Page(desk=self, name=name, sheet=sheet, widths=widths)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One sheet; rows and columns count from 0."""

    desk: Desk
    name: str
    sheet: Any
    widths: Sequence[float]
    heights: dict[int, float] = field(default_factory=dict)

    @property
    def columns(self) -> int:
        """How many columns the sheet has."""
        return len(self.widths)

    def text(self, row: int, column: int, words: str, style: str = "text") -> None:
        """Words, whatever they begin with."""
        if words:
            self._make_room(row, column, words, style)
            self.sheet.write_string(row, column, str(cell(words)), self.desk.style(style))
        else:
            self.sheet.write_blank(row, column, None, self.desk.style(style))

    def _make_room(self, row: int, column: int, words: str, style: str) -> None:
        """Rows grow with the words in them: not every program does it by itself."""
        letters_a_line = self.widths[column] * LETTERS.get(style, math.inf)
        lines = math.ceil(len(words) / letters_a_line) if letters_a_line < math.inf else 1
        height = lines * (10.5 if style == "small" else 13.0) + 2.0
        if lines > 1 and height > self.heights.get(row, 0.0):
            self.heights[row] = height
            self.sheet.set_row(row, height)

    def number(self, row: int, column: int, value: float, *, form: str = "", style: str = "number") -> None:
        """A number that does not follow from others."""
        self.sheet.write_number(row, column, value, self.desk.style(style, form))

    def formula(
        self, row: int, column: int, says: str, value: float | str, *, form: str = "", style: str = "number"
    ) -> None:
        """A formula and what it comes to."""
        self.sheet.write_formula(row, column, says, self.desk.style(style, form), value)

    def wide(self, row: int, words: str, style: str, *, height: float | None = None) -> None:
        """Words over the whole width of the sheet."""
        self.sheet.merge_range(row, 0, row, self.columns - 1, "", self.desk.style(style))
        self.text(row, 0, words, style)
        if height is not None:
            self.sheet.set_row(row, height)

    def head(self, row: int, heads: Sequence[str], *, right: Sequence[int] = (), height: float = 30.0) -> None:
        """The heads of a table."""
        self.sheet.set_row(row, height)
        for column, words in enumerate(heads):
            self.text(row, column, words, "head_right" if column in right else "head" if column else "head_first")

    def group(self, row: int, words: str) -> None:
        """A heading inside a table, over the whole width."""
        self.sheet.set_row(row, 22)
        for column in range(self.columns):
            self.text(row, column, words if column == 0 else "", "group")

    def call(self, name: str, row: int, column: int) -> None:
        """Give a cell a name."""
        self.desk.book.define_name(name, f"={self.at(row, column, outside=True)}")

    def at(self, row: int, column: int, *, outside: bool = False) -> str:
        """The place of a cell, fixed; outside: as another sheet names it."""
        place = f"${letters(column)}${row + 1}"
        return f"'{self.name}'!{place}" if outside else place

    def printed(self, last_row: int, *, repeat: tuple[int, int] | None = None) -> None:
        """What is printed, and which rows stand on every page."""
        self.sheet.print_area(0, 0, last_row, self.columns - 1)
        if repeat is not None:
            self.sheet.repeat_rows(*repeat)
