"""The part list that an inquiry names: read, its columns understood, bad rows told or left out with consent."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from millhand.errors import InputError, InputErrors
from millhand.intake.form_part_list import COLUMNS, PART_LIST, UNITS
from millhand.intake.inquiry_evidence import file_trouble
from millhand.intake.inquiry_groups import Spot, entries_at, spot_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.intake.part_list_heads import MEASURES, Heads, heads_of, known_unit
from millhand.intake.part_list_rows import Standing, bad_cells, parts_in
from millhand.intake.table_file import Limits, TableFile, refuse, table_in
from millhand.intake.text import Manner
from millhand.intake.units import DIMENSIONS
from millhand.intake.yaml_tree import Node, Scalar, Table
from millhand.model.part import Part
from millhand.model.part_list import ListColumn, PartList

LIMITS = Limits(code="part_list", rows_are="rows", rows=5000, columns=100, unpacked_mb=40, looked_at=20)
MOST_TOLD = 40  # bad cells that are told one by one
KINDS = (".csv", ".txt", ".tsv", ".xlsx")
NEEDED = ("mass", "time", "quantity")


def part_list_of(above: Spot, parts: Sequence[Part], folder: Path, opened: Opened) -> PartList | None:
    """The list that the inquiry names; None where it names none or it cannot be used, which is noted."""
    node = child(above.table, PART_LIST.key)
    if node is None:
        return None
    if isinstance(node, Scalar):  # the short form
        table = Table(entries={"file": node}, places={"file": node.where}, where=node.where)
        above = replace(above, table=Table(entries={PART_LIST.key: table}, places={}, where=node.where))
    spot = spot_of(PART_LIST, above, opened)
    if spot.table is None:
        return None
    own = entries_at(PART_LIST.entries, spot, opened)
    columns = entries_at(COLUMNS.entries, spot_of(COLUMNS, spot, opened), opened)
    named = {field: head for field, head in columns.items() if head}
    units = units_of(spot_of(UNITS, spot, opened), opened)
    place = child(spot.table, "file")
    if not own["file"] or place is None or not usable(own["file"], place, folder, opened):
        return None
    comma = own["decimal"].value == "comma" if own["decimal"] is not None else opened.manner.comma
    consent = opened.leave_out or (own["bad_rows"] is not None and own["bad_rows"].value == "leave_out")
    try:
        table_ = table_in(folder / own["file"], LIMITS, sheet=own["sheet"], comma=comma)
        return list_in(table_, heads_in(table_, named, units), Manner(comma=comma), standing_of(parts), consent=consent)
    except InputErrors as found:
        opened.errors.extend(found.errors)
        return None


def usable(name: str, node: Node, folder: Path, opened: Opened) -> bool:
    """Whether the file is there, inside the folder, and of a kind that can be read."""
    trouble = file_trouble(name, folder)
    if trouble is not None:
        opened.bad_node(
            node, trouble[0].replace("photos/door.jpg", "parts.csv"), trouble[1].replace("evidence", "part_list")
        )
        return False
    if Path(name).suffix.lower() not in KINDS:
        opened.bad_node(node, "a CSV or XLSX file; other kinds must be saved as one of them", "part_list_kind")
        return False
    return True


def units_of(spot: Spot, opened: Opened) -> dict[str, str]:
    """The units that the inquiry gives to columns; those that do not fit are noted."""
    found: dict[str, str] = {}
    for field, unit in entries_at(UNITS.entries, spot, opened).items():
        node = child(spot.table, field)
        if not unit or node is None:
            continue
        name, units = known_unit(unit), DIMENSIONS[MEASURES[field]].units
        if name not in units:
            opened.bad_node(node, f"a unit of this: {', '.join(each for each in units if each)}", "part_list_unit")
        found[field] = name
    return found


def heads_in(table: TableFile, named: Mapping[str, str], units: Mapping[str, str]) -> Heads:
    """The columns of the table; InputErrors where they cannot be made out, or one has a unit of something else."""
    heads = heads_of(table.rows, named, units, table.name)
    if isinstance(heads, list):
        raise InputErrors(heads)
    wrong = [
        InputError(head.where, head.text, f"a unit of {head.field}: {DIMENSIONS[MEASURES[head.field]].example}",
                   "part_list_unit")
        for head in heads.found.values()
        if head.unit and head.field in MEASURES and head.unit not in DIMENSIONS[MEASURES[head.field]].units
    ]  # fmt: skip
    wrong += [InputError(f"{table.name}", *lack, "part_list_lacks_column") for lack in lacks(heads)]
    if wrong:
        raise InputErrors(wrong)
    return heads


def lacks(heads: Heads) -> list[tuple[str, str]]:
    """What was read and what to write for each column that a list must have and this one has not."""
    there = heads.found
    missing = [field for field in NEEDED if field not in there]
    if "length" not in there:
        missing.append("length")
    if "diameter" not in there and not {"width", "height"} <= there.keys():
        missing.append("width and height, or diameter" if "width" not in there else "height, or diameter")
    nothing = f"; not understood: {', '.join(heads.unread)}" if heads.unread else ""
    return [
        (
            f"no column with the {field}{nothing}",
            f"such a column, or its head as {field.split()[0].strip(',')} under part_list.columns in the inquiry",
        )
        for field in missing
    ]


def standing_of(parts: Sequence[Part]) -> Standing:
    """What stands in for columns that are not there."""
    first = parts[0] if parts else None
    machines = tuple(dict.fromkeys(each.machine for each in first.operations)) if first is not None else ()
    return Standing(lot_size=first.lot_size.value if first is not None and first.lot_size else None, machines=machines)


def list_in(table: TableFile, heads: Heads, manner: Manner, standing: Standing, *, consent: bool) -> PartList:
    """The list; InputErrors with every bad cell where nobody agreed to leave such rows out, or no row can be read."""
    parts, wrong = parts_in(table, heads, manner, standing)
    if wrong and not consent:
        raise InputErrors([*(error for _, error in wrong[:MOST_TOLD]), *further(table, wrong)])
    if not parts:
        refuse(table.name, "no row that can be read", "a row for each part below the heads", "part_list_empty")
    return PartList(
        file=table.name, sheet=table.sheet, parts=parts, left_out=bad_cells(wrong), unread=heads.unread,
        gaps=tuple(words for field, words in GAPS.items() if field not in heads.found),
        columns=tuple(
            ListColumn(field=each.field, head=each.text, where=each.where, unit=each.unit, by_hand=each.by_hand)
            for each in heads.found.values()
        ),
    )  # fmt: skip


GAPS: Mapping[str, str] = {
    "name": "name: the row of the file",
    "shape": "shape: round where a diameter is given, else prismatic",
    "grip": "grip: from outside",
    "lot": "lot size: that of the inquiry's first family",
    "machine": "machine: the route of the inquiry's first family",
    "finished_mass": "finished mass: the same share of the raw mass as in the inquiry's first family",
}


def further(table: TableFile, wrong: Sequence[tuple[int, Any]]) -> list[InputError]:
    """One last word: how to go on with rows that nobody can mend, and how many are not told here."""
    rows, more = len({row for row, _ in wrong}), len(wrong) - MOST_TOLD
    read = f"{rows} bad row{'s' if rows != 1 else ''}" + (f", {more} more bad cells" if more > 0 else "")
    write = "them anew, or 'bad_rows: leave_out' under part_list in the inquiry (or --leave-out) to go on without them"
    return [InputError(table.name, read, write, "part_list_bad_rows")]
