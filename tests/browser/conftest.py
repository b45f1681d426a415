"""One real browser for all tests of this folder, and a desk of its own for each file."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.browser.chromium import running
from tests.web.live import Live, live


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser; each test opens windows of its own in it."""
    with running() as found:
        yield found


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    """One server for all tests of a file."""
    with live(tmp_path_factory.mktemp("desk")) as found:
        yield found
