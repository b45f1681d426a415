"""`millhand serve`: the local web app, for this machine alone, or for others who have accounts."""

import errno
import ipaddress
import os
import signal
import socket
from collections.abc import Callable, Iterator, Mapping
from types import FrameType

import click
import uvicorn
from fastapi import FastAPI

from millhand.errors import InputError, ToolError
from millhand.store.accounts import has_owner
from millhand.store.opening import WHERE, Store, opened, usual_url
from millhand.web.addresses import is_open, read_addresses
from millhand.web.app import made

LOOPBACK = "127.0.0.1"
TLS = "Put a server that does TLS in front, and give its https address."


@click.command(name="serve")
@click.option("--port", type=click.IntRange(min=0, max=65535), default=8177, show_default=True, help="0: any free one.")
@click.option("--for-others", is_flag=True, help="Serve others too: everybody signs in by an account.")
@click.option("--address", "addresses", multiple=True, metavar="URL", help="How others open it, https://desk.example.")
@click.option("--host", metavar="IP", help="The network address to listen to.  [default: 127.0.0.1]")
@click.option(
    "--proxy", "proxies", multiple=True, metavar="IP", help="A server in front, whose word of who asks counts."
)
def command(
    port: int, for_others: bool, addresses: tuple[str, ...], host: str | None, proxies: tuple[str, ...]
) -> None:
    """Open the web app on this machine and print its address, which holds a key for one browser.

    Inquiries are kept in one file in your own folder, or in the database that MILLHAND_DATABASE names.

    With --for-others, whoever opens an --address signs in by an account; make the first on the terminal:
    'millhand account add NAME --role owner'. Put a server that does TLS in front of it.
    """
    if not for_others and (addresses or host or proxies):
        raise click.UsageError("--address, --host and --proxy go with --for-others.")
    url = usual_url()
    os.environ.pop(WHERE, None)  # no process that this one starts is to know its password
    with opened(url) as store:
        where = f"the file {store.file}" if store.file else f"the database that {WHERE} names"
        if for_others:
            origins = read_addresses(addresses)
            may_serve_others(store, origins, host or LOOPBACK, proxies)
            with listening(port, host or LOOPBACK) as listener:
                app = made(store, port=listener.getsockname()[1], others=origins)
                for line in to_others(origins, listener, proxies):
                    click.echo(line)
                click.echo(f"millhand keeps its inquiries in {where}. Stop it with Ctrl-C; nothing is lost.")
                run(app, listener, proxies)
            return
        with listening(port) as listener:
            own = listener.getsockname()[1]
            app = made(store, port=own)
            app.state.printed = lambda key: click.echo(f"For another browser: {address(own, key)}")
            click.echo(f"millhand keeps its inquiries in {where}.")
            click.echo(f"Open in your browser: {address(own, app.state.gate.key)}")
            click.echo("It answers to this machine alone. Stop it with Ctrl-C; nothing is lost.")
            run(app, listener, ())


def may_serve_others(store: Store, origins: Mapping[str, str], host: str, proxies: tuple[str, ...]) -> None:
    """ToolError or InputError where something is missing that serving others needs."""
    with store.reading() as connection:
        if not has_owner(connection):
            words = "nobody is owner of this desk yet; make the first account: millhand account add NAME --role owner."
            raise ToolError(words, code="no_owner")
    if not origins:
        raise InputError("--address", "none", "how others open it, such as https://desk.example", "address")
    try:
        ipaddress.ip_address(host)
    except ValueError:
        raise InputError(
            "--host", host, "a network address of this machine, such as 192.0.2.7 or 0.0.0.0", "host"
        ) from None
    for proxy in proxies:
        try:
            ipaddress.ip_network(proxy)
        except ValueError:
            write = "the network address of the server in front, such as 127.0.0.1; nobody else's word counts"
            raise InputError("--proxy", proxy, write, "proxy") from None


def to_others(origins: Mapping[str, str], listener: socket.socket, proxies: tuple[str, ...]) -> Iterator[str]:
    """What is said at the start: where it is, and what stands between it and those who should not read along."""
    host, port = listener.getsockname()[:2]
    yield f"It serves whoever has an account, at {' and '.join(origins.values())}; it listens to {host}, port {port}."
    for origin in origins.values():
        if is_open(origin):
            yield f"Caution: all that is sent to {origin}, passwords too, can be read on the way. {TLS}"
    if any(origin.startswith("https:") for origin in origins.values()):
        yield f"TLS ends in front of it: let nothing but the server that does TLS reach port {port}."
        if not proxies:
            yield "Name that server with --proxy, else all who come through it count as one in the limit of sign-ins."


def run(app: FastAPI, listener: socket.socket, proxies: tuple[str, ...]) -> None:
    """Serve until asked to stop."""
    server = uvicorn.Server(
        uvicorn.Config(
            app, log_level="warning", access_log=False, server_header=False, timeout_graceful_shutdown=3,
            proxy_headers=bool(proxies), forwarded_allow_ips=list(proxies),
        )
    )  # fmt: skip
    signal.signal(signal.SIGTERM, stopping(server))
    server.run(sockets=[listener])


def address(port: int, key: str) -> str:
    """What to open."""
    return f"http://{LOOPBACK}:{port}/enter?key={key}"


def stopping(server: uvicorn.Server) -> Callable[[int, FrameType | None], None]:
    """What a polite request to end does."""

    def stop(_: int, __: FrameType | None) -> None:
        server.should_exit = True

    return stop


def listening(port: int, host: str = LOOPBACK) -> socket.socket:
    """A socket on an address of this machine; ToolError where the port is taken."""
    listener = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
        listener.listen(128)  # before the address is printed: whoever opens it at once is heard
    except OSError as trouble:
        listener.close()
        if trouble.errno == errno.EADDRNOTAVAIL:
            raise InputError("--host", host, "a network address that this machine has", "host") from None
        raise ToolError(f"port {port} is taken; choose another one with --port, or 0 for any.", code="port") from None
    return listener
