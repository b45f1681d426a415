"""The rows of a part list to parts: each cell with its unit, every wrong cell with its place and its cure."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from millhand.errors import InputError
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.form_part import SHAPES
from millhand.intake.part_list_heads import MEASURES, Head, Heads
from millhand.intake.table_file import Cell, TableFile
from millhand.intake.text import Manner, example_of, read_quantity
from millhand.intake.units import DIMENSIONS
from millhand.model.letters import letters
from millhand.model.part_list import BadCell, ListedPart

# Least and greatest value of each measure, in SI, as of the same things in an inquiry.
ENDS: Mapping[str, tuple[float, float]] = {
    **dict.fromkeys(("length", "width", "height", "diameter", "bore"), (1e-4, 20.0)),
    **dict.fromkeys(("mass", "finished_mass"), (1e-6, 5000.0)),
    "time": (0.1, 7 * 86400.0), "quantity": (0.0, 1e10), "lot": (1.0, 1e9),
}  # fmt: skip
SHAPE_WORDS: Mapping[str, str] = {
    **{shape: shape for shape in SHAPES},
    **dict.fromkeys(("prismatisch", "block", "cuboid", "quader", "eckig", "kubisch"), "prismatic"),
    **dict.fromkeys(("rund", "turned", "rotational", "rotationssymmetrisch", "drehteil", "welle", "scheibe"), "round"),
    **dict.fromkeys(("flach", "sheet", "blech", "platine", "blank"), "flat"),
    **dict.fromkeys(("sonstige", "sonstiges", "andere"), "other"),
}
GRIP_WORDS: Mapping[str, str] = {
    **dict.fromkeys(("outside", "outer", "out", "od", "außen", "aussen"), "outside"),
    **dict.fromkeys(("inside", "inner", "in", "id", "bore", "innen", "bohrung"), "inside"),
}
BETWEEN_MACHINES = re.compile(r"\s*(?:->|[;,>+/→])\s*")
LETTERS = re.compile(r"[A-Za-zµ°\"]")
LONGEST_NAME = 60
USUAL: Mapping[str, str] = {"length": "mm", "mass": "kg", "time": "min", "parts": "pcs", "parts_per_y": "pcs/y"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What stands in for columns that the list does not have: the inquiry's own first family."""

    lot_size: float | None
    machines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row while it is read: its cells by field, and what was wrong with them."""

    number: int
    cells: Mapping[str, Cell]
    heads: Heads
    table: TableFile
    manner: Manner
    errors: list[InputError] = field(default_factory=list)

    def where(self, name: str) -> str:
        """The place of the cell below a head, filled or not; of a column that is not there, the row's first cell."""
        head = self.heads.found.get(name)
        place = head.place if head is not None else 0
        if self.table.sheet:
            return f"{self.table.name}: {self.table.sheet}!{letters(place)}{self.number}"
        return f"{self.table.name}:{self.number}:{place + 1}"

    def bad(self, name: str, read: str, write: str, code: str) -> None:
        """Note one cell that cannot be used."""
        self.errors.append(InputError(self.where(name), read, write, code))


def parts_in(
    table: TableFile, heads: Heads, manner: Manner, standing: Standing
) -> tuple[tuple[ListedPart, ...], tuple[tuple[int, InputError], ...]]:
    """The parts of all rows that can be read, and every error of the others with its row."""
    parts: list[ListedPart] = []
    wrong: list[tuple[int, InputError]] = []
    for cells in table.rows[heads.row + 1 :]:
        if not any(cells):
            continue
        number = next(cell.row for cell in cells if cell is not None)
        own = {name: cell for name, head in heads.found.items()
               if head.place < len(cells) and (cell := cells[head.place]) is not None}  # fmt: skip
        row = Row(number=number, cells=own, heads=heads, table=table, manner=manner)
        part = part_of(row, standing)
        wrong += [(number, error) for error in row.errors]
        if part is not None and not row.errors:
            parts.append(part)
    return tuple(parts), tuple(wrong)


def bad_cells(wrong: Sequence[tuple[int, InputError]]) -> tuple[BadCell, ...]:
    """The same as records of what was left out."""
    return tuple(BadCell(row=row, where=each.where, read=each.read, write=each.write) for row, each in wrong)


def part_of(row: Row, standing: Standing) -> ListedPart | None:
    """One part; None where a cell is wrong or lacking."""
    numbers = {name: number_in(row, name) for name in MEASURES if name in row.cells}
    shape = word_in(row, "shape", SHAPE_WORDS) or ("round" if "diameter" in row.cells else "prismatic")
    grip = word_in(row, "grip", GRIP_WORDS) or "outside"
    sides = sides_in(row, numbers, shape)
    must = ("mass", "time", "quantity", *(["lot"] if "lot" in row.heads.found or standing.lot_size is None else []))
    lacking(row, must, inside=grip == "inside")
    bore = numbers.get("bore")
    if sides is None or row.errors:
        return None
    if bore is not None and bore >= sorted(sides)[1]:
        row.bad("bore", shown_cell(row.cells["bore"]), "a bore smaller than the part across it", "part_list_bore")
    lot = numbers.get("lot")
    return ListedPart(
        name=name_in(row), row=row.number, where=place_of(row), shape=shape, grip=grip,
        length_m=sides[0], width_m=sides[1], height_m=sides[2], bore_m=bore,
        raw_mass_kg=numbers["mass"] or 0.0, finished_mass_kg=numbers.get("finished_mass"),
        time_s=numbers["time"] or 0.0, orders_per_y=numbers["quantity"] or 0.0,
        lot_size=lot if lot is not None else standing.lot_size or 1.0,
        machines=machines_in(row, standing),
    )  # fmt: skip


