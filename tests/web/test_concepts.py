"""Concepts on the desk: wishes go into the inquiry's text, names stay words, a moved cell is answered by the study."""

from collections.abc import Iterator
from contextlib import nullcontext
from urllib.parse import parse_qsl

import pytest

from millhand.intake.fields import paper_of
from millhand.store.revisions import revision
from millhand.web.alone import Lost
from millhand.web.wishes import addressed, concepts_in, fields_of, free_name, names_in, wish_of, with_wish, word_of
from tests.intake.test_inquiry_concepts import CELL, DOZEN, asked
from tests.web.serving import ORIGIN, Served, pages_once, served, studied


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("concepts")) as found:
        yield found


def text_of(desk: Served, name: str) -> str:
    """The inquiry's text."""
    return str(desk.browser.get(f"/api/inquiries/{name}/text").text)


def test_what_an_address_says_reads_back_as_the_same_wish() -> None:
    """Through the text and the reader: parts, places in mm, turns, words with all kinds of signs."""
    (wish,) = asked(
        f"{{name: west, is: kept, of: {CELL}, arm: fenced_60, by_arm: [measuring, deburring], "
        "pinned: [{what: arm, x: 0.2 m, y: -1 m}, "
        "{what: presenter, x: 1 m, y: -2 m, turned: west}]}"
    ).concepts
    fields = fields_of(wish) | {"reason": 'a "b": {c}, #d', "by": "- x"}
    text = with_wish(DOZEN, wish_of(fields).item())
    (again,) = concepts_in(paper(text))

    assert (again.base, again.reason, again.by) == (CELL, 'a "b": {c}, #d', "- x")
    assert [(each.what.value, each.x_m.value, each.y_m.value) for each in again.pinned] == [
        ("arm", 0.2, -1.0), ("presenter", 1.0, -2.0),
    ]  # fmt: skip
    assert again.works == ("measuring", "deburring")
    assert fields_of(again) == fields


def test_a_pinned_wish_is_opened_in_an_inquiry_with_decimal_commas() -> None:
    """Its address writes numbers as the inquiry does, so that it reads back."""
    text = f"decimal: comma\n{DOZEN}".replace("2.4 kg", "2,4 kg")
    text += f'\nconcepts:\n  - {{name: west, is: kept, of: {CELL}, pinned: [{{what: arm, x: "1,25 m", y: -400 mm}}]}}\n'
    ((_, address),) = addressed(paper(text))
    fields = dict(parse_qsl(address))

    assert (fields["arm_x"], fields["arm_y"]) == ("1,25 m", "-0,4 m")
    (again,) = concepts_in(paper(with_wish(text, wish_of(fields).item())))
    assert [(each.x_m.value, each.y_m.value) for each in again.pinned] == [(1.25, -0.4)]


def test_a_place_with_one_measure_is_not_dropped_but_told(desk: Served) -> None:
    """With the piece that lacks one; neither worked out nor kept so."""
    name = desk.begin()
    at, half = f"/inquiries/{name}/concepts/plan", {"of": CELL, "presenter_x": "2 m"}
    told = "presenter: read &#39;2 m alone&#39;; write both, how far east and how far north; or neither"
    assert told in desk.browser.get(f"{at}/answer", params=half).text
    sent = desk.browser.post(at, data=half | {"base": "1", "form_key": desk.form_key}, headers=ORIGIN)
    assert (sent.status_code, "2 m alone" in sent.text) == (422, True)
    assert "concepts:" not in text_of(desk, name)


def test_a_revision_that_is_none_is_told(desk: Served) -> None:
    """In words, and nothing is kept."""
    name = desk.begin()
    data = {"of": CELL, "base": "first", "form_key": desk.form_key}
    sent = desk.browser.post(f"/inquiries/{name}/concepts/plan", data=data, headers=ORIGIN)
    assert sent.status_code == 422
    assert "write the number of a revision, such as 3" in sent.text


def test_a_wish_is_put_into_the_text_that_it_is_made_in(desk: Served) -> None:
    """Kept from an older revision it stands aside, and in that one no other wish is lost."""
    name = desk.begin()
    at, fields = f"/inquiries/{name}/concepts/plan", {"of": CELL, "arm_x": "1 m", "arm_y": "0 m"}
    desk.send(at, base=1, name="one", **fields)
    desk.send(at, base=2, name="two", **fields)
    assert desk.send(at, base=2, name="two", **fields).endswith("/concepts")  # sent twice: nothing stands aside
    where = desk.send(at, base=2, name="two", **fields | {"arm_x": "3 m"})
    assert "/aside/4" in where
    with desk.store.reading() as connection:
        assert names_in(revision(connection, name, 4).text) == ("one", "two")


def paper(text: str):  # type: ignore[no-untyped-def]
    """The form of a text."""
    from pathlib import Path

    from millhand.catalogue.assumptions import assumptions

    return paper_of(text, Path(), assumptions())


