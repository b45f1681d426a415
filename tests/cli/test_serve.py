"""`millhand serve` for others: what it wants before it starts, what it says, whom it believes."""

import os
from pathlib import Path

import pytest
import uvicorn
from click.testing import CliRunner, Result

from millhand.cli.main import group
from millhand.errors import InputError
from millhand.store.accounts import add
from millhand.store.opening import opened
from millhand.web.addresses import own_addresses, read_addresses

HTTPS = ("--for-others", "--address", "https://desk.example", "--port", "0")


@pytest.fixture
def where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A database of its own."""
    found = f"sqlite:///{tmp_path / 'desk.db'}"
    monkeypatch.setenv("MILLHAND_DATABASE", found)
    return found


@pytest.fixture
def started(where: str, monkeypatch: pytest.MonkeyPatch) -> list[uvicorn.Config]:
    """A desk with an owner, and servers that only say how they would run."""
    found: list[uvicorn.Config] = []
    monkeypatch.setattr(uvicorn.Server, "run", lambda self, sockets: found.append(self.config))
    with opened(where) as store, store.writing() as connection:
        add(connection, "the terminal", "olga", "owner", "no hash")
    return found


def run(*words: str) -> Result:
    """The command."""
    return CliRunner().invoke(group, ["serve", *words])


def test_without_an_owner_it_does_not_start(where: str) -> None:
    """The words are the command that makes one."""
    result = run(*HTTPS)
    assert result.exit_code == 1
    assert "make the first account: millhand account add NAME --role owner" in result.stderr


def test_others_are_served_by_tls_in_front(started: list[uvicorn.Config]) -> None:
    """Nobody's word about who asks counts, but that of a server that was named; no process knows the database."""
    result = run(*HTTPS)
    assert result.exit_code == 0, result.stderr
    assert "at https://desk.example; it listens to 127.0.0.1, port" in result.output
    assert "let nothing but the server that does TLS reach port" in result.output
    assert "Name that server with --proxy" in result.output
    assert "Caution" not in result.output
    assert "enter?key=" not in result.output
    assert (started[0].proxy_headers, started[0].access_log) == (False, False)
    assert "MILLHAND_DATABASE" not in os.environ


def test_a_server_in_front_that_is_named_is_believed(started: list[uvicorn.Config]) -> None:
    """It alone."""
    result = run(*HTTPS, "--proxy", "127.0.0.1")
    assert "Name that server" not in result.output
    assert started[0].proxy_headers
    assert started[0].forwarded_allow_ips == ["127.0.0.1"]


def test_what_can_be_read_on_the_way_is_said(started: list[uvicorn.Config]) -> None:
    """Also beside an address with TLS; not of this machine itself."""
    result = run(
        "--for-others", "--address", "http://192.0.2.7:8177", "--address", "http://localhost:8177", "--port", "0"
    )
    assert "Caution: all that is sent to http://192.0.2.7:8177, passwords too, can be read" in result.output
    assert result.output.count("Caution") == 1


def test_alone_it_believes_no_word_about_who_asks(started: list[uvicorn.Config]) -> None:
    """There is no server in front of one's own machine."""
    assert run("--port", "0").exit_code == 0
    assert not started[0].proxy_headers


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--for-others",), "how others open it, such as https://desk.example"),
        (("--for-others", "--address", "desk.example"), "an address such as https://desk.example, without a path"),
        (("--for-others", "--address", "ftp://desk.example"), "without a path"),
        (("--for-others", "--address", "https://a@desk.example"), "without a path"),
        (("--for-others", "--address", "https://desk.example/x"), "without a path"),
        (("--for-others", "--address", "https://*.example"), "without a path"),
        (("--for-others", "--address", "https://a.example", "--address", "http://a.example"), "a.example once"),
        ((*HTTPS, "--proxy", "*"), "nobody else's word counts"),
        ((*HTTPS, "--host", "desk"), "a network address of this machine"),
        ((*HTTPS, "--host", "203.0.113.9"), "a network address that this machine has"),
        (("--host", "0.0.0.0"), "go with --for-others"),
    ],
)
def test_what_is_missing_or_wrong_is_told(started: list[uvicorn.Config], words: tuple[str, ...], said: str) -> None:
    """And nothing is served."""
    result = run(*words)
    assert result.exit_code == 2
    assert said in result.stderr
    assert started == []


def test_addresses_are_as_browsers_say_them() -> None:
    """Small letters, no usual port, letters of other alphabets as they travel."""
    written = ("https://Desk.Example:443/", "http://münze.example:81", "http://[::1]:8000")
    assert read_addresses(written) == {
        "desk.example": "https://desk.example",
        "xn--mnze-0ra.example:81": "http://xn--mnze-0ra.example:81",
        "[::1]:8000": "http://[::1]:8000",
    }
    assert set(own_addresses(80)) == {"127.0.0.1", "localhost", "[::1]"}
    assert "127.0.0.1:8177" in own_addresses(8177)
    with pytest.raises(InputError):
        read_addresses([""])
