"""Serving others: nobody without an account, no role beyond its own, no end of tries, no stay without end."""

import time
import unicodedata
from collections.abc import Iterator
from datetime import timedelta

import pytest

from millhand.store import accounts, entering, tries
from millhand.store.deeds import all_deeds
from millhand.web import signing
from millhand.web.guard import COOKIE_BY_TLS
from tests.web.others import DESK, ORIGIN, Shared, shared


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shared]:
    """One app for all tests of this file."""
    with shared(tmp_path_factory.mktemp("others")) as found:
        yield found


@pytest.fixture(autouse=True)
def from_none(desk: Shared) -> None:
    """Each test begins without tries."""
    with desk.store.writing() as connection:
        connection.exec_driver_sql("DELETE FROM tries")


def test_a_stranger_is_led_to_sign_in_and_back(desk: Shared) -> None:
    """To the page that was asked for, and to no other server; programs and scripts are told."""
    browser = desk.stranger(Accept="text/html")
    away = browser.get("/inquiries/x?of=people", follow_redirects=False)
    assert away.headers["location"] == "/enter?to=%2Finquiries%2Fx%3Fof%3Dpeople"
    assert 'value="/inquiries/x?of=people"' in browser.get(away.headers["location"]).text
    sent = {"name": "olga", "password": desk.passwords["olga"], "to": "/audit"}
    assert browser.post("/enter", data=sent, headers=ORIGIN, follow_redirects=False).headers["location"] == "/audit"
    for elsewhere in ("//evil.example", "https://evil.example", "/\\evil.example", "/enter", "x"):
        answer = browser.post("/enter", data=sent | {"to": elsewhere}, headers=ORIGIN, follow_redirects=False)
        assert answer.headers["location"] == "/"
    assert desk.stranger().get("/api/inquiries").status_code == 401
    assert desk.stranger(Accept="text/html").get("/api/inquiries").json()["errors"][0]["code"] == "locked"


def test_no_key_opens_a_desk_that_serves_others(desk: Shared) -> None:
    """The key of this machine and what came in by it are nothing there."""
    browser = desk.stranger()
    gate = desk.app.state.gate
    answer = browser.post("/enter", data={"key": gate.key}, headers=ORIGIN)
    assert answer.status_code == 403
    assert gate.open(gate.key) == ""
    with desk.store.writing() as connection:
        secret = entering.enter(connection, "this machine")
    assert browser.get("/api/inquiries", headers={"Authorization": f"Bearer {secret}"}).status_code == 401


def test_the_cookie_behind_tls_is_taken_from_no_other_place(desk: Shared) -> None:
    """Secure, for this very host, unreadable for scripts, not sent from other sites; it lasts half a day."""
    sent = {"name": "OLGA ", "password": desk.passwords["olga"]}
    answer = desk.stranger().post("/enter", data=sent, headers=ORIGIN, follow_redirects=False)

    words = answer.headers["set-cookie"].lower()
    assert words.startswith("__host-millhand=")
    assert all(word in words for word in ("secure", "httponly", "samesite=strict", "path=/", "max-age=43200"))
    assert "domain" not in words
    assert answer.headers["strict-transport-security"]


@pytest.mark.parametrize("origin", ["http://desk.example", "https://evil.example", "null", ""])
def test_nobody_is_signed_in_from_elsewhere(desk: Shared, origin: str) -> None:
    """Neither by a page of another site nor by the same name without TLS."""
    sent = {"name": "olga", "password": desk.passwords["olga"]}
    headers = {"Origin": origin} if origin else {}
    assert desk.stranger().post("/enter", data=sent, headers=headers).status_code == 403
    assert desk.stranger().get("/enter", headers={"Host": "evil.example"}).status_code == 421


def test_signing_in_ends_the_stay_before_and_signing_out_the_one_of_now(desk: Shared) -> None:
    """A secret that was put into a browser beforehand is not the one that opens."""
    olga = desk.signed_in("olga")
    first = olga.secret
    sent = {"name": "olga", "password": desk.passwords["olga"]}
    olga.browser.post("/enter", data=sent, headers=ORIGIN)
    second = olga.secret
    assert first != second
    assert desk.stranger().get("/api/inquiries", headers={"Cookie": f"{COOKIE_BY_TLS}={first}"}).status_code == 401
    assert olga.send("/leave") == 303
    assert desk.stranger().get("/api/inquiries", headers={"Cookie": f"{COOKIE_BY_TLS}={second}"}).status_code == 401


