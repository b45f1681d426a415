"""Every route says which role it needs, and keeps to it; every change leaves a line with who made it."""

import base64
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.routing import Mount
from starlette.testclient import TestClient

from millhand.store import work
from millhand.store.accounts import ENGINEER, OWNER, READER, ROLES, may
from millhand.store.deeds import Deed, all_deeds
from millhand.store.inquiries import Begun, begin
from millhand.web import roles
from millhand.web.guard import form_key
from millhand.web.papering import Papering
from millhand.web.roles import ANYBODY, BY_ROUTE, NEEDED
from tests.intake.test_inquiry_concepts import CELL
from tests.web.others import ORIGIN, PASSWORDS, Person, Shared, shared
from tests.web.serving import filled, studied

CHANGES = ("POST", "PUT", "PATCH", "DELETE")
FORMS: dict[str, dict[str, object]] = {  # what each changing page is sent; the rest is JSON
    "POST /enter": {"name": "emil", "password": PASSWORDS["emil"]},
    "POST /leave": {},
    "POST /password": {"now": PASSWORDS["olga"], "new": PASSWORDS["olga"]},
    "POST /programs": {},
    "POST /programs/end": {"token": "{token}"},
    "POST /accounts": {"name": "nils", "role": "reader", "password": "four red wagons"},
    "POST /accounts/{name}/role": {"role": "engineer"},
    "POST /accounts/{name}/password": {"password": "five red wagons"},
    "POST /accounts/{name}/out": {},
    "POST /inquiries": {"kind": "blank"},
    "POST /inquiries/{name}/marks": {"state": "won", "tags": "x"},
    "POST /inquiries/{name}/away": {"put": "false"},
    "POST /inquiries/{name}/field": {"path": "people.wage", "base": "{base}", "text": "31 USD/h"},
    "POST /inquiries/{name}/item": {"path": "machines", "base": "{base}"},
    "POST /inquiries/{name}/more": {"path": "machines"},
    "POST /inquiries/{name}/item/out": {"path": "machines", "number": 0, "base": "{base}"},
    "POST /inquiries/{name}/text": {"text": "name: y\n", "base": "{base}"},
    "POST /inquiries/{name}/undo": {},
    "POST /inquiries/{name}/files/out": {"path": "a.csv", "base": "{base}"},
    "POST /inquiries/{name}/back": {"number": 1},
    "POST /inquiries/{name}/work": {},
    "POST /inquiries/{name}/concepts": {"base": "{base}", "of": CELL, "treatment": "kept", "by": "the foreman"},
    "POST /inquiries/{name}/concepts/out": {"base": "{base}", "number": 0},
    "POST /inquiries/{name}/concepts/plan": {"base": "{base}", "of": CELL, "arm_x": "1 m", "arm_y": "-3 m"},
    "POST /inquiries/{name}/answers/take": {"base": "{base}", "sheet": "{sheet}"},
    "POST /inquiries/{name}/list/keep": {"base": "{base}", "c_name": "part"},
    "POST /studies/{piece}/customer/issue": {"on": "2027-01-31"},
    "POST /company": {"name": "Example Cells"},
    "POST /pieces/{piece}/cancel": {},
}
FILES = {  # the field of the file, its name, its content
    "POST /inquiries/files": ("files", "a.yaml", b"name: a\n"),
    "POST /inquiries/{name}/files": ("files", "a.csv", b"name: a\n"),
    "POST /inquiries/{name}/list/file": ("file", "parts.csv", b"part;length [mm]\nshaft;80\n"),
}
QUIET = frozenset({"POST /inquiries/{name}/answers"})  # only looks: what is sent is shown, and kept by another form
SENT: dict[str, Any] = {
    "POST /api/inquiries": {"kind": "blank"},
    "PUT /api/inquiries/{name}/text": {"base": "{base}", "text": "name: z\n"},
    "PATCH /api/inquiries/{name}/field": {"base": "{base}", "path": "people.wage", "text": "32 USD/h"},
    "POST /api/inquiries/{name}/item": {"base": "{base}", "path": "machines"},
    "POST /api/inquiries/{name}/undo": {},
    "PUT /api/inquiries/{name}/marks": {"state": "lost", "tags": "y"},
    "POST /api/inquiries/{name}/revisions/{number}/back": {},
    "POST /api/inquiries/{name}/work": {},
    "POST /api/pieces/{piece}/cancel": {},
    "POST /api/pieces/{piece}/issue": {"on": "2027-01-31", "language": "de"},
    "POST /api/inquiries/{name}/answers": {"base": "{base}", "sheet": "{sheet}"},
    "PUT /api/inquiries/{name}/list": {"base": "{base}", "file": "a.csv", "columns": {"name": "part"}},
    "PATCH /api/inquiries/{name}/files": {"base": "{base}", "add": {"b.csv": "MQ=="}, "out": ["a.csv"]},
    "POST /api/inquiries/{name}/concepts": {"base": "{base}", "of": CELL, "treatment": "left_out", "by": "the foreman"},
    "PUT /api/inquiries/{name}/concepts/plan": {"base": "{base}", "wish": {"of": CELL, "arm_x": "1 m", "arm_y": "2 m"}},
    "POST /api/accounts": {"name": "nils", "role": "reader", "password": "four red wagons"},
    "PUT /api/accounts/{name}/role": {"role": "engineer"},
    "PUT /api/accounts/{name}/password": {"password": "five red wagons"},
    "DELETE /api/accounts/{name}": {},
    "PUT /api/company": {"details": {"name": "Other Cells"}},
}
EXAMPLE = Path("examples/1_two_mills/inquiry.yaml").read_text(encoding="utf-8")
ENDS = ("", "/form", "/questions", "/concepts", "/list", "/files", "/text", "/history", "/proposals")
NOWHERE = {"name": "none", "piece": "none", "copy": "own", "part": "x", "concept": "x", "number": 1}
WISHED = f"{EXAMPLE}concepts:\n  - {{name: west, is: left_out, of: {CELL}}}\n"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shared]:
    """One app for all tests of this file."""
    with shared(tmp_path_factory.mktemp("roles")) as found:
        yield found


