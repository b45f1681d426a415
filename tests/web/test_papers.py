"""Proposals at the desk: made as asked for, on the company's paper, issued for good; sheets of questions out and in."""

import base64
import hashlib
import io
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from millhand.report.customer import for_customer
from millhand.report.html import report_html
from millhand.report.proposal.build import proposal
from millhand.report.proposal.letter import Letter
from millhand.report.tongue import LANGUAGES
from millhand.run import packed
from millhand.store import work
from millhand.store.inquiries import Begun, begin
from millhand.web.kept_record import RECORD
from millhand.web.papering import Job, Papering, Wanted
from millhand.web.routes.studies import wishes
from millhand.web.running import Running
from millhand.web.worker import INQUIRY, letter_of
from tests.intake.test_company import jpeg, png
from tests.report.fixture_internal import NOTE, internal_study
from tests.web.serving import ORIGIN, Served, filled, served, studied

FILES = {
    "own": {"study.json": b"{}", "report.html": b"<html>own", "workbook.xlsx": b"PK own", "cells/a.json": b"{}"},
    "customer": {"study.json": b"{}", "report.html": b"<html>", "workbook.xlsx": b"PK", "drawings/a ü.svg": b"<svg/>",
                 "proposal.pdf": b"%PDF of the study", "pages/answer": b"<p>"},
}  # fmt: skip
ON = "2027-01-31"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("papers")) as found:
        yield found


@pytest.fixture(scope="module")
def done(desk: Served) -> tuple[str, str]:
    """An inquiry, and its finished study with cost, margin and a note."""
    name = desk.begin()
    own = {**FILES["own"], RECORD: packed(internal_study())}
    return name, studied(desk.store, name, {**FILES, "own": own})


def words_of(pdf: bytes) -> str:
    """The text of a PDF."""
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def test_the_proposal_is_the_one_of_the_command_line(desk: Served, done: tuple[str, str]) -> None:
    """Byte by byte, in the language and length that the address asks for; the page shows each of its pages."""
    at = f"/studies/{done[1]}/own/proposal"
    asked = {"language": "de", "form": "short", "on": ON}
    got = desk.browser.get(f"{at}/proposal.pdf", params=asked)
    own = proposal(internal_study(), Letter(on=date(2027, 1, 31), language="de"))

    assert got.content == own
    picture = desk.browser.get(f"{at}/page-1.png", params=asked)
    page = desk.browser.get(f"{at}/pages", params=asked).text
    assert page.count("/proposal/page-") == len(PdfReader(io.BytesIO(own)).pages)
    assert picture.content.startswith(b"\x89PNG")
    assert desk.browser.get(f"{at}/page-99.png", params=asked).status_code == 404


def test_cost_and_margin_are_on_the_paper_of_the_house_alone(desk: Served, done: tuple[str, str]) -> None:
    """With a tick, in our own copy; never in the customer's, whatever its address says."""
    at, asked = f"/studies/{done[1]}", {"form": "long", "on": ON}
    house = desk.browser.get(f"{at}/own/proposal/proposal.pdf", params={**asked, "inside": "yes"})
    customer = desk.browser.get(f"{at}/customer/proposal/proposal.pdf", params={**asked, "inside": "yes"})

    assert "Cost and margin" in words_of(house.content)
    assert "proposal_internal.pdf" in house.headers["content-disposition"]
    assert "Do not send it" in desk.browser.get(f"{at}/own/proposal", params={**asked, "inside": "yes"}).text
    assert "Cost and margin" not in words_of(customer.content)
    assert NOTE not in words_of(customer.content)
    page = desk.browser.get(f"{at}/customer/proposal", params=asked).text
    assert "for the house" not in page
    assert "Issue" not in page


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("on=soon", "a date, such as 2027-01-31"),
        ("on=9999-12-31", "a date, such as 2027-01-31"),
        ("language=xx", "one of en, de"),
        ("form=wide", "one of short, long"),
    ],
)
def test_what_cannot_be_made_says_what_to_write(desk: Served, done: tuple[str, str], asked: str, words: str) -> None:
    """In the address as anywhere."""
    answer = desk.browser.get(f"/studies/{done[1]}/own/proposal?{asked}")

    assert answer.status_code == 422
    assert words in answer.text


