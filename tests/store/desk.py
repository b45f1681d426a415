"""A store in a folder for tests."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from millhand.store.inquiries import Begun, Kept, begin
from millhand.store.opening import Store, opened


@contextmanager
def a_store(folder: Path) -> Iterator[Store]:
    """An empty one."""
    with opened(f"sqlite:///{folder / 'desk.db'}") as store:
        yield store


def one(store: Store, text: str = "name: a\n", **files: bytes) -> Kept:
    """An inquiry in it."""
    with store.writing() as connection:
        return begin(connection, Begun(name="a", text=text, files=files), "me")