def declared(desk: Shared) -> set[str]:
    """Every route of the app, as its table names it."""
    found = set()
    for route in desk.app.state.gate.routes:
        if not isinstance(route, Mount):
            found |= {f"{method} {route.path}" for method in route.methods if method != "HEAD"}
    return found


def test_every_route_says_which_role_it_needs(desk: Shared) -> None:
    """A route without a role, or a role for a route that is not there: put it into `web/roles.py`."""
    assert declared(desk) - set(BY_ROUTE) == set(), "these routes need a line in web/roles.py"
    assert set(BY_ROUTE) - declared(desk) == set(), "these routes are no longer there"
    assert len(BY_ROUTE) == sum(map(len, NEEDED.values()))
    described = {f"{how.upper()} {path}" for path, asked in desk.app.openapi()["paths"].items() for how in asked}
    assert len(described) > 15
    assert {each.replace("{path}", "{path:path}") for each in described} <= set(BY_ROUTE)  # the gate knows them all


def test_what_changes_something_is_for_no_reader() -> None:
    """But for what is one's own: password, tokens, going."""
    own = {"POST /password", "POST /programs", "POST /programs/end", "POST /leave"}
    assert {each for each in NEEDED[READER] if each.startswith(CHANGES)} == own
    assert {each for each in NEEDED[ANYBODY] if each.startswith(CHANGES)} == {"POST /enter"}


def test_a_route_that_was_forgotten_is_for_owners_alone(desk: Shared, monkeypatch: pytest.MonkeyPatch) -> None:
    """It opens nothing to anybody else."""
    rita, olga = desk.signed_in("rita"), desk.signed_in("olga")
    monkeypatch.setattr(roles, "BY_ROUTE", {})
    assert rita.browser.get("/").status_code == 403
    assert olga.browser.get("/").status_code == 200


