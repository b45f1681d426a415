"""CSV tables with the place of every cell, so that an error says file:line:column."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from millhand.errors import InputError, InputErrors

LIMIT_BYTES = 1_000_000
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of a table: its texts by column name, and where each starts."""

    file: str
    line: int
    texts: dict[str, str] = field(default_factory=dict)
    starts: dict[str, int] = field(default_factory=dict)

    def where(self, name: str) -> str:
        """The place of one cell as file:line:column."""
        return f"{self.file}:{self.line}:{self.starts.get(name, 1)}"

    def bad(self, name: str, write: str, code: str) -> InputError:
        """An error about one cell."""
        return InputError(self.where(name), self.texts.get(name, ""), write, code)


def table(path: Path, columns: Sequence[str], errors: list[InputError]) -> tuple[Row, ...]:
    """The rows below the heading; the heading must name these columns, in any order."""
    lines = text_of(path).splitlines()
    heading = [text for _, text in cells(lines[0])] if lines else []
    if sorted(heading) != sorted(columns):
        wanted = f"the heading {','.join(columns)}"
        raise InputErrors([InputError(f"{path.name}:1:1", lines[0] if lines else "nothing", wanted, "heading")])
    rows = []
    for number, line in enumerate(lines[1:], start=2):
        if not line.strip():
            continue
        found = cells(line)
        if len(found) != len(heading):
            write = f"{len(heading)} columns, texts that hold a comma in double quotes"
            errors.append(InputError(f"{path.name}:{number}:1", line, write, "columns"))
            continue
        texts = {name: text for name, (_, text) in zip(heading, found, strict=True)}
        starts = {name: start for name, (start, _) in zip(heading, found, strict=True)}
        rows.append(Row(file=path.name, line=number, texts=texts, starts=starts))
    return tuple(rows)


def text_of(path: Path) -> str:
    """The file as text: UTF-8, at most 1 MB."""
    try:
        with path.open("rb") as stream:
            data = stream.read(LIMIT_BYTES + 1)
        if len(data) > LIMIT_BYTES:
            raise InputErrors([InputError(path.name, "more than 1 MB", "a table of at most 1 MB", "too_large")])
        return data.decode("utf-8-sig")
    except OSError as error:
        read = error.strerror or "nothing"
        raise InputErrors([InputError(path.name, read, "the path of a file that can be read", "unreadable")]) from None
    except UnicodeDecodeError:
        raise InputErrors([InputError(path.name, "bytes that are no UTF-8", "a UTF-8 file", "not_utf8")]) from None


def cells(line: str) -> list[tuple[int, str]]:
    """Each cell of a line with the column where it starts; a cell in double quotes may hold commas.

    >>> cells('a,"b, c",d')
    [(1, 'a'), (3, 'b, c'), (10, 'd')]
    """
    found, start, quoted = [], 0, False
    for index, letter in enumerate(line + ","):
        quoted = quoted != (letter == '"')
        if letter == "," and (not quoted or index == len(line)):
            found.append((start + 1, unquoted(line[start:index])))
            start = index + 1
    return found


def unquoted(raw: str) -> str:
    """A cell without its quotes and the blanks round it."""
    text = raw.strip()
    if len(text) >= 2 and text[0] == text[-1] == '"':
        return text[1:-1].replace('""', '"')
    return text


def number(row: Row, name: str, errors: list[InputError]) -> float | None:
    """The number in a cell, None where the cell is empty or holds no number."""
    text = row.texts[name]
    if not text:
        return None
    if not NUMBER.fullmatch(text):
        errors.append(row.bad(name, "a plain number with a decimal point, such as 1250.5", "not_a_number"))
        return None
    return float(text)


def numbers(row: Row, errors: list[InputError]) -> tuple[float | None, float, float | None] | None:
    """low, value and high of a row: all three in order, or the value alone; None where that is not so."""
    before = len(errors)
    low, value, high = (number(row, name, errors) for name in ("low", "value", "high"))
    if len(errors) > before:
        return None
    if value is None:
        errors.append(row.bad("value", "a number", "no_value"))
        return None
    if (low is None) != (high is None):
        errors.append(row.bad("low" if low is None else "high", "both ends of the range, or neither", "half_a_range"))
        return None
    if low is not None and high is not None and not low <= value <= high:
        errors.append(row.bad("value", f"a value between low {low:g} and high {high:g}", "outside_range"))
        return None
    if min(value, value if low is None else low) < 0.0:
        errors.append(row.bad("value" if low is None else "low", "a number from 0 up", "negative"))
        return None
    return (None, value, None) if low == high else (low, value, high)
