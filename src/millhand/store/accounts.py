"""Accounts: a name, a role and a password of which the hash alone is kept."""

import unicodedata
from dataclasses import dataclass

from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error, InvalidHashError
from sqlalchemy import Connection, delete, func, select, update

from millhand.errors import InputError
from millhand.store.clock import now
from millhand.store.deeds import note
from millhand.store.entering import leave_all
from millhand.store.tables import ACCOUNTS
from millhand.store.tries import forget, of_name

READER, ENGINEER, OWNER = "reader", "engineer", "owner"
ROLES = (READER, ENGINEER, OWNER)  # each may do what those before it may
LEAST_LETTERS, MOST_LETTERS, LEAST_KINDS, LONGEST_NAME = 12, 200, 5, 60
MOST_TYPED = 10 * MOST_LETTERS  # signs that are looked at: a letter may be typed as several, which become one
HASHER = PasswordHasher()  # the parameters that the library advises
NOBODYS = HASHER.hash("nobody has this password")  # what an unknown name is held against, for as long


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """One account."""

    name: str
    role: str
    password: str
    made_at: str
    changed_at: str


def may(role: str, needed: str) -> bool:
    """Whether a role is enough where another one is needed."""
    return role in ROLES and ROLES.index(role) >= ROLES.index(needed)


def folded(name: str) -> str:
    """A name as it is kept: ADA is ada."""
    return unicodedata.normalize("NFKC", name).strip().casefold()


def named(name: str) -> str:
    """A new name as it is kept; InputError for one that cannot be one."""
    own = folded(name)
    signs = all(letter.isalnum() or letter in "._-@" for letter in own)
    if not signs or len(own) > LONGEST_NAME or not any(map(str.isalnum, own)):  # '..' would be another address
        write = f"1 to {LONGEST_NAME} letters, digits or . _ - @, a letter or digit among them"
        raise InputError("name", name[:80], write, "account_name")
    return own


def role_of(word: str) -> str:
    """A role; InputError for a word that is none."""
    if word not in ROLES:
        raise InputError("role", word[:80], f"one of {', '.join(ROLES)}", "account_role")
    return word


def hashed(password: str, name: str) -> str:
    """What is kept of a new password; InputError for one that is soon guessed, without repeating it."""
    own = unicodedata.normalize("NFKC", password)
    write = f"{LEAST_LETTERS} to {MOST_LETTERS} letters, {LEAST_KINDS} different ones at least, without the name in it"
    if not LEAST_LETTERS <= len(own) <= MOST_LETTERS:
        raise InputError("password", f"{len(own)} letters", write, "weak_password")
    if len(set(own)) < LEAST_KINDS or name in own.casefold():
        raise InputError("password", "one that is soon guessed", write, "weak_password")
    return HASHER.hash(own)


def proved(kept: str, password: str) -> bool:
    """Whether a password is the one of a hash; as slow for a wrong one. It is cut as it is kept, not as it is typed."""
    try:
        return HASHER.verify(kept, unicodedata.normalize("NFKC", password[:MOST_TYPED])[: MOST_LETTERS + 1])
    except (Argon2Error, InvalidHashError):
        return False


def hashed_anew(password: str) -> str:
    """The hash of a password that was proved, with the parameters of today."""
    return HASHER.hash(unicodedata.normalize("NFKC", password))


def is_old(kept: str) -> bool:
    """Whether a hash was made with other parameters than those of today."""
    return HASHER.check_needs_rehash(kept)


def account(connection: Connection, name: str) -> Account:
    """One account; KeyError where there is none."""
    row = connection.execute(select(ACCOUNTS).where(ACCOUNTS.c.name == folded(name))).first()
    if row is None:
        raise KeyError(name)
    return Account(**row._mapping)


def accounts(connection: Connection) -> tuple[Account, ...]:
    """All of them by name."""
    rows = connection.execute(select(ACCOUNTS).order_by(ACCOUNTS.c.name))
    return tuple(Account(**row._mapping) for row in rows)


def has_owner(connection: Connection, *, but: str = "") -> bool:
    """Whether somebody is owner, apart from one."""
    query = select(func.count()).where(ACCOUNTS.c.role == OWNER, ACCOUNTS.c.name != folded(but))
    return bool(connection.execute(query).scalar())


def add(connection: Connection, who: str, name: str, role: str, kept: str) -> Account:
    """A new account with a hashed password."""
    own = named(name)
    if connection.execute(select(ACCOUNTS.c.name).where(ACCOUNTS.c.name == own)).first() is not None:
        raise InputError("name", own, "a name that no account has", "account_taken")
    at = now()
    connection.execute(ACCOUNTS.insert().values(name=own, role=role_of(role), password=kept, made_at=at, changed_at=at))
    note(connection, who, "made an account", about=f"{own}, {role}")
    return account(connection, own)


def set_role(connection: Connection, who: str, name: str, role: str) -> None:
    """Give an account another role, which holds from the next request on."""
    own = account(connection, name)
    if role_of(role) != OWNER:
        not_the_last(connection, own)
    if role == own.role:
        return
    connection.execute(update(ACCOUNTS).where(ACCOUNTS.c.name == own.name).values(role=role, changed_at=now()))
    note(connection, who, "changed a role", about=f"{own.name}, {own.role} before, {role} now")


def set_password(connection: Connection, who: str, name: str, kept: str) -> None:
    """Give an account a new password: whatever was entered with the old one ends, tokens too."""
    own = account(connection, name)
    connection.execute(update(ACCOUNTS).where(ACCOUNTS.c.name == own.name).values(password=kept, changed_at=now()))
    leave_all(connection, own.name)
    forget(connection, of_name(own.name))
    note(connection, who, "set a new password", about=own.name)


def hash_anew(connection: Connection, own: Account, kept: str) -> None:
    """Keep the same password with the parameters of today, unless it was changed meanwhile."""
    connection.execute(
        update(ACCOUNTS).where(ACCOUNTS.c.name == own.name, ACCOUNTS.c.password == own.password).values(password=kept)
    )


def take_away(connection: Connection, who: str, name: str) -> None:
    """Take an account away; what it did stays told."""
    own = account(connection, name)
    not_the_last(connection, own)
    leave_all(connection, own.name)
    connection.execute(delete(ACCOUNTS).where(ACCOUNTS.c.name == own.name))
    note(connection, who, "took an account away", about=f"{own.name}, {own.role}")


def not_the_last(connection: Connection, own: Account) -> None:
    """InputError where nobody would be owner any more."""
    if own.role == OWNER and not has_owner(connection, but=own.name):
        raise InputError("name", own.name, "the name of another account: this one is the last owner", "last_owner")
