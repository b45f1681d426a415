"""Who may come in, and from where: every request passes here first, those of scripts too.

Loopback is no login: a page of another site, or a name that was made to point here, gets nothing. Only a cookie or a
bearer token lets a request through, and only a request from our own pages changes anything by a cookie.
"""

import hashlib
import hmac
import secrets
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from millhand.store.entering import enter, who_entered
from millhand.store.opening import Store

COOKIE = "millhand"
OPEN = ("/enter", "/static/", "/left")
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
USED = "This key was used before, or is none. The terminal prints a new address each time one is used."


@dataclass(slots=True)
class Gate:
    """The keys: one for the next browser that comes, and the names under which this server may be asked."""

    store: Store
    hosts: frozenset[str]
    key: str = field(default_factory=lambda: secrets.token_urlsafe(24))

    def open(self, key: str) -> str:
        """A secret for a cookie in exchange for the key, which is void afterwards; '' for a wrong one."""
        if not key or not hmac.compare_digest(key.encode(), self.key.encode()):
            return ""
        self.key = secrets.token_urlsafe(24)
        with self.store.writing() as connection:
            return enter(connection, "this machine")

    def who(self, headers: Headers) -> tuple[str, str]:
        """Who asks, and the secret that says so; two empty texts where nobody is known."""
        for secret in (bearer_of(headers), cookie_of(headers)):
            if secret:
                with self.store.reading() as connection:
                    who = who_entered(connection, secret)
                if who:
                    return who, secret
        return "", ""


def bearer_of(headers: Headers) -> str:
    """The bearer token of a request."""
    kind, _, token = headers.get("authorization", "").partition(" ")
    return token.strip() if kind.lower() == "bearer" else ""


def cookie_of(headers: Headers) -> str:
    """The secret in our cookie."""
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
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
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self.refusal(scope, headers)
        if refusal is not None:
            await refusal(scope, receive, with_headers(send, scope["path"]))
            return
        await self.app(scope, counted(receive), with_headers(send, scope["path"]))

    def refusal(self, scope: Scope, headers: Headers) -> Response | None:
        """What is answered instead; None where the request may pass. Notes who asks."""
        path = scope["path"]
        if headers.get("host", "") not in self.gate.hosts:
            return told(path, 421, "wrong_host", "This server answers to its own address only.")
        if int(headers.get("content-length") or 0) > MOST_BODY:
            return told(path, 413, "too_large", f"At most {MOST_BODY // 1_000_000} MB at once.")
        scope["state"] = scope.get("state") or {}
        who, secret = self.gate.who(headers)
        scope["state"] |= {"who": who, "secret": secret, "form_key": form_key(secret)}
        if scope["method"] in CHANGING and not bearer_of(headers) and not from_here(headers):
            return told(path, 403, "wrong_origin", "Only pages of this server may change something.")
        if not who and not path.startswith(OPEN):
            return told(path, 401, "locked", LOCKED)
        return None


def from_here(headers: Headers) -> bool:
    """Whether a request comes from a page of this very server."""
    return headers.get("origin") == f"http://{headers.get('host')}"


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


def with_headers(send: Send, path: str) -> Send:
    """What every answer says to the browser."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "public, max-age=86400" if path.startswith("/static/") else "no-store")
        await send(message)

    return sending
