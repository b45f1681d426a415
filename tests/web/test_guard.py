"""Who may come in, and from where: loopback is no login, and no other page changes anything."""

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from tests.web.serving import BASE, ORIGIN, PORT, Served, served


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("guard")) as found:
        yield found


@pytest.fixture
def stranger(desk: Served) -> TestClient:
    """A browser that has no key."""
    return TestClient(desk.app, base_url=BASE)


@pytest.mark.parametrize("path", ["/", "/inquiries/x", "/api/inquiries", "/api/openapi.json", "/pieces/x", "/no/such"])
def test_without_a_key_nothing_is_shown(stranger: TestClient, path: str) -> None:
    """The words say which address to open; programs get them as JSON."""
    answer = stranger.get(path)

    assert answer.status_code == 401
    assert "open the address that the terminal printed" in answer.text
    assert answer.headers["content-type"].startswith("application/json" if path.startswith("/api/") else "text/plain")


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8177", f"127.0.0.1:{PORT + 1}", "127.0.0.1", ""])
@pytest.mark.parametrize("path", ["/", "/api/inquiries", "/static/desk.css", "/enter"])
def test_another_name_that_points_here_gets_nothing(desk: Served, host: str, path: str) -> None:
    """A name made to point at this machine is not ours, cookie or not."""
    assert desk.browser.get(path, headers={"Host": host}).status_code == 421


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", f"http://localhost:{PORT}", "", f"https://127.0.0.1:{PORT}"]
)
@pytest.mark.parametrize("path", ["/inquiries", "/api/inquiries", "/leave"])
def test_no_other_page_changes_anything_by_our_cookie(desk: Served, origin: str, path: str) -> None:
    """Neither with a form nor with JSON, nor where the browser does not say where it comes from."""
    headers = {"Origin": origin} if origin else {}
    answer = desk.browser.post(path, json={"kind": "blank"}, headers=headers)

    assert answer.status_code == 403
    assert desk.browser.get("/api/inquiries").json() == []


def test_a_form_without_our_own_key_is_refused(desk: Served) -> None:
    """Also from our own address."""
    answer = desk.browser.post("/inquiries", data={"kind": "blank"}, headers=ORIGIN)

    assert answer.status_code == 403
    assert "load its page again" in answer.text


def test_asking_alone_changes_nothing_and_takes_no_key(desk: Served, stranger: TestClient) -> None:
    """A link that something follows ahead leaves the key as it was."""
    key = desk.app.state.gate.key
    assert stranger.get(f"/enter?key={key}").status_code == 200
    assert desk.app.state.gate.key == key
    assert "set-cookie" not in stranger.get(f"/enter?key={key}").headers


def test_a_key_opens_once(desk: Served, stranger: TestClient) -> None:
    """The second time it is void, and the words say where the next one is; a wrong one never opens."""
    key = desk.app.state.gate.key
    assert stranger.post("/enter", data={"key": "wrong"}, headers=ORIGIN).status_code == 403
    first = stranger.post("/enter", data={"key": key}, headers=ORIGIN, follow_redirects=False)
    second = TestClient(desk.app, base_url=BASE).post("/enter", data={"key": key}, headers=ORIGIN)

    assert first.status_code == 303
    cookie = first.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert second.status_code == 403
    assert "used before" in second.text


def test_who_leaves_is_a_stranger_again(desk: Served, stranger: TestClient) -> None:
    """His cookie opens nothing more."""
    stranger.post("/enter", data={"key": desk.app.state.gate.key}, headers=ORIGIN)
    secret = stranger.cookies["millhand"]
    page = stranger.get("/").text
    own = page.split('name="form_key" value="')[1].split('"')[0]
    assert stranger.post("/leave", data={"form_key": own}, headers=ORIGIN).status_code == 200

    again = TestClient(desk.app, base_url=BASE, cookies={"millhand": secret})
    assert again.get("/").status_code == 401


def test_a_program_comes_in_by_its_token_alone(desk: Served, stranger: TestClient) -> None:
    """A bearer token needs no cookie and no origin; a wrong one opens nothing."""
    token = {"Authorization": f"Bearer {desk.browser.cookies['millhand']}"}

    assert stranger.get("/api/inquiries", headers=token).status_code == 200
    assert stranger.post("/api/inquiries", json={"kind": "copy", "name": "none"}, headers=token).status_code == 404
    assert stranger.get("/api/inquiries", headers={"Authorization": "Bearer x"}).status_code == 401


def test_a_token_is_made_for_a_program_and_shown_once(desk: Served, stranger: TestClient) -> None:
    """It opens the interface to a program that has no cookie."""
    answer = desk.browser.post("/programs", data={"form_key": desk.form_key}, headers=ORIGIN)
    token = answer.text.split("<code>")[1].split("</code>")[0]

    assert stranger.get("/api/inquiries", headers={"Authorization": f"Bearer {token}"}).status_code == 200
    assert token not in desk.browser.get("/programs").text
    assert desk.browser.post("/programs", headers=ORIGIN).status_code == 403


@pytest.mark.parametrize("path", ["/", "/static/desk.js", "/api/inquiries", "/no/such"])
def test_every_answer_says_what_a_browser_may_do(desk: Served, path: str) -> None:
    """Scripts of our own only, no frame around us, nothing guessed, nothing kept of what is private."""
    headers = desk.browser.get(path).headers

    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self';" in policy
    assert "unsafe-eval" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert path.startswith("/static/") or headers["cache-control"] == "no-store"


def test_what_is_too_large_is_refused_before_it_is_read(desk: Served) -> None:
    """By the length that it tells."""
    answer = desk.browser.post("/inquiries/files", content=b"", headers={**ORIGIN, "Content-Length": "999999999"})

    assert answer.status_code == 413


@pytest.mark.parametrize("path", ["/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py"])
def test_no_path_leads_out_of_the_static_files(desk: Served, path: str) -> None:
    """Nothing but what is meant to be read."""
    assert desk.browser.get(path).status_code == 404
