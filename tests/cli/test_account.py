"""Accounts on the terminal: a password comes unseen, from the environment or from standard input, and is never told."""

import json
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from click.testing import CliRunner, Result

from millhand.cli.main import group
from millhand.store import accounts
from millhand.store.deeds import all_deeds
from millhand.store.entering import enter, entered
from millhand.store.opening import opened

SECRET = "three green lamps"


@pytest.fixture(autouse=True)
def quick(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A database of its own, and hashes that take no time."""
    monkeypatch.setenv("MILLHAND_DATABASE", f"sqlite:///{tmp_path / 'desk.db'}")
    monkeypatch.delenv("MILLHAND_PASSWORD", raising=False)
    monkeypatch.setattr(accounts, "HASHER", PasswordHasher(time_cost=1, memory_cost=64, parallelism=1))


def run(*words: str, given: str = "", **environment: str) -> Result:
    """The command, with what stands on standard input and in the environment."""
    return CliRunner().invoke(group, ["account", *words], input=given, env=environment)


def test_an_account_is_made_listed_changed_and_taken_away(tmp_path: Path) -> None:
    """Each step with a line in the log, by the terminal; no output holds the password."""
    assert run("list").output == "There are none. Make the first: millhand account add NAME --role owner\n"
    first = run("add", "Olga", "--role", "owner", given=f"{SECRET}\n")
    assert (first.exit_code, first.output) == (0, "olga may sign in as owner.\n")
    assert run("add", "emil", "--role", "reader", MILLHAND_PASSWORD="seven grey stones").exit_code == 0
    assert run("role", "EMIL", "--role", "engineer").output == "emil is engineer now.\n"
    known = json.loads(run("list", "--json").output)["accounts"]
    assert [(each["name"], each["role"]) for each in known] == [("emil", "engineer"), ("olga", "owner")]
    assert set(known[0]) == {"name", "role", "made_at"}
    assert run("list").output.startswith("emil                     engineer  since 20")
    assert run("take-away", "emil").output == "emil may no longer sign in.\n"
    with opened(f"sqlite:///{tmp_path / 'desk.db'}") as store, store.reading() as connection:
        assert accounts.proved(accounts.account(connection, "olga").password, SECRET)
        log = all_deeds(connection, "", 0, 9)
    assert {each.who for each in log} == {"the terminal"}
    assert [each.what for each in log] == [
        "took an account away",
        "changed a role",
        "made an account",
        "made an account",
    ]
    assert SECRET.encode() not in (tmp_path / "desk.db").read_bytes()


def test_a_new_password_ends_what_came_in_by_the_old_one(tmp_path: Path) -> None:
    """Browsers and programs alike."""
    run("add", "olga", "--role", "owner", given=f"{SECRET}\n")
    where = f"sqlite:///{tmp_path / 'desk.db'}"
    with opened(where) as store, store.writing() as connection:
        secret = enter(connection, "olga", account="olga", program=True)
        assert entered(connection, secret, others=True) is not None
    assert run("password", "olga", given="four green lamps\n").exit_code == 0
    with opened(where) as store, store.reading() as connection:
        assert entered(connection, secret, others=True) is None
        assert accounts.proved(accounts.account(connection, "olga").password, "four green lamps")


@pytest.mark.parametrize(
    ("words", "given", "said"),
    [
        (("add", "ada", "--role", "owner"), "short", "password: read '5 letters'; write 12 to 200 letters"),
        (("add", "ada", "--role", "owner"), "", "password: read '0 letters'"),
        (("add", "a b", "--role", "owner"), SECRET, "letters, digits or . _ - @"),
        (("role", "nobody", "--role", "owner"), "", "the name of an account; 'millhand account list' shows them"),
        (("password", "nobody"), SECRET, "the name of an account"),
        (("take-away", "nobody"), "", "the name of an account"),
    ],
)
def test_what_cannot_be_is_told(words: tuple[str, ...], given: str, said: str) -> None:
    """What was read and what to write; exit code 2."""
    result = run(*words, given=given)

    assert result.exit_code == 2
    assert said in result.stderr
    assert not given or given not in result.output + result.stderr


def test_the_last_owner_stays() -> None:
    """Until there is another one."""
    run("add", "olga", "--role", "owner", given=SECRET)
    for words in (("take-away", "olga"), ("role", "olga", "--role", "reader")):
        result = run(*words)
        assert result.exit_code == 2
        assert "this one is the last owner" in result.stderr
    run("add", "emil", "--role", "owner", given="seven grey stones")
    assert run("take-away", "olga").exit_code == 0
