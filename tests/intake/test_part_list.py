"""Part lists: heads in two languages, units in head or cell, sheets, and every bad cell with its place and its cure."""

import datetime
from pathlib import Path

import openpyxl  # type: ignore[import-untyped]
import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import read_inquiry
from millhand.intake.part_list_heads import WORDS, field_of, known_unit, unit_in
from millhand.model.part_list import ListedPart, PartList

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")
HEAD = "part,length [mm],width [mm],height [mm],mass [kg],time [min],quantity per year,lot size,machine\n"
ROW = "A1,120,80,40,2.4,6,1000,50,mill\n"


def listed(folder: Path, text: str, options: str = "{file: parts.csv}", *, leave_out: bool = False) -> PartList:
    """The list of an inquiry of a dozen facts."""
    if text:
        (folder / "parts.csv").write_text(text, encoding="utf-8")
    whole = DOZEN.replace("today:\n", f"part_list: {options}\ntoday:\n")
    (folder / "inquiry.yaml").write_text(whole, encoding="utf-8")
    found = read_inquiry(folder / "inquiry.yaml", assumptions(), leave_out=leave_out).part_list
    assert found is not None
    return found


def refused(folder: Path, text: str, options: str = "{file: parts.csv}") -> list[str]:
    """The errors of such an inquiry, in words."""
    with pytest.raises(InputErrors) as caught:
        listed(folder, text, options)
    return [str(error) for error in caught.value.errors]


def workbook(folder: Path, rows: list[list[object]]) -> None:
    """A workbook with a list on its second sheet."""
    book = openpyxl.Workbook()
    book.active.title = "Notes"
    sheet = book.create_sheet("Sheet1")
    for row in rows:
        sheet.append(row)
    book.save(folder / "parts.xlsx")


def test_a_row_becomes_a_part_in_si(tmp_path: Path) -> None:
    """Each number in the unit of its head, the row and its place kept."""
    found = listed(tmp_path, HEAD + ROW)

    assert found.parts == (
        ListedPart(
            name="A1", row=2, where="parts.csv, row 2", shape="prismatic", grip="outside", length_m=0.12, width_m=0.08,
            height_m=0.04, bore_m=None, raw_mass_kg=2.4, finished_mass_kg=None, time_s=360.0, orders_per_y=1000.0,
            lot_size=50.0, machines=("mill",),
        ),
    )  # fmt: skip
    assert [(each.field, each.unit) for each in found.columns][1:3] == [("length", "mm"), ("width", "mm")]
    assert not any(each.by_hand for each in found.columns)
    assert found.unread == ()


def test_a_german_list_is_read_as_it_stands(tmp_path: Path) -> None:
    """A title above the heads, semicolons, decimal commas, umlauts, units behind a slash, words for shape and grip."""
    text = (
        "Teileliste Fräserei;;;;;;;;;;;\n;;;;;;;;;;;\n"
        "Teile-Nr.;Form;Länge [mm];Breite in mm;Höhe (mm);Ø [mm];Bohrung / mm;Gewicht kg;Stückzeit [min];"
        "Jahresmenge;Losgröße;Greifen;Bemerkung\n"
        "4711;Quader;120,5;80;40;;;2,4;6,5;1000;50;außen;eilig\n"
        "4712;rund;30;;;60;25;0,55;4;800;40;innen;\n"
    )

    found = listed(tmp_path, text, "{file: parts.csv, decimal: comma}")

    first, second = found.parts
    assert (first.length_m, first.raw_mass_kg, first.time_s, first.grip) == (0.1205, 2.4, 390.0, "outside")
    assert (second.shape, second.length_m, second.width_m, second.height_m) == ("round", 0.03, 0.06, 0.06)
    assert (second.grip, second.bore_m, second.row) == ("inside", 0.025, 5)
    assert found.unread == ("Bemerkung",)
    assert found.gaps == (
        "machine: the route of the inquiry's first family",
        "finished mass: the same share of the raw mass as in the inquiry's first family",
    )


@pytest.mark.parametrize(
    ("head", "field", "unit"),
    [
        ("Part no.", "name", ""), ("Sach-Nr", "name", ""), ("L [mm]", "length", "mm"),
        ("Rohlänge (mm)", "length", "mm"),
        ("outer diameter in inch", "diameter", "inch"), ("Ø", "diameter", ""), ("Rohgewicht / kg", "mass", "kg"),
        ("Weight, lbs", "mass", "lbs"), ("cycle time [sek]", "time", "s"), ("te [min]", "time", "min"),
        ("Stück/Jahr", "quantity", ""), ("Stückzahl [Stk/Jahr]", "quantity", "pcs/y"), ("qty p.a.", "quantity", ""),
        ("Quantity / year", "quantity", ""), ("Losgröße", "lot", ""), ("Batch size", "lot", ""),
        ("Arbeitsplatz", "machine", ""), ("Farbe", "", ""), ("remarks", "", ""),
    ],
)  # fmt: skip
def test_heads_are_known_by_their_words(head: str, field: str, unit: str) -> None:
    """English and German, with the unit that they name; what is not known is not guessed."""
    assert (field_of(head), known_unit(unit_in(head))) == (field, unit)


