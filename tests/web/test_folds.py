"""Where a newcomer to the call sheet hesitated: folds, facts that are asked once, words that say which."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.fields import Paper, paper_of
from millhand.web.desk import open_inquiry
from millhand.web.folds import folds_in, open_ones
from millhand.web.heads import BEFORE, heads
from millhand.web.sheet import call_sheet
from tests.intake.test_inquiry_pools import SHOP
from tests.web.serving import ORIGIN, Served, served

QUIET = {"heads", "how-the-machines-are-tended", "build-of-the-machines"}  # what notes seldom hold


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("folds")) as found:
        yield found


def paper(text: str) -> Paper:
    """The form of a text."""
    return paper_of(text, Path(), assumptions())


def typed(desk: Served, values: dict[str, str]) -> str:
    """A blank sheet with some fields typed; its inquiry."""
    name = desk.begin("blank", "")
    for base, (path, text) in enumerate(values.items(), start=1):
        desk.send(f"/inquiries/{name}/field", path=path, base=base, text=text)
    return name


def texts(desk: Served, name: str) -> dict[str, str]:
    """What is typed in each field."""
    return {each.path: each.text for each in open_inquiry(desk.app.state.desk, name).paper.fields()}


def label(page: str, path: str) -> str:
    """The label of a field."""
    found = re.search(rf'<label for="in-{re.escape(path)}">(.*?)</label>', page, re.DOTALL)
    assert found is not None, path
    return " ".join(re.sub(r"<[^>]+>", " ", found[1]).split())


def test_what_notes_usually_hold_is_open_from_the_start_and_each_fold_says_what_is_in_it() -> None:
    """Three of them are closed; a heading counts what is given, assumed and needed."""
    groups = call_sheet(paper(SHOP))
    folds = {each.key: each for each in folds_in(groups)}

    assert folds.keys() - open_ones(groups) == QUIET
    assert folds["machines-2"].told == "7 given, 8 assumed"
    assert open_ones(groups, "all") == {each.key for group in groups for each in group.folds}
    assert open_ones(groups, "none") == set()
    assert open_ones(groups, "heads.nothing") == {"heads"}


def test_an_addition_closes_no_fold_that_was_open(desk: Served) -> None:
    """The address that an addition leads to holds the folds that were open, and the one that came."""
    name = desk.begin("blank", "")
    where = desk.send(f"/inquiries/{name}/more", path="machines", shares="yes", unfolded="heads.room-and-people")

    assert where == f"/inquiries/{name}?open=heads.room-and-people.machines-2#field-machines.1.name"
    page = desk.browser.get(where).text
    assert re.findall(r'data-fold="([^"]+)" open', page) == ["heads", "machines-2", "room-and-people"]
    assert 'name="unfolded" value="heads.room-and-people.machines-2"' in page


def test_heads_are_asked_once_and_the_rest_is_shown() -> None:
    """Machines a head follow; where one shift has more, each is told; where machines a head are told, nothing is."""
    assert heads(paper("name: a\n")) == BEFORE
    assert heads(paper(SHOP)) == "So 1 operator in each of 2 shifts for 4 machines: one operator tends 4 machines."
    more = SHOP + "answered: {shifts.shift_1.operators: 2}\n"
    assert heads(paper(more)) == (
        "So for 4 machines: 2 operators in the first shift, 2 machines each; 1 operator in the second shift, "
        "4 machines each."
    )
    told = SHOP.replace("operators: 1", "machines_per_operator: 4")
    assert heads(paper(told)) == ""
    fields = [each.path for each in call_sheet(paper(SHOP))[1].fields]
    assert fields == ["people.wage", "people.operators", "shifts"]
    assert "people.machines_per_operator" in [each.path for each in call_sheet(paper(told))[1].fields]


def test_fields_of_a_second_shift_are_told_where_it_was_typed(desk: Served) -> None:
    """In a live region below the shifts, with the way to the first of them."""
    name = desk.begin("blank", "")
    data = {"path": "shifts", "base": "1", "text": "2 x 8 h", "back": f"/inquiries/{name}#field-shifts",
            "form_key": desk.form_key}  # fmt: skip
    piece = desk.browser.post(f"/inquiries/{name}/field", data=data, headers=ORIGIN | {"HX-Request": "true"}).text

    came = re.search(r'<p id="came"[^>]*role="status"[^>]*>(.*?)</p>', piece, re.DOTALL)
    assert came is not None
    assert 'href="#field-answered.shifts.shift_2.breaks.pause.length"' in came[1]
    assert "2 fields came: Second shift: length of its break (min); Second shift: whether its break is paid." in came[1]


def test_later_machines_and_operations_take_over_what_was_typed_at_the_first(desk: Served) -> None:
    """Spacing and gauging: when they are added, when the first is typed later, and not over a figure of their own."""
    name = typed(desk, {"machines.0.kind": "mill", "machines.0.spacing": "3.2 m"})
    for path in ("machines", "machines", "parts.0.operations", "parts.0.operations"):
        desk.send(f"/inquiries/{name}/more", path=path, shares="yes" if path == "machines" else "")
    assert texts(desk, name)["machines.1.spacing"] == "3.2 m"
    for base, (path, text) in enumerate(
        {"parts.0.operations.0.gauge_every": "20", "parts.0.operations.2.gauge_every": "5",
         "parts.0.operations.0.gauge_every ": "25", "machines.0.spacing": "4 m"}.items(), start=7
    ):  # fmt: skip
        desk.send(f"/inquiries/{name}/field", path=path.strip(), base=base, text=text)

    known = texts(desk, name)
    assert [known[f"parts.0.operations.{number}.gauge_every"] for number in range(3)] == ["25", "25", "5"]
    assert [known[f"machines.{number}.spacing"] for number in range(2)] == ["4 m", "4 m"]
    page = desk.browser.get(f"/inquiries/{name}").text
    assert "as at the first operation, until another is typed here" in label(page, "parts.0.operations.1.gauge_every")
    assert "as between the first ones" in label(page, "machines.1.spacing")
    assert 'id="in-machines.2.spacing"' not in page  # nothing stands behind the last one


def test_words_say_which(desk: Served) -> None:
    """A changeover is that of one operation; deburring where somebody is missing is a post; a floor keeps its sides."""
    name = typed(desk, {"wishes.floor": "9 m x 3 m"})
    page = desk.browser.get(f"/inquiries/{name}").text

    assert label(page, "today.setup") == (
        "Changeover of a machine from one lot to the next, for one operation a part with two operations has two of "
        "them in each lot: of a time for both sides together, half"
    )  # fmt: skip
    assert "where somebody is missing, it is the work of a post that is empty" in label(page, "people.freed_use")
    assert '<option value="vacancy">work of somebody missing</option>' in page
    assert '<option value="finishing">finishing, nobody missing</option>' in page
    said = re.search(r'id="said-wishes.floor"[^>]*>(.*?)</p>', page, re.DOTALL)
    assert said is not None
    assert "read as 27\u202fm², its sides kept as 9 m x 3 m" in said[1]


def test_the_sides_of_a_floor_are_kept_with_its_fact() -> None:
    """As a note, unless somebody wrote another."""
    with_floor = SHOP.replace("wishes: {", "wishes: {floor: 9 m x 3 m, ")
    read = paper(with_floor).inquiry
    assert read is not None
    assert read.wishes.floor_m2 is not None
    assert (read.wishes.floor_m2.value, read.wishes.floor_m2.note) == (27.0, "9 m x 3 m")
    sides = read.wishes.floor_sides
    assert sides is not None
    assert (sides.long_m.value, sides.short_m.value, sides.short_m.id) == (9.0, 3.0, "wishes.floor_short")
    assert (sides.long_m.basis, sides.long_m.source) == ("given", read.wishes.floor_m2.source)
    plain = paper(with_floor.replace("9 m x 3 m", "27 m2")).inquiry
    assert plain is not None
    assert plain.wishes.floor_m2 is not None
    assert (plain.wishes.floor_m2.note, plain.wishes.floor_sides) == (None, None)
    judged = with_floor + "judged: {wishes.floor: {value: 12 m2, reason: seen on site}}\n"
    own = paper(judged).inquiry
    assert own is not None
    assert own.wishes.floor_sides is None


def test_a_time_offers_where_it_is_usually_known_from(desk: Served) -> None:
    """The time of a cycle from the control, one by hand from a watch; a mass has no such word; another may be typed."""
    name = typed(desk, {"shop.name": "Bushes and Pins", "parts.0.operations.0.time": "4 min"})
    page = desk.browser.get(f"/inquiries/{name}").text
    near = {
        path: page.partition(f'id="in-{path}"')[2].partition("</form>")[0]
        for path in ("parts.0.operations.0.time", "answered.today.elements.exchange.time", "parts.0.raw_mass")
    }

    known = [each.partition("<summary>")[2].partition("</summary>")[0] for each in near.values()]
    assert known == [
        "how it is known: from the control, a watch, …", "how it is known: by a watch, estimated, …", "how it is known"
    ]  # fmt: skip
    assert ['list="sources"' in each for each in near.values()] == [True, True, False]
    assert '<datalist id="sources"><option value="read from the control"></option>' in page
    desk.send(f"/inquiries/{name}/field", path="parts.0.operations.0.time", base=3, text="4 min", beside="yes",
              basis="measured", source="by the foreman's book")  # fmt: skip
    kept = 'time: {value: 4 min, basis: measured, source: "by the foreman\'s book"}'
    assert kept in open_inquiry(desk.app.state.desk, name).revision.text


def test_the_sheet_asks_for_the_shop_and_says_what_is_in_a_time(desk: Served) -> None:
    """Its name stands below that of the job; the exchange names door and blowing off, parts a year what they are."""
    page = desk.browser.get(f"/inquiries/{desk.begin('blank', '')}").text

    assert label(page, "shop.name").startswith("What the shop is called")
    assert page.index('id="in-name"') < page.index('id="in-shop.name"') < page.index('id="in-people.wage"')
    assert label(page, "answered.today.elements.exchange.time").startswith(
        "From the end of a cycle to the next start, with door and blowing off in it"
    )
    orders = label(page, "parts.0.orders_per_y")
    assert "could be sold, if all could be made" in orders
    assert "What is sold today follows from the good parts a shift" in orders


def test_a_change_of_tools_has_its_place_beside_how_often_it_comes(desk: Served) -> None:
    """What is counted meanwhile is the catalogue's figure with its range; what is typed there is today's own."""
    name = desk.begin()
    page = desk.browser.get(f"/inquiries/{name}").text
    inside = page.partition('id="in-fold-gauging-and-tools"')[2].partition('<details class="below"')[0]
    said = page.partition('id="said-today.tool_change"')[2].partition("</p>")[0]
    assert inside.index('id="field-parts.0.operations.0.tool_life"') < inside.index('id="field-today.tool_change"')
    assert "assumed: 240\u202fs (120 to 600)" in said
    assert "How long does a tool change with measuring take at these machines?" in said

    desk.send(f"/inquiries/{name}/field", path="today.tool_change", base=1, text="95 s")
    inquiry = open_inquiry(desk.app.state.desk, name).paper.inquiry
    assert inquiry is not None
    assert inquiry.today.tool_change_s is not None
    assert (inquiry.today.tool_change_s.value, inquiry.today.tool_change_s.id) == (95.0, "today.tool_change")
