"""Accounts and what was done, for owners; one's own password, for everybody who has an account."""

from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from millhand.errors import InputError
from millhand.store import accounts
from millhand.store.deeds import all_deeds
from millhand.store.entering import enter
from millhand.web.pages import checked, desk_of, page, who_of
from millhand.web.routes.entering import address_of, with_cookie
from millhand.web.signing import AT_ONCE, WRONG, NotIn, is_right

ROUTES = APIRouter(include_in_schema=False)
Typed = Annotated[str, Form()]
A_PAGE = 100


def own_account(request: Request) -> str:
    """The account of whoever asks; KeyError, no such page, where this machine alone is served."""
    account: str = request.state.entered.account
    if not account:
        raise KeyError("accounts")
    return account


def hashed(password: str, name: str) -> str:
    """The hash of a new password."""
    with AT_ONCE:
        return accounts.hashed(password, accounts.folded(name))


@ROUTES.get("/accounts")
def whole(request: Request) -> Response:
    """All accounts."""
    return shown(request, "", {})


def shown(request: Request, words: str, typed: dict[str, str]) -> Response:
    """The page of accounts, with what was wrong and what was typed."""
    own = own_account(request)
    with desk_of(request).store.reading() as connection:
        found = accounts.accounts(connection)
    known = {"found": found, "own": own, "roles": accounts.ROLES, "words": words, "typed": typed}
    return page(request, "accounts.html.j2", known, status=422 if words else 200)


def keep(request: Request, change: Callable[..., object], *given: str) -> None:
    """Make one change of accounts."""
    with desk_of(request).store.writing() as connection:
        change(connection, who_of(request), *given)


def done(request: Request, change: Callable[[], None], typed: dict[str, str] | None = None) -> Response:
    """The page of accounts after a change, or with what was wrong and what was typed."""
    own_account(request)
    try:
        change()
    except InputError as trouble:
        return shown(request, str(trouble), typed or {})
    return RedirectResponse("/accounts", 303)


@ROUTES.post("/accounts")
def add(request: Request, name: Typed, role: Typed, password: Typed, form_key: Typed = "") -> Response:
    """A new account; whoever gets it sets a password of his own."""
    checked(request, form_key)
    return done(
        request, lambda: keep(request, accounts.add, name, role, hashed(password, accounts.named(name))),
        {"name": name, "role": role},
    )  # fmt: skip


@ROUTES.post("/accounts/{name}/role")
def set_role(request: Request, name: str, role: Typed, form_key: Typed = "") -> Response:
    """Another role."""
    checked(request, form_key)
    return done(request, lambda: keep(request, accounts.set_role, name, role))


@ROUTES.post("/accounts/{name}/password")
def set_password(request: Request, name: str, password: Typed, form_key: Typed = "") -> Response:
    """A new password for somebody who lost his; all that was entered by it ends."""
    checked(request, form_key)
    return done(request, lambda: keep(request, accounts.set_password, name, hashed(password, name)))


@ROUTES.post("/accounts/{name}/out")
def take_away(request: Request, name: str, form_key: Typed = "") -> Response:
    """An account less."""
    checked(request, form_key)
    return done(request, lambda: keep(request, accounts.take_away, name))


@ROUTES.get("/password")
def password(request: Request) -> Response:
    """Where one's own password is changed."""
    return page(request, "password.html.j2", {"own": own_account(request), "words": ""})


@ROUTES.post("/password")
def own_password(request: Request, now: Typed, new: Typed, form_key: Typed = "") -> Response:
    """One's own new password: every other stay of this account ends, its tokens too, and this one goes on renewed."""
    checked(request, form_key)
    own, store = own_account(request), desk_of(request).store
    try:
        if not is_right(store, own, now, address_of(request)):
            raise NotIn(WRONG)
        kept = hashed(new, own)
        with store.writing() as connection:
            accounts.set_password(connection, who_of(request), own, kept)
            secret = enter(connection, own, account=own)
    except (NotIn, InputError) as trouble:
        return page(request, "password.html.j2", {"own": own, "words": str(trouble)}, status=422)
    return with_cookie(request, RedirectResponse("/", 303), secret)


@ROUTES.get("/audit")
def audit(request: Request, words: str = "", before: int = 0) -> Response:
    """Who did what, when, to which inquiry: the newest first."""
    with desk_of(request).store.reading() as connection:
        found = all_deeds(connection, words, before, A_PAGE)
    older = found[-1].number if len(found) == A_PAGE else 0
    return page(request, "audit.html.j2", {"found": found, "words": words, "older": older})
