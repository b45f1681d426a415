"""The app as a real server on a free port, in a thread of this process."""

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import uvicorn
from fastapi import FastAPI

from millhand.cli.serve import listening
from millhand.store.entering import enter
from millhand.store.opening import Store, opened
from millhand.web.app import made
from tests.store.desk import database


@dataclass(frozen=True)
class Live:
    """A running server: its address, its app and store, and a token for programs."""

    url: str
    app: FastAPI
    store: Store
    token: str

    @property
    def headers(self) -> dict[str, str]:
        """What a program sends with each request."""
        return {"Authorization": f"Bearer {self.token}"}


@contextmanager
def live(folder: Path, *, others: bool = False) -> Iterator[Live]:
    """The server, until it is no longer needed; `others`: it serves others, by accounts."""
    with opened(database(folder)) as store, listening(0) as listener:
        port = listener.getsockname()[1]
        own = {f"127.0.0.1:{port}": f"http://127.0.0.1:{port}"}
        app = made(store, port=port, others=own if others else None)
        config = uvicorn.Config(app, log_level="error", access_log=False, timeout_graceful_shutdown=1)
        server = uvicorn.Server(config)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        wait_for(port)
        with store.writing() as connection:
            token = enter(connection, "a program")
        try:
            yield Live(f"http://127.0.0.1:{port}", app, store, token)
        finally:
            server.should_exit = True
            thread.join(timeout=15)


def wait_for(port: int, patience_s: float = 20.0) -> None:
    """Until somebody answers at the port."""
    end = time.monotonic() + patience_s
    while time.monotonic() < end:
        with socket.socket() as asking:
            if asking.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.05)
    raise TimeoutError(port)
