"""The call sheet: what a talk on the phone gives has its place there, and says how it was read."""

import re
from collections.abc import Iterator

import pytest

from millhand.intake.fields import kind_of
from millhand.web.desk import open_inquiry
from millhand.web.sheet import call_sheet, shown_on_sheet
from tests.web.serving import ORIGIN, Served, served

# Notes from a call at an invented turning shop, field by field as people write.
FIRST = {
    "people.wage": "26 EUR", "people.operators": "1", "shifts": "6am-2pm, 2pm-10pm", "machines.0.kind": "lathe",
    "machines.0.count": "2", "machines.0.control": "free_outputs", "machines.0.door": "powered",
    "machines.0.clamping": "powered_chuck", "parts.0.shape": "round", "parts.0.raw": "70 dia x 40 mm",
    "parts.0.raw_mass": "0,9 kg", "parts.0.lot_size": "150", "parts.0.orders_per_y": "84 000",
    "parts.0.operations.0.time": "2,5 min", "parts.0.operations.0.time_is": "cycle", "today.parts_per_shift": "190",
    "wishes.hurdle": "2 years", "wishes.budget": "180 000 EUR",
}  # fmt: skip
FOLDED = {
    "answered.today.elements.exchange.time": "32", "answered.today.elements.gauge.time": "40 s",
    "parts.0.operations.0.gauge_every": "10", "people.on_cost": "26", "machines.0.age": "6",
    "answered.shifts.shift_2.operators": "0.5", "answered.shifts.shift_2.breaks.pause.length": "30",
    "wishes.floor": "9 m x 3 m", "parts.0.operations.0.good": "98 %", "money.raw_cost": "1.10 EUR",
}  # fmt: skip
READ = {
    "people.wage": "26 EUR an hour", "parts.0.raw_mass": "0.9 kg", "parts.0.operations.0.time": "2.5 min",
    "answered.today.elements.exchange.time": "32 s", "people.on_cost": "26 %", "machines.0.age": "6 years",
    "answered.shifts.shift_2.breaks.pause.length": "30 min", "wishes.floor": "27 m², its sides kept as 9 m x 3 m",
    "wishes.budget": "180 000 EUR",
}  # fmt: skip


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("sheet")) as found:
        yield found


@pytest.fixture(scope="module")
def filled(desk: Served) -> str:
    """The shop typed from a blank sheet; its inquiry."""
    name = desk.begin("blank", "")
    for base, (path, text) in enumerate({**FIRST, **FOLDED}.items(), start=1):
        desk.send(f"/inquiries/{name}/field", path=path, base=base, text=text)
    return name


def said(page: str, path: str) -> str:
    """What a page says of a field, in plain blanks."""
    found = re.search(rf'id="said-{re.escape(path)}"[^>]*>(.*?)</p>', page, re.DOTALL)
    assert found is not None, path
    return " ".join(re.sub(r"<[^>]+>", "", found[1]).split())


def test_a_blank_sheet_has_a_place_for_each_of_them_and_says_what_is_assumed(desk: Served) -> None:
    """Before anything is typed: what is needed is named with its link, the rest shows value and range."""
    name = desk.begin("blank", "")
    page = desk.browser.get(f"/inquiries/{name}").text
    shown = {each.path: each for each in shown_on_sheet(open_inquiry(desk.app.state.desk, name).paper)}

    assert {*FIRST, *(path for path in FOLDED if "shift_2" not in path)} <= {*shown}
    assert not [path for path in shown if "shift_2" in path or "gauge.every_n" in path]
    assert said(page, "people.on_cost").startswith("≈ assumed: 28 % (19 to 42)")
    assert said(page, "answered.today.elements.exchange.time").startswith("≈ assumed: 45 s (20 to 90)")
    needed = [path for path, each in shown.items() if each.needed]
    assert {*needed} == {*re.findall(r'href="#field-([^"]+)"', page)}
    assert "people.operators" in needed
    assert all(shown[path].known is None for path in needed)


