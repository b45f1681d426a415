"""The real browser for the tests of this folder; where it is missing, they fail with the line that installs it."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

INSTALL = "sudo apt-get install -y chromium"
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip


def executable() -> str:
    """The browser of this machine."""
    path = os.environ.get("CHROMIUM", "/usr/bin/chromium")
    if not Path(path).is_file():
        pytest.fail(f"Chromium is missing; install it with: {INSTALL}", pytrace=False)
    return path


@contextmanager
def running() -> Iterator[Browser]:
    """The browser, started and stopped."""
    path = executable()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        try:
            yield browser
        finally:
            browser.close()


@dataclass
class Seen:
    """What a page did while it was open."""

    requests: list[str] = field(default_factory=list)
    messages: list[str] = field(default_factory=list)


def watched(page: Page) -> Seen:
    """Keep every request, every message of the console and every error of a page from now on."""
    seen = Seen()
    page.on("request", lambda request: seen.requests.append(request.url))
    page.on("console", lambda message: seen.messages.append(f"{message.type}: {message.text}"))
    page.on("pageerror", lambda error: seen.messages.append(f"error: {error}"))
    return seen
