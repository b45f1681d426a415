"""The HTTP interface does what the pages do: files, wishes, a concept placed by hand, what if, accounts, the log."""

import base64
from collections.abc import Iterator

import pytest

from millhand.run import packed
from millhand.web.kept_record import RECORD
from millhand.web.roles import BY_ROUTE
from tests.intake.test_inquiry_concepts import CELL
from tests.mapped_mill import mapped
from tests.web.others import ORIGIN, Shared, shared
from tests.web.serving import ORIGIN as DESKS
from tests.web.serving import Served, served, studied

BROWSERS_OWN = {  # how a browser comes in and goes, and what a page shows before something is kept
    "POST /enter", "POST /leave", "POST /password", "POST /programs", "POST /programs/end",
    "POST /inquiries/{name}/more",
}  # fmt: skip
AS_PROGRAM = {  # what a page sends, and what a program sends for it
    "POST /inquiries": "POST /api/inquiries",
    "POST /inquiries/files": "POST /api/inquiries",
    "POST /inquiries/{name}/marks": "PUT /api/inquiries/{name}/marks",
    "POST /inquiries/{name}/away": "PUT /api/inquiries/{name}/marks",
    "POST /inquiries/{name}/field": "PATCH /api/inquiries/{name}/field",
    "POST /inquiries/{name}/item": "POST /api/inquiries/{name}/item",
    "POST /inquiries/{name}/item/out": "POST /api/inquiries/{name}/item",
    "POST /inquiries/{name}/text": "PUT /api/inquiries/{name}/text",
    "POST /inquiries/{name}/undo": "POST /api/inquiries/{name}/undo",
    "POST /inquiries/{name}/files": "PATCH /api/inquiries/{name}/files",
    "POST /inquiries/{name}/files/out": "PATCH /api/inquiries/{name}/files",
    "POST /inquiries/{name}/back": "POST /api/inquiries/{name}/revisions/{number}/back",
    "POST /inquiries/{name}/work": "POST /api/inquiries/{name}/work",
    "POST /inquiries/{name}/concepts": "POST /api/inquiries/{name}/concepts",
    "POST /inquiries/{name}/concepts/out": "POST /api/inquiries/{name}/item",
    "POST /inquiries/{name}/concepts/plan": "PUT /api/inquiries/{name}/concepts/plan",
    "POST /inquiries/{name}/answers": "POST /api/inquiries/{name}/answers",
    "POST /inquiries/{name}/answers/take": "POST /api/inquiries/{name}/answers",
    "POST /inquiries/{name}/list/file": "PUT /api/inquiries/{name}/list",
    "POST /inquiries/{name}/list/keep": "PUT /api/inquiries/{name}/list",
    "POST /studies/{piece}/customer/issue": "POST /api/pieces/{piece}/issue",
    "POST /pieces/{piece}/cancel": "POST /api/pieces/{piece}/cancel",
    "POST /company": "PUT /api/company",
    "POST /accounts": "POST /api/accounts",
    "POST /accounts/{name}/role": "PUT /api/accounts/{name}/role",
    "POST /accounts/{name}/password": "PUT /api/accounts/{name}/password",
    "POST /accounts/{name}/out": "DELETE /api/accounts/{name}",
    "GET /audit": "GET /api/audit",
    "GET /inquiries/{name}/concepts/plan/answer": "GET /api/inquiries/{name}/concepts/plan",
    "GET /inquiries/{name}/concepts/plan/simulated": "GET /api/inquiries/{name}/concepts/plan",
    "GET /studies/{piece}/{copy}/whatif/figures": "GET /api/pieces/{piece}/{copy}/whatif",
    "GET /studies/{piece}/{copy}/whatif/simulated": "GET /api/pieces/{piece}/{copy}/whatif",
}


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file that need no accounts."""
    with served(tmp_path_factory.mktemp("api_desk")) as found:
        yield found


@pytest.fixture(scope="module")
def others(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shared]:
    """One that serves others."""
    with shared(tmp_path_factory.mktemp("api_others")) as found:
        yield found


def test_whatever_a_page_changes_a_program_can_change() -> None:
    """A page that sends something new needs its operation here; each has the role that its page has."""
    sent = {each for each in BY_ROUTE if each.startswith("POST /") and not each.startswith("POST /api/")}
    assert sent - BROWSERS_OWN == {each for each in AS_PROGRAM if each.startswith("POST")}
    assert set(AS_PROGRAM.values()) <= set(BY_ROUTE)
    assert {page: BY_ROUTE[page] for page in AS_PROGRAM} == {page: BY_ROUTE[own] for page, own in AS_PROGRAM.items()}


def test_files_come_and_go(desk: Served) -> None:
    """As a new revision each time; the content is as it was sent, and a path that leads elsewhere is refused."""
    name = desk.begin()
    at = f"/api/inquiries/{name}/files"
    content = base64.b64encode(b"part;length\n").decode()
    told = desk.browser.patch(at, json={"base": 1, "add": {"lists/a.csv": content}}, headers=DESKS).json()
    assert told["files"] == ["lists/a.csv"]
    assert desk.browser.get(f"{at}/lists/a.csv").content == b"part;length\n"
    bad = desk.browser.patch(at, json={"base": 2, "add": {"../a.csv": content}}, headers=DESKS)
    assert bad.json()["errors"][0]["code"] == "evidence_outside"
    told = desk.browser.patch(at, json={"base": 2, "out": ["lists/a.csv"]}, headers=DESKS).json()
    assert told["files"] == []
    assert desk.browser.get(f"{at}/lists/a.csv").status_code == 404


def test_a_concept_is_wished_placed_and_answered(desk: Served) -> None:
    """The same words as on its page; a key that is none and half a place are told."""
    name = desk.begin()
    at = f"/api/inquiries/{name}/concepts"
    said = {"base": 1, "of": CELL, "treatment": "left_out", "by": "the foreman", "reason": "no room"}
    assert desk.browser.post(at, json=said, headers=DESKS).json()["errors"] == []
    text = desk.browser.get(f"/api/inquiries/{name}/text").text
    assert "is: left_out" in text
    assert "the foreman" in text

    far = {"of": CELL, "arm_x": "1371 mm", "arm_y": "-3 m", "presenter_x": "1371 mm", "presenter_y": "-4 m"}
    told = desk.browser.get(f"{at}/plan", params={"wish": [f"{key}={text}" for key, text in far.items()]}).json()
    reach = next(each for each in told["shown"]["checks"] if each["words"] == "Reach of the arm")
    assert reach["mark"] == "✕"
    assert told["shown"]["plan"].startswith("<svg")
    assert {"reach of the arm", "opening of a door"} <= {*told["shown"]["legend"]}
    assert {"name": "arm", "x": "1371", "y": "-3000"}.items() <= told["shown"]["pieces"][0].items()
    half = desk.browser.get(f"{at}/plan", params={"wish": [f"of={CELL}", "arm_x=1 m"]}).json()
    assert "arm" in half["errors"][0]
    for wrong, code in (("colour=blue", "no_key"), ("blue", "no_pair")):
        answer = desk.browser.get(f"{at}/plan", params={"wish": [wrong]})
        assert (answer.status_code, answer.json()["errors"][0]["code"]) == (422, code)
    kept = desk.browser.put(f"{at}/plan", json={"base": 2, "wish": far}, headers=DESKS)
    assert kept.json()["kept_aside"] is False
    assert 'pinned: [{what: arm, x: 1371 mm, y: "-3 m"}' in desk.browser.get(f"/api/inquiries/{name}/text").text


def test_a_figure_is_moved(desk: Served) -> None:
    """Payback and worth before and after, of the customer's copy without what is internal; no other figure is taken."""
    at = f"/api/pieces/{studied(desk.store, desk.begin(), {'own': {RECORD: packed(mapped())}})}"
    still = desk.browser.get(f"{at}/own/whatif").json()
    asked = {"to": "people.wage=40"}
    moved = desk.browser.get(f"{at}/own/whatif", params=asked).json()
    assert still["after"] == still["before"] == moved["before"]
    assert moved["after"]["npv_money"] > moved["before"]["npv_money"]
    assert desk.browser.get(f"{at}/own/whatif", params=asked | {"simulate": True}).json()["simulated"]
    told = {copy: desk.browser.get(f"{at}/{copy}/whatif").json() for copy in ("own", "customer")}
    names = {copy: {each["fact"] for each in told[copy]["figures"]} for copy in told}
    assert names["customer"] <= names["own"]
    assert not [each for each in names["customer"] if "cost" in each or "margin" in each]
    wrongs = {"people.wage=a lot": "not_a_number", "people.wage=nan": "not_a_number", "x=1": "no_lever"}
    for wrong, code in wrongs.items():
        answer = desk.browser.get(f"{at}/own/whatif", params={"to": wrong})
        assert (answer.status_code, answer.json()["errors"][0]["code"]) == (422, code)