def test_no_word_of_the_heads_stands_for_two_things() -> None:
    """Each word of the table leads back to the field under which it stands."""
    assert {word: field_of(word) for word in WORDS} == WORDS


def test_units_may_stand_in_the_cells(tmp_path: Path) -> None:
    """Where the head says none; a cell's own unit counts before that of its head."""
    text = (
        "part,length,width [mm],height,mass,time,quantity,lot\n"
        "A,5 in,8 cm,40 mm,2 lb 3 oz,6 min 20 s,1000 pcs/month,50\n"
    )

    part = listed(tmp_path, text).parts[0]

    assert part.length_m == pytest.approx(0.127)
    assert (part.width_m, part.height_m, part.time_s, part.orders_per_y) == (0.08, 0.04, 380.0, 12_000.0)
    assert part.raw_mass_kg == pytest.approx(2.1875 * 0.45359237)


def test_columns_and_units_may_be_named_by_hand(tmp_path: Path) -> None:
    """What the words do not say; a named head counts before one that the words would take."""
    text = "no,A,B,C,kg each,run,wanted,length [mm]\nX,120,80,40,2.4,6,1000,999\n"
    options = (
        "{file: parts.csv, columns: {name: no, length: A, width: B, height: C, mass: kg each, time: run, "
        "quantity: wanted}, units: {length: mm, width: mm, height: mm, mass: kg, time: min}}"
    )

    found = listed(tmp_path, text, options)

    assert (found.parts[0].length_m, found.parts[0].lot_size) == (0.12, 200.0)
    assert all(each.by_hand for each in found.columns)
    assert found.unread == ("length [mm]",)


def test_a_sheet_gives_numbers_and_texts(tmp_path: Path) -> None:
    """Numbers without a sign to mistake, part numbers without decimals; a formula that was never worked out is nothing,
    a text that begins as one stays a text."""
    workbook(tmp_path, [
        ["part", "length [mm]", "width [mm]", "height [mm]", "mass [kg]", "time [min]", "quantity", "lot size"],
        [4711, 120, 80, 40, 2.4, 6, 1000, 50],
        [None],
        ["'=HYPERLINK(1)", 120, 80, 40, 2.4, 6, 1000, "50 pcs"],
    ])  # fmt: skip

    found = listed(tmp_path, "", "{file: parts.xlsx, sheet: Sheet1}")

    assert [(part.name, part.row, part.lot_size) for part in found.parts] == [
        ("4711", 2, 50.0),
        ("'=HYPERLINK(1)", 4, 50.0),
    ]
    assert found.parts[0].where == "parts.xlsx: Sheet1, row 2"


def test_every_bad_cell_is_told_with_its_place_and_its_cure(tmp_path: Path) -> None:
    """By cell, in the words of the inquiry; and at the end how to go on without such rows."""
    workbook(tmp_path, [
        ["part", "shape", "grip", "length [mm]", "width [mm]", "height [mm]", "mass [kg]", "time", "quantity", "lot"],
        ["A", "prismatic", "", "12,5x", 80, 40, 2.4, "6 min", 1000, 50],
        ["B", "prismatik", "", 120, 80, 40, 2.4, 6, 1000, 50],
        ["C", "", "inside", 120, 80, 40, None, "6 min", "1,500", 0],
        ["D", "", "", 120, 80, datetime.date(2026, 5, 1), 9000, "2 kg", 1000, 50],
    ])  # fmt: skip

    assert refused(tmp_path, "", "{file: parts.xlsx, sheet: Sheet1}") == [
        "parts.xlsx: Sheet1!D2: read '12,5x'; write a length, such as 120 mm or 5 ft 2 in (units here: m, mm, cm, um, "
        "µm, in, inch or ft).",
        "parts.xlsx: Sheet1!H3: read '6'; write a time, such as 6 min 20 s, or the unit in the head, as 'time [min]'.",
        "parts.xlsx: Sheet1!B3: read 'prismatik'; write prismatic, round, flat or other (did you mean 'prismatic'?).",
        "parts.xlsx: Sheet1!I4: read '1,500'; write 1500 or 1.5: '1,500' can be read both ways.",
        "parts.xlsx: Sheet1!J4: read '0'; write a number of parts, such as 120 parts; at least 1 parts.",
        "parts.xlsx: Sheet1!G4: read 'nothing'; write mass: a mass, such as 2.4 kg or 3 lb 6 oz.",
        "parts.xlsx: Sheet1!A4: read 'nothing'; write bore: a length, such as 120 mm or 5 ft 2 in; a part that is "
        "gripped inside has a bore.",
        "parts.xlsx: Sheet1!F5: read '2026-05-01'; write a length, such as 120 mm or 5 ft 2 in.",
        "parts.xlsx: Sheet1!G5: read '9000'; write a mass, such as 2.4 kg or 3 lb 6 oz; at most 5000 kg.",
        "parts.xlsx: Sheet1!H5: read '2 kg'; write a time, such as 6 min 20 s.",
        "parts.xlsx: read '4 bad rows'; write them anew, or 'bad_rows: leave_out' under part_list in the inquiry (or "
        "--leave-out) to go on without them.",
    ]