def test_a_wish_takes_the_place_of_the_one_of_its_name() -> None:
    """The others stay."""
    text = DOZEN
    for name, east in (("one", "1 m"), ("two", "2 m"), ("one", "3 m")):
        fields = {"of": CELL, "name": name, "arm_x": east, "arm_y": "0 m"}
        text = with_wish(text, wish_of(fields).item())

    after = concepts_in(paper(text))
    assert [(each.name, each.pinned[0].x_m.value) for each in after] == [("two", 2.0), ("one", 3.0)]
    assert free_name("one", names_in(text)) == "one_2"


@pytest.mark.parametrize(
    ("typed", "word"), [("Far south!", "far_south"), ("2nd", "c_2nd"), ("<b>", "b"), ("  ", "")]
)  # fmt: skip
def test_a_name_becomes_a_word_that_the_inquiry_takes(typed: str, word: str) -> None:
    """Lower-case letters, digits and underscores."""
    assert word_of(typed) == word


def test_a_wish_about_a_concept_of_a_study_goes_into_the_text_and_back(desk: Served) -> None:
    """From the concept's own page; what is typed stays words on every page."""
    name = desk.begin()
    piece = studied(desk.store, name, pages_once())
    ways = desk.browser.get(f"/studies/{piece}/own/ways").text
    assert 'href="way-by_hand-second_vise"' in ways
    way = f"/studies/{piece}/own/way-by_hand-second_vise"
    assert "Leave it out" in desk.browser.get(way).text
    assert "Leave it out" not in desk.browser.get(way.replace("/own/", "/customer/")).text
    base = 1
    desk.send(
        f"/inquiries/{name}/concepts", base=base, of="by_hand-second_vise", treatment="left_out", reason="<script>"
    )

    assert "is: left_out" in text_of(desk, name)
    assert "&lt;script&gt;" in desk.browser.get(way).text
    listed = desk.browser.get(f"/inquiries/{name}/concepts").text
    assert "<script>" not in listed.replace('<script src="/static', "")
    desk.send(f"/inquiries/{name}/concepts/out", base=2, number=0)
    assert "left_out" not in text_of(desk, name)


def test_nothing_is_kept_without_the_key_of_the_form(desk: Served) -> None:
    """Each of the three that change something."""
    name = desk.begin()
    for path, fields in (
        ("concepts", {"base": "1", "of": CELL, "treatment": "kept"}),
        ("concepts/out", {"base": "1", "number": "0"}),
        ("concepts/plan", {"base": "1", "of": CELL}),
    ):
        answer = desk.browser.post(f"/inquiries/{name}/{path}", data=fields, headers=ORIGIN, follow_redirects=False)
        assert answer.status_code == 403
    assert text_of(desk, name).count("concepts:") == 0


def test_a_moved_cell_is_answered_with_its_checks_and_kept_as_given_by_hand(desk: Served) -> None:
    """Out of reach, in words with a margin; a place that is none, a rule that stands against it; then kept."""
    name = desk.begin()
    at = f"/inquiries/{name}/concepts/plan"
    far = {"of": CELL, "arm_x": "1371 mm", "arm_y": "-3 m", "presenter_x": "1371 mm", "presenter_y": "-4 m"}
    answer = desk.browser.get(f"{at}/answer", params=far)

    assert "✕ It does not work: reach of the arm (−" in answer.text
    assert 'data-piece="arm" data-x="1371" data-y="-3000"' in answer.text
    assert answer.headers["HX-Replace-Url"].startswith(f"{at}?of=")
    into = far | {"arm_y": "-1.3 m", "presenter_y": "-1.5 m"}
    assert "✕ It does not work: no two pieces in one place (−" in desk.browser.get(f"{at}/answer", params=into).text
    wrong = desk.browser.get(f"{at}/answer", params=far | {"arm_x": "there"}).text
    assert "read &#39;there&#39;; write a position, such as 3.2 m or -400 mm." in wrong
    assert (
        "It makes no sense here: a fenced arm"
        in desk.browser.get(f"{at}/answer", params={"of": CELL, "safeguarding": "scanner"}).text
    )
    assert "this is no cell" in desk.browser.get(f"{at}/answer", params={"of": "today"}).text
    desk.send(at, base=1, **far)
    assert 'pinned: [{what: arm, x: 1371 mm, y: "-3 m"}' in text_of(desk, name)


class Away:
    """A process that ends over each question."""

    def ask(self, *_: object) -> None:
        """No answer."""
        raise Lost

    def end(self) -> None:
        """Nothing to end."""


@pytest.mark.parametrize("busy", [False, True])
def test_figures_that_do_not_come_in_time_are_told(
    desk: Served, monkeypatch: pytest.MonkeyPatch, *, busy: bool
) -> None:
    """Where the process ends over the question, and where others are served for too long: ask again."""
    asking = desk.app.state.desk.asking
    monkeypatch.setattr("millhand.web.asking.PATIENCE_S", 0.01)
    monkeypatch.setattr(asking, "child", Away())
    with asking.lock if busy else nullcontext():
        answer = desk.browser.get(f"/inquiries/{desk.begin()}/concepts/plan/answer", params={"of": CELL})
    assert answer.status_code == 503
    assert "the figures could not be worked out in time; ask for them again in a moment." in answer.text
