"""The part list at the desk: taken in, matched, read at once, bad rows by cell and left out with consent alone."""

import base64
import io
import re
import time
from collections.abc import Iterator

import openpyxl
import pytest

from millhand.intake.yaml_put import word_at
from millhand.web.listing import Mapped, mapped_in, text_with
from tests.web.serving import ORIGIN, Served, served

LIST = "4_tiny_lots"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("list")) as found:
        yield found


def text_of(desk: Served, name: str) -> str:
    """The inquiry's text."""
    return str(desk.browser.get(f"/api/inquiries/{name}/text").text)


def taken_in(desk: Served, name: str, file: str, content: bytes, base: int = 1) -> int:
    """Send a file as the part list."""
    form = {"form_key": desk.form_key, "base": base}
    return desk.browser.post(f"/inquiries/{name}/list/file", data=form, files={"file": (file, content)},
                             headers=ORIGIN, follow_redirects=False).status_code  # fmt: skip


def understood(page: str) -> str:
    """What the page says it reads, without its marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page[page.index('id="understood"') :]))


@pytest.mark.parametrize(
    "mapped",
    [
        Mapped(file="parts.csv"),
        Mapped(file="a, b: {c}.xlsx", sheet="Blatt 1", decimal="comma", consent=True,
               columns={"length": "Maß A, roh [mm]", "name": '"x": #1'}, units={"length": "mm", "quantity": "pcs/y"}),
    ],
)  # fmt: skip
def test_what_is_said_about_the_list_comes_back_from_the_text(mapped: Mapped) -> None:
    """Whatever heads and files are called; the rest of the text stays to the letter."""
    for before in ("name: a\n", "name: a\npart_list:\n  file: old.csv   # old\n  units: {length: m}\nshifts: 8 h\n"):
        text = text_with(before, mapped)

        assert mapped_in(text) == mapped
        assert word_at(text, "name") == "a"
        assert ("shifts: 8 h" in text) == ("shifts" in before)


def test_a_choice_shows_at_once_what_is_read_so(desk: Served) -> None:
    """In the address, without keeping it; rows that cannot be read so are told by their cells."""
    name = desk.begin(name=LIST)
    before = text_of(desk, name)
    page = desk.browser.get(f"/inquiries/{name}/list").text
    assert "56 parts are read so" in understood(page)
    assert "PL-1000 prismatic 103 x 69 x 17 0.33 8.8 24 16 mill" in understood(page)
    other = understood(desk.browser.get(f"/inquiries/{name}/list?c_lot=quantity+per+year&c_quantity=lot+size").text)
    assert "PL-1000 prismatic 103 x 69 x 17 0.33 8.8 16 24 mill" in other
    wrong = understood(desk.browser.get(f"/inquiries/{name}/list?c_mass=part+no.").text)
    assert "The list cannot be read so. parts.csv:2:1: read “PL-1000”; write a mass" in wrong
    unit = understood(desk.browser.get(f"/inquiries/{name}/list?u_length=kg").text)
    assert "write a unit of this: m, mm, cm" in unit
    assert text_of(desk, name) == before


def test_bad_rows_go_with_consent_to_their_number_alone(desk: Served) -> None:
    """A choice takes no consent along; a tick holds for as many rows as were shown."""
    name = desk.begin(name=LIST)
    keep = f"/inquiries/{name}/list/keep"
    desk.send(keep, base=1)
    assert not mapped_in(text_of(desk, name)).consent
    page = desk.browser.get(f"/inquiries/{name}/list").text
    assert "4 rows cannot be read" in understood(page)
    assert "parts.csv:9:3: read “12,5x”; write a length" in understood(page)
    form = {"form_key": desk.form_key, "base": "2", "leave_out": "3"}
    refused = desk.browser.post(keep, data=form, headers=ORIGIN)
    assert (refused.status_code, "as it is chosen now: 4" in refused.text) == (422, True)
    desk.send(keep, base=2, leave_out=4)
    assert mapped_in(text_of(desk, name)) == Mapped(file="parts.csv", consent=True)
    assert "they are left out, with your consent" in understood(desk.browser.get(f"/inquiries/{name}/list").text)
    told = desk.browser.get(f"/api/inquiries/{name}/list").json()
    assert (told["parts"], told["bad_rows"], told["left_out"][0]["where"]) == (56, 4, "parts.csv:9:3")
    taken_in(desk, name, "parts.csv", b"part;length [mm]\n", base=3)
    assert not mapped_in(text_of(desk, name)).consent


def test_two_thousand_rows_of_a_workbook_in_a_blank_inquiry(desk: Served) -> None:
    """Read within seconds, heads of its own matched by hand, before anything else of the inquiry is there."""
    book = openpyxl.Workbook()
    book.active.append(["Teil", "Maß A", "Maß B", "Maß C", "Gewicht [kg]", "Stückzeit [min]", "Jahresmenge", "Los"])
    for row in range(2000):
        book.active.append([f"T{row}", 100 + row % 50, 60, 40, 1.5, 5 + row % 7, row % 300 + 1, 12])
    stream = io.BytesIO()
    book.save(stream)
    name = desk.begin("blank", "")
    assert taken_in(desk, name, "Liste.xlsx", stream.getvalue()) == 303
    page = desk.browser.get(f"/inquiries/{name}/list").text
    assert "The list cannot be read so" in understood(page)
    assert page.count("<option>Maß A</option>") > 5
    began = time.process_time()
    asked = {f"c_{side}": f"Maß {letter}" for side, letter in zip(("length", "width", "height"), "ABC", strict=True)}
    units = {f"u_{side}": "mm" for side in ("length", "width", "height")}
    page = desk.browser.get(f"/inquiries/{name}/list", params=asked | units).text
    assert "2000 parts are read so" in understood(page)
    assert time.process_time() - began < 5.0


def test_a_file_of_another_kind_and_another_place_is_refused(desk: Served) -> None:
    """Neither is kept."""
    name = desk.begin("blank", "")
    for file in ("list.pdf", "../list.csv", "list.xlsm"):
        assert taken_in(desk, name, file, b"x") == 422
    assert desk.browser.get(f"/api/inquiries/{name}").json()["files"] == []


def test_words_of_a_list_are_words(desk: Served) -> None:
    """No script out of a cell, no formula counted, no file beside the inquiry read."""
    name = desk.begin("blank", "")
    cell = "<script>x()</script>"
    row = f'"{cell}";100;60;40;1;5;100;12\n"=1+1";100;60;40;"=2";5;100;12\n'
    heads = "part;length [mm];width [mm];height [mm];mass [kg];time [min];quantity per year;lot\n"
    taken_in(desk, name, "a.csv", f"{heads}{row}".encode())
    page = desk.browser.get(f"/inquiries/{name}/list").text
    assert cell not in page
    assert "&lt;script&gt;" in page
    assert "a.csv:3:5: read “=2”" in understood(page)
    sent = {"base": 2, "file": "../../etc/passwd.csv"}
    assert desk.browser.put(f"/api/inquiries/{name}/list", json=sent, headers=ORIGIN).status_code == 422
    desk.send(f"/inquiries/{name}/text", base=2, text="part_list: /etc/passwd\n")
    assert "which is not among its files" in desk.browser.get(f"/inquiries/{name}/list").text


def test_a_program_keeps_a_list(desk: Served) -> None:
    """File, columns and consent in one; a number of rows that is wrong is told with the right one."""
    name = desk.begin(name=LIST)
    sent = {"base": 1, "file": "parts.csv", "columns": {"name": "part no."}, "leave_out": 4}
    told = desk.browser.put(f"/api/inquiries/{name}/list", json=sent, headers=ORIGIN)
    assert (told.status_code, told.json()["parts"]) == (200, 56)
    content = base64.b64encode(b"part;length [mm]\n").decode()
    fresh = {"base": 2, "file": "new.csv", "content": content, "leave_out": 2}
    wrong = desk.browser.put(f"/api/inquiries/{name}/list", json=fresh, headers=ORIGIN)
    assert wrong.status_code == 422
    assert "chosen now: 0" in wrong.json()["errors"][0]["write"]
