"""A part list on the page, in the terminal and as CSV: the same figures, every digit leading to its fact."""

import csv
import io
import json
import re
from functools import cache

from rich.console import Console

from millhand.model.part_list import BadCell
from millhand.model.study import Study
from millhand.report.html import report_html
from millhand.report.part_mix import FEW, HEAD, part_mix_csv
from millhand.report.study_json import study_as_json
from millhand.report.terminal import JOINT, page_of, study_parts
from millhand.report.terminal_part_mix import MANY, mix_parts, preview_parts
from millhand.report.tongue import tongue
from millhand.report.writing import study_files
from tests.listed_parts import bare_study, mixed, part
from tests.study_checks import wrong_page

NUMBER = re.compile(r"\d+(?:\.\d+)?")
BAD = BadCell(row=40, where="parts.csv:40:3", read="12,5x", write="a length, such as 120 mm or 5 ft 2 in")


@cache
def done() -> Study:
    """A list with three families, a part too heavy, one for another machine, and a bad row."""
    return mixed(
        part(2), part(3, orders_per_y=900.0), part(4, length_m=0.2, width_m=0.13),
        part(5, length_m=0.06, width_m=0.045, height_m=0.02, raw_mass_kg=0.2), part(6, raw_mass_kg=30.0),
        part(7, machines=("saw 12",)), left_out=(BAD,),
    )  # fmt: skip


def section(html: str) -> str:
    """The section as plain words."""
    found = re.search(r'<section id="part-list">.*?</section>', html, flags=re.DOTALL)
    assert found is not None
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", found[0])).replace("\u202f", " ").replace("\u2212", "-")


def terminal(*parts: object) -> str:
    """What a pipe of 80 columns gets."""
    out = Console(width=80, file=io.StringIO(), highlight=False)
    for each in parts:
        out.print(each)
    assert isinstance(out.file, io.StringIO)
    return out.file.getvalue().replace(JOINT, " ")


def test_every_digit_of_the_page_leads_to_its_origin() -> None:
    """With the section in it."""
    text = study_as_json(done())

    assert wrong_page(report_html(done(), text=text), json.loads(text)) == []


def test_the_page_says_families_curve_and_what_is_left() -> None:
    """Figures of the small list as worked out by hand."""
    words = section(report_html(done()))

    for expected in (
        "The list has 6 parts with 390 h of machine time a year. 1 row was left out.",
        "The cell can load parts of 69 % of these hours with 3 sets of fingers and 3 inserts of the presenter.",
        "A prismatic, from outside fingers A, insert A 2 2.4 kg 120 mm",
        "fingers A and insert A gripped outside at 80 mm ; parts of 120 mm by 80 mm 38.5 % 38 %",
        "PL-6 60 Payload 32.7 kg 20 kg -64 %",
        "PL-7 60 Machine: the cell does not serve saw 12",
        "parts.csv:40:3 : read 12,5x ; write a length, such as 120 mm or 5 ft 2 in .",
    ):
        assert expected in words, (expected, words)


def test_the_section_is_told_in_german() -> None:
    """The same figures in German sentences, and nothing of the English ones between them."""
    english, german = (section(report_html(done(), language=language)) for language in ("en", "de"))
    left = [text for key, text in tongue("en").texts.items() if key.startswith("report.mix.") and len(text) > 9]

    for expected in (
        "Die Liste hat 6 Teile mit 390 h Maschinenzeit im Jahr. 1 Zeile ist ausgelassen. Die Zelle kann Teile von 69 % "
        "dieser Stunden beladen, mit 3 Fingersätzen und 3 Einsätzen der Zuführung.",
        "kantig, von außen Finger A, Einsatz A 2 2,4 kg 120 mm",
        "Finger A und Einsatz A von außen gegriffen an 80 mm ; Teile von 120 mm mal 80 mm 38,5 % 38 %",
        "PL-6 60 Traglast 32,7 kg 20 kg -64 %",
        "PL-7 60 Maschine: die Zelle bedient saw 12 nicht",
        "parts.csv:40:3 : gelesen 12,5x ; zu schreiben ist",
    ):
        assert expected in german, (expected, german)
    assert sorted(NUMBER.findall(english.replace(",", "."))) == sorted(NUMBER.findall(german.replace(",", ".")))
    assert [piece for text in left for piece in re.split(r"\{\w*\}", text) if len(piece) > 5 and piece in german] == []