@pytest.mark.parametrize("name", ["rita", "emil", "olga"])
def test_every_route_keeps_to_its_role(desk: Shared, name: str) -> None:
    """Whoever has less is refused before anything is looked at; whoever has enough is not."""
    role = {"rita": "reader", "emil": "engineer", "olga": "owner"}[name]
    person, stranger = desk.signed_in(name), desk.stranger()
    for route, needed in BY_ROUTE.items():
        method, _, path = route.partition(" ")
        where = path.replace("{path:path}", "x").format(**NOWHERE)
        if route in ("POST /leave", "POST /enter") or path.startswith("/static/"):
            continue
        answer = person.browser.request(method, where, headers=ORIGIN, follow_redirects=False)
        refused = answer.status_code == 403 and "Your account has the role" in answer.text
        assert refused == (needed != ANYBODY and not may(role, needed)), (route, answer.status_code)
        if needed != ANYBODY:
            assert stranger.request(method, where, headers=ORIGIN).status_code == 401, route


def test_roles_stand_in_order() -> None:
    """Each may do what those before it may; a word that is no role may nothing."""
    assert [[may(role, needed) for needed in ROLES] for role in ROLES] == [
        [True, False, False], [True, True, False], [True, True, True],
    ]  # fmt: skip
    assert not may("", READER)
    assert not may("admin", OWNER)


