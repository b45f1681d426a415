"""Coming in, with the key that the terminal printed or by an account; tokens for programs; and going."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response

from millhand.store import tries
from millhand.store.deeds import note
from millhand.store.entering import LASTS, SIGNED_IN, enter, leave, tokens, void
from millhand.web.guard import COOKIE_BY_TLS, USED, Gate
from millhand.web.pages import checked, desk_of, page
from millhand.web.signing import TOO_OFTEN, NotIn, signed_in

ROUTES = APIRouter(include_in_schema=False)
Typed = Annotated[str, Form()]


def gate_of(request: Request) -> Gate:
    """The gate that the app was made with."""
    gate: Gate = request.app.state.gate
    return gate


def address_of(request: Request) -> str:
    """From where somebody asks; what a server in front says of it counts where that server was named."""
    return request.client.host if request.client is not None else ""


def onward(to: str) -> str:
    """Where to go after coming in: a page of this server, and nowhere else."""
    inside = to.startswith("/") and not to.startswith(("//", "/enter")) and "\\" not in to and to.isprintable()
    return to if inside else "/"


@ROUTES.get("/enter")
def door(request: Request, key: str = "", to: str = "") -> Response:
    """A button that takes the key, for asking alone changes nothing; where others are served, the page to sign in."""
    if request.state.entered:
        return RedirectResponse(onward(to), 303)
    if gate_of(request).others:
        return page(request, "sign_in.html.j2", {"to": onward(to), "name": "", "words": ""})
    return page(request, "enter.html.j2", {"key": key})


@ROUTES.post("/enter")
def come_in(request: Request, key: Typed = "", name: Typed = "", password: Typed = "", to: Typed = "") -> Response:
    """A cookie in exchange for the key, or for name and password."""
    gate = gate_of(request)
    if gate.others:
        try:
            secret = signed_in(gate.store, name, password, address_of(request), request.state.secret)
        except NotIn as trouble:
            return not_in(request, str(trouble), {"to": onward(to), "name": name[:80]})
    else:
        secret = gate.open(key)
        if not secret:
            return PlainTextResponse(USED + "\n", 403)
        printed = getattr(request.app.state, "printed", None)
        if printed is not None:
            printed(gate.key)
    return with_cookie(request, RedirectResponse(onward(to), 303), secret)


def not_in(request: Request, words: str, known: dict[str, str]) -> Response:
    """The page to sign in again, with what was wrong."""
    answer = page(request, "sign_in.html.j2", known | {"words": words}, status=429 if words == TOO_OFTEN else 403)
    if words == TOO_OFTEN:
        answer.headers["Retry-After"] = str(int(tries.WINDOW.total_seconds()))
    return answer


def with_cookie(request: Request, answer: Response, secret: str) -> Response:
    """An answer that gives the browser its cookie."""
    gate = gate_of(request)
    name = gate.cookie(request.headers)
    lasts = SIGNED_IN if gate.others else LASTS
    answer.set_cookie(
        name, secret, max_age=int(lasts.total_seconds()), httponly=True, samesite="strict", path="/",
        secure=name == COOKIE_BY_TLS,
    )  # fmt: skip
    return answer


@ROUTES.get("/programs")
def programs(request: Request) -> Response:
    """How a program comes in."""
    return tokens_shown(request, "")


def tokens_shown(request: Request, token: str) -> Response:
    """The page about tokens, with a new one where there is one."""
    with desk_of(request).store.reading() as connection:
        held = tokens(connection, request.state.entered.account)
    return page(request, "programs.html.j2", {"token": token, "held": held})


@ROUTES.post("/programs")
def token(request: Request, form_key: Typed = "") -> Response:
    """A token for a program, shown once; it may what its account may."""
    checked(request, form_key)
    account = request.state.entered.account
    who = f"a program of {account}" if account else "a program"
    with desk_of(request).store.writing() as connection:
        secret = enter(connection, who, account=account, program=True)
        note(connection, request.state.who, "made a token for a program")
    return tokens_shown(request, secret)


@ROUTES.post("/programs/end")
def token_ended(request: Request, token: Typed, form_key: Typed = "") -> Response:
    """A token that opens nothing any more."""
    checked(request, form_key)
    with desk_of(request).store.writing() as connection:
        void(connection, request.state.who, request.state.entered.account, token)
    return RedirectResponse("/programs", 303)


@ROUTES.post("/leave")
def go(request: Request, form_key: Typed = "") -> Response:
    """End this browser's stay."""
    checked(request, form_key)
    gate = gate_of(request)
    with desk_of(request).store.writing() as connection:
        leave(connection, request.state.secret)
        if gate.others:
            note(connection, request.state.who, "signed out")
    name = gate.cookie(request.headers)
    answer: Response = RedirectResponse("/enter", 303) if gate.others else PlainTextResponse(
        "You have left. The terminal prints the address to come back.\n"
    )  # fmt: skip
    answer.delete_cookie(name, path="/", httponly=True, samesite="strict", secure=name == COOKIE_BY_TLS)
    return answer
