"""`millhand serve`: the local web app, for this machine alone."""

import signal
import socket
from collections.abc import Callable
from types import FrameType

import click
import uvicorn

from millhand.errors import ToolError
from millhand.store.opening import WHERE, opened, usual_url
from millhand.web.app import made

LOOPBACK = "127.0.0.1"


@click.command(name="serve")
@click.option("--port", type=click.IntRange(min=0, max=65535), default=8177, show_default=True, help="0: any free one.")
def command(port: int) -> None:
    """Open the web app on this machine and print its address, which holds a key for one browser.

    Inquiries are kept in one file in your own folder, or in the database that MILLHAND_DATABASE names.
    """
    with opened(usual_url()) as store, listening(port) as listener:
        own = listener.getsockname()[1]
        app = made(store, port=own)
        app.state.printed = lambda key: click.echo(f"For another browser: {address(own, key)}")
        where = f"the file {store.file}" if store.file else f"the database that {WHERE} names"
        click.echo(f"millhand keeps its inquiries in {where}.")
        click.echo(f"Open in your browser: {address(own, app.state.gate.key)}")
        click.echo("It answers to this machine alone. Stop it with Ctrl-C; nothing is lost.")
        server = uvicorn.Server(
            uvicorn.Config(app, log_level="warning", access_log=False, server_header=False, timeout_graceful_shutdown=3)
        )
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


def listening(port: int) -> socket.socket:
    """A socket on the loopback address; ToolError where the port is taken."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((LOOPBACK, port))
        listener.listen(128)  # before the address is printed: whoever opens it at once is heard
    except OSError:
        listener.close()
        raise ToolError(f"port {port} is taken; choose another one with --port, or 0 for any.", code="port") from None
    return listener