def test_a_study_without_a_list_has_no_such_section() -> None:
    """Nor a file of it."""
    files = study_files(bare_study())

    assert 'id="part-list"' not in files["report.html"].decode()
    assert "part_mix.csv" not in files


def test_the_terminal_says_the_same() -> None:
    """In full for the list alone, shorter within a study; no line is cut off."""
    whole = terminal(*mix_parts(page_of(done()), most=MANY))
    short = terminal(*study_parts(done(), beside=mix_parts(page_of(done()))))
    plain = re.sub(r"\s+", " ", whole)

    for expected in (
        "The cell can load parts of 69 % of these hours with 3 sets of fingers and 3 inserts of the presenter.",
        "fingers A and insert A gripped at 80 mm; parts of 120 mm by 80 mm 38.5 % 38 %",
        "PL-6 Payload 32.7 kg 20 kg 60",
        "PL-7 Machine: the cell does not serve saw 12 - - 60",
    ):
        assert expected in plain, (expected, plain)
    assert "The part list" in short
    assert "…" not in whole + short
    assert list(mix_parts(page_of(bare_study()))) == []


def test_the_preview_shows_what_was_understood() -> None:
    """Columns with their heads and units, first rows, rows left out cell by cell."""
    listed = done().inquiry.part_list
    assert listed is not None
    words = re.sub(r"\s+", " ", terminal(*preview_parts(listed)))

    for expected in (
        "parts.csv: 6 parts",
        "length (by hand) L 1 [mm] mm parts.csv:1:3",
        "PL-2 prismatic 120 x 80 x 40 2.4 6 600 12 Mill 3",
        "Rows left out: 1 - parts.csv:40:3: read '12,5x'; write a length, such as 120 mm or 5 ft 2 in.",
    ):
        assert expected in words, (expected, words)


def test_the_table_has_a_row_for_each_part() -> None:
    """Its family and what it needs, or why it is left to people, in SI."""
    rows = list(csv.DictReader(io.StringIO(part_mix_csv(done()))))

    assert tuple(rows[0]) == HEAD
    assert [row["row"] for row in rows] == ["2", "3", "4", "5", "6", "7"]
    assert (rows[0]["family"], rows[0]["fingers"], rows[0]["insert"]) == ("A", "fingers_A", "insert_A")
    assert (rows[4]["left_to_people_for"], rows[4]["demand"], rows[4]["limit"], rows[4]["unit"]) == (
        "payload", "32.7", "20", "kg",
    )  # fmt: skip
    assert (rows[5]["left_to_people_for"], rows[5]["family"], rows[5]["machine_h_per_y"]) == ("route", "", "60")
    assert study_files(done())["part_mix.csv"].decode() == part_mix_csv(done())


def test_a_long_list_is_shown_in_part_and_says_where_the_rest_is() -> None:
    """Twelve families and twelve parts, those of most machine hours."""
    heavy = [part(row, raw_mass_kg=30.0, orders_per_y=float(row)) for row in range(20, 20 + FEW + 3)]
    light = [part(row, raw_mass_kg=0.001 * 4.0**row, orders_per_y=50.0) for row in range(2, 7)]
    words = section(report_html(mixed(*heavy, *light)))

    assert words.count(" Payload ") == FEW
    assert "Those of most machine hours; all of them are in part_mix.csv." in words
    assert f"PL-{20 + FEW + 2} " in words
    assert "PL-20 " not in words
