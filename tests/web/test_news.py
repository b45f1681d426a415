"""What the page's own script gets after a field: what was said to it, what is left to mend, what others did."""

import re
from collections.abc import Iterator

import pytest

from millhand.web.desk import open_inquiry
from millhand.web.sheet import to_mend
from tests.web.serving import ORIGIN, Served, pages_once, served, studied

BUTTON = '<button class="main">Work it out</button>'


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("news")) as found:
        yield found


def text_of(desk: Served, name: str) -> str:
    """The inquiry's text."""
    return str(desk.browser.get(f"/api/inquiries/{name}/text").text)


def news(desk: Served, name: str, back: str, **typed: object) -> str:
    """What the page's own script gets after a field."""
    data = {key: str(each) for key, each in typed.items()} | {"form_key": desk.form_key, "back": back}
    own = {**ORIGIN, "HX-Request": "true"}
    answer = desk.browser.post(f"/inquiries/{name}/field", data=data, headers=own)
    assert answer.status_code == 200
    return str(answer.text)


def test_what_was_mended_goes_from_every_place_of_the_page(desk: Served) -> None:
    """From the list of subjects, the head of its part, the list below it, and what is left to fill in."""
    name = desk.send("/inquiries", kind="blank", name="").rpartition("/")[2]
    at = f"/inquiries/{name}"
    page = desk.browser.get(at).text
    assert "<b>✕ 11 to fill in or mend:</b> <a" in page
    assert '<a href="#field-people.wage">people, wage</a>; <a' in page
    form = desk.browser.get(f"{at}/form?of=machines").text
    assert f'<a href="{at}/form?of=people#field-people.wage">people, wage</a>' in form
    assert 'id="count-machines">' in form
    back = f"{at}/form?of=machines#field-machines.0.count"
    wrong = news(desk, name, back, path="machines.0.count", base=1, text="many")
    for place in ("count-machines", "head-machines.0", "wrongs-machines.0", "said-machines.0.count", "standing"):
        assert f'id="{place}" hx-swap-oob="true"' in wrong, place
    assert '<b class="bad">✕ ' in wrong
    right = news(desk, name, back, path="machines.0.count", base=2, text="2")
    assert right.count("✕") < wrong.count("✕")
    assert "Read many" not in right
    assert 'id="asking"' not in right


def test_once_nothing_is_missing_the_sheet_offers_to_work_it_out(desk: Served) -> None:
    """With the field that made it whole, and not again with the next."""
    name = desk.begin()
    assert BUTTON not in news(desk, name, f"/inquiries/{name}", path="people.wage", base=1, text="thirty")
    mended = news(desk, name, f"/inquiries/{name}", path="people.wage", base=2, text="30 USD/h")
    assert BUTTON in mended
    assert "to fill in" not in mended
    assert 'id="asking"' not in news(desk, name, f"/inquiries/{name}", path="people.wage", base=3, text="31 USD/h")


def test_a_change_after_the_study_leads_to_working_it_out_again(desk: Served) -> None:
    """The step that led to the proposal of the revision before is no longer the one that is next."""
    name = desk.begin()
    at = f"/inquiries/{name}"
    studied(desk.store, name, pages_once())
    assert 'class="now" aria-current="step"><a href="/studies/' in desk.browser.get(at).text
    changed = news(desk, name, at, path="people.wage", base=1, text="31 USD/h")
    assert 'class="now" aria-current="step">Work it out' in changed
    assert 'id="asking"' not in news(desk, name, at, path="people.wage", base=2, text="32 USD/h")


def test_what_others_changed_is_told_without_the_other_fields(desk: Served) -> None:
    """What was typed is kept; the page still rests on its own revision, so that it overwrites nobody's change."""
    name = desk.begin()
    at = f"/inquiries/{name}"
    desk.send(f"{at}/field", path="people.wage", base=1, text="35 USD/h")
    told = news(desk, name, f"{at}#field-wishes.hurdle", path="wishes.hurdle", base=1, text="31 months")
    assert "Somebody else changed this inquiry meanwhile" in told
    assert 'id="base" name="base" value="1"' in told
    assert re.findall(r'id="said-([^"]+)"', told) == ["wishes.hurdle"]
    assert {"wage: 35 USD/h", "hurdle: 31 months"} <= {line.strip() for line in text_of(desk, name).splitlines()}


def test_what_gets_wrong_elsewhere_comes_with_the_news(desk: Served) -> None:
    """A field without a place on the sheet appears there, and goes with what is said to it once it is mended."""
    name = desk.begin()
    at = f"/inquiries/{name}"
    path = "parts.0.bears"
    wrong = news(desk, name, at, path=path, base=1, text="much")
    assert '<div id="elsewhere" hx-swap-oob="true">' in wrong
    assert f'id="in-{path}" name="text" value="much"' in wrong
    mended = news(desk, name, at, path=path, base=2, text="400 N")
    assert f'id="said-{path}" hx-swap-oob="true"' in mended
    assert 'id="elsewhere"' not in mended


def test_what_is_wrong_among_the_answers_is_named(desk: Served) -> None:
    """It has no form of a subject: the link leads to the sheet."""
    name = desk.begin("blank", "")
    path = "answered.today.elements.exchange.time"
    desk.send(f"/inquiries/{name}/field", path=path, base=1, text="long")
    paper = open_inquiry(desk.app.state.desk, name).paper
    assert f"#field-{path}" in {each.at for each in to_mend(paper)}
    assert f"?#field-{path}" in {each.at for each in to_mend(paper, sheet=False)}
