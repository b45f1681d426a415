"""Long work: what was asked, how far it is, how it ended, and the files that came of it."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select, update

from millhand.store.clock import new_id, now
from millhand.store.contents import get, put
from millhand.store.deeds import note
from millhand.store.tables import STUDIED, WORK

WAITING, RUNNING = "waiting", "running"
DONE, FAILED, CANCELLED, INTERRUPTED = "done", "failed", "cancelled", "interrupted"
UNDER_WAY = (WAITING, RUNNING)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One piece of work about one revision of an inquiry."""

    id: str
    inquiry: str
    revision: int
    asked: str
    state: str
    step: str
    done: int
    total: int
    words: str
    made_at: str
    ended_at: str

    @property
    def wishes(self) -> dict[str, Any]:
        """What was asked: seed, draws, paper."""
        found: dict[str, Any] = json.loads(self.asked)
        return found

    @property
    def under_way(self) -> bool:
        """Whether it waits or runs."""
        return self.state in UNDER_WAY


def ask(connection: Connection, inquiry: str, revision: int, asked: Mapping[str, Any], who: str) -> Work:
    """Put work in the queue."""
    new = Work(
        id=new_id(), inquiry=inquiry, revision=revision, asked=json.dumps(dict(asked), sort_keys=True), state=WAITING,
        step="", done=0, total=0, words="", made_at=now(), ended_at="",
    )  # fmt: skip
    connection.execute(WORK.insert().values({field: getattr(new, field) for field in Work.__slots__}))
    note(connection, who, "asked for a study", inquiry, f"of revision {revision}")
    return new


def work(connection: Connection, name: str) -> Work:
    """One piece of work; KeyError where there is none."""
    row = connection.execute(select(WORK).where(WORK.c.id == name)).first()
    if row is None:
        raise KeyError(name)
    return Work(**row._mapping)


def works(connection: Connection, inquiry: str) -> tuple[Work, ...]:
    """All work about an inquiry, the newest first."""
    rows = connection.execute(select(WORK).where(WORK.c.inquiry == inquiry).order_by(WORK.c.made_at.desc(), WORK.c.id))
    return tuple(Work(**row._mapping) for row in rows)


def waiting(connection: Connection) -> tuple[Work, ...]:
    """What waits, the oldest first."""
    rows = connection.execute(select(WORK).where(WORK.c.state == WAITING).order_by(WORK.c.made_at, WORK.c.id))
    return tuple(Work(**row._mapping) for row in rows)


def is_at(connection: Connection, name: str, step: str, done: int, total: int) -> bool:
    """How far work under way is; False where it has ended, for it was cancelled."""
    found = connection.execute(
        update(WORK)
        .where(WORK.c.id == name, WORK.c.state.in_(UNDER_WAY))
        .values(state=RUNNING, step=step[:200], done=done, total=total)
    )
    return found.rowcount == 1


def end(connection: Connection, name: str, state: str, words: str = "") -> bool:
    """End work under way; False where it had ended already."""
    found = connection.execute(
        update(WORK)
        .where(WORK.c.id == name, WORK.c.state.in_(UNDER_WAY))
        .values(state=state, words=words[:4000], ended_at=now())
    )
    return found.rowcount == 1


def interrupt(connection: Connection) -> int:
    """What an earlier server left under way is interrupted; how many pieces."""
    found = connection.execute(
        update(WORK).where(WORK.c.state.in_(UNDER_WAY)).values(state=INTERRUPTED, ended_at=now())
    )
    return found.rowcount


def deliver(connection: Connection, name: str, copy: str, files: Mapping[str, bytes]) -> None:
    """Keep the files of a study in one of its copies."""
    for file, content in files.items():
        connection.execute(STUDIED.insert().values(work=name, copy=copy, name=file, sha256=put(connection, content)))


def delivered(connection: Connection, name: str, copy: str) -> tuple[str, ...]:
    """The names of the files of a study."""
    rows = connection.execute(
        select(STUDIED.c.name).where(STUDIED.c.work == name, STUDIED.c.copy == copy).order_by(STUDIED.c.name)
    )
    return tuple(row.name for row in rows)


def file_of(connection: Connection, name: str, copy: str, file: str) -> bytes:
    """One file of a study; KeyError where there is none."""
    sha256 = connection.execute(
        select(STUDIED.c.sha256).where(STUDIED.c.work == name, STUDIED.c.copy == copy, STUDIED.c.name == file)
    ).scalar()
    if sha256 is None:
        raise KeyError((name, copy, file))
    return get(connection, sha256)