def test_a_stay_ends_unused_and_in_all(desk: Shared) -> None:
    """What a page asks by itself keeps nobody signed in; a request of a person does."""
    olga = desk.signed_in("olga")
    past = entering.now(-entering.UNUSED + timedelta(minutes=1))
    with desk.store.writing() as connection:
        connection.exec_driver_sql(f"UPDATE entered SET seen_at = '{past}'")
    assert olga.browser.get("/", headers={"HX-Request": "true"}).status_code == 200
    with desk.store.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM entered WHERE seen_at > ?", (past,)).scalar() == 0
    assert olga.browser.get("/").status_code == 200
    with desk.store.writing() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM entered WHERE seen_at > ?", (past,)).scalar() == 1
        connection.exec_driver_sql(f"UPDATE entered SET seen_at = '{entering.now(-entering.UNUSED * 1.01)}'")
    assert olga.browser.get("/").status_code == 401
    again = desk.signed_in("olga")
    with desk.store.writing() as connection:
        connection.exec_driver_sql("UPDATE entered SET ends_at = '2020-01-01T00:00:00Z'")
    assert again.browser.get("/").status_code == 401


def test_tries_have_an_end_by_name_known_or_not(desk: Shared) -> None:
    """The same words for a name that nobody has; then even the right password waits, until the terminal sets one."""
    for name in ("emil", "nobody"):
        answers = []
        for _ in range(tries.MOST_BY_NAME + 1):
            sent = {"name": name, "password": "not the right one"}
            answers.append(desk.stranger().post("/enter", data=sent, headers=ORIGIN))
        assert [each.status_code for each in answers] == [403] * tries.MOST_BY_NAME + [429]
        assert signing.WRONG in answers[0].text
        assert answers[-1].headers["retry-after"] == "900"
    right = {"name": "emil", "password": desk.passwords["emil"]}
    assert desk.stranger().post("/enter", data=right, headers=ORIGIN).status_code == 429
    with desk.store.writing() as connection:
        assert all_deeds(connection, "too often emil", 0, 5)[0].about == "name emil"
        assert all_deeds(connection, "too often", 0, 5)[0].about == "a name that no account has"
        assert "nobody" not in str(connection.exec_driver_sql("SELECT * FROM tries").all())  # it may be a password
        accounts.set_password(connection, "the terminal", "emil", accounts.hashed(desk.passwords["emil"], "emil"))
    assert desk.signed_in("emil").browser.get("/").status_code == 200


def test_tries_have_an_end_by_address_and_only_a_while(desk: Shared) -> None:
    """Many names from one place are one who guesses; a right password takes nothing off its count but itself."""
    for number in range(tries.MOST_BY_ADDRESS):
        sent = {"name": f"name{number}", "password": "x"}
        assert desk.stranger().post("/enter", data=sent, headers=ORIGIN).status_code == 403
    right = {"name": "olga", "password": desk.passwords["olga"]}
    assert desk.stranger().post("/enter", data=right, headers=ORIGIN).status_code == 429
    with desk.store.writing() as connection:
        connection.exec_driver_sql(f"UPDATE tries SET at = '{tries.now(-tries.WINDOW * 1.01)}'")
    assert desk.signed_in("olga").browser.get("/").status_code == 200


def test_addresses_of_one_network_count_as_one() -> None:
    """Whoever has a network of the newer kind has more addresses than tries; an old one written anew is the old one."""
    assert tries.of_address("2001:db8::1") == tries.of_address("2001:db8::ffff")
    assert tries.of_address("2001:db8::1") != tries.of_address("2001:db8:0:1::1")
    assert tries.of_address("::ffff:192.0.2.7") == tries.of_address("192.0.2.7") != tries.of_address("192.0.2.8")


