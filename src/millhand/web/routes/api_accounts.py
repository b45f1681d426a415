"""The HTTP interface to accounts and to the log of what was done, for owners."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Query, Request

from millhand.store import accounts
from millhand.store.accounts import Account
from millhand.store.deeds import all_deeds
from millhand.web.pages import desk_of, who_of
from millhand.web.routes.accounts import A_PAGE, hashed, own_account
from millhand.web.routes.api import WRONG, Words

ROUTES = APIRouter(prefix="/api", responses=WRONG)
Whose = Annotated[str, Path(max_length=80, pattern="^[^/]+$")]
Role = Literal["reader", "engineer", "owner"]
Line = Annotated[int, Query(ge=0, le=2**31 - 1)]


@dataclass(frozen=True, kw_only=True)
class NewAccount:
    """A new account; whoever gets it sets a password of his own."""

    name: str
    role: Role
    password: str


@dataclass(frozen=True, kw_only=True)
class NewRole:
    """Another role."""

    role: Role


@dataclass(frozen=True, kw_only=True)
class NewPassword:
    """Another password for somebody who lost his."""

    password: str


def told(own: Account) -> dict[str, Any]:
    """An account as JSON; nothing of its password."""
    return {"name": own.name, "role": own.role, "made_at": own.made_at, "changed_at": own.changed_at}


def after(request: Request, name: str, change: Callable[..., object], *given: str) -> dict[str, Any]:
    """Make one change of an account; the account after it."""
    own_account(request)
    with desk_of(request).store.writing() as connection:
        change(connection, who_of(request), name, *given)
        return told(accounts.account(connection, name))


@ROUTES.get("/accounts")
def listed(request: Request) -> list[dict[str, Any]]:
    """All accounts; none where this machine alone is served: there is no such thing then."""
    own_account(request)
    with desk_of(request).store.reading() as connection:
        return [told(each) for each in accounts.accounts(connection)]


@ROUTES.post("/accounts", status_code=201)
def add(request: Request, sent: NewAccount) -> dict[str, Any]:
    """One account more."""
    own_account(request)
    return after(request, sent.name, accounts.add, sent.role, hashed(sent.password, accounts.named(sent.name)))


@ROUTES.put("/accounts/{name}/role")
def set_role(request: Request, name: Whose, sent: NewRole) -> dict[str, Any]:
    """Another role, which holds from the next request on."""
    return after(request, name, accounts.set_role, sent.role)


@ROUTES.put("/accounts/{name}/password")
def set_password(request: Request, name: Whose, sent: NewPassword) -> dict[str, Any]:
    """A new password; all that was entered by the old one ends, tokens too."""
    own_account(request)
    return after(request, name, accounts.set_password, hashed(sent.password, name))


@ROUTES.delete("/accounts/{name}")
def take_away(request: Request, name: Whose) -> list[dict[str, Any]]:
    """One account less; those that are left."""
    own_account(request)
    with desk_of(request).store.writing() as connection:
        accounts.take_away(connection, who_of(request), name)
    return listed(request)


@ROUTES.get("/audit")
def audit(request: Request, words: Words = "", before: Line = 0) -> list[dict[str, Any]]:
    """Who did what, when, to which inquiry: the newest lines first; `before`: those older than that line's number."""
    with desk_of(request).store.reading() as connection:
        return [
            {"number": each.number, "at": each.at, "who": each.who, "what": each.what, "inquiry": each.inquiry,
             "about": each.about}
            for each in all_deeds(connection, words, before, A_PAGE)
        ]  # fmt: skip
