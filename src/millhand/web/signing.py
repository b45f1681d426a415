"""Signing in by name and password: as slow for a name that nobody has, and not without end."""

import threading

from sqlalchemy import Connection

from millhand.store import tries
from millhand.store.accounts import NOBODYS, Account, account, folded, hash_anew, hashed_anew, is_old, proved
from millhand.store.deeds import note
from millhand.store.entering import enter, leave
from millhand.store.opening import Store

AT_ONCE = threading.BoundedSemaphore(2)  # a hash takes 64 MB and two processors for a moment
WRONG = "Name and password do not belong together."
TOO_OFTEN = (
    f"Too many tries in the last {int(tries.WINDOW.total_seconds() // 60)} minutes. Wait as long, then try again; "
    "an owner or the terminal can set a new password at once."
)


class NotIn(Exception):
    """Nobody was signed in: the words say why, without telling whether the name is known."""


def signed_in(store: Store, name: str, password: str, address: str, before: str) -> str:
    """The secret of a new stay by an account; NotIn else. `before`: the secret that the browser held, which ends."""
    own = folded(name)[:100]
    with store.writing() as connection:
        allowed = tries.begin(connection, own, address)
    if not allowed:
        raise NotIn(TOO_OFTEN)
    with store.reading() as connection:
        known = found(connection, own)
    with AT_ONCE:
        right = proved(known.password if known else NOBODYS, password)
        anew = hashed_anew(password) if right and known and is_old(known.password) else ""
    if not right or known is None:
        raise NotIn(WRONG)
    with store.writing() as connection:
        now = found(connection, own)
        if now is None or now.password != known.password:  # changed while we looked
            raise NotIn(WRONG)
        tries.forgive(connection, own, address)
        if anew:
            hash_anew(connection, known, anew)
        leave(connection, before)
        note(connection, known.name, "signed in")
        return enter(connection, known.name, account=known.name)


def found(connection: Connection, name: str) -> Account | None:
    """The account of that name, if there is one."""
    try:
        return account(connection, name)
    except KeyError:
        return None


def is_right(store: Store, name: str, password: str, address: str) -> bool:
    """Whether a password is that of an account, asked once more before it is changed; NotIn where too often."""
    with store.writing() as connection:
        if not tries.begin(connection, name, address):
            raise NotIn(TOO_OFTEN)
        known = account(connection, name)
    with AT_ONCE:
        right = proved(known.password, password)
    if right:
        with store.writing() as connection:
            tries.forgive(connection, name, address)
    return right
