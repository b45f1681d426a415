"""The inquiries on the desk: found, begun, named, marked and put away."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from sqlalchemy import Connection, and_, or_, select, update

from millhand.store.clock import new_id, now
from millhand.store.deeds import note
from millhand.store.revisions import keep
from millhand.store.tables import INQUIRIES, REVISIONS

STATES = ("open", "proposed", "won", "lost", "resting")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """An inquiry as the desk lists it."""

    id: str
    name: str
    state: str
    tags: str
    revision: int
    made_at: str
    changed_at: str
    put_away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """What an inquiry begins with: its name, text and the files that belong to it."""

    name: str
    text: str
    files: Mapping[str, bytes] = field(default_factory=dict)
    why: str = "begun"


def begin(connection: Connection, begun: Begun, who: str) -> Kept:
    """Put a new inquiry on the desk."""
    name, at = new_id(), now()
    connection.execute(
        INQUIRIES.insert().values(
            id=name, name=begun.name, state=STATES[0], tags="", revision=0, made_at=at, changed_at=at, put_away=False
        )
    )
    keep(connection, name, 0, begun.text, files=begun.files, by=(who, begun.why))
    return kept(connection, name)


def kept(connection: Connection, name: str) -> Kept:
    """One inquiry; KeyError where there is none."""
    row = connection.execute(select(INQUIRIES).where(INQUIRIES.c.id == name)).first()
    if row is None:
        raise KeyError(name)
    return Kept(**row._mapping)


def on_desk(connection: Connection, words: str = "", state: str = "", *, put_away: bool = False) -> tuple[Kept, ...]:
    """The inquiries that hold all these words in name, tags or current text, the last changed first."""
    query = select(INQUIRIES).join(
        REVISIONS, and_(REVISIONS.c.inquiry == INQUIRIES.c.id, REVISIONS.c.number == INQUIRIES.c.revision)
    )
    query = query.where(INQUIRIES.c.put_away == put_away)
    if state:
        query = query.where(INQUIRIES.c.state == state)
    for word in words.split()[:12]:
        places = (INQUIRIES.c.name, INQUIRIES.c.tags, REVISIONS.c.text)
        query = query.where(or_(*(place.icontains(word, autoescape=True) for place in places)))
    rows = connection.execute(query.order_by(INQUIRIES.c.changed_at.desc(), INQUIRIES.c.id).limit(500))
    return tuple(Kept(**row._mapping) for row in rows)


def mark(connection: Connection, name: str, who: str, *, state: str, tags: str) -> None:
    """Set state and tags; KeyError where there is no such inquiry, ValueError for a state that is none."""
    if state not in STATES:
        raise ValueError(state)
    words = " ".join(dict.fromkeys(tags.replace(",", " ").split()))[:400]
    before = kept(connection, name)
    connection.execute(update(INQUIRIES).where(INQUIRIES.c.id == name).values(state=state, tags=words))
    if (before.state, before.tags) != (state, words):
        note(connection, who, "marked", name, f"{state} {words}".strip())


def put_away(connection: Connection, name: str, who: str, *, away: bool) -> None:
    """Take an inquiry off the desk, or put it back; nothing of it is lost."""
    kept(connection, name)
    connection.execute(update(INQUIRIES).where(INQUIRIES.c.id == name).values(put_away=away))
    note(connection, who, "put away" if away else "put back", name)
