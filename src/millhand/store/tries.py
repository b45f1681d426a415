"""Tries to sign in, counted by name and by address over the last minutes, also over a new start of the server."""

import hashlib
import ipaddress
from datetime import timedelta

from sqlalchemy import Connection, delete, func, select

from millhand.store.clock import now
from millhand.store.deeds import note
from millhand.store.tables import ACCOUNTS, TRIES

WINDOW = timedelta(minutes=15)
MOST_BY_NAME, MOST_BY_ADDRESS = 10, 40


def of_name(name: str) -> str:
    """How the tries of a name are called, whether an account has it or not; hashed, for somebody may type his password
    where his name belongs."""
    return f"name {hashlib.sha256(name.encode('utf-8')).hexdigest()}"


def of_address(address: str) -> str:
    """How the tries from an address are called; a network of the newer kind counts as one."""
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return f"address {address}"[:200]
    if isinstance(known, ipaddress.IPv6Address):
        if known.ipv4_mapped is not None:
            return f"address {known.ipv4_mapped}"
        return f"address {ipaddress.ip_network((known, 64), strict=False)}"
    return f"address {known}"


def begin(connection: Connection, name: str, address: str) -> bool:
    """Count a try before the password is looked at, so that many at once are counted too; False where it is one too
    many, and then it is not looked at."""
    limits = ((of_name(name), MOST_BY_NAME), (of_address(address), MOST_BY_ADDRESS))
    connection.execute(delete(TRIES).where(TRIES.c.at < now(-WINDOW)))
    counts = [counted(connection, of) for of, _ in limits]
    if any(count >= most for count, (_, most) in zip(counts, limits, strict=True)):
        return False
    for count, (of, most) in zip(counts, limits, strict=True):
        connection.execute(TRIES.insert().values(of=of, at=now()))
        if count + 1 == most:
            about = told(connection, name) if of == of_name(name) else of
            note(connection, "nobody signed in", "tried too often", about=about)
    return True


def told(connection: Connection, name: str) -> str:
    """What the log says of a name that was tried."""
    known = connection.execute(select(ACCOUNTS.c.name).where(ACCOUNTS.c.name == name)).first()
    return f"name {name}" if known else "a name that no account has"


def counted(connection: Connection, of: str) -> int:
    """How many tries there were within the window."""
    return connection.execute(select(func.count()).where(TRIES.c.of == of)).scalar() or 0


def forget(connection: Connection, of: str) -> None:
    """Count from none again."""
    connection.execute(delete(TRIES).where(TRIES.c.of == of))


def forgive(connection: Connection, name: str, address: str) -> None:
    """After a right password: nothing stands against the name, and this try not against the address."""
    forget(connection, of_name(name))
    last = select(func.max(TRIES.c.number)).where(TRIES.c.of == of_address(address)).scalar_subquery()
    connection.execute(delete(TRIES).where(TRIES.c.number == last))
