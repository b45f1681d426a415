"""The app for tests: in this process, on a store of its own, as a browser that came in with its key."""

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import openpyxl
from fastapi import FastAPI
from starlette.testclient import TestClient

from millhand.report.customer import for_customer
from millhand.report.cycle import cell_of
from millhand.report.pages import study_pages
from millhand.report.proposal.letter import Letter
from millhand.report.running import FILE as SHIFT
from millhand.report.running import record, running_pages
from millhand.run import packed
from millhand.store import work
from millhand.store.opening import Store, opened
from millhand.web.app import made
from millhand.web.guard import form_key
from millhand.web.kept_record import RECORD
from millhand.web.running import files_below
from millhand.web.worker import COPIES, shift_of, write
from tests.mapped_mill import mapped
from tests.report.fixture_internal import internal_study
from tests.report.fixture_study import study
from tests.store.desk import database

PORT = 8177
BASE = f"http://127.0.0.1:{PORT}"
ORIGIN = {"Origin": BASE}


@dataclass
class Served:
    """The app, its store, a browser that has come in, and what its forms carry."""

    app: FastAPI
    store: Store
    browser: TestClient
    form_key: str

    def send(self, where: str, /, **fields: object) -> str:
        """Send a form as the pages do; the address that it leads to."""
        data = {key: str(value) for key, value in fields.items()} | {"form_key": self.form_key}
        answer = self.browser.post(where, data=data, headers=ORIGIN, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        return str(answer.headers["location"])

    def begin(self, kind: str = "example", name: str = "1_two_mills") -> str:
        """Begin an inquiry; its id."""
        return self.send("/inquiries", kind=kind, name=name).rpartition("/")[2]


@contextmanager
def served(folder: Path, *, running: bool = False) -> Iterator[Served]:
    """The app; `running`: with the thread that takes work."""
    with opened(database(folder)) as store:
        app = made(store, port=PORT)
        browser = TestClient(app, base_url=BASE)
        if running:
            browser.__enter__()
        try:
            gate = app.state.gate
            answer = browser.post("/enter", data={"key": gate.key}, headers=ORIGIN, follow_redirects=False)
            assert answer.status_code == 303
            yield Served(app, store, browser, form_key(browser.cookies["millhand"]))
        finally:
            app.state.desk.reader.close()
            app.state.desk.asking.close()
            app.state.desk.papering.close()
            if running:
                browser.__exit__(None, None, None)


def study_files_once() -> dict[str, dict[str, bytes]]:
    """The files of a study with cost and margin in both copies."""
    found = {}
    own = internal_study()
    for copy, one in (("own", own), ("customer", for_customer(own))):
        with TemporaryDirectory() as name:
            write(one, Path(name), Letter(on=date(2027, 1, 31)))
            found[copy] = files_below(Path(name))
    for copy, files in running_files().items():
        found[copy] = files | found[copy]
    found["own"][RECORD] = packed(mapped())  # whose figures can be worked out again
    return found


def running_files() -> dict[str, dict[str, bytes]]:
    """The files of a shift that is played, in both copies: of a mill whose machine stands where its cell has it."""
    found = {}
    watched = shift_of(mapped())
    assert watched is not None
    for copy, one in (("own", mapped()), ("customer", for_customer(mapped()))):
        result = cell_of(one)
        assert result is not None
        pages = running_pages(one, result, watched)
        found[copy] = {f"pages/{name}": text.encode() for name, text in pages.items()}
        found[copy] |= {"pages/answer": b"<h2>Recommendation</h2>", SHIFT: record(watched, result).encode()}
    return found


@cache
def pages_once() -> dict[str, dict[str, bytes]]:
    """The pages of the study that is made by hand, in both copies, and no other file of it."""
    found = study_pages(study(), text="")
    return {copy: {f"pages/{name}": page.encode() for name, page in found.items()} for copy in COPIES}


def studied(store: Store, inquiry: str, files: dict[str, dict[str, bytes]]) -> str:
    """Put a finished study of an inquiry into the store; its id."""
    with store.writing() as connection:
        piece = work.ask(connection, inquiry, 1, {"seed": 1}, "me")
        work.end(connection, piece.id, work.DONE)
        for copy, content in files.items():
            work.deliver(connection, piece.id, copy, content)
    return piece.id


def links(text: str) -> list[str]:
    """The addresses in a page."""
    return re.findall(r'(?:href|src)="([^"]*)"', text)


def filled(sheet: bytes, answers: dict[str, str]) -> bytes:
    """A question sheet with answers at some paths."""
    book = openpyxl.load_workbook(io.BytesIO(sheet))
    page = book["Questions"]
    for row in page.iter_rows(min_row=5):
        if row[12].value in answers:
            row[4].value = answers[str(row[12].value)]
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
