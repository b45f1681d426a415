"""The part list of an inquiry: which column is which, what is read so, which rows cannot be read, and consent."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputError, InputErrors
from millhand.intake.fields import FILE
from millhand.intake.inquiry import inquiry_and_form, opened_for
from millhand.intake.inquiry_groups import Spot
from millhand.intake.inquiry_opened import Place
from millhand.intake.part_list import LIMITS, heads_in, part_list_of
from millhand.intake.part_list_heads import FIELDS, LOOKED_AT, MEASURES
from millhand.intake.part_list_rows import shown_cell
from millhand.intake.table_file import Cell, Rows, table_in
from millhand.intake.yaml_edit import quoted
from millhand.intake.yaml_put import with_value
from millhand.intake.yaml_tree import Node, Scalar, Table, tree_of
from millhand.model.part_list import PartList
from millhand.web.folders import as_folder

KEY = "part_list"
LEAVE_OUT = "leave_out"
NO_ROW = "part_list_empty"
RAW_ROWS = 4
WIDEST = 60  # signs of a cell that is shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Mapped:
    """What the inquiry says about its list: the file, how it is read, and whether bad rows are left out."""

    file: str = ""
    sheet: str = ""
    decimal: str = ""
    consent: bool = False
    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What came of reading: heads and first rows as they stand, the list without its bad rows, and what is wrong."""

    heads: tuple[str, ...] = ()
    raw: tuple[tuple[str, ...], ...] = ()
    listed: PartList | None = None
    errors: tuple[InputError, ...] = ()

    @property
    def bad_rows(self) -> int:
        """How many rows cannot be read."""
        return len(self.listed.rows_left_out) if self.listed is not None else 0


def mapped_in(text: str) -> Mapped:
    """What a text says about its list; nothing where it cannot be read."""
    try:
        node = tree_of(text.encode("utf-8"), FILE).entries.get(KEY)
    except InputErrors:
        return Mapped()
    if isinstance(node, Scalar):
        return Mapped(file=node.text)
    if not isinstance(node, Table):
        return Mapped()
    own = words_in(node)
    return Mapped(
        file=own.get("file", ""), sheet=own.get("sheet", ""), decimal=own.get("decimal", ""),
        consent=own.get("bad_rows") == LEAVE_OUT, columns=words_in(node.entries.get("columns")),
        units=words_in(node.entries.get("units")),
    )  # fmt: skip


def words_in(node: Node | None) -> dict[str, str]:
    """The single values of a table."""
    entries = node.entries if isinstance(node, Table) else {}
    return {key: each.text for key, each in entries.items() if isinstance(each, Scalar)}


def text_with(text: str, mapped: Mapped) -> str:
    """A text that says this about its list, on one line; InputError where the text is no table at all."""
    told = {"file": mapped.file, "sheet": mapped.sheet, "decimal": mapped.decimal}
    told["bad_rows"] = LEAVE_OUT if mapped.consent else ""
    pairs = [f"{key}: {quoted(value)}" for key, value in told.items() if value]
    for key, table in (("columns", mapped.columns), ("units", mapped.units)):
        inner = ", ".join(f"{name}: {quoted(value)}" for name, value in table.items() if value)
        pairs += [f"{key}: {{{inner}}}"] if inner else []
    return with_value(text, KEY, f"{{{', '.join(pairs)}}}")


def mapped_from(typed: Mapping[str, str], before: Mapped) -> Mapped:
    """What was chosen in the form; what it does not hold stays as it was. A choice takes no consent along."""

    def chosen(start: str, names: Mapping[str, str] | tuple[str, ...], old: Mapping[str, str]) -> dict[str, str]:
        return {name: typed.get(f"{start}{name}", old.get(name, ""))[:200] for name in names}

    return replace(
        before, sheet=typed.get("sheet", before.sheet)[:100], decimal=typed.get("decimal", before.decimal)[:10],
        consent=False, columns=chosen("c_", FIELDS, before.columns), units=chosen("u_", tuple(MEASURES), before.units),
    )  # fmt: skip


def look_alone(text: str, files: Mapping[str, bytes]) -> Looked:
    """Read the list of an inquiry; runs in the process with limits."""
    with as_folder(text, files) as folder:
        return looked_over(text, folder)


def looked_over(text: str, folder: Path) -> Looked:
    """The list as it is read now, its bad rows left out and counted, beside what else is wrong with it."""
    mapped = mapped_in(text)
    heads, raw = as_it_stands(folder / mapped.file, mapped) if (folder / mapped.file).is_file() else ((), ())
    tree = tree_of(text.encode("utf-8"), FILE)
    try:
        inquiry, _ = inquiry_and_form(tree, folder, assumptions(), leave_out=True)
        return Looked(heads=heads, raw=raw, listed=inquiry.part_list)
    except InputErrors:  # the list is looked at also where the rest of the inquiry is not there yet
        listed, errors = listed_in(tree, folder, leave_out=True)
    if any(each.code == NO_ROW for each in errors):  # why not, cell by cell
        bare = tree_of(text_with(text, replace(mapped, consent=False)).encode("utf-8"), FILE)
        listed, errors = listed_in(bare, folder, leave_out=False)
    return Looked(heads=heads, raw=raw, listed=listed, errors=errors)


def listed_in(tree: Table, folder: Path, *, leave_out: bool) -> tuple[PartList | None, tuple[InputError, ...]]:
    """The list alone, and what is wrong with it, whatever else the inquiry says."""
    opened = replace(opened_for(tree, assumptions()), leave_out=leave_out, errors=[])
    listed = part_list_of(Spot(table=tree, where=tree.where, place=Place()), (), folder, opened)
    return listed, tuple(opened.errors)


def as_it_stands(path: Path, mapped: Mapped) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """The heads of a file and its first rows; without a row of heads that is known, the fullest of its first rows."""
    try:
        table = table_in(path, LIMITS, sheet=mapped.sheet, comma=mapped.decimal == "comma")
    except InputErrors:
        return (), ()
    try:
        number = heads_in(table, {}, {}).row
    except InputErrors:
        number = fullest(table.rows)
    rows = [row for row in table.rows[number : number + 1 + RAW_ROWS] if any(row)]
    shown = tuple(tuple(cell_words(cell) for cell in row) for row in rows)
    return tuple(each for each in (shown[0] if shown else ()) if each), shown


def fullest(rows: Rows) -> int:
    """The place of the row with most texts among the first."""
    counts = [sum(cell is not None and isinstance(cell.value, str) for cell in row) for row in rows[:LOOKED_AT]]
    return counts.index(max(counts)) if counts else 0


def cell_words(cell: Cell | None) -> str:
    """A cell as it is shown."""
    return shown_cell(cell)[:WIDEST] if cell is not None else ""
