"""Coming in with the key that the terminal printed, and going."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response

from millhand.store.deeds import note
from millhand.store.entering import LASTS, enter, leave
from millhand.web.guard import COOKIE, USED
from millhand.web.pages import checked, desk_of, page

ROUTES = APIRouter(include_in_schema=False)


@ROUTES.get("/enter")
def door(request: Request, key: str = "") -> Response:
    """The page behind the printed address: a button takes the key, for asking alone changes nothing."""
    if request.state.who:
        return RedirectResponse("/", 303)
    return page(request, "enter.html.j2", {"key": key})


@ROUTES.post("/enter")
def come_in(request: Request, key: Annotated[str, Form()] = "") -> Response:
    """A cookie in exchange for the key."""
    gate = request.app.state.gate
    secret = gate.open(key)
    if not secret:
        return PlainTextResponse(USED + "\n", 403)
    printed = getattr(request.app.state, "printed", None)
    if printed is not None:
        printed(gate.key)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(COOKIE, secret, max_age=int(LASTS.total_seconds()), httponly=True, samesite="strict", path="/")
    return answer


@ROUTES.get("/programs")
def programs(request: Request) -> Response:
    """How a program comes in."""
    return page(request, "programs.html.j2", {"token": ""})


@ROUTES.post("/programs")
def token(request: Request, form_key: Annotated[str, Form()] = "") -> Response:
    """A token for a program, shown once."""
    checked(request, form_key)
    with desk_of(request).store.writing() as connection:
        secret = enter(connection, "a program")
        note(connection, request.state.who, "made a token for a program")
    return page(request, "programs.html.j2", {"token": secret})


@ROUTES.post("/leave")
def go(request: Request, form_key: Annotated[str, Form()] = "") -> Response:
    """End this browser's stay."""
    checked(request, form_key)
    with desk_of(request).store.writing() as connection:
        leave(connection, request.state.secret)
    answer = PlainTextResponse("You have left. The terminal prints the address to come back.\n")
    answer.delete_cookie(COOKIE, path="/")
    return answer
