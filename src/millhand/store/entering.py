"""Who has entered: what the cookie holds is kept as its hash alone, and ends."""

import hashlib
import secrets
from datetime import timedelta

from sqlalchemy import Connection, delete, select

from millhand.store.clock import now
from millhand.store.tables import ENTERED

LASTS = timedelta(days=14)


def hashed(secret: str) -> str:
    """What is kept of a secret."""
    return hashlib.sha256(secret.encode("utf-8")).hexdigest()


def enter(connection: Connection, who: str) -> str:
    """Let somebody in: the secret of his cookie."""
    secret = secrets.token_urlsafe(32)
    connection.execute(delete(ENTERED).where(ENTERED.c.ends_at < now()))
    connection.execute(ENTERED.insert().values(sha256=hashed(secret), who=who, ends_at=now(LASTS)))
    return secret


def who_entered(connection: Connection, secret: str) -> str:
    """Whose secret it is; '' where it is nobody's, or its time is over."""
    query = select(ENTERED.c.who).where(ENTERED.c.sha256 == hashed(secret), ENTERED.c.ends_at >= now())
    return connection.execute(query).scalar() or ""


def leave(connection: Connection, secret: str) -> None:
    """End it."""
    connection.execute(delete(ENTERED).where(ENTERED.c.sha256 == hashed(secret)))
