"""Who has entered: what the cookie or the program holds is kept as its hash alone, and ends."""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import Connection, delete, select, update

from millhand.store.clock import now
from millhand.store.deeds import note
from millhand.store.tables import ACCOUNTS, ENTERED

LASTS = timedelta(days=14)  # by the key of this machine, and a program's token
SIGNED_IN, UNUSED = timedelta(hours=12), timedelta(hours=2)  # a browser by an account: in all, and without a request
SEEN_EACH = timedelta(minutes=5)
NAMED_BY = 12  # letters of its hash
THIS_MACHINE = "owner"  # the role of whoever came in by the key that the terminal printed


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """One who has entered. `account`: '' by the key of this machine; `id` names it to people, and opens nothing."""

    id: str
    who: str
    account: str
    role: str
    program: bool
    made_at: str
    seen_at: str
    ends_at: str

    @property
    def seen_long_ago(self) -> bool:
        """Whether a request now is worth a line in the database."""
        return self.seen_at < now(-SEEN_EACH)


def hashed(secret: str) -> str:
    """What is kept of a secret."""
    return hashlib.sha256(secret.encode("utf-8")).hexdigest()


def enter(connection: Connection, who: str, *, account: str = "", program: bool = False) -> str:
    """Let somebody in, a person or a program: the secret that says so."""
    secret, at = secrets.token_urlsafe(32), now()
    ends_at = now(SIGNED_IN if account and not program else LASTS)
    connection.execute(delete(ENTERED).where(ENTERED.c.ends_at < at))
    connection.execute(
        ENTERED.insert().values(
            sha256=hashed(secret), who=who, ends_at=ends_at, account=account, program=program, made_at=at, seen_at=at
        )
    )
    return secret


def entered(connection: Connection, secret: str, *, others: bool = False) -> Entered | None:
    """Who holds a secret; None where it is nobody's, or its time is over.

    others: the server serves others, so that an account is asked for and its role of now holds.
    """
    joined = ENTERED.outerjoin(ACCOUNTS, ENTERED.c.account == ACCOUNTS.c.name)
    query = select(ENTERED, ACCOUNTS.c.role).select_from(joined)
    query = query.where(ENTERED.c.sha256 == hashed(secret), ENTERED.c.ends_at >= now())
    row = connection.execute(query).first()
    if row is None or bool(row.account) != others or (others and row.role is None):
        return None
    if others and not row.program and row.seen_at < now(-UNUSED):
        return None
    return entered_of(dict(row._mapping))


def entered_of(row: dict[str, object]) -> Entered:
    """A row of the table with its account's role."""
    about = {name: row[name] for name in ("who", "account", "program", "made_at", "seen_at", "ends_at")}
    return Entered(id=str(row["sha256"])[:NAMED_BY], role=row["role"] or THIS_MACHINE, **about)  # type: ignore[arg-type]


def seen(connection: Connection, secret: str) -> None:
    """It was used just now."""
    connection.execute(update(ENTERED).where(ENTERED.c.sha256 == hashed(secret)).values(seen_at=now()))


def tokens(connection: Connection, account: str) -> tuple[Entered, ...]:
    """The programs that hold a token of an account, '' of this machine, the newest first."""
    joined = ENTERED.outerjoin(ACCOUNTS, ENTERED.c.account == ACCOUNTS.c.name)
    query = select(ENTERED, ACCOUNTS.c.role).select_from(joined)
    query = query.where(ENTERED.c.account == account, ENTERED.c.program, ENTERED.c.ends_at >= now())
    return tuple(entered_of(dict(row._mapping)) for row in connection.execute(query.order_by(ENTERED.c.made_at.desc())))


def void(connection: Connection, who: str, account: str, token: str) -> None:
    """End one token of an account; KeyError where it has none of that name."""
    if len(token) != NAMED_BY:
        raise KeyError(token)
    found = connection.execute(
        delete(ENTERED).where(
            ENTERED.c.account == account, ENTERED.c.program, ENTERED.c.sha256.startswith(token, autoescape=True)
        )
    )
    if found.rowcount == 0:
        raise KeyError(token)
    note(connection, who, "ended a token", about=token)


def leave(connection: Connection, secret: str) -> None:
    """End it."""
    connection.execute(delete(ENTERED).where(ENTERED.c.sha256 == hashed(secret)))


def leave_all(connection: Connection, account: str) -> None:
    """End all that was entered by an account, tokens too."""
    connection.execute(delete(ENTERED).where(ENTERED.c.account == account))
