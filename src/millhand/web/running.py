"""Runs the work that waits, one study at a time, each in a process group of its own that can be ended at any moment."""

import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy.exc import OperationalError

from millhand.store import work
from millhand.store.companies import details
from millhand.store.deeds import note
from millhand.store.opening import Store
from millhand.store.revisions import files_of, revision
from millhand.web.company import files_of_company
from millhand.web.folders import put_out
from millhand.web.pace import Far, Pace
from millhand.web.worker import COPIES, HOUSE, INQUIRY

IDLE_S, AWAY_S = 0.5, 5.0
R = TypeVar("R")
WORKER = (sys.executable, "-m", "millhand.web.worker")


@dataclass(slots=True)
class Running:
    """The thread that takes work, and the process of the work in hand."""

    store: Store
    wake: threading.Event = field(default_factory=threading.Event)
    stopped: threading.Event = field(default_factory=threading.Event)
    hand: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)
    thread: threading.Thread | None = None
    paces: dict[str, Pace] = field(default_factory=dict)

    def start(self) -> None:
        """Begin; what an earlier server left under way is interrupted."""
        with self.store.writing() as connection:
            work.interrupt(connection)
        self.thread = threading.Thread(target=self._run, name="work", daemon=True)
        self.thread.start()

    def stop(self) -> None:
        """End the work in hand and the thread."""
        self.stopped.set()
        self.wake.set()
        for process in tuple(self.hand.values()):
            end_group(process)
        if self.thread is not None:
            self.thread.join(timeout=10)

    def far(self, piece: work.Work | None) -> Far | None:
        """How far work in hand is; None of any other."""
        pace = self.paces.get(piece.id) if piece is not None else None
        return pace.far() if pace is not None else None

    def cancel(self, name: str, who: str) -> bool:
        """Cancel work, whether it waits or runs; False where it had ended."""
        with self.store.writing() as connection:
            ended = work.end(connection, name, work.CANCELLED)
            if ended:
                note(connection, who, "cancelled a study", work.work(connection, name).inquiry)
        process = self.hand.get(name)
        if process is not None:
            end_group(process)
        return ended

    def _run(self) -> None:
        """Take the oldest piece that waits, until stopped."""
        while not self.stopped.is_set():
            pieces = self._once_it_answers(self._waiting) or ()
            if not pieces:
                self.wake.wait(IDLE_S)
                self.wake.clear()
                continue
            try:
                self._do(pieces[0])
            except Exception as trouble:  # nothing that one study does may stop the next
                words = f"{type(trouble).__name__}: {trouble}"
                self._once_it_answers(partial(self._failed, pieces[0], words))

    def _once_it_answers(self, do: Callable[[], R]) -> R | None:
        """Do it, again and again while the database is away; None where the server stops meanwhile."""
        while True:
            try:
                return do()
            except OperationalError:
                if self.stopped.wait(AWAY_S):
                    return None

    def _waiting(self) -> tuple[work.Work, ...]:
        """What waits."""
        with self.store.reading() as connection:
            return work.waiting(connection)

    def _failed(self, piece: work.Work, words: str) -> None:
        """Say that it failed, in other words where these cannot be kept."""
        try:
            with self.store.writing() as connection:
                work.end(connection, piece.id, work.FAILED, words)
        except OperationalError:
            raise
        except Exception:  # such as words with signs that no text can hold
            with self.store.writing() as connection:
                work.end(connection, piece.id, work.FAILED, "It failed.")

    def _do(self, piece: work.Work) -> None:
        """One study from its folder to its files."""
        with tempfile.TemporaryDirectory(prefix="millhand_") as name:
            folder = Path(name)
            with self.store.reading() as connection:
                text = revision(connection, piece.inquiry, piece.revision).text
                files = files_of(connection, piece.inquiry, piece.revision)
                company = files_of_company(details(connection))
            # Apart from each other and from what the process writes, whatever the files are called.
            put_out(folder / INQUIRY, text, files)
            put_out(folder / HOUSE, "", company)
            (folder / "asked.json").write_text(json.dumps(piece.wishes), encoding="utf-8")
            code, words = self._watched(piece, folder)
            self._once_it_answers(partial(self._ended, piece, folder, code, words))

    def _watched(self, piece: work.Work, folder: Path) -> tuple[int, str]:
        """Run the process and keep what it says; its exit code and its last words."""
        errors = (folder / "stderr").open("wb")
        process = subprocess.Popen(
            [*WORKER, str(folder)], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            stderr=errors, start_new_session=True, env=environment(),
        )  # fmt: skip
        self.hand[piece.id] = process
        words, told = "", ""
        pace = self.paces[piece.id] = Pace()
        try:
            with self.store.writing() as connection:
                wanted = work.is_at(connection, piece.id, "reading", 0, 1) and not self.stopped.is_set()
            if not wanted:  # cancelled, or the server stopped, before the process was there to be ended
                end_group(process)
                return process.wait(), ""
            for line in process.stdout or ():
                said = spoken(line)
                words = said.get("words", words)
                if "step" in said:
                    pace.tell(said["step"], said["done"], said["total"])
                now = f"{said.get('step')} {100 * said.get('done', 0) // max(said.get('total', 1), 1)}"
                if "step" in said and now != told:
                    told = now
                    with suppress(OperationalError), self.store.writing() as connection:  # the study goes on
                        work.is_at(connection, piece.id, said["step"], said["done"], said["total"])
            return process.wait(), words
        finally:
            end_group(process)
            self.hand.pop(piece.id, None)
            self.paces.pop(piece.id, None)
            errors.close()

    def _ended(self, piece: work.Work, folder: Path, code: int, words: str) -> None:
        """Keep the files of work that is done, or why it is not: both in one piece with its end."""
        if self.stopped.is_set() and code != 0:
            with self.store.writing() as connection:
                work.end(connection, piece.id, work.INTERRUPTED)
            return
        with self.store.writing() as connection:
            if code != 0:
                last = (folder / "stderr").read_text(encoding="utf-8", errors="replace").strip().splitlines()[-1:]
                work.end(
                    connection, piece.id, work.FAILED, words or f"The work ended with code {code}. {''.join(last)}"
                )
            elif work.end(connection, piece.id, work.DONE):
                for copy in COPIES:
                    work.deliver(connection, piece.id, copy, files_below(folder / "out" / copy))


def spoken(line: bytes) -> dict[str, Any]:
    """One line of the process; what is none says nothing."""
    try:
        said = json.loads(line)
    except ValueError:
        return {}
    return said if isinstance(said, dict) else {}


def environment() -> Mapping[str, str]:
    """What the process knows of the world: nothing of the database."""
    return {key: value for key, value in os.environ.items() if key != "MILLHAND_DATABASE"}


def end_group(process: "subprocess.Popen[bytes]") -> None:
    """End a process with all that it started."""
    with suppress(ProcessLookupError, PermissionError):
        os.killpg(process.pid, signal.SIGKILL)
    with suppress(subprocess.TimeoutExpired):
        process.wait(timeout=5)
    for stream in (process.stdin, process.stdout):
        if stream is not None:
            with suppress(OSError):
                stream.close()


def files_below(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its path in it."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }
