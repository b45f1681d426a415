"""Opens the database: made where there is none, brought up to date where it is older, refused where it is newer.

One server at a time holds a database; a copy is made of an older file before it is changed.
"""

import fcntl
import os
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import quote, quote_plus

import alembic.command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from platformdirs import user_data_path
from sqlalchemy import URL, Connection, Engine, create_engine, event, func, select
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError

from millhand.errors import ToolError

STEPS = Path(__file__).parent / "migrations"
PATIENCE_S = 20.0  # how long a writer waits for another one
WHERE = "MILLHAND_DATABASE"
KINDS = ("sqlite", "postgresql")
HELD, WRITES = 0x6D696C6C, 0x6D696C6D  # what a server holds in PostgreSQL, and what a writer does; each for its schema
OWN_SCHEMA = func.hashtext(func.current_schema())


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
            if self.engine.dialect.name == "postgresql":
                connection.execute(select(func.pg_advisory_xact_lock(WRITES, OWN_SCHEMA)))
            yield connection

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


def usual_url() -> str:
    """The database in the environment, else one file in the user's own folder."""
    return os.environ.get(WHERE) or f"sqlite:///{user_data_path('millhand') / 'desk.db'}"


@contextmanager
def opened(url: str, *, alone: bool = True) -> Iterator[Store]:
    """The database at a URL of SQLAlchemy, up to date; ToolError where it cannot be used, without its password.

    alone: against a second server. Without it, a database that a server holds is opened beside it, if it is up to date.
    """
    where = read_url(url)
    file = sqlite_file(where)
    with ExitStack() as held:
        try:
            if file is not None:
                file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
                own_alone(file)
            engine = connected_to(where)
            held.callback(engine.dispose)
            store = Store(engine=engine, file=file)
            try:
                held.enter_context(held_alone(store))
            except Held as trouble:
                if alone or not is_up_to_date(store):
                    raise trouble.told() from None
            brought_up(store)
        except (ArgumentError, NoSuchModuleError, ImportError, DBAPIError, OSError) as trouble:
            raise unusable(trouble, where) from None
        yield store


class Held(Exception):
    """Another server holds the database."""

    def told(self) -> ToolError:
        """What to do then."""
        words = f"another millhand serves {self.args[0]} already; use its window, or stop it first."
        return ToolError(words, code="two_servers")


def read_url(url: str) -> URL:
    """A URL; ToolError for what is none, and for a kind of database that this version was never tried on."""
    try:
        where = make_url(url)
    except ArgumentError as trouble:
        raise unusable(trouble, None) from None
    if where.get_backend_name() not in KINDS:
        raise ToolError(
            f"{WHERE} names a database that this version does not know; it was tried on {' and '.join(KINDS)}.",
            code="no_database",
        )
    return where


def unusable(trouble: Exception, where: URL | None) -> ToolError:
    """What is said of a database that cannot be opened, without what is secret in its URL."""
    if isinstance(trouble, ModuleNotFoundError):
        words = f"the driver {trouble.name} is not installed; PostgreSQL needs: pip install 'millhand[postgresql]'."
    elif isinstance(trouble, DBAPIError | OSError):
        words = f"the database cannot be used: {str(getattr(trouble, 'orig', None) or trouble.args[-1]).strip()}."
    else:
        words = f"{WHERE} names no database that can be opened here; write a URL such as sqlite:///desk.db."
    return ToolError(without_secrets(words, where), code="no_database")


def own_alone(file: Path) -> None:
    """Make a file that nobody else of this machine reads; its log and what else stands beside it follow it."""
    os.close(os.open(file, os.O_RDWR | os.O_CREAT, 0o600))


def without_secrets(words: str, where: URL | None) -> str:
    """Words of a driver without the password of a URL, however it is written."""
    if where is None:
        return words
    more = [each for name, each in where.query.items() if "pass" in name.lower()]
    secrets = [
        str(where.password or ""),
        *(part for each in more for part in ([each] if isinstance(each, str) else each)),
    ]
    for secret in filter(None, secrets):
        for written in {secret, quote(secret, ""), quote_plus(secret), repr(secret)[1:-1]}:
            words = words.replace(written, "***")
    return words


def sqlite_file(where: URL) -> Path | None:
    """The file of an SQLite database; None for another one, and for one in memory."""
    name = where.database if where.get_backend_name() == "sqlite" else None
    return Path(name).absolute() if name and name != ":memory:" else None


@contextmanager
def held_alone(store: Store) -> Iterator[None]:
    """Hold a database against a second server; the hold goes with the process, however that ends. Held where it is."""
    if store.file is not None:
        handle = os.open(store.file.with_name(store.file.name + ".lock"), os.O_RDWR | os.O_CREAT, 0o600)
        try:
            flocked(handle, store.file.name)
            yield
        finally:
            os.close(handle)
    elif store.engine.dialect.name == "postgresql":
        with store.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            taken = connection.execute(
                select(func.pg_try_advisory_lock(HELD, OWN_SCHEMA))
            ).scalar()  # as long as it is connected
            if not taken:
                raise Held("this database")
            yield
    else:
        yield  # in memory: nobody else sees it


def flocked(handle: int, name: str) -> None:
    """Lock an open file; Held where another process has."""
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        raise Held(name) from None


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
    script, now = ScriptDirectory.from_config(steps()), step_of(store)
    if now is not None and now not in {each.revision for each in script.walk_revisions()}:
        raise ToolError(
            f"the database was written by a newer millhand (step {now}); use that version, or another database.",
            code="newer_database",
        )
    if now == script.get_current_head():
        return
    if now is not None and store.file is not None:
        copied(store.file, now)
    config = steps()
    with store.engine.begin() as connection:
        config.attributes["connection"] = connection
        alembic.command.upgrade(config, "head")


def steps() -> Config:
    """Where the steps are."""
    config = Config()
    config.set_main_option("script_location", str(STEPS))
    return config


def step_of(store: Store) -> str | None:
    """The last step that was done; None for an empty database."""
    with store.engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def is_up_to_date(store: Store) -> bool:
    """Whether no step is left to do."""
    return step_of(store) == ScriptDirectory.from_config(steps()).get_current_head()


def copied(file: Path, step: str) -> Path:
    """A copy of a database file beside it, whole also while its log holds something."""
    stamp = datetime.now(UTC).strftime("%Y%m%d_%H%M%S")
    copy = file.with_name(f"{file.stem}.before_{step}.{stamp}{file.suffix}")
    own_alone(copy)
    source, target = sqlite3.connect(file), sqlite3.connect(copy)
    try:
        source.backup(target)
    finally:
        source.close()
        target.close()
    return copy
