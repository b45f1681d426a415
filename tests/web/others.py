"""The app as it serves others: a store with accounts, and browsers that sign in; hashes are quick in tests."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from fastapi import FastAPI
from starlette.testclient import TestClient

from millhand.store import accounts
from millhand.store.opening import Store, opened
from millhand.web import signing
from millhand.web.app import made
from millhand.web.guard import COOKIE_BY_TLS, form_key

DESK = "https://desk.example"
ORIGIN = {"Origin": DESK}
PASSWORDS = {"olga": "three green lamps", "emil": "seven grey stones", "rita": "nine loud engines"}
ROLES = {"olga": accounts.OWNER, "emil": accounts.ENGINEER, "rita": accounts.READER}
QUICK = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)


@dataclass
class Shared:
    """The app and its store."""

    app: FastAPI
    store: Store
    passwords: dict[str, str] = field(default_factory=lambda: dict(PASSWORDS))

    def stranger(self, **headers: str) -> TestClient:
        """A browser that has not signed in."""
        return TestClient(self.app, base_url=DESK, headers=headers)

    def signed_in(self, name: str, **headers: str) -> "Person":
        """A browser that has."""
        browser = self.stranger(**headers)
        sent = {"name": name, "password": self.passwords[name]}
        answer = browser.post("/enter", data=sent, headers=ORIGIN, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        return Person(browser)


@dataclass
class Person:
    """A browser of somebody who has signed in."""

    browser: TestClient

    @property
    def secret(self) -> str:
        """What its cookie holds."""
        return str(self.browser.cookies[COOKIE_BY_TLS])

    def send(self, where: str, /, **fields: object) -> int:
        """Send a form as the pages do; the status of the answer."""
        data = {key: str(value) for key, value in fields.items()} | {"form_key": form_key(self.secret)}
        return int(self.browser.post(where, data=data, headers=ORIGIN, follow_redirects=False).status_code)


@contextmanager
def shared(folder: Path) -> Iterator[Shared]:
    """The app on a new store with an owner, an engineer and a reader."""
    quick = pytest.MonkeyPatch()
    quick.setattr(accounts, "HASHER", QUICK)
    quick.setattr(signing, "NOBODYS", QUICK.hash("nobody"))
    try:
        with opened(f"sqlite:///{folder / 'desk.db'}") as store:
            with store.writing() as connection:
                for name, role in ROLES.items():
                    accounts.add(connection, "the terminal", name, role, accounts.hashed(PASSWORDS[name], name))
            app = made(store, port=1, others={"desk.example": DESK})
            try:
                yield Shared(app, store)
            finally:
                app.state.desk.reader.close()
                app.state.desk.asking.close()
                app.state.desk.papering.close()
    finally:
        quick.undo()