def test_what_takes_longer_is_shown_under_way(
    desk: Served, done: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page stands at once, says which step it is at, and asks for its pages again by itself."""
    begin = Papering.begin
    monkeypatch.setattr(Papering, "begin", lambda own, wanted: _Slow(begin(own, wanted).steps))

    page = desk.browser.get(f"/studies/{done[1]}/own/proposal?on={ON}").text

    assert "Under way: " in page
    assert f'hx-get="/studies/{done[1]}/own/proposal/pages?language=en&amp;form=short&amp;on={ON}"' in page


class _Slow(Job):
    """A proposal that is never there in time."""

    def pages(self, patience_s: float) -> None:
        """Not yet."""


def test_the_report_beside_it_is_in_its_language(desk: Served, done: tuple[str, str]) -> None:
    """Made from the record of the study, whatever language that was written in."""
    at = f"/studies/{done[1]}/customer/proposal"

    assert f"{at}/report.html?language=de" in desk.browser.get(at, params={"language": "de"}).text
    for language in LANGUAGES:
        got = desk.browser.get(f"{at}/report.html", params={"language": language})
        assert got.text == report_html(for_customer(internal_study()), language=language)
        twin = desk.browser.get(f"/api/pieces/{done[1]}/customer/report.html", params={"language": language})
        assert twin.text == (got.text if language != "en" else "<html>")  # kept as it was written, in English


def test_an_issued_proposal_is_reopened_as_it_went_out(desk: Served, done: tuple[str, str]) -> None:
    """Number and revision on the paper, the hash of its bytes on the page, the customer's files beside it; what is
    issued later, on another paper, changes nothing of it."""
    name, piece = done
    desk.send("/company", name="Example Cells", number_prefix="EC-")
    first = desk.send(f"/studies/{piece}/customer/issue", on=ON)
    pdf = desk.browser.get(f"{first}/files/proposal.pdf").content
    desk.send("/company", name="Other Cells", number_prefix="OC-")
    second = desk.send(f"/studies/{piece}/customer/issue", on=ON, language="de")

    assert "EC-0001" in words_of(pdf)
    assert "Example Cells" in words_of(pdf)
    assert desk.browser.get(f"{first}/files/proposal.pdf").content == pdf
    page = desk.browser.get(first).text
    assert hashlib.sha256(pdf).hexdigest() in page
    assert "There is a newer one" in page
    assert desk.browser.get(f"{first}/files/report.html").content == b"<html>"
    assert desk.browser.get(f"{first}/files/drawings/a%20%C3%BC.svg").content == b"<svg/>"
    assert b'<html lang="de">' in desk.browser.get(f"{second}/files/report.html").content
    newer = words_of(desk.browser.get(f"{second}/files/proposal.pdf").content)
    assert "EC-0001" in newer
    assert "Other Cells" in newer
    listed = desk.browser.get("/issued").text
    assert listed.count("EC-0001") == 2
    assert first in desk.browser.get(f"/inquiries/{name}/proposals").text
    assert desk.browser.get(f"/api/inquiries/{name}").json()["state"] == "proposed"


def test_nothing_takes_an_issued_proposal_away(desk: Served, done: tuple[str, str]) -> None:
    """No way of asking for it but to read it; also where the inquiry is put away."""
    own = desk.send(f"/studies/{done[1]}/customer/issue", on=ON)
    for method in ("POST", "PUT", "PATCH", "DELETE"):
        for path in (own, f"{own}/files/proposal.pdf", f"/api{own}", f"/api{own}/files/proposal.pdf"):
            assert desk.browser.request(method, path, headers=ORIGIN).status_code == 405
    desk.send(f"/inquiries/{done[0]}/away", put="true")

    assert desk.browser.get(f"{own}/files/proposal.pdf").content.startswith(b"%PDF-")
    desk.send(f"/inquiries/{done[0]}/away", put="false")


def test_only_a_form_of_ours_issues(desk: Served, done: tuple[str, str]) -> None:
    """Without its key nothing goes out."""
    answer = desk.browser.post(f"/studies/{done[1]}/customer/issue", data={"form_key": "x"}, headers=ORIGIN)

    assert answer.status_code == 403


def test_the_company_file_of_an_inquiry_goes_first(desk: Served) -> None:
    """Its name on the paper, its number when issued, and what is wrong with it is told at its line."""
    name = desk.begin()
    piece = studied(desk.store, name, {**FILES, "own": {RECORD: packed(internal_study())}})
    form = {"form_key": desk.form_key, "base": 1}
    files = {"files": ("company.yaml", b"name: Their Own Works\nnumber: Q-77\n")}
    desk.browser.post(f"/inquiries/{name}/files", data=form, files=files, headers=ORIGIN)

    page = desk.browser.get(f"/studies/{piece}/own/proposal?on={ON}").text
    assert "On the paper of Their Own Works, by the company.yaml of the inquiry" in page
    assert "Issue Q-77, revision 1" in page
    files = {"files": ("company.yaml", b"name: Works\nvalid_days: soon\n")}
    desk.browser.post(f"/inquiries/{name}/files", data={**form, "base": 2}, files=files, headers=ORIGIN)
    wrong = desk.browser.get(f"/studies/{piece}/own/proposal?on={ON}")
    assert wrong.status_code == 422
    assert "company.yaml:2:13: read" in wrong.text


def sent_company(desk: Served, logo: bytes, **typed: str) -> tuple[int, str]:
    """Send the form with a logo; what came of it."""
    form = {"form_key": desk.form_key, **typed}
    answer = desk.browser.post("/company", data=form, files={"logo": ("our logo.png", logo)}, headers=ORIGIN)
    return answer.status_code, answer.text


def test_the_company_is_kept_whole_or_not_at_all(desk: Served) -> None:
    """What is wrong is told at its field and what was typed stays there; a logo is drawn anew, and may be taken out."""
    typed = {"name": 'Fine & "Sons", Ltd', "address": "12 Lane, back\nSampleton", "closing": "Two\nlines: yes"}
    assert sent_company(desk, png(40, 20), **typed)[0] == 200
    kept = desk.browser.get("/api/company").json()
    assert kept == {"details": typed, "logo": "png"}
    assert desk.browser.get("/company/logo").content.startswith(b"\x89PNG")

    status, page = sent_company(desk, b"", name="New", valid_days="soon", number_prefix="x" * 21)
    assert status == 422
    assert "Read soon; write a whole number of days from 1 to 3650, such as 60." in page
    assert "write at most 20 signs on one line, such as P-." in page
    assert 'value="New"' in page
    assert desk.browser.get("/api/company").json() == kept
    desk.send("/company", logo_out="true", **typed)
    assert desk.browser.get("/api/company").json()["logo"] == ""


BOMB = png(4000, 4000)  # a head that says sixteen million dots, and next to nothing behind it


@pytest.mark.parametrize(
    ("logo", "words"),
    [
        (b"<svg onload='x()'/>", "write a PNG or JPEG picture"),
        (png(4001, 1), "a picture of at most 4000 dots along a side"),
        (b"\x89PNG" + b"\0" * 2_100_000, "a file of at most 2 MB"),
        (BOMB, "a PNG or JPEG picture that is whole: this one cannot be opened"),
        (jpeg(), "a PNG or JPEG picture that is whole: this one cannot be opened"),
    ],
    ids=["svg", "wide", "large", "bomb", "broken"],
)
def test_a_logo_that_cannot_be_used_is_told(desk: Served, logo: bytes, words: str) -> None:
    """Nothing of it is kept."""
    before = desk.browser.get("/api/company").json()
    status, page = sent_company(desk, logo, name="New")

    assert status == 422
    assert words in page
    assert desk.browser.get("/api/company").json() == before


def test_a_filled_sheet_comes_back_checked(desk: Served) -> None:
    """Wrong cells are told and nothing is kept; right ones are shown, then taken in as one change to be undone."""
    name = desk.begin()
    sheet = desk.browser.get(f"/inquiries/{name}/questions.xlsx").content
    before = desk.browser.get(f"/api/inquiries/{name}/text").text

    def read(**answers: str) -> tuple[int, str]:
        files = {"sheet": ("back.xlsx", filled(sheet, {PATHS[key]: text for key, text in answers.items()}))}
        form = {"form_key": desk.form_key}
        answer = desk.browser.post(f"/inquiries/{name}/answers", data=form, files=files, headers=ORIGIN)
        return answer.status_code, answer.text

    status, page = read(handover="40 kg", catch="0.4 m")
    assert status == 422
    assert re.search(r"questions\.xlsx: Questions!E\d+: read “40 kg”; write a time", page)
    status, page = read(handover="7 min")
    assert status == 200
    assert re.search(r"people\.handover = 7\smin \(before: ", page)
    assert desk.browser.get(f"/api/inquiries/{name}/text").text == before
    kept = re.search(r'name="sheet" value="([^"]+)"', page)
    assert kept is not None
    desk.send(f"/inquiries/{name}/answers/take", base=1, sheet=kept[1])
    assert "7 min" in desk.browser.get(f"/api/inquiries/{name}/text").text
    desk.send(f"/inquiries/{name}/undo")
    assert desk.browser.get(f"/api/inquiries/{name}/text").text == before


PATHS = {"handover": "people.handover", "catch": "machines.mill.catch"}


def test_who_issues_while_others_do_is_told(
    desk: Served, done: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Once more in a moment: what the interface says of itself and of the proposal that cannot be made just now."""
    monkeypatch.setattr("millhand.web.issuing.TRIES", 0)
    refused = desk.browser.post(f"/api/pieces/{done[1]}/issue", json={}, headers=ORIGIN)
    assert refused.status_code == 503
    words = "others issue proposals at the same moment; issue it again."
    assert refused.json()["errors"] == [{"code": "number_busy", "words": words}]
    assert "503" in desk.app.openapi()["paths"]["/api/pieces/{piece}/issue"]["post"]["responses"]


def test_a_program_issues_and_reads_what_went_out(desk: Served, done: tuple[str, str]) -> None:
    """The same as the pages, as JSON; a wrong file and a wrong key are told."""
    ask = desk.browser
    made = ask.post(f"/api/pieces/{done[1]}/issue", json={"language": "de", "on": ON}, headers=ORIGIN)
    assert made.status_code == 201
    own = made.json()
    pdf = ask.get(f"/api/issued/{own['id']}/files/proposal.pdf").content
    assert hashlib.sha256(pdf).hexdigest() == own["sha256"]
    assert "pages/01.png" in ask.get(f"/api/issued/{own['id']}").json()["files"]
    book = ask.get(f"/api/issued/{own['id']}/files/workbook.xlsx")
    assert book.headers["content-type"] == "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    assert own["id"] in {each["id"] for each in ask.get(f"/api/issued?inquiry={done[0]}").json()}
    assert ask.get(f"/api/pieces/{done[1]}/customer/proposal.pdf?on={ON}").content.startswith(b"%PDF-")
    wrong = ask.put("/api/company", json={"details": {"nmae": "x"}}, headers=ORIGIN)
    assert (wrong.status_code, wrong.json()["errors"][0]["code"]) == (422, "unknown_key")
    logo = base64.b64encode(png()).decode()
    assert (
        ask.put("/api/company", json={"details": {"name": "A"}, "logo": logo}, headers=ORIGIN).json()["logo"] == "png"
    )


def test_the_same_proposal_is_made_once(desk: Served, done: tuple[str, str]) -> None:
    """Pages and PDF of one address share what was made; an unknown study has none."""
    papering = desk.app.state.desk.papering
    wanted = Wanted(done[1], "own", Letter(on=date(2027, 2, 1)))

    assert papering.begin(wanted) is papering.begin(wanted)
    with pytest.raises(KeyError):
        papering.begin(wanted._replace(piece="none"))


def test_a_study_is_written_on_the_company_of_the_desk(desk: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its details stand apart, so that no file of an inquiry gives way; an inquiry's own company file goes first."""
    assert sent_company(desk, png(), name="Example Cells")[0] == 200
    seen, photos = [], []

    def look(own: Running, piece: work.Work, folder: Path) -> tuple[int, str]:
        seen.append(letter_of(folder, piece.wishes).company)
        photos.append((folder / INQUIRY / "company_logo.png").read_bytes())
        (folder / "stderr").touch()
        return 2, ""

    monkeypatch.setattr(Running, "_watched", look)
    photo = {"company_logo.png": b"of the shop's gate"}
    for files in (photo, photo | {"company.yaml": b"name: Their Works\n"}):
        with desk.store.writing() as connection:
            inquiry = begin(connection, Begun(name="a", text="name: a\n", files=files), "me")
            piece = work.ask(connection, inquiry.id, 1, dict(wishes()), "me")
        desk.app.state.desk.running._do(piece)

    assert [each.name for each in seen] == ["Example Cells", "Their Works"]
    assert [each.logo is not None for each in seen] == [True, False]
    assert photos == [photo["company_logo.png"]] * 2
