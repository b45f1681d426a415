"""Issued proposals: number, revision, and the files as they went out. Nothing here changes one or takes it away."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, select

from millhand.errors import InputError
from millhand.store.clock import new_id, now
from millhand.store.contents import get, put
from millhand.store.deeds import note
from millhand.store.tables import ISSUED, ISSUED_FILES

PAPER = "proposal.pdf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """What a proposal goes by. `counter` counts the numbers of the desk, `revision` the papers of one number."""

    counter: int
    number: str
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Issued:
    """One issued proposal."""

    id: str
    inquiry: str
    work: str
    name: str
    counter: int
    number: str
    revision: int
    asked: str
    sha256: str
    made_at: str
    made_by: str

    @property
    def wishes(self) -> dict[str, Any]:
        """Language, form and date."""
        found: dict[str, Any] = json.loads(self.asked)
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """What is issued: of which inquiry, from which study, how it was asked for, and every file as it goes out."""

    inquiry: str
    work: str
    name: str
    asked: Mapping[str, Any]
    files: Mapping[str, bytes]


def next_number(connection: Connection, inquiry: str, *, prefix: str = "", given: str = "") -> Number:
    """What the next paper of an inquiry would go by: its number again with the next revision, else a new number.

    given: the number that the company file says, which counts before the desk's own.
    """
    own = select(ISSUED).where(ISSUED.c.inquiry == inquiry).order_by(ISSUED.c.counter.desc(), ISSUED.c.revision.desc())
    last = connection.execute(own.where(ISSUED.c.number == given) if given else own).first()
    if last is not None:
        newest = connection.execute(select(func.max(ISSUED.c.revision)).where(ISSUED.c.number == last.number)).scalar()
        return Number(counter=last.counter, number=last.number, revision=(newest or 0) + 1)
    if given and connection.execute(select(ISSUED.c.id).where(ISSUED.c.number == given)).first() is not None:
        raise InputError("number", given, "a number that no other inquiry's proposal has", "number_taken")
    counter = (connection.execute(select(func.max(ISSUED.c.counter))).scalar() or 0) + 1
    while (
        not given
        and connection.execute(select(ISSUED.c.id).where(ISSUED.c.number == number_of(prefix, counter))).first()
    ):
        counter += 1
    return Number(counter=counter, number=given or number_of(prefix, counter), revision=1)


def number_of(prefix: str, counter: int) -> str:
    """A number as it is printed.

    >>> number_of("P-", 7)
    'P-0007'
    """
    return f"{prefix}{counter:04d}"


def issue(connection: Connection, paper: Paper, number: Number, who: str) -> Issued:
    """Keep a paper as it goes out."""
    new = Issued(
        id=new_id(), inquiry=paper.inquiry, work=paper.work, name=paper.name[:200], counter=number.counter,
        number=number.number, revision=number.revision, asked=json.dumps(dict(paper.asked), sort_keys=True),
        sha256=put(connection, paper.files[PAPER]), made_at=now(), made_by=who,
    )  # fmt: skip
    connection.execute(ISSUED.insert().values({field: getattr(new, field) for field in Issued.__slots__}))
    for name, content in paper.files.items():
        connection.execute(ISSUED_FILES.insert().values(issued=new.id, name=name, sha256=put(connection, content)))
    note(connection, who, "issued", paper.inquiry, f"{new.number}, revision {new.revision}: {new.sha256[:16]}")
    return new


def issued(connection: Connection, name: str) -> Issued:
    """One of them; KeyError where there is none."""
    row = connection.execute(select(ISSUED).where(ISSUED.c.id == name)).first()
    if row is None:
        raise KeyError(name)
    return Issued(**row._mapping)


def all_issued(connection: Connection, inquiry: str = "", most: int = 500) -> tuple[Issued, ...]:
    """Those of an inquiry, or of the whole desk, the newest first."""
    query = select(ISSUED).order_by(ISSUED.c.made_at.desc(), ISSUED.c.counter.desc(), ISSUED.c.revision.desc())
    rows = connection.execute((query.where(ISSUED.c.inquiry == inquiry) if inquiry else query).limit(most))
    return tuple(Issued(**row._mapping) for row in rows)


def issued_names(connection: Connection, name: str) -> tuple[str, ...]:
    """The names of its files."""
    rows = connection.execute(
        select(ISSUED_FILES.c.name).where(ISSUED_FILES.c.issued == name).order_by(ISSUED_FILES.c.name)
    )
    return tuple(row.name for row in rows)


def issued_file(connection: Connection, name: str, file: str) -> bytes:
    """One file as it went out; KeyError where there is none."""
    sha256 = connection.execute(
        select(ISSUED_FILES.c.sha256).where(ISSUED_FILES.c.issued == name, ISSUED_FILES.c.name == file)
    ).scalar()
    if sha256 is None:
        raise KeyError((name, file))
    return get(connection, sha256)
