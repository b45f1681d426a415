"""Work in the background: told step by step, cancelled with all that it started, never the end of the server."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event

import httpx2 as httpx
import pytest
from sqlalchemy.exc import OperationalError

from millhand.store import work
from millhand.store.opening import opened
from millhand.web import running as module
from millhand.web import worker
from millhand.web.running import Running
from tests.report.fixture_internal import internal_study
from tests.store.desk import a_store, one

GOOD = """
import json, pathlib, sys
folder = pathlib.Path(sys.argv[1])
for done in range(3):
    print(json.dumps({"step": "draws", "done": done + 1, "total": 3}), flush=True)
print("no line of ours", flush=True)
for copy in ("own", "customer"):
    (folder / "out" / copy / "pages").mkdir(parents=True)
    (folder / "out" / copy / "pages" / "answer").write_text(copy + (folder / "asked.json").read_text())
"""
BAD = "import json; print(json.dumps({'words': 'read x; write y.'})); raise SystemExit(2)"
BROKEN = "raise RuntimeError('of all things')"
LONG = """
import json, pathlib, subprocess, sys, time
child = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"])
pathlib.Path({place!r}).write_text(str(child.pid))
print(json.dumps({{"step": "draws", "done": 1, "total": 3}}), flush=True)
time.sleep(600)
"""


@contextmanager
def at_work(folder: Path, script: str, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Running, str]]:
    """The thread that takes work, one piece asked for, and a script in the worker's place."""
    monkeypatch.setattr(module, "WORKER", (sys.executable, "-c", script))
    with a_store(folder) as store:
        runs = Running(store=store)
        own = one(store)
        runs.start()
        try:
            with store.writing() as connection:
                piece = work.ask(connection, own.id, 1, {"seed": 1}, "me")
            runs.wake.set()
            yield runs, piece.id
        finally:
            runs.stop()


def state(runs: Running, piece: str) -> work.Work:
    """The work as it is now."""
    with runs.store.reading() as connection:
        return work.work(connection, piece)


def wait_until(true: Callable[[], bool], patience_s: float = 30.0) -> None:
    """Until something holds."""
    end = time.monotonic() + patience_s
    while not true():
        assert time.monotonic() < end
        time.sleep(0.05)


def gone(pid: int) -> bool:
    """Whether a process is no longer there, or only its entry is."""
    try:
        return Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").split()[2] == "Z"
    except OSError:
        return True


def test_work_is_done_with_the_files_of_both_copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its last step stays to be read; a line that is none is passed over."""
    with at_work(tmp_path, GOOD, monkeypatch) as (runs, piece):
        wait_until(lambda: not state(runs, piece).under_way)
        found = state(runs, piece)
        assert (found.state, found.step, found.done, found.words) == ("done", "draws", 3, "")
        with runs.store.reading() as connection:
            assert work.file_of(connection, piece, "customer", "pages/answer") == b'customer{"seed": 1}'


@pytest.mark.parametrize(("script", "words"), [(BAD, "read x; write y."), (BROKEN, "RuntimeError: of all things")])
def test_work_that_fails_says_why_and_the_next_is_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, script: str, words: str
) -> None:
    """The server goes on."""
    with at_work(tmp_path, script, monkeypatch) as (runs, piece):
        wait_until(lambda: not state(runs, piece).under_way)
        assert state(runs, piece).state == "failed"
        assert words in state(runs, piece).words
        monkeypatch.setattr(module, "WORKER", (sys.executable, "-c", GOOD))
        with runs.store.writing() as connection:
            again = work.ask(connection, state(runs, piece).inquiry, 1, {"seed": 2}, "me").id
        wait_until(lambda: state(runs, again).state == "done")


def test_cancelled_work_ends_with_all_that_it_started(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The process, and the one that it began."""
    place = tmp_path / "pid"
    with at_work(tmp_path, LONG.format(place=str(place)), monkeypatch) as (runs, piece):
        wait_until(lambda: state(runs, piece).step == "draws")
        assert runs.cancel(piece, "me")
        assert state(runs, piece).state == "cancelled"
        wait_until(lambda: gone(int(place.read_text())))
        wait_until(lambda: not runs.hand)
        assert state(runs, piece).state == "cancelled"
        assert not runs.cancel(piece, "me")


