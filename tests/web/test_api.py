"""The HTTP interface: asked anything that its description allows, it never fails; and it does what the pages do."""

import base64
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import httpx2 as httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from tests.web.live import Live, live


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    """One server for all tests of this file."""
    with live(tmp_path_factory.mktemp("api")) as found:
        yield found


@pytest.fixture
def program(server: Live) -> Iterator[httpx.Client]:
    """A program with a token."""
    with httpx.Client(base_url=server.url, headers=server.headers, timeout=30) as client:
        yield client


def test_the_interface_holds_to_its_own_description(server: Live) -> None:
    """Each operation, with what its description allows and what it does not: no failure of the server, no answer that
    the description does not know."""
    schema = schemathesis.openapi.from_url(f"{server.url}/api/openapi.json", headers=server.headers)
    checks = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
    begun = httpx.post(f"{server.url}/api/inquiries", json={"kind": "blank"}, headers=server.headers, timeout=30)
    known = {"name": begun.json()["id"], "number": 1}
    operations = list(schema.get_all_operations())

    assert len(operations) > 15
    for operation in operations:
        one = operation.ok()
        asks = bool(list(one.iter_parameters()) or len(one.body))
        assert fuzzed(one, server.headers, checks, known) >= (3 if asks else 1), one.label


def fuzzed(operation: Any, headers: dict[str, str], checks: list[Any], known: dict[str, Any]) -> int:
    """Ask one operation with eight cases out of its description, every second one about what is there; how many."""
    count = 0

    @settings(max_examples=8, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(case=operation.as_strategy())
    def ask(case: Any) -> None:
        nonlocal count
        count += 1
        if count % 2:
            case.path_parameters = {name: known.get(name, each) for name, each in (case.path_parameters or {}).items()}
        case.validate_response(case.call(headers=headers), checks=checks)

    ask()
    return count


def test_a_job_goes_from_nothing_to_a_question_list(program: httpx.Client) -> None:
    """Begin, read, change, undo, mark, ask: all as JSON."""
    bare = program.post("/api/inquiries", json={"kind": "blank"}).json()
    assert {each["text"] for each in bare["fields"] if each["path"].startswith(("people", "today", "wishes"))} == {""}
    own = program.post("/api/inquiries", json={"kind": "example", "name": "1_two_mills"})
    assert own.status_code == 201
    name, base = own.json()["id"], own.json()["base"]
    assert {"path": "people.wage", "kind": "typed", "text": "29 USD/h"}.items() <= next(
        each for each in own.json()["fields"] if each["path"] == "people.wage"
    ).items()

    sent = {"base": base, "path": "people.wage", "text": "a lot"}
    wrong = program.patch(f"/api/inquiries/{name}/field", json=sent)
    assert wrong.status_code == 200
    assert wrong.json()["errors"][0]["read"] == "a lot"
    assert program.post(f"/api/inquiries/{name}/undo").json()["errors"] == []
    assert program.put(f"/api/inquiries/{name}/marks", json={"state": "won", "tags": "x"}).json()["state"] == "won"
    assert program.get(f"/api/inquiries/{name}/questions").json()[0]["facts"]
    assert [each["number"] for each in program.get(f"/api/inquiries/{name}/revisions").json()] == [3, 2, 1]
    assert program.get("/api/inquiries", params={"words": "two mills", "state": "won"}).json()[0]["id"] == name


def test_of_two_programs_at_one_place_the_later_is_told(program: httpx.Client) -> None:
    """409, and what it sent is kept aside."""
    name = program.post("/api/inquiries", json={"kind": "example", "name": "1_two_mills"}).json()["id"]
    sent = {"base": 1, "path": "people.wage", "text": "31 USD/h"}
    assert program.patch(f"/api/inquiries/{name}/field", json=sent).status_code == 200
    later = program.patch(f"/api/inquiries/{name}/field", json=sent | {"text": "33 USD/h"})

    assert later.status_code == 409
    assert later.json()["kept_aside"] is True
    assert "33 USD/h" in program.get(f"/api/inquiries/{name}/revisions").json()[0]["text"]


def test_an_inquiry_with_errors_is_not_worked_out(program: httpx.Client) -> None:
    """422 with the place, what was read and what to write."""
    name = program.post("/api/inquiries", json={"kind": "text", "text": "name: x\n"}).json()["id"]
    answer = program.post(f"/api/inquiries/{name}/work", json={})

    assert answer.status_code == 422
    assert answer.json()["errors"][0].keys() >= {"code", "where", "read", "write"}


def test_files_come_in_as_base64(program: httpx.Client) -> None:
    """What is none is told."""
    folder = Path("examples/4_tiny_lots")
    text = (folder / "inquiry.yaml").read_text(encoding="utf-8")
    files = {"parts.csv": base64.b64encode((folder / "parts.csv").read_bytes()).decode()}
    assert program.post("/api/inquiries", json={"kind": "text", "text": text, "files": files}).json()["errors"] == []
    bad = program.post("/api/inquiries", json={"kind": "text", "text": text, "files": {"parts.csv": "%"}})
    (told,) = bad.json()["errors"]
    assert told["words"] == "/files: read 'what is no base64'; write the content in base64."


def test_a_hundred_readers_at_once_are_all_served(server: Live, program: httpx.Client) -> None:
    """And somebody who writes meanwhile is, too."""
    name = program.post("/api/inquiries", json={"kind": "example", "name": "1_two_mills"}).json()["id"]
    paths = ["/", f"/inquiries/{name}", f"/inquiries/{name}/form?of=people", f"/api/inquiries/{name}", "/api/inquiries"]

    def read(number: int) -> int:
        """One reader."""
        return httpx.get(server.url + paths[number % len(paths)], headers=server.headers, timeout=60).status_code

    with ThreadPoolExecutor(100) as readers:
        waiting = [readers.submit(read, number) for number in range(100)]
        for wage in range(20, 30):
            sent = {"base": wage - 19, "path": "people.wage", "text": f"{wage}.5 USD/h"}
            assert program.patch(f"/api/inquiries/{name}/field", json=sent).status_code == 200
        assert {each.result() for each in waiting} == {200}