def test_a_turning_shop_as_people_type_it_can_be_worked_out(desk: Served, filled: str) -> None:
    """Every field is taken; what could have been read otherwise says how it was read; the file holds it as typed."""
    page = desk.browser.get(f"/inquiries/{filled}").text
    own = open_inquiry(desk.app.state.desk, filled)

    assert own.paper.errors == ()
    assert {path: said(page, path).partition("read as ")[2] for path in READ} == READ
    assert "read as" not in said(page, "answered.today.elements.gauge.time")
    assert {'raw_mass: "0,9 kg"', "floor: 9 m x 3 m", "today.elements.exchange.time: 32"} <= {
        line.strip() for line in own.revision.text.splitlines()
    }
    inquiry = own.paper.inquiry
    assert inquiry is not None
    early, late = inquiry.shifts
    assert (early.start_s.value, late.start_s.value, late.length_s.value) == (6 * 3600, 14 * 3600, 8 * 3600)
    assert (early.operators.value, late.operators.value) == (1, 0.5)
    assert late.breaks[0].length_s.value == 1800
    assert {each.name: each.time_s.value for each in inquiry.today.elements}["exchange"] == 32
    assert [each.title for each in call_sheet(own.paper)][-1] == "What is wanted"


def test_a_further_operation_is_begun_on_the_same_machines(desk: Served, filled: str) -> None:
    """Its fields stand in a fold of their own, open while one is needed; the list of what is needed leads there."""
    before = desk.browser.get(f"/inquiries/{filled}").text
    assert "Operation 2" not in before

    where = desk.send(f"/inquiries/{filled}/more", path="parts.0.operations")

    page = desk.browser.get(f"/inquiries/{filled}").text
    assert where == f"/inquiries/{filled}#field-parts.0.operations.1.machine"
    fold = next(each for each in page.split("<details") if ">Operation 2 <" in each)
    assert fold.startswith(' class="below" data-fold="operation-2" open>')
    assert '<option value="machine_1" selected>machine 1</option>' in page
    assert 'href="#field-parts.0.operations.1.time"' in page
    assert "A third operation" in page
    desk.send(f"/inquiries/{filled}/undo")


def test_any_name_of_a_machine_goes_with_a_further_operation(desk: Served) -> None:
    """Also one that is wrong, or would be something else in the file."""
    name = desk.begin("blank", "")
    desk.send(f"/inquiries/{name}/field", path="parts.0.operations.0.machine", base=1, text="a: b, 'c")
    desk.send(f"/inquiries/{name}/more", path="parts.0.operations")

    known = {each.path: each.text for each in open_inquiry(desk.app.state.desk, name).paper.fields()}
    assert known["parts.0.operations.1.machine"] == "a: b, 'c"


def test_only_what_the_sheet_adds_is_added(desk: Served, filled: str) -> None:
    """Any other path is refused in words."""
    data = {"path": "money", "form_key": desk.form_key}
    answer = desk.browser.post(f"/inquiries/{filled}/more", data=data, headers=ORIGIN)

    assert answer.status_code == 422
    assert "a list that the call sheet adds to" in answer.text


def test_what_is_wrong_elsewhere_stands_on_the_sheet_too(desk: Served) -> None:
    """A field that the sheet does not have is shown there once it is wrong, and so are its words."""
    name = desk.begin()
    path = "parts.0.bears"
    desk.send(f"/inquiries/{name}/field", path=path, base=1, text="much")

    paper = open_inquiry(desk.app.state.desk, name).paper
    last = call_sheet(paper)[-1]
    assert (last.title, [(each.path, kind_of(each)) for each in last.fields]) == (
        "To mend elsewhere in the file", [(path, "wrong")]
    )  # fmt: skip
    assert "write a force, such as 400 N" in said(desk.browser.get(f"/inquiries/{name}").text, path)


def test_two_readings_are_both_said_at_the_field(desk: Served) -> None:
    """Where a number alone could have two units the words name both, as they would be written."""
    name = desk.begin()
    desk.send(f"/inquiries/{name}/field", path="wishes.hurdle", base=1, text="2")
    page = desk.browser.get(f"/inquiries/{name}").text

    assert "write 2 months or 2 years: &#39;2&#39; can be read both ways" in said(page, "wishes.hurdle")
