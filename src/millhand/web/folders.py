"""An inquiry of the store as a folder on disk, which is what the readers of files take; and what came of reading it.

What holds files (tables, meshes, pictures) is read in a process of its own with limits, so that a file made to hurt
hurts nobody.
"""

import resource
import tempfile
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path, PurePosixPath
from typing import Any, TypeVar, cast

from millhand.ahead import refusals
from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputError, InputErrors
from millhand.intake.fields import FILE, Paper, paper_of
from millhand.intake.unfinished import paper_meanwhile
from millhand.web.alone import Alone, Lost

Known = TypeVar("Known")
MEMORY_BYTES = 3_000_000_000
PATIENCE_S = 30.0
KEPT_PAPERS = 64
LARGE = 100_000  # signs of a text that no shop's inquiry has: reading it may take seconds, and not those of others
TOO_MUCH = InputError(FILE, "files that take too much time or memory to read", "smaller files", "file_too_much")


def put_out(folder: Path, text: str, files: Mapping[str, bytes]) -> Path:
    """Write an inquiry with its files into a folder; the path of the inquiry."""
    folder.mkdir(exist_ok=True)
    for name, content in files.items():
        path = folder / PurePosixPath(name)
        if path.resolve().is_relative_to(folder.resolve()):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
    where = folder / FILE
    where.write_bytes(text.encode("utf-8"))
    return where


@contextmanager
def as_folder(text: str, files: Mapping[str, bytes]) -> Iterator[Path]:
    """A folder with the inquiry and its files, for as long as it is needed."""
    with tempfile.TemporaryDirectory(prefix="millhand_") as name:
        put_out(Path(name), text, files)
        yield Path(name)


def read_alone(text: str, files: Mapping[str, bytes]) -> Paper:
    """The form of an inquiry with its files; runs in the process with limits."""
    with as_folder(text, files) as folder:
        return paper_of(text, folder, assumptions(), refusals)


def told_alone(function: Callable[..., Any], given: Sequence[object]) -> tuple[Any, list[tuple[str, str, str, str]]]:
    """In the process with limits: what a function gives, or its errors as plain texts, which come through whole."""
    try:
        return function(*given), []
    except InputErrors as trouble:
        return None, [(each.where, each.read, each.write, each.code) for each in trouble.errors]
    except InputError as each:
        return None, [(each.where, each.read, each.write, each.code)]


def limited() -> None:
    """Limits of the process that reads files."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_FSIZE, (200_000_000, 200_000_000))


@lru_cache(maxsize=KEPT_PAPERS)
def read_here(text: str) -> Paper:
    """The form of an inquiry without files."""
    with tempfile.TemporaryDirectory(prefix="millhand_") as name:
        return paper_meanwhile(text, Path(name), assumptions(), refusals)


@dataclass(slots=True)
class Reader:
    """Reads inquiries: one at a time in a process of its own where files belong to them, or where they are long."""

    child: Alone = field(default_factory=lambda: Alone(limited))
    papers: dict[tuple[str, tuple[tuple[str, bytes], ...]], Paper] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def paper(self, text: str, files: Mapping[str, bytes]) -> Paper:
        """The form of an inquiry; where reading takes too much, an error says so."""
        if not files and len(text) < LARGE:
            return read_here(text)
        key = (text, tuple(sorted(files.items())))
        with self.lock:
            if key in self.papers:
                return self.papers[key]
            found = self._in_child(text, files)
            if TOO_MUCH not in found.errors:  # a slow moment is no reason to refuse the same files for ever
                if len(self.papers) >= KEPT_PAPERS:
                    self.papers.pop(next(iter(self.papers)))
                self.papers[key] = found
            return found

    def _in_child(self, text: str, files: Mapping[str, bytes]) -> Paper:
        """Read in the process with limits, which is begun anew after it was stopped."""
        try:
            found: Paper = self.child.ask(read_alone, (text, dict(files)), PATIENCE_S)
        except (Lost, MemoryError):
            self.close()
            return Paper(sections=(), errors=(TOO_MUCH,), inquiry=None, opened=None)
        return found

    def alone(self, function: Callable[..., Known], *given: object) -> Known:
        """What a function makes of files, in the process with limits; InputErrors where it takes too much."""
        with self.lock:
            try:
                found, errors = self.child.ask(told_alone, (function, given), PATIENCE_S)
            except (Lost, MemoryError):
                self.close()
                raise InputErrors([TOO_MUCH]) from None
        if errors:
            raise InputErrors(InputError(*each) for each in errors)
        return cast(Known, found)

    def close(self) -> None:
        """Stop the process."""
        self.child.end()
