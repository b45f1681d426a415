"""What somebody sends who means harm: told in words or taken as what it is, never run, no failure of the server."""

import io
import stat
import struct
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy.exc import OperationalError
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from millhand.errors import InputErrors
from millhand.intake.table_file import Limits, table_in
from millhand.store import work
from millhand.store.revisions import keep
from millhand.web import desk as desk_module
from millhand.web import guard
from millhand.web import running as running_module
from millhand.web.guard import COOKIE
from millhand.web.routes import api
from millhand.web.routes import desk as desk_routes
from tests.store.desk import a_store, one
from tests.web.serving import BASE, ORIGIN, Served, served
from tests.web.test_running import GOOD, at_work, state, wait_until

JSON = {**ORIGIN, "Content-Type": "application/json"}
ODD = "<script>alert(1)</script> {{ 7 * 7191 }} {% raw %} ${7*7191} \"><img src=x onerror=alert(1)> '\u202e"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("hostile")) as found:
        yield found


@pytest.fixture
def sender(desk: Served) -> TestClient:
    """A browser that has come in, and gets a failure of the server as its answer."""
    return TestClient(desk.app, base_url=BASE, cookies=desk.browser.cookies, raise_server_exceptions=False)


def test_text_of_an_inquiry_is_never_markup_nor_a_template(desk: Served) -> None:
    """Neither name, tags, note nor a file's name, on no page."""
    name = desk.begin()
    desk.send(f"/inquiries/{name}/field", path="name", base=1, text=ODD)
    field = {"path": "people.wage", "base": 2, "text": "30 USD/h", "beside": "yes", "basis": "assumed", "note": ODD}
    desk.send(f"/inquiries/{name}/field", **field)
    desk.send(f"/inquiries/{name}/marks", state="open", tags=ODD)
    desk.browser.post(
        f"/inquiries/{name}/files", data={"form_key": desk.form_key, "base": "3"}, headers=ORIGIN,
        files=[("files", ("<img src=x onerror=alert(1)>.csv", b"1"))],
    )  # fmt: skip
    paths = ["", "/form?of=people", "/form", "/text", "/questions", "/files", "/history", f"?words={ODD}"]
    for path in ["/", "/audit", *(f"/inquiries/{name}{end}" for end in paths)]:
        page = desk.browser.get(path, params={"words": ODD} if path == "/audit" else None).text
        assert "<script>alert" not in page, path
        assert "<img src=x" not in page, path
        assert str(7 * 7191) not in page, path
    assert "&lt;script&gt;alert" in desk.browser.get(f"/inquiries/{name}").text


@pytest.mark.parametrize(
    "headers",
    [{"Content-Length": "-1"}, {"Content-Length": "1e3"}, {"Content-Length": "٣"}, {"Content-Length": "99999999999"}],
)
def test_a_length_that_is_none_or_too_large_is_refused(sender: TestClient, headers: dict[str, str]) -> None:
    """Before anything is read."""
    sent = {name.encode(): value.encode("utf-8") for name, value in {**ORIGIN, **headers}.items()}
    assert sender.post("/inquiries/files", headers=list(sent.items())).status_code == 413  # type: ignore[arg-type]


