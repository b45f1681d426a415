"""One line for each change: who did what to which inquiry, and when."""

from dataclasses import dataclass

from sqlalchemy import Connection, or_, select

from millhand.store.clock import now
from millhand.store.tables import DEEDS


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """One line of the log."""

    number: int
    at: str
    who: str
    what: str
    inquiry: str
    about: str


def note(connection: Connection, who: str, what: str, inquiry: str = "", about: str = "") -> None:
    """Add a line, inside the change that it tells of."""
    connection.execute(DEEDS.insert().values(at=now(), who=who, what=what, inquiry=inquiry, about=about))


def deeds(connection: Connection, inquiry: str, most: int = 200) -> tuple[Deed, ...]:
    """The newest lines about an inquiry, the newest first."""
    rows = connection.execute(
        select(DEEDS).where(DEEDS.c.inquiry == inquiry).order_by(DEEDS.c.number.desc()).limit(most)
    )
    return tuple(Deed(**row._mapping) for row in rows)


def all_deeds(connection: Connection, words: str, before: int, most: int) -> tuple[Deed, ...]:
    """The newest lines of the log that hold all these words, the newest first; `before`: older than that line."""
    query = select(DEEDS)
    if before:
        query = query.where(DEEDS.c.number < before)
    for word in words.split()[:12]:
        places = (DEEDS.c.who, DEEDS.c.what, DEEDS.c.inquiry, DEEDS.c.about, DEEDS.c.at)
        query = query.where(or_(*(place.icontains(word, autoescape=True) for place in places)))
    return tuple(Deed(**row._mapping) for row in connection.execute(query.order_by(DEEDS.c.number.desc()).limit(most)))
