"""Which column of a part list is which: by the words of its head, English or German, or as the inquiry names it."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from millhand.errors import InputError
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.table_file import Cell, Rows
from millhand.intake.units import DIMENSIONS

LOOKED_AT = 20  # rows from the top among which the heads stand
LEAST_HEADS = 3  # heads that a row of heads has at least
# What a head may be called, in plain letters without signs. Words of the trade, in English and in German.
HEADS: Mapping[str, str] = {
    "name": "part, part no, part number, part name, item, item no, item number, article, article no, article number, "
    "name, drawing, drawing no, drawing number, material no, teil, teilenummer, teile nr, teilenr, artikel, "
    "artikelnummer, artikel nr, sachnummer, sach nr, materialnummer, zeichnung, zeichnungsnummer, zeichnungs nr, "
    "bezeichnung, benennung",
    "shape": "shape, form, geometry, geometrie, teileform",
    "grip": "grip, gripping, gripped, greifen, griff, gegriffen, greifart",
    "length": "length, l, raw length, part length, lange, laenge, rohlange, rohlaenge, teilelange, rohteillange",
    "width": "width, w, raw width, part width, breite, b, rohbreite, teilebreite, rohteilbreite",
    "height": "height, h, thickness, raw height, part height, hohe, hoehe, dicke, rohhohe, rohhoehe, rohteilhohe",
    "diameter": "diameter, dia, d, od, outer diameter, outside diameter, raw diameter, durchmesser, "
    "aussendurchmesser, rohdurchmesser, dm",
    "bore": "bore, bore diameter, inner diameter, inside diameter, id, bohrung, innendurchmesser, bohrungsdurchmesser",
    "mass": "mass, weight, raw mass, raw weight, part weight, masse, gewicht, rohgewicht, rohmasse, teilegewicht, "
    "stuckgewicht, einsatzgewicht",
    "finished_mass": "finished mass, finished weight, net weight, fertiggewicht, fertigmasse, nettogewicht",
    "time": "time, cycle time, machine time, machining time, time per part, time a part, run time, unit time, "
    "zeit, zykluszeit, taktzeit, maschinenzeit, bearbeitungszeit, laufzeit, stuckzeit, zeit je stuck, zeit pro stuck, "
    "hauptzeit, te",
    "quantity": "quantity, qty, quantity per year, qty per year, yearly quantity, annual quantity, annual volume, "
    "volume per year, parts per year, pieces per year, pcs per year, orders per year, annual demand, yearly demand, "
    "menge, jahresmenge, jahresbedarf, stuckzahl, jahresstuckzahl, stuck pro jahr, stuck je jahr, menge pro jahr, "
    "bedarf pro jahr",
    "lot": "lot, lot size, batch, batch size, order size, los, losgrosse, losgroesse, auftragsmenge, serie",
    "machine": "machine, machines, work centre, work center, workcentre, workcenter, route, routing, maschine, "
    "maschinen, arbeitsplatz, kostenstelle, fertigungsweg, arbeitsfolge",
}
WORDS: Mapping[str, str] = {word.strip(): field for field, words in HEADS.items() for word in words.split(",")}
# What the numbers of a field are: a dimension of the table of units; texts have none.
MEASURES: Mapping[str, str] = {
    "length": "length", "width": "length", "height": "length", "diameter": "length", "bore": "length", "mass": "mass",
    "finished_mass": "mass", "time": "time", "quantity": "parts_per_y", "lot": "parts",
}  # fmt: skip
FIELDS = tuple(HEADS)
# Units as heads have them beside those of the table.
UNITS: Mapping[str, str] = {
    "sek": "s", "secs": "s", "seconds": "s", "sekunden": "s", "mins": "min", "minutes": "min", "minuten": "min",
    "std": "h", "stunden": "h", "hrs": "h", "millimeter": "mm", "millimetre": "mm", "zoll": "in", "inches": "in",
    "stk": "pcs", "stück": "pcs", "st": "pcs", "pieces": "pcs", "stk/jahr": "pcs/y", "stück/jahr": "pcs/y",
    "stk/a": "pcs/y", "pcs/a": "pcs/y", "stk/monat": "pcs/month", "stück/monat": "pcs/month", '"': "in",
    "kilogramm": "kg", "gramm": "g",
}  # fmt: skip
IN_BRACKETS = re.compile(r"[\[(]\s*([^\[\]()]+?)\s*[\])]")
BEHIND = re.compile(r"(?:\bin|/|,)\s*([^\s/,]+(?:/[^\s/,]+)?)\s*$")
PLAIN = str.maketrans({"ä": "a", "ö": "o", "ü": "u", "ß": "ss", "ø": " dia ", "é": "e"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """One column that something is taken from; `place` counts from 0."""

    field: str
    place: int
    text: str
    where: str
    unit: str
    by_hand: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Heads:
    """The row of heads, its columns by field, and the heads that nothing is taken from."""

    row: int  # place among the rows, from 0
    found: Mapping[str, Head]
    unread: tuple[str, ...]


def heads_of(rows: Rows, named: Mapping[str, str], units: Mapping[str, str], file: str) -> Heads | list[InputError]:
    """The first row of heads; the errors where none can be made out or a head could be two things."""
    for number, row in enumerate(rows[:LOOKED_AT]):
        filled = [cell for cell in row if cell is not None and isinstance(cell.value, str)]
        texts = {str(cell.value) for cell in filled}
        known = {field for cell in filled if (field := field_of(str(cell.value))) and not named}
        if (named and texts >= set(named.values())) or len(known) >= LEAST_HEADS:
            return _heads(number, row, named, units)
    if named:
        return [_lacking(rows, named, file)]
    write = (
        "heads such as part, length [mm], width [mm], height [mm], mass [kg], time [min], quantity per year, lot size "
        f"in one of the first {LOOKED_AT} rows, or 'columns' in the inquiry that names them"
    )
    return [InputError(file, "no row of heads", write, "part_list_no_heads")]


def field_of(text: str) -> str:
    """The field that a head stands for; '' where it is none that is known.

    >>> field_of("Länge [mm]"), field_of("Part no."), field_of("Ø"), field_of("Losgröße"), field_of("colour")
    ('length', 'name', 'diameter', 'lot', '')
    """
    whole = plain_words(IN_BRACKETS.sub(" ", text))
    if whole in WORDS:
        return WORDS[whole]
    unit = unit_in(text)
    cut = plain_words(text[: text.lower().rfind(unit.lower())]) if unit else ""
    cut = re.sub(r"\s+in$", "", cut)
    return WORDS.get(cut, "")


def plain_words(text: str) -> str:
    """A head in plain small letters, signs as spaces; 'per year' in its different forms as one."""
    plain = text.strip().lower().translate(PLAIN)
    plain = re.sub(r"/\s*(year|yr|y|a)\b|\bp\.?\s?a\.?(?=\s|$)|\b(a|per) year\b", " per year", plain)
    plain = re.sub(r"/\s*jahr\b", " pro jahr", plain)
    return " ".join(re.sub(r"[^a-z0-9]+", " ", plain).split())


def unit_in(text: str) -> str:
    """The unit that a head names, as it is written; '' for none.

    >>> unit_in("Länge [mm]"), unit_in("mass (kg)"), unit_in("time in min"), unit_in("Gewicht / kg"), unit_in("part")
    ('mm', 'kg', 'min', 'kg', '')
    """
    for found in (*IN_BRACKETS.findall(text), *BEHIND.findall(text)):
        if known_unit(found):
            return str(found)
    last = text.split()[-1] if len(text.split()) > 1 else ""
    return last if known_unit(last) and last.lower() not in ("in", "a", "d", "l", "h", "t", "y") else ""


def known_unit(word: str) -> str:
    """The unit of the table that a word stands for; '' for none."""
    known = {name for measure in set(MEASURES.values()) for name in DIMENSIONS[measure].units if name}
    name = word if word in known else UNITS.get(word.lower(), word.lower())
    return name if name in known else ""


def _heads(
    number: int, row: Sequence[Cell | None], named: Mapping[str, str], units: Mapping[str, str]
) -> Heads | list[InputError]:
    """The columns of a row of heads."""
    filled = [(place, cell) for place, cell in enumerate(row) if cell is not None]
    by_name = {head: field for field, head in named.items()}
    every = [(by_name.get(str(cell.value)) or field_of(str(cell.value)), place, cell) for place, cell in filled]
    taken = [each for each in every if each[0] and not (each[0] in named and str(each[2].value) != named[each[0]])]
    wrong = list(_twice(taken))
    found = {
        field: Head(
            field=field, place=place, text=str(cell.value), where=cell.where, by_hand=field in named,
            unit=units.get(field) or known_unit(unit_in(str(cell.value))),
        )
        for field, place, cell in taken
    }  # fmt: skip
    places = {each[1] for each in taken}
    unread = tuple(str(cell.value) for place, cell in filled if place not in places)
    return wrong or Heads(row=number, found=found, unread=unread)


def _twice(taken: Sequence[tuple[str, int, Cell]]) -> Iterator[InputError]:
    """Heads of which two could be the same thing."""
    first: dict[str, Cell] = {}
    for field, _, cell in taken:
        if field in first:
            write = f"which of the two is the {field}, as 'columns: {{{field}: {first[field].value}}}' in the inquiry"
            yield InputError(cell.where, str(cell.value), write, "part_list_head_twice")
        first.setdefault(field, cell)


def _lacking(rows: Rows, named: Mapping[str, str], file: str) -> InputError:
    """A head that the inquiry names and no row has."""
    best = max(rows[:LOOKED_AT], key=lambda row: sum(cell is not None for cell in row), default=[])
    there = [str(cell.value) for cell in best if cell is not None]
    missing = next((head for head in named.values() if head not in there), "")
    write = f"the head of a column as it stands in the file: {listed(there)}{nearest(missing, there)}" if there else (
        "a file with a row of heads"
    )  # fmt: skip
    return InputError(file, missing or "heads in different rows", write, "part_list_no_column")