def test_every_change_leaves_a_line_with_who_made_it(
    desk: Shared, issuable: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sample for each route that changes something: a new one needs its own here. The papers are no real ones."""
    monkeypatch.setattr(Papering, "pdf", lambda *_: b"%PDF-")
    monkeypatch.setattr(Papering, "pages", lambda *_: ())
    monkeypatch.setattr(Papering, "report", lambda *_: b"")
    changing = [route for route in BY_ROUTE if route.startswith(CHANGES) and route not in QUIET]
    assert set(changing) == set(FORMS) | set(FILES) | set(SENT), "each changing route needs a sample in this file"
    sheet, silent = "", {}
    for route in changing:
        person = desk.signed_in("olga")
        known = prepared(desk, person) | {"studied": issuable}
        sheet = sheet or filled_sheet(person, known["name"])
        known |= somebody(person, route)
        before = newest(desk)
        answer = sent(person.browser, route, known | {"sheet": sheet}, form_key(person.secret))
        assert answer.status_code < 400, (route, answer.text)
        lines = lines_since(desk, before)
        if not [each for each in lines if each.who in ("olga", "emil")]:
            silent[route] = lines
    assert silent == {}


def test_what_only_looks_changes_nothing(desk: Shared) -> None:
    """A filled sheet is read and shown; the inquiry stays as it was, and no line is left."""
    person = desk.signed_in("emil")
    known = prepared(desk, person)
    at = f"/inquiries/{known['name']}/answers"
    assert {f"POST {at.replace(known['name'], '{name}')}"} == QUIET
    sheet = base64.b64decode(filled_sheet(person, known["name"]))
    asked = f"/api/inquiries/{known['name']}"
    before, line = person.browser.get(asked).json(), newest(desk)
    form = {"form_key": form_key(person.secret)}
    answer = person.browser.post(at, data=form, files={"sheet": ("back.xlsx", sheet)}, headers=ORIGIN)

    assert answer.status_code == 200
    assert "people.handover" in answer.text
    assert person.browser.get(asked).json() == before
    assert lines_since(desk, line) == []


@pytest.fixture(scope="module")
def issuable(desk: Shared) -> str:
    """A finished study whose proposal can be issued."""
    with desk.store.writing() as connection:
        inquiry = begin(connection, Begun(name="studied", text="name: studied\n"), "me")
    files = {"study.json": b"{}", "pages/answer": b"<p>", "pages/way-by_hand-x": b"<p>"}
    return studied(desk.store, inquiry.id, {"own": files, "customer": files})


@pytest.mark.parametrize("name", ["rita", "emil", "olga"])
def test_no_page_offers_what_its_role_refuses(desk: Shared, issuable: str, name: str) -> None:
    """Each form that is seen leads to a route that whoever sees it may take; to readers most are hidden or disabled."""
    job = prepared(desk, desk.signed_in("emil"))["name"]
    plan = {"of": CELL, "arm_x": "nowhere"}  # said to be wrong before anything is worked out
    person, role, seen = desk.signed_in(name), {"rita": READER, "emil": ENGINEER, "olga": OWNER}[name], set()
    for path, asked in (
        ("/", {}), ("/company", {}), ("/issued", {}), (f"/studies/{issuable}/own/proposal", {}),
        (f"/studies/{issuable}/own/way-by_hand-x", {}), (f"/inquiries/{job}/concepts/plan", plan),
        *((f"/inquiries/{job}{end}", {}) for end in ENDS),
    ):  # fmt: skip
        page = person.browser.get(path, params=asked)
        assert page.status_code == 200, path
        reads = '<body class="reads">' in page.text
        for tag in re.findall(r"<form[^>]* method=\"post\"[^>]*>|<button[^>]* formaction=[^>]*>", page.text):
            if reads and tag.startswith("<form") and 'class="own' not in tag:
                continue  # not shown to who only reads
            where = tag.split('action="')[1].split('"')[0]
            scope = {"type": "http", "method": "POST", "path": where, "root_path": "", "headers": []}
            assert may(role, roles.needed(desk.app.state.gate.routes, scope)), (path, where)
            seen.add(where)
    assert ("/company" in seen) == (role == OWNER)
    assert (f"/inquiries/{job}/concepts/plan" in seen) == (role != READER)


def filled_sheet(person: Person, name: str) -> str:
    """The question sheet of an inquiry with one answer, in base64."""
    sheet = person.browser.get(f"/inquiries/{name}/questions.xlsx").content
    return base64.b64encode(filled(sheet, {"people.handover": "7 min"})).decode("ascii")


def lines_since(desk: Shared, number: int) -> list[Deed]:
    """The lines after one."""
    with desk.store.reading() as connection:
        return [each for each in all_deeds(connection, "", 0, 20) if each.number > number]


def prepared(desk: Shared, person: Person) -> dict[str, str]:
    """An inquiry with two revisions, a wish and a file, a piece of work, an account and a token."""
    with desk.store.writing() as connection:
        connection.exec_driver_sql("DELETE FROM accounts WHERE name = 'nils'")
        connection.exec_driver_sql("DELETE FROM tries")
    headers = {**ORIGIN}
    begun = {"kind": "text", "text": WISHED, "files": {"a.csv": "MQ=="}}
    name = person.browser.post("/api/inquiries", json=begun, headers=headers).json()["id"]
    field = {"base": 1, "path": "people.wage", "text": "30 USD/h"}
    person.browser.patch(f"/api/inquiries/{name}/field", json=field, headers=headers)
    with desk.store.writing() as connection:
        piece = work.ask(connection, name, 1, {"seed": 1}, "me").id
    person.send("/programs")
    token = person.browser.get("/programs").text.split('name="token" value="')[1].split('"')[0]
    return {"name": name, "piece": piece, "base": "2", "number": "1", "token": token}


def somebody(person: Person, route: str) -> dict[str, str]:
    """The account that a route about one is sent for, made before."""
    if "/accounts/{name}" not in route:
        return {}
    data = {"name": "nils", "role": "reader", "password": "four red wagons", "form_key": form_key(person.secret)}
    assert person.browser.post("/accounts", data=data, headers=ORIGIN).status_code == 200
    return {"name": "nils"}


def newest(desk: Shared) -> int:
    """The number of the last line."""
    with desk.store.reading() as connection:
        return all_deeds(connection, "", 0, 1)[0].number


def sent(browser: TestClient, route: str, known: dict[str, str], key: str) -> Any:
    """The sample of a route, sent."""
    method, _, path = route.partition(" ")
    where = path.format(**known | ({"piece": known["studied"]} if path.endswith("/issue") else {}))
    if route in SENT:
        return browser.request(method, where, json=meant(SENT[route], known), headers=ORIGIN)
    form = {name: str(value) for name, value in meant(FORMS.get(route, {"base": "{base}"}), known).items()}
    files = {FILES[route][0]: FILES[route][1:]} if route in FILES else None
    return browser.request(
        method, where, data=form | {"form_key": key}, files=files, headers=ORIGIN, follow_redirects=False
    )


def meant(sample: dict[str, Any], known: dict[str, str]) -> dict[str, Any]:
    """A sample with what it names in braces: the revision as a number, all else as text."""
    named = {"{base}": int(known["base"]), "{token}": known["token"], "{sheet}": known["sheet"]}
    return {key: named.get(value, value) if isinstance(value, str) else value for key, value in sample.items()}