def place_of(row: Row) -> str:
    """The row in words."""
    return f"{row.table.name}{f': {row.table.sheet}' if row.table.sheet else ''}, row {row.number}"


def name_in(row: Row) -> str:
    """What the part is called; without a name, its row."""
    cell = row.cells.get("name")
    return shown_cell(cell)[:LONGEST_NAME] if cell is not None else f"row {row.number}"


def shown_cell(cell: Cell) -> str:
    """A cell as the list's writer knows it: a part number that stands as a number has no decimals."""
    return cell.value if isinstance(cell.value, str) else f"{cell.value:.15g}"


def machines_in(row: Row, standing: Standing) -> tuple[str, ...]:
    """The route as written; where no column says it, that of the inquiry's first family."""
    if "machine" not in row.heads.found:
        return standing.machines
    if "machine" not in row.cells:
        row.bad(
            "machine", "nothing", "the machine that the part runs on, or several, as 'mill; lathe'", "part_list_lacks"
        )
        return ()
    return tuple(each for each in BETWEEN_MACHINES.split(shown_cell(row.cells["machine"]).strip()) if each)


def word_in(row: Row, name: str, words: Mapping[str, str]) -> str:
    """One word out of a set, in English or German; '' where nothing stands there."""
    cell = row.cells.get(name)
    if cell is None:
        return ""
    own = shown_cell(cell).strip().lower()
    if own not in words:
        known = dict.fromkeys(words.values())
        row.bad(name, shown_cell(cell), f"{listed(known)}{nearest(own, words)}", "part_list_word")
    return words.get(own, "")


def sides_in(row: Row, numbers: Mapping[str, float | None], shape: str) -> tuple[float, float, float] | None:
    """Length, width and height, of a round part its length and twice its diameter; None, and noted, where one lacks."""
    wanted = ("length", "diameter") if shape == "round" else ("length", "width", "height")
    if shape == "round" and "diameter" not in row.heads.found:
        wanted = ("length", "width")  # a list without a column for it has the diameter as width
    lacking(row, wanted)
    found = [numbers.get(name) for name in wanted]
    if None in found:
        return None
    whole = [value for value in found if value is not None]
    return (whole[0], whole[1], whole[-1])


def lacking(row: Row, wanted: Sequence[str], *, inside: bool = False) -> None:
    """Note each cell that must not be empty."""
    for name in (*wanted, *(["bore"] if inside else [])):
        if name not in row.cells:
            what = example_of(DIMENSIONS[MEASURES[name]], row.manner)
            why = "; a part that is gripped inside has a bore" if name == "bore" else ""
            row.bad(name, "nothing", f"{name.replace('_', ' ')}: {what}{why}", "part_list_lacks")


def number_in(row: Row, name: str) -> float | None:
    """One number in SI; None, and noted, where it cannot be read."""
    cell, head = row.cells[name], row.heads.found[name]
    try:
        value = quantity(cell, head, row.manner)
    except InputError as error:
        row.bad(name, shown_cell(cell), cured(error, head), error.code)
        return None
    low, high = ENDS[name]
    if not low <= value <= high:
        kind = DIMENSIONS[MEASURES[name]]
        end = f"at least {low:g}" if value < low else f"at most {high:g}"
        write = f"{example_of(kind, row.manner)}; {end} {kind.si}"
        row.bad(name, shown_cell(cell), write, "part_list_limits")
        return None
    return value


def quantity(cell: Cell, head: Head, manner: Manner) -> float:
    """The number of a cell in SI: in the unit of the cell, else in that of its column."""
    dimension = MEASURES[head.field]
    units = DIMENSIONS[dimension].units
    if isinstance(cell.value, float):
        if head.unit not in units:
            raise InputError("", f"{cell.value:.15g}", example_of(DIMENSIONS[dimension], manner), "unit_missing")
        return cell.value * units[head.unit]
    text = cell.value
    if head.unit and not LETTERS.search(text):
        text = f"{text} {head.unit}"
    found = read_quantity(text, dimension, manner)
    if found.low is not None:
        raise InputError("", cell.value, "one number without a range", "not_a_number")
    return found.value


def cured(error: InputError, head: Head) -> str:
    """What to write, as it can be written in a list."""
    write = error.write.replace("at the top of the file", "under part_list in the inquiry")
    write = write.partition("; with a range")[0]  # a list has no ranges
    if error.code == "unit_missing":
        write += f", or the unit in the head, as '{head.text} [{USUAL[MEASURES[head.field]]}]'"
    return write