def test_bad_rows_are_left_out_with_consent_alone(tmp_path: Path) -> None:
    """By the file or by the call; counted and kept with their places."""
    text = HEAD + ROW + ROW.replace("120", "12,5x", 1).replace("12,5x", '"12,5x"')
    own = listed(tmp_path, text, "{file: parts.csv, bad_rows: leave_out}")
    called = listed(tmp_path, text, leave_out=True)

    assert own == called
    assert (len(own.parts), own.rows_left_out) == (1, (3,))
    assert [(each.where, each.read) for each in own.left_out] == [("parts.csv:3:2", "12,5x")]
    assert len(refused(tmp_path, text, "{file: parts.csv, bad_rows: ask}")) == 2


def test_many_bad_cells_are_told_up_to_a_number_and_counted(tmp_path: Path) -> None:
    """Forty of them, and how many more there are."""
    found = refused(tmp_path, HEAD + ROW.replace("120", "x") * 60)

    assert len(found) == 41
    assert found[-1].startswith("parts.csv: read '60 bad rows, 20 more bad cells'; write them anew")


@pytest.mark.parametrize(
    ("text", "options", "words"),
    [
        (
            HEAD + ROW, "{file: part.csv}",
            "inquiry.yaml:{line}:19: read 'part.csv'; write the path of a file that is there.",
        ),
        (
            HEAD + ROW, "../parts.csv",
            "inquiry.yaml:{line}:12: read '../parts.csv'; write a path inside the folder of the inquiry, such as "
            "parts.csv.",
        ),
        (
            HEAD + ROW, "inquiry.yaml",
            "inquiry.yaml:{line}:12: read 'inquiry.yaml'; write a CSV or XLSX file; other kinds must be saved as one "
            "of them.",
        ),
        (
            "a,b\n1,2\n", "parts.csv",
            "parts.csv: read 'no row of heads'; write heads such as part, length [mm], width [mm], height [mm], mass "
            "[kg], time [min], quantity per year, lot size in one of the first 20 rows, or 'columns' in the inquiry "
            "that names them.",
        ),
        (
            HEAD.replace("mass [kg]", "colour") + ROW, "parts.csv",
            "parts.csv: read 'no column with the mass; not understood: colour'; write such a column, or its head as "
            "mass under part_list.columns in the inquiry.",
        ),
        (
            HEAD.replace("mass [kg]", "mass [mm]") + ROW, "parts.csv",
            "parts.csv:1:5: read 'mass [mm]'; write a unit of mass: a mass, such as 2.4 kg or 3 lb 6 oz.",
        ),
        (
            HEAD.replace("width", "Länge") + ROW, "parts.csv",
            "parts.csv:1:3: read 'Länge [mm]'; write which of the two is the length, as 'columns: {length: length "
            "[mm]}' in the inquiry.",
        ),
        (
            HEAD + ROW, "{file: parts.csv, columns: {length: lenght}}",
            "parts.csv: read 'lenght'; write the head of a column as it stands in the file: part, length [mm], width "
            "[mm], height [mm], mass [kg], time [min], quantity per year, lot size or machine.",
        ),
        (
            HEAD + ROW, "{file: parts.csv, units: {length: kg}}",
            "inquiry.yaml:{line}:46: read 'kg'; write a unit of this: m, mm, cm, um, µm, in, inch, ft.",
        ),
        (
            HEAD + ",,,,,,,,\n", "parts.csv",
            "parts.csv: read 'no row that can be read'; write a row for each part below the heads.",
        ),
        (
            HEAD.replace("width [mm],", "") + ROW.replace("80,", ""), "parts.csv",
            "parts.csv: read 'no column with the width and height, or diameter'; write such a column, or its head as "
            "width under part_list.columns in the inquiry.",
        ),
    ],
)  # fmt: skip
def test_a_list_that_cannot_be_used_says_what_to_write(tmp_path: Path, text: str, options: str, words: str) -> None:
    """The file, its heads, its units."""
    line = 1 + DOZEN[: DOZEN.index("today:\n")].count("\n")

    assert refused(tmp_path, text, options)[0] == words.replace("{line}", str(line))


def test_errors_of_the_inquiry_come_before_those_of_its_list(tmp_path: Path) -> None:
    """Whatever their rows."""
    (tmp_path / "parts.csv").write_text(HEAD + ROW.replace("120", "x"), encoding="utf-8")
    text = DOZEN.replace("today:\n", "part_list: parts.csv\ntoday:\n").replace("unattended: 3 h", "unattended: 3 kg")
    (tmp_path / "inquiry.yaml").write_text(text, encoding="utf-8")

    with pytest.raises(InputErrors) as caught:
        read_inquiry(tmp_path / "inquiry.yaml", assumptions())

    assert [error.where.partition(":")[0] for error in caught.value.errors] == [
        "inquiry.yaml",
        "parts.csv",
        "parts.csv",
    ]
