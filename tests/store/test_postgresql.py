"""The desk on PostgreSQL: runs where MILLHAND_TEST_DATABASE names one, each test in a schema of its own."""

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import make_url
from starlette.testclient import TestClient

from millhand.errors import ToolError
from millhand.store import accounts, entering, tries, work
from millhand.store.inquiries import kept, on_desk
from millhand.store.opening import opened
from millhand.store.revisions import files_of, keep, revisions
from millhand.store.tables import META
from millhand.web.app import made
from millhand.web.guard import form_key
from tests.store.desk import TEST_DATABASE, database, one

pytestmark = pytest.mark.skipif(
    not os.environ.get(TEST_DATABASE, "").startswith("postgresql"), reason=f"{TEST_DATABASE} names no PostgreSQL"
)


@pytest.fixture
def url(tmp_path: Path) -> Iterator[str]:
    """A schema of its own, taken away again."""
    found = database(tmp_path)
    yield found
    schema = str(make_url(found).query["options"]).rpartition("=")[2]
    with opened(found) as store, store.engine.begin() as connection:
        connection.exec_driver_sql(f"DROP SCHEMA {schema} CASCADE")


def test_the_steps_lead_to_the_tables_of_today(url: str) -> None:
    """A library that compares databases finds no difference; a second opening changes nothing."""
    for _ in range(2):
        with opened(url) as store, store.engine.connect() as connection:
            assert compare_metadata(MigrationContext.configure(connection), META) == []


def test_of_many_windows_at_once_nothing_is_lost(url: str) -> None:
    """Eight that write to one inquiry in one moment: each has its number, one is current, the others stand aside."""
    with opened(url) as store:
        own = one(store, parts=b"1;2")

        def write(number: int) -> int:
            """One window."""
            with store.writing() as connection:
                return keep(connection, own.id, 1, f"name: {number}\n", by=(f"window {number}", "x")).number

        with ThreadPoolExecutor(8) as windows:
            assert sorted(windows.map(write, range(8))) == list(range(2, 10))
        with store.reading() as connection:
            found = revisions(connection, own.id)
            assert [each.aside for each in found] == [True] * 7 + [False, False]
            assert kept(connection, own.id).revision == 2
            assert files_of(connection, own.id, 9) == {"parts": b"1;2"}
            assert [each.id for each in on_desk(connection, "A")] == [own.id]


def test_the_queue_gives_each_piece_one_end(url: str) -> None:
    """Of many that end it at once, one did; what a server left is interrupted."""
    with opened(url) as store:
        own = one(store)
        with store.writing() as connection:
            piece, left = (work.ask(connection, own.id, 1, {"seed": seed}, "me") for seed in (1, 2))

        def end(state: str) -> bool:
            """One of them."""
            with store.writing() as connection:
                return work.end(connection, piece.id, state)

        with ThreadPoolExecutor(4) as ends:
            assert sum(ends.map(end, [work.DONE, work.CANCELLED, work.FAILED, work.DONE])) == 1
        with store.writing() as connection:
            assert work.interrupt(connection) == 1
            assert work.work(connection, left.id).state == work.INTERRUPTED
            work.deliver(connection, piece.id, "own", {"a": b"\x00\xff"})
            assert work.file_of(connection, piece.id, "own", "a") == b"\x00\xff"


def test_one_server_holds_it_and_the_terminal_comes_beside(url: str) -> None:
    """A second server is refused; an account can be made meanwhile; after the first the next may come."""
    with opened(url):
        with pytest.raises(ToolError, match="another millhand serves this database already"), opened(url):
            pass
        with opened(url, alone=False) as beside, beside.writing() as connection:
            accounts.add(connection, "the terminal", "olga", accounts.OWNER, "no hash")
    with opened(url) as store, store.reading() as connection:
        assert accounts.has_owner(connection)
        assert not accounts.has_owner(connection, but="olga")


def test_no_password_of_a_url_is_told(url: str) -> None:
    """Neither where it is wrong, nor where nobody answers, nor where the database is not there."""
    where = make_url(url)
    for bad in (where.set(password="an/odd secret"), where.set(port=1), where.set(database="none")):
        text = bad.render_as_string(hide_password=False)
        with pytest.raises(ToolError) as trouble, opened(text):
            pass
        assert trouble.value.code == "no_database"
        assert "secret" not in str(trouble.value)
        assert str(where.password) not in str(trouble.value)


def test_pages_sign_in_and_odd_letters(url: str) -> None:
    """The app on it: sign-in with its limit, an inquiry begun, changed and found, and what no text can hold is told."""
    with opened(url) as store:
        with store.writing() as connection:
            accounts.add(connection, "x", "olga", accounts.OWNER, accounts.hashed("three green lamps", "olga"))
        app = made(store, port=1, others={"desk.example": "https://desk.example"})
        browser = TestClient(app, base_url="https://desk.example", headers={"Origin": "https://desk.example"})
        for password in ("wrong", "three green lamps"):
            browser.post("/enter", data={"name": "olga", "password": password})
        begun = browser.post("/api/inquiries", json={"kind": "example", "name": "1_two_mills"})
        assert begun.status_code == 201
        name = begun.json()["id"]
        field = {"base": 1, "path": "people.wage", "text": "31 USD/h"}
        assert browser.patch(f"/api/inquiries/{name}/field", json=field).status_code == 200
        assert browser.patch(f"/api/inquiries/{name}/field", json=field | {"text": "32 USD/h"}).status_code == 409
        assert browser.get("/", params={"words": "two MILLS"}).text.count(f"/inquiries/{name}") == 1
        for path in (f"/inquiries/{name}/history", "/audit", "/accounts", "/programs"):
            assert browser.get(path).status_code == 200
        key = form_key(browser.cookies["__Host-millhand"])
        tags = {"state": "open", "tags": "a\x00b", "form_key": key}
        assert browser.post(f"/inquiries/{name}/marks", data=tags).status_code == 422
        assert browser.get("/inquiries/%00").status_code in (404, 422)
        assert browser.get("/audit", params={"before": 2**70}).status_code in (200, 422)
        with store.reading() as connection:
            assert tries.counted(connection, tries.of_name("olga")) == 0
            assert entering.tokens(connection, "olga") == ()
        app.state.desk.reader.close()
