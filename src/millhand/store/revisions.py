"""The revisions of an inquiry: each change is one, none is ever overwritten, and of two at once both are kept."""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, func, select, update

from millhand.store.clock import now
from millhand.store.contents import get, put
from millhand.store.deeds import note
from millhand.store.tables import ATTACHED, INQUIRIES, REVISIONS

Author = tuple[str, str]  # who, and what it was done for
SAME = ("", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One revision with its text. `aside`: somebody else was quicker, so it stands beside the current one."""

    inquiry: str
    number: int
    base: int
    aside: bool
    made_at: str
    made_by: str
    why: str
    text: str


def keep(
    connection: Connection,
    inquiry: str,
    base: int,
    text: str,
    *,
    files: Mapping[str, bytes] | None = None,
    by: Author = SAME,
) -> Revision:
    """Keep a text that was made from revision `base`: as the current one, or aside where `base` no longer is.

    files: all that belong to it now; None: those of its base. Inside one writing connection, so that nobody comes
    between. KeyError where there is no such inquiry.
    """
    current = connection.execute(select(INQUIRIES.c.revision).where(INQUIRIES.c.id == inquiry)).scalar()
    if current is None:
        raise KeyError(inquiry)
    last = connection.execute(select(func.max(REVISIONS.c.number)).where(REVISIONS.c.inquiry == inquiry)).scalar() or 0
    new = Revision(
        inquiry=inquiry, number=last + 1, base=base, aside=base != current, made_at=now(), made_by=by[0], why=by[1],
        text=text,
    )  # fmt: skip
    connection.execute(REVISIONS.insert().values({field: getattr(new, field) for field in Revision.__slots__}))
    attach(connection, new, files)
    if not new.aside:
        connection.execute(
            update(INQUIRIES).where(INQUIRIES.c.id == inquiry).values(revision=new.number, changed_at=new.made_at)
        )
    note(connection, by[0], "kept aside" if new.aside else "kept", inquiry, f"revision {new.number}: {by[1]}")
    return new


def attach(connection: Connection, new: Revision, files: Mapping[str, bytes] | None) -> None:
    """The files of a revision: those given, or those of its base."""
    if files is None:
        rows = connection.execute(
            select(ATTACHED.c.name, ATTACHED.c.sha256).where(
                ATTACHED.c.inquiry == new.inquiry, ATTACHED.c.revision == new.base
            )
        )
        names = {row.name: row.sha256 for row in rows}
    else:
        names = {name: put(connection, content) for name, content in files.items()}
    for name, sha256 in names.items():
        connection.execute(ATTACHED.insert().values(inquiry=new.inquiry, revision=new.number, name=name, sha256=sha256))


def rename(connection: Connection, inquiry: str, name: str) -> None:
    """The name that the desk shows, as the text says it."""
    connection.execute(update(INQUIRIES).where(INQUIRIES.c.id == inquiry).values(name=name[:200]))


def revision(connection: Connection, inquiry: str, number: int) -> Revision:
    """One revision; KeyError where there is none."""
    row = connection.execute(
        select(REVISIONS).where(REVISIONS.c.inquiry == inquiry, REVISIONS.c.number == number)
    ).first()
    if row is None:
        raise KeyError((inquiry, number))
    return Revision(**row._mapping)


def revisions(connection: Connection, inquiry: str) -> tuple[Revision, ...]:
    """All revisions, the newest first."""
    rows = connection.execute(
        select(REVISIONS).where(REVISIONS.c.inquiry == inquiry).order_by(REVISIONS.c.number.desc())
    )
    return tuple(Revision(**row._mapping) for row in rows)


def files_of(connection: Connection, inquiry: str, number: int) -> dict[str, bytes]:
    """The files that belong to a revision, by their paths in the inquiry's folder."""
    rows = connection.execute(
        select(ATTACHED.c.name, ATTACHED.c.sha256)
        .where(ATTACHED.c.inquiry == inquiry, ATTACHED.c.revision == number)
        .order_by(ATTACHED.c.name)
    ).all()
    return {row.name: get(connection, row.sha256) for row in rows}