def test_an_unknown_name_takes_as_long_as_a_known_one(desk: Shared, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both are held against a hash of the same parameters, once."""
    seen: list[str] = []
    proved = signing.proved

    def counted(kept: str, password: str) -> bool:
        """Note which hash it is held against."""
        seen.append(kept.rpartition("$")[0].rpartition("$")[0])
        return proved(kept, password)

    monkeypatch.setattr(signing, "proved", counted)
    for name in ("olga", "nobody"):
        desk.stranger().post("/enter", data={"name": name, "password": "wrong"}, headers=ORIGIN)
    assert len(seen) == 2
    assert seen[0] == seen[1]
    start = time.perf_counter()
    assert not accounts.proved(accounts.NOBODYS, "wrong")
    assert time.perf_counter() - start > 0.01  # the real one is slow on purpose


def test_a_hash_with_old_parameters_is_made_anew_at_sign_in(desk: Shared, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without anybody's doing; the password stays."""
    with desk.store.reading() as connection:
        before = accounts.account(connection, "rita").password
    monkeypatch.setattr(accounts, "HASHER", accounts.PasswordHasher(time_cost=2, memory_cost=64, parallelism=1))
    desk.signed_in("rita")
    with desk.store.reading() as connection:
        after = accounts.account(connection, "rita").password
    assert "t=1" in before
    assert "t=2" in after
    assert desk.signed_in("rita").browser.get("/").status_code == 200


def test_an_owner_looks_after_accounts(desk: Shared) -> None:
    """Made, given another role, a new password, taken away: each at once, and each a line with who did it."""
    olga = desk.signed_in("olga")
    assert olga.send("/accounts", name="Nils", role="engineer", password="four red wagons") == 303
    desk.passwords["nils"] = "four red wagons"
    nils = desk.signed_in("nils")
    assert nils.send("/inquiries", kind="blank") == 303
    assert olga.send("/accounts/nils/role", role="reader") == 303
    assert nils.send("/inquiries", kind="blank") == 403
    assert nils.browser.get("/").status_code == 200
    assert olga.send("/accounts/nils/password", password="five red wagons") == 303
    assert nils.browser.get("/").status_code == 401
    desk.passwords["nils"] = "five red wagons"
    nils = desk.signed_in("nils")
    assert olga.send("/accounts/nils/out") == 303
    assert nils.browser.get("/").status_code == 401
    page = olga.browser.get("/audit", params={"words": "nils"}).text
    for words in ("made an account", "changed a role", "set a new password", "took an account away", "signed in"):
        assert words in page
    assert "wagons" not in page
    with desk.store.reading() as connection:
        assert {each.who for each in all_deeds(connection, "nils account", 0, 9)} == {"olga"}
    assert olga.send("/accounts/nils/out") == 404


@pytest.mark.parametrize(
    ("name", "password", "words"),
    [
        ("olga", "long enough words", "a name that no account has"),
        ("with space", "long enough words", "letters, digits or . _ - @"),
        ("..", "long enough words", "a letter or digit among them"),
        ("<b>", "long enough words", "letters, digits or . _ - @"),
        ("ada", "short", "12 to 200 letters"),
        ("ada", "aaaaaaaaaaaaaaaaaa", "soon guessed"),
        ("adalbert", "Adalbert adalbert", "soon guessed"),
    ],
)
def test_an_account_that_cannot_be_made_is_told(desk: Shared, name: str, password: str, words: str) -> None:
    """What was read and what to write; the password is not repeated."""
    olga = desk.signed_in("olga")
    sent = {"name": name, "role": "reader", "password": password, "form_key": form(olga.browser.get("/accounts").text)}
    answer = olga.browser.post("/accounts", data=sent, headers=ORIGIN)
    assert answer.status_code == 422
    assert words in answer.text
    assert password not in answer.text


def test_a_long_password_is_the_same_however_its_letters_are_typed() -> None:
    """Letters with their accents apart are counted as they are kept, one each, also at sign-in."""
    apart = "e\u0301u\u0308a\u0300o\u0302n\u0303" * 40
    assert accounts.proved(accounts.hashed(apart, "ada"), apart)
    assert accounts.proved(accounts.hashed(apart, "ada"), unicodedata.normalize("NFKC", apart))
    assert not accounts.proved(accounts.hashed(apart, "ada"), apart + "x")


def form(page: str) -> str:
    """What the forms of a page carry."""
    return page.split('name="form_key" value="')[1].split('"')[0]


def test_the_last_owner_stays(desk: Shared) -> None:
    """Neither taken away nor made less."""
    olga = desk.signed_in("olga")
    assert olga.send("/accounts/olga/out") == 422
    assert olga.send("/accounts/olga/role", role="reader") == 422
    assert olga.browser.get("/accounts").status_code == 200


def test_ones_own_password_is_changed_by_the_one_of_now(desk: Shared) -> None:
    """Other browsers and tokens end, this one goes on with a new secret; a wrong one changes nothing."""
    here, there = desk.signed_in("emil"), desk.signed_in("emil")
    token = here.browser.post("/programs", data={"form_key": form(here.browser.get("/").text)}, headers=ORIGIN).text
    token = token.split("<code>")[1].split("</code>")[0]
    program = {"Authorization": f"Bearer {token}"}
    assert desk.stranger().get("/api/inquiries", headers=program).status_code == 200
    before = here.secret
    assert here.send("/password", now="wrong", new="eight blue doors") == 422
    assert here.send("/password", now=desk.passwords["emil"], new="emil") == 422
    assert here.send("/password", now=desk.passwords["emil"], new="eight blue doors") == 303
    desk.passwords["emil"] = "eight blue doors"
    assert here.secret != before
    assert here.browser.get("/").status_code == 200
    assert there.browser.get("/").status_code == 401
    assert desk.stranger().get("/api/inquiries", headers=program).status_code == 401
    assert desk.signed_in("emil").browser.get("/").status_code == 200


def test_a_token_may_what_its_account_may_and_can_be_ended(desk: Shared) -> None:
    """Of now, not of when it was made; the page names it without opening anything."""
    emil = desk.signed_in("emil")
    made = emil.browser.post("/programs", data={"form_key": form(emil.browser.get("/").text)}, headers=ORIGIN).text
    program = {"Authorization": "Bearer " + made.split("<code>")[1].split("</code>")[0]}
    browser = desk.stranger()
    assert browser.post("/api/inquiries", json={"kind": "blank"}, headers=program).status_code == 201
    with desk.store.writing() as connection:
        accounts.set_role(connection, "olga", "emil", "reader")
    refused = browser.post("/api/inquiries", json={"kind": "blank"}, headers=program)
    assert refused.status_code == 403
    assert refused.json()["errors"][0]["words"] == "Your account has the role reader: this needs the role engineer."
    assert browser.get("/api/inquiries", headers=program).status_code == 200
    with desk.store.writing() as connection:
        accounts.set_role(connection, "olga", "emil", "engineer")
        assert all_deeds(connection, "a program of emil", 0, 5)[0].what == "kept"
        (name,) = {each.id for each in entering.tokens(connection, "emil")}
    assert desk.signed_in("rita").send("/programs/end", token=name) == 404
    assert emil.send("/programs/end", token="") == 422
    assert emil.send("/programs/end", token=name) == 303
    assert browser.get("/api/inquiries", headers=program).status_code == 401


def test_a_reader_meets_no_field_to_type_into_and_no_button_that_refuses(desk: Shared) -> None:
    """The pages say that he only reads; cost and margin he sees, as the shop's own people do."""
    emil, rita = desk.signed_in("emil"), desk.signed_in("rita")
    emil.send("/inquiries", kind="example", name="1_two_mills")
    with desk.store.reading() as connection:
        name = connection.exec_driver_sql("SELECT id FROM inquiries WHERE name LIKE '%mill%'").scalar()
    page = rita.browser.get(f"/inquiries/{name}/form?of=people").text
    assert '<body class="reads">' in page
    assert "You only read here." in page
    field = page.split('id="in-people.wage"')[1].split(">")[0]
    assert "disabled" in field
    assert "readonly" in rita.browser.get(f"/inquiries/{name}/text").text
    assert 'class="reads"' not in emil.browser.get(f"/inquiries/{name}").text
    assert "/accounts" not in rita.browser.get("/").text
    assert rita.browser.get("/accounts").status_code == 403
    assert rita.browser.get("/audit").status_code == 403
    assert desk.signed_in("olga").browser.get("/").text.count('href="/accounts"') == 1
    assert DESK not in page
