"""The details of the company that the papers of this desk are written on. Each change is kept beside those before."""

from dataclasses import dataclass

from sqlalchemy import Connection, select

from millhand.store.clock import now
from millhand.store.contents import get, put
from millhand.store.deeds import note
from millhand.store.tables import COMPANIES


@dataclass(frozen=True, slots=True, kw_only=True)
class Details:
    """The text of a company file without its logo, and that logo; `number` 0: nobody gave any yet."""

    number: int = 0
    text: str = ""
    logo: bytes = b""
    form: str = ""  # of the logo: png, jpg


def details(connection: Connection) -> Details:
    """The details as they are now."""
    row = connection.execute(select(COMPANIES).order_by(COMPANIES.c.number.desc()).limit(1)).first()
    if row is None:
        return Details()
    logo = get(connection, row.logo) if row.logo is not None else b""
    return Details(number=row.number, text=row.text, logo=logo, form=row.form)


def keep_details(connection: Connection, new: Details, who: str) -> Details:
    """Keep new details; the same as before are no change."""
    before = details(connection)
    if before.number and (before.text, before.logo) == (new.text, new.logo):
        return before
    connection.execute(
        COMPANIES.insert().values(
            made_at=now(),
            made_by=who,
            text=new.text,
            logo=put(connection, new.logo) if new.logo else None,
            form=new.form,
        )
    )
    note(connection, who, "changed the company")
    return details(connection)
