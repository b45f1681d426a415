"""Who may come in, and from where: every request passes here first, those of scripts too.

Loopback is no login: a page of another site, or a name that was made to point here, gets nothing. Only a cookie or a
bearer token lets a request through, and only a request from our own pages changes anything by a cookie.
"""

import hashlib
import hmac
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from urllib.parse import quote

from sqlalchemy.exc import OperationalError
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import BaseRoute
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from millhand.store.accounts import may
from millhand.store.entering import Entered, enter, entered, seen
from millhand.store.opening import Store
from millhand.web.roles import ANYBODY, needed

COOKIE, COOKIE_BY_TLS = "millhand", "__Host-millhand"
CHANGING = frozenset({"POST", "PUT", "PATCH", "DELETE"})
MOST_BODY = 45_000_000
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; frame-src 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}
LOCKED = "This address needs a key: open the address that the terminal printed when the server started."
SIGN_IN = "Sign in first, or send the token of an account."
NOT_YOURS = "Your account has the role {role}: this needs the role {needed}."
BY_TLS_ALONE = {"Strict-Transport-Security": "max-age=15552000"}
AWAY = "The database does not answer, so nothing was changed. Try again in a moment."
USED = "This key was used before, or is none. The terminal prints a new address each time one is used."


@dataclass(slots=True)
class Gate:
    """The names under which this server may be asked, each with its origin; and the key for the next browser that
    comes, where it serves this machine alone."""

    store: Store
    origins: Mapping[str, str]
    others: bool = False  # it serves others: by accounts, not by a key
    routes: list[BaseRoute] = field(default_factory=list)
    key: str = field(default_factory=lambda: secrets.token_urlsafe(24))

    def open(self, key: str) -> str:
        """A secret for a cookie in exchange for the key, which is void afterwards; '' for a wrong one."""
        if self.others or not key or not hmac.compare_digest(key.encode(), self.key.encode()):
            return ""
        self.key = secrets.token_urlsafe(24)
        with self.store.writing() as connection:
            return enter(connection, "this machine")

    def by_tls(self, headers: Headers) -> bool:
        """Whether the name that was asked for is reached by TLS."""
        return self.origins.get(headers.get("host", ""), "").startswith("https://")

    def cookie(self, headers: Headers) -> str:
        """What our cookie is called there: behind TLS a browser takes it from no other name or path."""
        return COOKIE_BY_TLS if self.by_tls(headers) else COOKIE

    def who(self, headers: Headers, *, unasked: bool) -> tuple[Entered | None, str]:
        """Who asks, and the secret that says so. A token counts alone: what comes with one needs no origin.

        unasked: a page asks by itself, which keeps nobody signed in.
        """
        secret = bearer_of(headers) or ("" if "authorization" in headers else cookie_of(headers, self.cookie(headers)))
        if not secret:
            return None, ""
        with self.store.reading() as connection:
            who = entered(connection, secret, others=self.others)
        if who is not None and who.seen_long_ago and not unasked:
            with self.store.writing() as connection:
                seen(connection, secret)
        return who, secret if who is not None else ""


def bearer_of(headers: Headers) -> str:
    """The bearer token of a request."""
    kind, _, token = headers.get("authorization", "").partition(" ")
    return token.strip() if kind.lower() == "bearer" else ""


def cookie_of(headers: Headers, name: str) -> str:
    """The secret in our cookie."""
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(name)
    except CookieError:
        return ""
    return found.value if found is not None else ""


def form_key(secret: str) -> str:
    """What our own forms carry: it follows from the secret of the cookie, which no other site can read."""
    return hashlib.sha256(f"form {secret}".encode()).hexdigest()[:32]


class Guard:
    """The middleware."""

    def __init__(self, app: ASGIApp, gate: Gate) -> None:
        self.app, self.gate = app, gate

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        headers = Headers(scope=scope)
        send = with_headers(send, scope["path"], BY_TLS_ALONE if self.gate.by_tls(headers) else {})
        try:  # in a thread: nobody else waits while the database is asked
            refusal = await run_in_threadpool(self.refusal, scope, headers)
        except OperationalError:
            refusal = told(scope["path"], 503, "no_database", AWAY)
        await (refusal or self.app)(scope, receive if refusal else counted(receive), send)

    def refusal(self, scope: Scope, headers: Headers) -> Response | None:
        """What is answered instead; None where the request may pass. Notes who asks."""
        path = scope["path"]
        if len(headers.getlist("host")) != 1 or headers["host"] not in self.gate.origins:
            return told(path, 421, "wrong_host", "This server answers to its own address only.")
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdigit()) or int(length) > MOST_BODY:
            return told(path, 413, "too_large", f"At most {MOST_BODY // 1_000_000} MB at once.")
        scope["state"] = scope.get("state") or {}
        own_script = headers.get("hx-request") == "true" and scope["method"] == "GET"
        who, secret = self.gate.who(headers, unasked=own_script)
        scope["state"] |= {
            "entered": who,
            "who": who.who if who else "",
            "secret": secret,
            "form_key": form_key(secret),
        }
        if scope["method"] in CHANGING and not bearer_of(headers) and not self.from_here(headers):
            return told(path, 403, "wrong_origin", "Only pages of this server may change something.")
        role = needed(self.gate.routes, scope)
        if who is None and role != ANYBODY:
            return self.locked(scope, headers)
        if who is not None and role != ANYBODY and not may(who.role, role):
            return told(path, 403, "role", NOT_YOURS.format(role=who.role, needed=role))
        return None

    def from_here(self, headers: Headers) -> bool:
        """Whether a request comes from a page of this very server."""
        return headers.get("origin") == self.gate.origins[headers["host"]]

    def locked(self, scope: Scope, headers: Headers) -> Response:
        """What a stranger is told: where to come in."""
        path = scope["path"]
        if not self.gate.others:
            return told(path, 401, "locked", LOCKED)
        if scope["method"] == "GET" and "text/html" in headers.get("accept", "") and not path.startswith("/api/"):
            query = scope.get("query_string", b"").decode("latin-1")
            return RedirectResponse(f"/enter?to={quote(path + ('?' + query if query else ''), '')}", 303)
        return told(path, 401, "locked", SIGN_IN)


def told(path: str, status: int, code: str, words: str) -> Response:
    """A refusal in the form that the caller reads."""
    if path.startswith("/api/"):
        return JSONResponse({"errors": [{"code": code, "words": words}]}, status)
    return PlainTextResponse(words + "\n", status)


def counted(receive: Receive) -> Receive:
    """The body, up to its limit: a request without a length is held to it too."""
    seen = 0

    async def limited() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        return message if seen <= MOST_BODY else {"type": "http.disconnect"}

    return limited


def with_headers(send: Send, path: str, more: Mapping[str, str]) -> Send:
    """What every answer says to the browser."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in {**HEADERS, **more}.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "public, max-age=86400" if path.startswith("/static/") else "no-store")
        await send(message)

    return sending
