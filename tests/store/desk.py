"""A store in a folder for tests; where MILLHAND_TEST_DATABASE names a PostgreSQL, it can be a new schema there."""

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import create_engine, make_url

from millhand.store.inquiries import Begun, Kept, begin
from millhand.store.opening import Store, opened

TEST_DATABASE = "MILLHAND_TEST_DATABASE"


def database(folder: Path) -> str:
    """The URL of a new database: a file in the folder, or a schema of its own in the database of the environment."""
    where = os.environ.get(TEST_DATABASE, "")
    if not where:
        return f"sqlite:///{folder / 'desk.db'}"
    schema = f"test_{secrets.token_hex(6)}"
    engine = create_engine(where)
    with engine.begin() as connection:
        connection.exec_driver_sql(f"CREATE SCHEMA {schema}")
    engine.dispose()
    return make_url(where).update_query_dict({"options": f"-csearch_path={schema}"}).render_as_string(False)


@contextmanager
def a_store(folder: Path) -> Iterator[Store]:
    """An empty one."""
    with opened(f"sqlite:///{folder / 'desk.db'}") as store:
        yield store


def one(store: Store, text: str = "name: a\n", **files: bytes) -> Kept:
    """An inquiry in it."""
    with store.writing() as connection:
        return begin(connection, Begun(name="a", text=text, files=files), "me")
