"""Inquiries on the desk: each way to begin, found again, out as the command line takes them, read with their answer."""

import html
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.inquiry import read_inquiry
from millhand.model.canonical import canonical
from millhand.report.study_json import study_as_json
from millhand.web.desk import open_inquiry
from tests.report.fixture_study import study
from tests.web.serving import ORIGIN, Served, pages_once, served, studied


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("begun")) as found:
        yield found


def words(page: str) -> str:
    """A page without its marks, in plain blanks."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_each_way_to_begin_makes_an_inquiry_that_can_be_read(desk: Served) -> None:
    """Blank but for its names, a starter by its title, an example whole, a copy beside what it was copied from."""
    own = {kind: desk.begin(kind, name) for kind, name in
           (("blank", ""), ("starter", "floor_track"), ("example", "2_three_lathes"))}  # fmt: skip
    own["copy"] = desk.begin("copy", own["example"])
    found = {kind: open_inquiry(desk.app.state.desk, name) for kind, name in own.items()}

    assert {kind for kind, each in found.items() if each.paper.inquiry is not None} == {"starter", "example", "copy"}
    assert found["copy"].kept.name == f"{found['example'].kept.name} (copy)"
    assert found["copy"].revision.text.partition("\n\n")[2] == found["example"].revision.text.partition("\n\n")[2]
    desk.send(f"/inquiries/{own['copy']}/field", path="people.wage", base=1, text="99 USD")
    assert "99 USD" not in open_inquiry(desk.app.state.desk, own["example"]).revision.text
    refused = desk.browser.post("/inquiries", data={"kind": "x", "form_key": desk.form_key}, headers=ORIGIN)
    assert "blank, starter, example or copy" in refused.text


def test_an_inquiry_is_found_by_words_state_and_tags(desk: Served) -> None:
    """In the address of the desk, so that a search is a bookmark; put away, only where that is asked for."""
    name = desk.begin("example", "1_two_mills")
    desk.send(f"/inquiries/{name}/marks", state="won", tags="spring fair")
    at = {
        "/?words=spring+mills&state=won": True, "/?words=spring&state=lost": False, "/?words=autumn": False,
        "/?away=true": False,
    }  # fmt: skip
    assert {path: name in desk.browser.get(path).text for path in at} == at
    desk.send(f"/inquiries/{name}/away", put="true")
    assert (name in desk.browser.get("/").text, name in desk.browser.get("/?away=true").text) == (False, True)


def test_what_goes_out_is_what_the_command_line_reads(desk: Served, tmp_path: Path) -> None:
    """The very bytes, a typed range in them; read from the file, they are the inquiry of the pages, fact by fact."""
    name = desk.begin("starter", "floor_track")
    desk.send(f"/inquiries/{name}/field", path="parts.0.operations.0.time", base=1, text="4 min (3 min to 6 min)")
    taken = desk.browser.get(f"/inquiries/{name}/export")
    (tmp_path / "inquiry.yaml").write_bytes(taken.content)
    inquiry = read_inquiry(tmp_path / "inquiry.yaml", assumptions())
    shown = open_inquiry(desk.app.state.desk, name).paper.inquiry

    time = inquiry.parts[0].operations[0].time_s
    assert (time.value, time.low, time.high, time.basis) == (240.0, 180.0, 360.0, "given")
    assert shown is not None
    assert canonical(inquiry).replace(f"{tmp_path}/", "") == canonical(shown)


def test_the_answer_stands_beside_the_sheet_with_its_ranges(desk: Served) -> None:
    """With links into the study; what was changed since is said, with the revision that the answer is of."""
    name = desk.begin("example", "1_two_mills")
    piece = studied(desk.store, name, pages_once())
    aside = desk.browser.get(f"/inquiries/{name}").text.partition('id="answer"')[2].partition("</aside>")[0]

    assert re.search(r"[0-9][^.]* to [^.]*[0-9]", words(aside))
    assert f'href="/studies/{piece}/own/' in aside
    assert "Something was changed since" not in aside
    desk.send(f"/inquiries/{name}/field", path="people.wage", base=1, text="31 USD")
    assert "Of revision 1. Something was changed since" in words(desk.browser.get(f"/inquiries/{name}").text)


def test_the_list_of_questions_says_what_each_answer_is_worth(desk: Served) -> None:
    """In the order of the study, with its reason and the figure in it; an older study is named by its revision."""
    name = desk.begin("example", "1_two_mills")
    first = desk.browser.get(f"/inquiries/{name}/questions").text
    last = html.unescape(re.findall(r"<li><b>(.*?)</b>", first)[-1])
    done = json.loads(study_as_json(study()))
    why = "The wage of [[people.wage|money_2]] rests on it."
    done["decision"]["asks"] = [{"fact": "people.wage", "words": last, "why": why, "kills": False}]
    studied(desk.store, name, {"own": pages_once()["own"] | {"study.json": json.dumps(done).encode()}})
    desk.send(f"/inquiries/{name}/field", path="shop.name", base=1, text="Brackets")
    page = desk.browser.get(f"/inquiries/{name}/questions").text

    assert 'class="worth"' not in first
    assert html.unescape(re.findall(r"<li><b>(.*?)</b>", page)[0]) == last
    assert re.search(r"The wage of 28.USD rests on it\.", words(page))
    assert "study of revision 1 would ask" in words(page)
