"""Work: its states follow one another, and its files are there with its end."""

from pathlib import Path

import pytest

from millhand.store import work
from millhand.store.entering import enter, entered, leave
from tests.store.desk import a_store, one


def test_work_waits_runs_and_is_done_with_its_files(tmp_path: Path) -> None:
    """What is done cannot be cancelled any more."""
    with a_store(tmp_path) as store:
        own = one(store)
        with store.writing() as connection:
            piece = work.ask(connection, own.id, 1, {"seed": 1}, "me")
            assert work.waiting(connection) == (piece,)
            work.is_at(connection, piece.id, "draws", 3, 10)
            assert work.work(connection, piece.id).under_way
            assert work.end(connection, piece.id, work.DONE)
            work.deliver(connection, piece.id, "own", {"report.html": b"x" * 5000})
            assert not work.end(connection, piece.id, work.CANCELLED)
        with store.reading() as connection:
            found = work.work(connection, piece.id)
            assert (found.state, found.step, found.done, found.total) == ("done", "draws", 3, 10)
            assert found.wishes == {"seed": 1}
            assert work.delivered(connection, piece.id, "own") == ("report.html",)
            assert work.file_of(connection, piece.id, "own", "report.html") == b"x" * 5000
            assert work.delivered(connection, piece.id, "customer") == ()
            with pytest.raises(KeyError):
                work.file_of(connection, piece.id, "customer", "report.html")


def test_what_a_server_left_under_way_is_interrupted(tmp_path: Path) -> None:
    """Work that had ended stays as it ended."""
    with a_store(tmp_path) as store:
        own = one(store)
        with store.writing() as connection:
            first, second = (work.ask(connection, own.id, 1, {"seed": seed}, "me") for seed in (1, 2))
            work.end(connection, first.id, work.FAILED, "words")
            assert work.interrupt(connection) == 1
            assert {each.id: each.state for each in work.works(connection, own.id)} == {
                first.id: "failed", second.id: "interrupted",
            }  # fmt: skip


def test_who_has_entered_is_known_by_a_secret_that_is_not_kept(tmp_path: Path) -> None:
    """Only its hash is, and it ends."""
    with a_store(tmp_path) as store:
        with store.writing() as connection:
            secret = enter(connection, "me")
        with store.reading() as connection:
            found = entered(connection, secret)
            assert found is not None
            assert found.who == "me"
            assert entered(connection, secret + "x") is None
            assert entered(connection, "") is None
            assert entered(connection, secret, others=True) is None  # the key of this machine is no account
        assert secret.encode() not in (tmp_path / "desk.db").read_bytes() + (tmp_path / "desk.db-wal").read_bytes()
        with store.writing() as connection:
            connection.exec_driver_sql("UPDATE entered SET ends_at = '2020-01-01T00:00:00Z'")
            assert entered(connection, secret) is None
            leave(connection, secret)
            assert connection.exec_driver_sql("SELECT count(*) FROM entered").scalar() == 0
