"""The addresses under which a server may be asked: what a browser says as host and as origin."""

from collections.abc import Iterable, Mapping
from urllib.parse import urlsplit

from millhand.errors import InputError

OWN_NAMES = ("127.0.0.1", "localhost", "[::1]")
USUAL_PORTS = {"http": 80, "https": 443}


def own_addresses(port: int) -> Mapping[str, str]:
    """The host names of this machine alone, each with its origin."""
    return read_addresses([f"http://{name}:{port}" for name in OWN_NAMES])


def read_addresses(texts: Iterable[str]) -> Mapping[str, str]:
    """Addresses as people write them: by host the origin; InputError for what is none, and for two of one host."""
    found: dict[str, str] = {}
    for text in texts:
        host, origin = read_address(text)
        if found.get(host, origin) != origin:
            raise InputError("--address", text, f"{host} once: with TLS in front its https address alone", "address")
        found[host] = origin
    return found


def read_address(text: str) -> tuple[str, str]:
    """One address: its host as a browser sends it, and its origin."""
    wrong = InputError("--address", text[:200], "an address such as https://desk.example, without a path", "address")
    try:
        parts = urlsplit(text.strip())
        name, port = (parts.hostname or "").encode("idna").decode("ascii"), parts.port
    except (ValueError, UnicodeError):
        raise wrong from None
    more = parts.path not in ("", "/") or parts.query or parts.fragment or "@" in parts.netloc
    if parts.scheme not in USUAL_PORTS or not name or more or any(letter in name for letter in " *\\"):
        raise wrong
    host = f"[{name}]" if ":" in name else name
    if port is not None and port != USUAL_PORTS[parts.scheme]:
        host = f"{host}:{port}"
    return host, f"{parts.scheme}://{host}"


def stays_here(origin: str) -> bool:
    """Whether an origin is this machine's own, so that nothing of it crosses a network."""
    return urlsplit(origin).hostname in ("127.0.0.1", "localhost", "::1")


def is_open(origin: str) -> bool:
    """Whether what is sent to it can be read on the way."""
    return origin.startswith("http://") and not stays_here(origin)
