"""What the call sheet says of today's output, of machines that share work, and of what is wrong, without any file."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.fields import Paper, paper_of
from millhand.intake.today_held import likely
from millhand.web.desk import open_inquiry
from millhand.web.today_words import Line, about_today
from millhand.web.wrongs import wrongs
from tests.intake.test_inquiry_pools import SHOP
from tests.web.serving import ORIGIN, Served, served

TOLD = (
    SHOP
    + """
answered:
  today.elements.exchange.time: 20 s
  shifts.shift_1.breaks.pause.length: 0 min
  shifts.shift_2.breaks.pause.length: 0 min
"""
)


def paper(text: str) -> Paper:
    """The form of a text."""
    return paper_of(text, Path(), assumptions())


def plain(line: Line) -> str:
    """What a line says, in plain blanks."""
    return line.words.replace("\u202f", " ")


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("words")) as found:
        yield found


def test_today_is_told_as_a_year_beside_what_could_be_sold() -> None:
    """150 parts in each of 2 x 245 shifts, where 84 000 could be sold."""
    line = about_today(paper(SHOP))[0]

    assert (plain(line), line.warns) == (
        "That is about 73 500 parts a year, all of them good; 10 500 parts more could be sold.", False
    )  # fmt: skip


def test_more_than_times_and_hours_allow_is_said_with_both_figures() -> None:
    """Three lathes for 8 h at 240 s of cutting make 360; with two loadings of 20 s each part, 308.6."""
    told = TOLD.replace("parts_per_shift: 150", "parts_per_shift: 340").replace("84000", "160000")
    line = about_today(paper(told))[-1]

    assert line.warns
    assert plain(line).startswith("Told are 340 parts a shift; 3 machines, present for 8 h a shift, at ")
    assert "at 280 s a part, 40 s of loading in it, make 309 parts at most. Check the time of one" in plain(line)


def test_nothing_is_warned_of_before_all_is_told_that_it_rests_on() -> None:
    """Without the time of loading and the breaks the line says which are missing, and what they are meanwhile."""
    told = SHOP.replace("parts_per_shift: 150", "parts_per_shift: 340").replace("84000", "160000")
    line = about_today(paper(told))[-1]

    assert not line.warns
    assert "said here once it can be: " in line.words
    assert "door, unloading and loading by hand (" in plain(line)
    assert "not told yet." in line.words


def test_what_is_assumed_warns_before_the_study_does() -> None:
    """As many as loading and cutting allow at most are too many with changeovers, and it says what was assumed."""
    told = TOLD.replace("parts_per_shift: 150", "parts_per_shift: 305").replace("84000", "160000")
    inquiry = paper(told).inquiry
    assert inquiry is not None
    line, own = about_today(paper(told))[-1], likely(inquiry)

    assert own is not None
    assert line.warns
    assert line.title == "More is told than these times make."
    assert "The study says so too." in line.words
    assert "length of a breakdown (8 h meanwhile)" in plain(line)
    # By hand: 2 x 120 s of cutting with stops of 20 min in 20 h of it, 2 x 20 s of loading, 8 h of each 808 h broken
    # down; a lot of 150 is changed over twice, 60 min each.
    steady = 305 * (240 * (1 + 1200 / 72000) + 40) * (2_880_000 + 28_800) / 2_880_000
    assert own.made == pytest.approx(305 * 3 * 8 * 3600 / (steady + 2 * 305 / 150 * 3600))


def test_an_output_that_fits_is_no_warning() -> None:
    """With all that is assumed as it is likely."""
    assert [each.warns for each in about_today(paper(TOLD))] == [False]


def test_an_error_is_named_by_its_field_and_by_no_place_in_a_file() -> None:
    """Its link leads there; keys are written as people read them."""
    own = paper(SHOP.replace("lot_size: 150", "lot_size: many").replace("parts_per_shift: 150", "parts_per_shift: 900"))
    lots = wrongs(own)[0]
    assert (lots.words, lots.at, lots.read) == ("parts, ring, lot size", "#field-parts.0.lot_size", "many")

    much = SHOP.replace("parts_per_shift: 150", "parts_per_shift: 900").replace("84000", "900000")
    over = wrongs(paper(much))[0]
    assert over.at == "#field-today.parts_per_shift"
    assert "inquiry.yaml" not in over.read + over.write + lots.write
    assert "_" not in over.read + over.write


def test_machines_are_added_that_do_the_same_work_and_renamed_with_it(desk: Served) -> None:
    """They begin as what the first are; each operation of those names both, by whatever name."""
    name = desk.begin("blank", "")
    for base, (path, text) in enumerate({"machines.0.kind": "lathe", "machines.0.door": "hand"}.items(), start=1):
        desk.send(f"/inquiries/{name}/field", path=path, base=base, text=text)
    desk.send(f"/inquiries/{name}/more", path="machines", shares="yes")
    desk.send(f"/inquiries/{name}/field", path="machines.1.name", base=4, text="New Lathe")

    known = {each.path: each.text for each in open_inquiry(desk.app.state.desk, name).paper.fields()}
    assert known["parts.0.operations.0.machine"] == "machine_1, new_lathe"
    own = [known[f"machines.1.{key}"] for key in ("name", "kind", "door", "count")]
    assert own == ["new_lathe", "lathe", "hand", "1"]
    page = desk.browser.get(f"/inquiries/{name}").text
    assert '<option value="machine_1, new_lathe" selected>any of machine 1 and new lathe</option>' in page
    assert 'value="new lathe"' in page


def test_shifts_that_were_told_have_their_fields_at_once(desk: Served) -> None:
    """So many as there are, in the piece of the page that comes back."""
    name = desk.begin("blank", "")
    data = {"path": "shifts", "base": "1", "text": "3 x 8 h", "back": f"/inquiries/{name}", "form_key": desk.form_key}
    piece = desk.browser.post(f"/inquiries/{name}/field", data=data, headers=ORIGIN | {"HX-Request": "true"}).text
    assert 'id="in-fold-each-shift"' in piece
    assert 'id="field-answered.shifts.shift_3.operators"' in piece
    assert "shift_4" not in piece
