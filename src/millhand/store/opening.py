"""Opens the database: made where there is none, brought up to date where it is older, refused where it is newer.

One server at a time holds a database file; a copy is made of an older file before it is changed.
"""

import fcntl
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import alembic.command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from platformdirs import user_data_path
from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError

from millhand.errors import ToolError

STEPS = Path(__file__).parent / "migrations"
PATIENCE_S = 20.0  # how long a writer waits for another one
WHERE = "MILLHAND_DATABASE"


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """An open database. Readers see what is committed; one writer at a time."""

    engine: Engine
    file: Path | None  # of an SQLite database

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that only reads, and waits for nobody."""
        with self.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection whose work is kept as a whole at the end, or not at all."""
        with self.engine.begin() as connection:
            yield connection

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


def usual_url() -> str:
    """The database in the environment, else one file in the user's own folder."""
    return os.environ.get(WHERE) or f"sqlite:///{user_data_path('millhand') / 'desk.db'}"


@contextmanager
def opened(url: str) -> Iterator[Store]:
    """The database at a URL of SQLAlchemy, up to date; ToolError where it cannot be used, without its password."""
    try:
        where = make_url(url)
        file = sqlite_file(where)
        if file is not None:
            file.parent.mkdir(parents=True, exist_ok=True)
        held = held_alone(file)
    except (ArgumentError, OSError) as trouble:
        raise unusable(trouble) from None
    try:
        store = up_to_date(where, file)
        try:
            yield store
        finally:
            store.close()
    finally:
        if held is not None:
            os.close(held)


def up_to_date(where: URL, file: Path | None) -> Store:
    """The store, every step of its tables done."""
    try:
        store = Store(engine=connected_to(where), file=file)
        brought_up(store)
    except (ArgumentError, NoSuchModuleError, ImportError, DBAPIError, OSError) as trouble:
        raise unusable(trouble) from None
    return store


def unusable(trouble: Exception) -> ToolError:
    """What is said of a database that cannot be opened."""
    if isinstance(trouble, DBAPIError | OSError):
        words = f"the database cannot be used: {getattr(trouble, 'orig', None) or trouble.args[-1]}."
    else:
        words = f"{WHERE} names no database that can be opened here; write a URL such as sqlite:///desk.db."
    return ToolError(words, code="no_database")


def sqlite_file(where: URL) -> Path | None:
    """The file of an SQLite database; None for another one, and for one in memory."""
    name = where.database if where.get_backend_name() == "sqlite" else None
    return Path(name).absolute() if name and name != ":memory:" else None


def held_alone(file: Path | None) -> int | None:
    """Hold a database file against a second server; the hold goes with the process, however that ends."""
    if file is None:
        return None
    handle = os.open(file.with_name(file.name + ".lock"), os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(handle)
        words = f"another millhand serves {file.name} already; use its window, or stop it first."
        raise ToolError(words, code="two_servers") from None
    return handle


def connected_to(where: URL) -> Engine:
    """The engine; SQLite writes to a log beside the file, takes one writer at a time, and flushes each commit."""
    if where.get_backend_name() != "sqlite":
        return create_engine(where, pool_pre_ping=True, hide_parameters=True)
    engine = create_engine(where, connect_args={"timeout": PATIENCE_S}, hide_parameters=True)

    @event.listens_for(engine, "connect")
    def on_connect(connection: sqlite3.Connection, _: object) -> None:
        connection.isolation_level = None  # whoever begins says so
        for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def on_begin(connection: Connection) -> None:
        if connection.get_execution_options().get("isolation_level") != "AUTOCOMMIT":
            connection.exec_driver_sql("BEGIN IMMEDIATE")

    return engine


def brought_up(store: Store) -> None:
    """Every step that the database lacks; ToolError where it has one that this version does not know."""
    config = Config()
    config.set_main_option("script_location", str(STEPS))
    script = ScriptDirectory.from_config(config)
    with store.engine.connect() as connection:
        now = MigrationContext.configure(connection).get_current_revision()
    if now is not None and now not in {each.revision for each in script.walk_revisions()}:
        raise ToolError(
            f"the database was written by a newer millhand (step {now}); use that version, or another database.",
            code="newer_database",
        )
    if now == script.get_current_head():
        return
    if now is not None and store.file is not None:
        copied(store.file, now)
    with store.writing() as connection:
        config.attributes["connection"] = connection
        alembic.command.upgrade(config, "head")


def copied(file: Path, step: str) -> Path:
    """A copy of a database file beside it, whole also while its log holds something."""
    stamp = datetime.now(UTC).strftime("%Y%m%d_%H%M%S")
    copy = file.with_name(f"{file.stem}.before_{step}.{stamp}{file.suffix}")
    source, target = sqlite3.connect(file), sqlite3.connect(copy)
    try:
        source.backup(target)
    finally:
        source.close()
        target.close()
    return copy