def test_a_body_without_a_length_is_held_to_the_limit(sender: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is cut off, and the caller is told."""
    monkeypatch.setattr(guard, "MOST_BODY", 5000)
    for path in ("/api/inquiries", "/inquiries/files"):
        kind = "multipart/form-data; boundary=x" if path == "/inquiries/files" else "application/json"
        answer = sender.post(path, content=iter([b"x" * 1000] * 20), headers={**ORIGIN, "Content-Type": kind})
        assert answer.status_code in (400, 413, 422)


def test_two_names_in_one_request_are_refused(sender: TestClient) -> None:
    """A server in front might look at the other one."""
    host = BASE.removeprefix("http://")
    assert sender.get("/", headers=[("Host", host), ("Host", "evil.example")]).status_code == 421  # type: ignore[arg-type]


def test_a_token_of_nobody_does_not_let_the_cookie_pass_without_origin(desk: Served, sender: TestClient) -> None:
    """A request with a token counts by the token alone."""
    for word in ("Bearer x", "Bearer", "Basic x", ""):
        answer = sender.post("/api/inquiries", json={"kind": "blank"}, headers={"Authorization": word})
        assert answer.status_code in (401, 403)
    assert COOKIE in desk.browser.cookies


def test_there_are_no_other_lines_in(sender: TestClient) -> None:
    """A web socket is closed, and no other site is ever told that it may read."""
    with pytest.raises(WebSocketDisconnect), sender.websocket_connect("/"):
        pass
    asked = {"Origin": "http://evil.example", "Access-Control-Request-Method": "PUT"}
    assert "access-control-allow-origin" not in sender.options("/api/inquiries", headers=asked).headers


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b'{"kind":"text","text":"\\ud800"}', 422),
        (b'{"kind":"text","text":' + b"[" * 100_000, 400),
        (b'{"kind":"text","text":"name: x","files":{"a.csv":"MQ==","a.csv/b.csv":"MQ=="}}', 422),
        (b'{"kind":"text","text":"name: x","files":{"inquiry.yaml/b.csv":"MQ=="}}', 422),
        (b'{"kind":"text","text":"name: x","files":{"C:\\\\b.csv":"MQ=="}}', 422),
        (b'{"kind":"text","text":"name: x","files":{"..\\\\b.csv":"MQ=="}}', 422),
        (b'{"kind":"text","text":"name: x","files":{"a\\nb.csv":"MQ=="}}', 422),
        (b'{"kind":"text","text":"name: x\\u0000"}', 201),
    ],
)
def test_odd_json_is_told(sender: TestClient, body: bytes, status: int) -> None:
    """Never a failure of the server."""
    answer = sender.post("/api/inquiries", content=body, headers=JSON)
    assert answer.status_code == status
    if status == 422:
        assert answer.json()["errors"][0]["words"]


@pytest.mark.parametrize(
    "path", ["/inquiries/%00", f"/inquiries/x/aside/{10**30}", f"/audit?before={10**30}", "/?words=%00"]
)
def test_what_no_database_holds_is_not_there(sender: TestClient, path: str) -> None:
    """Signs and numbers out of all reason."""
    assert sender.get(path).status_code in (200, 404, 422)


@pytest.mark.parametrize("path", ["/", "/api/inquiries", "/inquiries/x"])
def test_a_database_that_is_away_is_told(desk: Served, monkeypatch: pytest.MonkeyPatch, path: str) -> None:
    """Without a word of its address, whether the guard asks it or the page."""
    sender = TestClient(desk.app, base_url=BASE, cookies=desk.browser.cookies, raise_server_exceptions=False)

    def away(*_: object, **__: object) -> None:
        """As a driver says it."""
        raise OperationalError("select", {}, ConnectionError("password=secret"))

    asks = {"/": (desk_routes, "on_desk"), "/api/inquiries": (api, "on_desk"), "/inquiries/x": (desk_module, "kept")}
    for place, name in ((guard, "entered"), asks[path]):
        with monkeypatch.context() as changed:
            changed.setattr(place, name, away)
            answer = sender.get(path)
        assert answer.status_code == 503
        assert "The database does not answer" in answer.text
        assert "secret" not in answer.text


def packed(name: str, mode: int = 0o100644) -> zipfile.ZipInfo:
    """An entry of a zip with a mode of the file."""
    entry = zipfile.ZipInfo(name)
    entry.external_attr = mode << 16
    return entry


def test_a_link_in_a_zip_is_a_text_like_any_other(desk: Served) -> None:
    """Where it leads to is not read."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as made:
        made.writestr("inquiry.yaml", "name: a\n")
        made.writestr(packed("secret.txt", stat.S_IFLNK | 0o777), "/etc/passwd")
    sent = [("files", ("a.zip", stream.getvalue()))]
    data = {"form_key": desk.form_key}
    answer = desk.browser.post("/inquiries/files", data=data, files=sent, headers=ORIGIN, follow_redirects=False)
    assert answer.status_code == 303
    assert desk.browser.get(f"{answer.headers['location']}/files/secret.txt").content == b"/etc/passwd"
    assert desk.browser.get(answer.headers["location"]).status_code == 200


def test_a_zip_that_lies_about_its_sizes_is_none(desk: Served) -> None:
    """What says ten bytes and holds millions is not opened further than it says."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("inquiry.yaml", "name: a\n")
        made.writestr("a.csv", b"0" * 30_000_000)
    raw = bytearray(stream.getvalue())
    last = raw.rfind(b"PK\x01\x02")
    raw[last + 24 : last + 28] = struct.pack("<I", 10)
    sent = [("files", ("a.zip", bytes(raw)))]
    answer = desk.browser.post("/inquiries/files", data={"form_key": desk.form_key}, files=sent, headers=ORIGIN)
    assert answer.status_code == 422
    assert "a zip that this desk exported" in answer.text


def test_files_added_one_by_one_are_held_to_the_same_limit(desk: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not only those of the beginning."""
    name = desk.begin("blank", "")
    monkeypatch.setattr(desk_module, "MOST_FILES", 2)
    data = {"form_key": desk.form_key, "base": "1"}
    sent = [("files", (f"{number}.csv", b"1")) for number in range(3)]
    answer = desk.browser.post(f"/inquiries/{name}/files", data=data, files=sent, headers=ORIGIN)
    assert answer.status_code == 422
    assert "at most 2 files" in answer.text


ENTITIES = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">{}<!ENTITY f SYSTEM "file:///etc/hostname">]>'.format(
    "".join(f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">' for n in range(4))
)
BOOK = {
    "[Content_Types].xml": '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>',
    "_rels/.rels": '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship '
    'Id="r" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" '
    'Target="xl/workbook.xml"/></Relationships>',
    "xl/workbook.xml": '<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r='
    '"http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets>'
    '<sheet name="s" sheetId="1" r:id="r"/></sheets></workbook>',
    "xl/_rels/workbook.xml.rels": '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="r" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" '
    'Target="worksheets/s.xml"/></Relationships>',
}  # fmt: skip


@pytest.mark.parametrize("word", ["plain", "&e;", "&f;"])
def test_no_entity_of_a_workbook_is_filled_in(tmp_path: Path, word: str) -> None:
    """Neither one that grows ten times at each step nor one that names a file; a plain text is read."""
    sheet = (
        f'{ENTITIES}<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1">'
        f'<c r="A1" t="inlineStr"><is><t>{word}</t></is></c></row></sheetData></worksheet>'
    )
    file = tmp_path / "a.xlsx"
    with zipfile.ZipFile(file, "w") as made:
        for name, text in {**BOOK, "xl/worksheets/s.xml": sheet}.items():
            made.writestr(name, text)
    limits = Limits(code="x", rows_are="rows", rows=10, columns=10, unpacked_mb=1)
    try:
        read = [str(cell.value) for row in table_in(file, limits).rows for cell in row if cell is not None]
    except InputErrors as trouble:
        read = [str(trouble)]
    assert (read == ["plain"]) == (word == "plain")
    assert "aaaa" not in "".join(read)
    assert Path("/etc/hostname").read_text(encoding="utf-8").strip() not in "".join(read)


def test_no_file_of_an_inquiry_becomes_a_page_of_its_study(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the process writes stands apart from what it was given, whatever that is called."""
    evil = {"out/own/pages/answer.txt": b"<b>", "out/customer/report.csv": b"1", "asked.json.txt": b"{}"}
    monkeypatch.setattr(running_module, "WORKER", (sys.executable, "-c", GOOD))
    with at_work(tmp_path, GOOD, monkeypatch) as (runs, first):
        own = state(runs, first).inquiry
        with runs.store.writing() as connection:
            keep(connection, own, 1, "name: a\n", files=evil)
            second = work.ask(connection, own, 2, {"seed": 2}, "me").id
        wait_until(lambda: state(runs, second).state == "done")
        with runs.store.reading() as connection:
            for copy in ("own", "customer"):
                assert work.delivered(connection, second, copy) == ("pages/answer",)


def test_a_desk_in_a_folder_of_its_own_is_read_by_nobody_else(tmp_path: Path) -> None:
    """Neither the file with its log nor its lock, for others of this machine."""
    with a_store(tmp_path / "own") as store:
        one(store)
        assert [path for path in (tmp_path / "own").iterdir() if path.stat().st_mode & 0o077] == []