def test_an_owners_program_looks_after_accounts(others: Shared) -> None:
    """One more, another role, another password, one less; the log has each, and no hash leaves the house."""
    own = others.signed_in("olga").browser
    sent = {"name": "NILS", "role": "reader", "password": "four red wagons"}
    made = own.post("/api/accounts", json=sent, headers=ORIGIN)
    assert (made.status_code, made.json()["name"], made.json()["role"]) == (201, "nils", "reader")
    assert set(made.json()) == {"name", "role", "made_at", "changed_at"}
    assert own.post("/api/accounts", json=sent, headers=ORIGIN).json()["errors"][0]["code"] == "account_taken"
    weak = own.put("/api/accounts/nils/password", json={"password": "short"}, headers=ORIGIN)
    assert weak.json()["errors"][0]["code"] == "weak_password"
    assert own.put("/api/accounts/nils/role", json={"role": "engineer"}, headers=ORIGIN).json()["role"] == "engineer"
    new = {"password": "five red wagons"}
    assert own.put("/api/accounts/nils/password", json=new, headers=ORIGIN).status_code == 200
    others.passwords["nils"] = "five red wagons"
    assert others.signed_in("nils").browser.get("/api/accounts").status_code == 403
    left = own.delete("/api/accounts/nils", headers=ORIGIN).json()
    assert "nils" not in {each["name"] for each in left}
    last = own.delete("/api/accounts/olga", headers=ORIGIN)
    assert last.json()["errors"][0]["code"] == "last_owner"
    assert own.delete("/api/accounts/nobody", headers=ORIGIN).status_code == 404
    lines = [each["what"] for each in own.get("/api/audit", params={"words": "nils"}).json()]
    assert lines[0] == "took an account away"
    assert {"made an account", "changed a role", "set a new password"} <= set(lines)


def test_where_this_machine_alone_is_served_there_are_no_accounts(desk: Served) -> None:
    """Neither to read nor to make."""
    assert desk.browser.get("/api/accounts").status_code == 404
    sent = {"name": "nils", "role": "owner", "password": "four red wagons"}
    assert desk.browser.post("/api/accounts", json=sent, headers=DESKS).status_code == 404
