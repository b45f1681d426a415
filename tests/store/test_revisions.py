"""Revisions: none is overwritten, of two at once both are kept, and a killed process loses nothing that was kept."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from millhand.store.deeds import deeds
from millhand.store.inquiries import kept, mark, on_desk, put_away
from millhand.store.revisions import files_of, keep, revision, revisions
from tests.store.desk import a_store, one

WRITER = """
import sys
from millhand.store.opening import opened
from millhand.store.revisions import keep
from millhand.store.inquiries import kept
with opened(sys.argv[1]) as store:
    number = 0
    while True:
        number += 1
        with store.writing() as connection:
            own = kept(connection, sys.argv[2])
            keep(connection, own.id, own.revision, f"name: {number}\\n" + "x" * 20000, by=("me", "more"))
        print(number, flush=True)
"""


def test_of_two_changes_of_one_revision_both_are_kept(tmp_path: Path) -> None:
    """The quicker one is current, the other stands aside, and both texts can be read."""
    with a_store(tmp_path) as store:
        own = one(store)
        with store.writing() as connection:
            first = keep(connection, own.id, 1, "name: first\n", by=("me", "x"))
            second = keep(connection, own.id, 1, "name: second\n", by=("you", "x"))
        with store.reading() as connection:
            assert kept(connection, own.id).revision == first.number == 2
            assert (second.number, second.aside) == (3, True)
            assert revision(connection, own.id, 3).text == "name: second\n"
            assert [each.number for each in revisions(connection, own.id)] == [3, 2, 1]
            assert [each.what for each in deeds(connection, own.id)] == ["kept aside", "kept", "kept"]


def test_files_go_with_their_revision(tmp_path: Path) -> None:
    """Taken over from the base unless others are given; the same content is kept once."""
    with a_store(tmp_path) as store:
        own = one(store, parts=b"a;b")
        with store.writing() as connection:
            keep(connection, own.id, 1, "name: b\n")
            keep(connection, own.id, 2, "name: b\n", files={"other": b"a;b"})
        with store.reading() as connection:
            assert files_of(connection, own.id, 2) == {"parts": b"a;b"}
            assert files_of(connection, own.id, 3) == {"other": b"a;b"}
            assert connection.exec_driver_sql("SELECT count(*) FROM contents").scalar() == 1


def test_a_change_that_fails_half_way_leaves_nothing(tmp_path: Path) -> None:
    """Revision, files, name and log are one piece."""
    with a_store(tmp_path) as store:
        own = one(store)
        with pytest.raises(ZeroDivisionError), store.writing() as connection:
            assert keep(connection, own.id, 1, "name: b\n", files={"x": b"1"}).number / 0
        with store.reading() as connection:
            assert len(revisions(connection, own.id)) == 1
            assert connection.exec_driver_sql("SELECT count(*) FROM contents").scalar() == 0
            assert len(deeds(connection, own.id)) == 1


def test_what_was_kept_is_there_after_a_kill_at_any_moment(tmp_path: Path) -> None:
    """The process is killed while it writes without a pause: whatever it had told of is whole, and so is the rest."""
    with a_store(tmp_path) as store:
        own = one(store)
    where = f"sqlite:///{tmp_path / 'desk.db'}"
    for _ in range(2):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, where, own.id], stdout=subprocess.PIPE, text=True
        ) as process:
            assert process.stdout is not None
            told = [process.stdout.readline() for _ in range(15)]
            os.kill(process.pid, signal.SIGKILL)
            told += process.stdout.readlines()
        with a_store(tmp_path) as store, store.reading() as connection:
            assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
            current = revision(connection, own.id, kept(connection, own.id).revision)
            last = int(told[-1].strip() or 0)
            assert current.text.splitlines()[0] in (f"name: {last}", f"name: {last + 1}")
            assert len(current.text.splitlines()[1]) == 20000


def test_the_desk_finds_by_words_state_and_tags(tmp_path: Path) -> None:
    """All words must be there, in name, tags or text; a per cent sign is itself."""
    with a_store(tmp_path) as store:
        a, b = one(store, "name: brackets 5 %\n"), one(store, "name: flanges\n")
        with store.writing() as connection:
            mark(connection, a.id, "me", state="won", tags="urgent, urgent big")
        with store.reading() as connection:
            assert kept(connection, a.id).tags == "urgent big"
            assert [each.id for each in on_desk(connection, "BRACK urgent")] == [a.id]
            assert [each.id for each in on_desk(connection, "5 %")] == [a.id]
            assert [each.id for each in on_desk(connection, "_lange")] == []
            assert [each.id for each in on_desk(connection, "", "open")] == [b.id]
        with store.writing() as connection:
            put_away(connection, a.id, "me", away=True)
        with store.reading() as connection:
            assert [each.id for each in on_desk(connection)] == [b.id]
            assert [each.id for each in on_desk(connection, put_away=True)] == [a.id]


@pytest.mark.parametrize("state", ["", "sold"])
def test_a_state_that_is_none_is_refused(tmp_path: Path, state: str) -> None:
    """And so is an inquiry that is none."""
    with a_store(tmp_path) as store:
        own = one(store)
        with pytest.raises(ValueError, match=rf"^{state}$"), store.writing() as connection:
            mark(connection, own.id, "me", state=state, tags="")
        with pytest.raises(KeyError), store.writing() as connection:
            keep(connection, "nobody", 0, "")