def test_work_that_is_cancelled_before_its_process_is_there_ends_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing of it runs on, and the next piece is taken at once."""
    taken, cancelled, put_out = Event(), Event(), module.put_out

    def slowly(folder: Path, text: str, files: dict[str, bytes]) -> Path:
        """Somebody cancels while the folder is being written."""
        taken.set()
        assert cancelled.wait(30)
        return put_out(folder, text, files)

    monkeypatch.setattr(module, "put_out", slowly)
    with at_work(tmp_path, LONG.format(place=str(tmp_path / "pid")), monkeypatch) as (runs, piece):
        assert taken.wait(30)
        assert runs.cancel(piece, "me")
        cancelled.set()
        with runs.store.writing() as connection:
            again = work.ask(connection, state(runs, piece).inquiry, 1, {"seed": 2}, "me").id
        wait_until(lambda: piece not in runs.hand and again in runs.hand)
        assert state(runs, piece).state == "cancelled"
        assert runs.cancel(again, "me")


def test_a_database_that_is_away_stops_no_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether it is asked what waits, told how far it is, or given the files: once it is back, all goes on."""
    missed: list[str] = []

    def away_once(name: str) -> None:
        """The first call finds no database."""
        asked = getattr(work, name)

        def ask(*given: object) -> object:
            """As a driver says it."""
            if name not in missed:
                missed.append(name)
                raise OperationalError("select", {}, ConnectionError())
            return asked(*given)

        monkeypatch.setattr(work, name, ask)

    monkeypatch.setattr(module, "AWAY_S", 0.05)
    for name in ("waiting", "deliver"):
        away_once(name)
    with at_work(tmp_path, GOOD, monkeypatch) as (runs, piece):
        wait_until(lambda: not state(runs, piece).under_way)
        assert state(runs, piece).state == "done"
        assert sorted(missed) == ["deliver", "waiting"]
        away_once("is_at")
        with runs.store.writing() as connection:
            again = work.ask(connection, state(runs, piece).inquiry, 1, {"seed": 2}, "me").id
        wait_until(lambda: not state(runs, again).under_way)
        assert state(runs, again).state == "failed"  # it was told nothing yet, and says why
        assert "OperationalError" in state(runs, again).words


def test_a_server_that_is_stopped_leaves_its_work_interrupted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And nothing runs on."""
    place = tmp_path / "pid"
    with at_work(tmp_path, LONG.format(place=str(place)), monkeypatch) as (runs, piece):
        wait_until(lambda: state(runs, piece).step == "draws")
        runs.stop()
        assert state(runs, piece).state == "interrupted"
        wait_until(lambda: gone(int(place.read_text())))


def test_the_worker_writes_every_file_of_both_copies(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The files of the command line and the pages; what is internal is in none of the customer's."""
    monkeypatch.setattr(worker, "answered", lambda *_, **__: internal_study())
    text = Path("examples/1_two_mills/inquiry.yaml").read_text(encoding="utf-8")
    inside = tmp_path / worker.INQUIRY
    inside.mkdir()
    (inside / "inquiry.yaml").write_text(text, encoding="utf-8")
    (inside / "company.yaml").write_text("name: Example Works\n", encoding="utf-8")
    asked = {"seed": 1, "draws": 20, "language": "de", "form": "short", "on": "2027-01-31", "workers": 1}
    (tmp_path / "asked.json").write_text(json.dumps(asked), encoding="utf-8")

    assert worker.main(tmp_path) == 0

    own, customer = (module.files_below(tmp_path / "out" / copy) for copy in worker.COPIES)
    assert {"report.html", "proposal.pdf", "study.json", "workbook.xlsx", "pages/answer", "pages/facts"} <= set(own)
    assert b".estimate.cost" in own["study.json"]
    inside = [name for name, data in customer.items() if b".estimate.cost" in data or b"more than they say" in data]
    assert inside == []
    assert [json.loads(line)["step"] for line in capsys.readouterr().out.splitlines()] == ["files"] * 3


def test_the_worker_says_what_is_wrong_with_the_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In the words of the command line, with its exit code."""
    (tmp_path / worker.INQUIRY).mkdir()
    (tmp_path / worker.INQUIRY / "inquiry.yaml").write_text("name: x\n", encoding="utf-8")
    asked = {"seed": 1, "draws": 20, "language": "en", "form": "short", "on": "2027-01-31", "workers": 1}
    (tmp_path / "asked.json").write_text(json.dumps(asked), encoding="utf-8")

    assert worker.main(tmp_path) == 2
    assert "write" in json.loads(capsys.readouterr().out)["words"]


def test_a_server_that_is_killed_leaves_nothing_running_and_offers_to_go_on(tmp_path: Path) -> None:
    """The command itself, a real study under way that hinders no other window, and the harshest end; the next server
    says 'interrupted'."""
    environment = {**os.environ, "MILLHAND_DATABASE": f"sqlite:///{tmp_path / 'desk.db'}"}
    with serving(environment) as (process, url), entered(url) as browser:
        text = Path("examples/1_two_mills/inquiry.yaml").read_text(encoding="utf-8")
        token = {"Authorization": f"Bearer {browser.cookies['millhand']}"}
        own = browser.post("/api/inquiries", json={"kind": "text", "text": text}, headers=token).json()
        piece = browser.post(f"/api/inquiries/{own['id']}/work", json={}, headers=token).json()["id"]
        wait_until(lambda: browser.get(f"/api/pieces/{piece}").json()["step"] not in ("", "reading"), 120)
        children = below(process.pid)
        assert len(children) >= 1
        other = browser.post("/api/inquiries", json={"kind": "text", "text": "name: meanwhile"}, headers=token).json()
        assert "meanwhile" in browser.get(f"/inquiries/{other['id']}").text  # another window goes on as ever
        assert browser.get(f"/api/pieces/{piece}").json()["state"] == "running"
        os.kill(process.pid, signal.SIGKILL)
        process.wait(timeout=10)
        wait_until(lambda: all(gone(child) for child in children))
    with serving(environment) as (_, url), entered(url) as browser:
        assert browser.get(f"/api/pieces/{piece}").json()["state"] == "interrupted"
        page = browser.get(f"/inquiries/{own['id']}").text
        assert "The last study was interrupted." in page
        assert ">Go on</button>" in page
    with opened(environment["MILLHAND_DATABASE"]) as store, store.reading() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"


@contextmanager
def serving(environment: dict[str, str]) -> Iterator[tuple["subprocess.Popen[str]", str]]:
    """The command `millhand serve`, and the address that it printed."""
    command = [sys.executable, "-m", "millhand", "serve", "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment) as process:
        assert process.stdout is not None
        try:
            lines = [process.stdout.readline() for _ in range(3)]
            yield process, re.findall(r"http://\S+", "".join(lines))[0]
        finally:
            process.terminate()
            process.wait(timeout=20)


@contextmanager
def entered(url: str) -> Iterator[httpx.Client]:
    """A browser that came in with the printed address."""
    base, _, key = url.partition("/enter?key=")
    with httpx.Client(base_url=base, timeout=30) as browser:
        assert browser.post("/enter", data={"key": key}, headers={"Origin": base}).status_code == 303
        yield browser


def below(pid: int) -> list[int]:
    """The processes that a process started, and theirs."""
    found, ahead = [], [pid]
    while ahead:
        parent = ahead.pop()
        for path in Path("/proc").glob("[0-9]*/stat"):
            try:
                words = path.read_text(encoding="utf-8").rpartition(")")[2].split()
            except OSError:
                continue
            if int(words[1]) == parent:
                found.append(int(path.parent.name))
                ahead.append(int(path.parent.name))
    return found
