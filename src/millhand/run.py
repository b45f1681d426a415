"""Watch and Runner: how long work tells where it is, stops when asked, and spreads over processes."""

import hashlib
import io
import os
import pickle
import signal
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from multiprocessing import active_children, get_context
from pathlib import Path
from types import FunctionType
from typing import Any, Protocol, TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")


class Watch(Protocol):
    """Somebody who looks on: a progress bar, a web page, a test, or nobody."""

    def step(self, name: str, done: int, total: int) -> None:
        """`done` of `total` pieces of the work called `name` are finished."""

    def cancelled(self) -> bool:
        """True once the onlooker wants the work to stop; asked between pieces."""


class Cancelled(Exception):
    """The onlooker stopped the work; nothing was written."""


class Runner(Protocol):
    """Where independent pieces of work are done. Results come in the order of the items, whatever the runner."""

    def map(self, function: Callable[[Item], Result], items: Iterable[Item]) -> Iterator[Result]:
        """`function` of each item, in order; function and items must be picklable."""

    def kept(self, key: str, make: Callable[[], bytes]) -> bytes:
        """The bytes kept under `key` from an earlier run, or those that `make` gives now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Nobody:
    """The Watch that shows nothing and never stops the work."""

    def step(self, name: str, done: int, total: int) -> None:
        """Look away."""

    def cancelled(self) -> bool:
        """Never."""
        return False


def watched(watch: Watch, name: str, results: Iterable[Result], *, total: int) -> Iterator[Result]:
    """The same results, telling `watch` after each one; raises Cancelled between two of them when asked to stop."""
    watch.step(name, 0, total)
    for done, result in enumerate(results, start=1):
        if watch.cancelled():
            raise Cancelled(name)
        watch.step(name, done, total)
        yield result


@contextmanager
def deaf_children() -> Iterator[None]:
    """Processes that are started meanwhile hear no interrupt from the keyboard: who started them stops them."""
    if threading.current_thread() is not threading.main_thread():
        yield  # signals belong to the main thread alone
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalRunner:
    """Processes of this machine; one worker means this very process. `cache` None keeps nothing."""

    workers: int = 1
    cache: Path | None = field(default=None)

    def map(self, function: Callable[[Item], Result], items: Iterable[Item]) -> Iterator[Result]:
        """In order of the items; with several workers, in fresh processes (spawn) that share nothing.

        Whoever stops listening, by an interrupt too, stops the workers at once; they hear of no interrupt themselves.
        """
        if self.workers <= 1:
            yield from map(function, items)
            return
        others, given = set(active_children()), tuple(items)
        with ProcessPoolExecutor(min(self.workers, len(given) or 1), mp_context=get_context("spawn")) as pool:
            with deaf_children():
                waiting = [pool.submit(function, item) for item in given]
            try:
                for each in waiting:
                    yield each.result()
            except (GeneratorExit, KeyboardInterrupt):
                for worker in set(active_children()) - others:
                    worker.terminate()
                raise
            except Exception:
                pool.shutdown(wait=False, cancel_futures=True)
                raise

    def kept(self, key: str, make: Callable[[], bytes]) -> bytes:
        """Read or make; a cache that is spoilt or cannot be written costs time, never the answer."""
        if self.cache is None:
            return make()
        path = self.cache / hashlib.sha256(key.encode()).hexdigest()
        with suppress(OSError):
            mark, _, whole = path.read_bytes().partition(b"\n")
            if mark == mark_of(whole):
                return whole
        made = make()
        with suppress(OSError):
            self.cache.mkdir(parents=True, exist_ok=True)
            replace_file(path, mark_of(made) + b"\n" + made)
        return made


def mark_of(content: bytes) -> bytes:
    """What stands before kept bytes, so that a file that was cut off or changed is known as one."""
    return hashlib.sha256(content).hexdigest().encode()


def replace_file(path: Path, content: bytes) -> None:
    """Write a file whole or not at all."""
    handle, temporary = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        os.replace(temporary, path)
    except OSError:
        os.unlink(temporary)
        raise


OWN = "millhand"
# What records may hold besides plain values: these of Python, and arrays of numpy, which are written by these names.
PLAIN = {("builtins", name) for name in ("set", "frozenset", "range", "complex", "bytearray")} | {
    ("numpy", "ndarray"),
    ("numpy", "dtype"),
    ("numpy.rec", "recarray"),
    ("numpy", "record"),
    ("numpy._core.multiarray", "_reconstruct"),
    ("numpy._core.multiarray", "scalar"),
    ("numpy._core.numeric", "_frombuffer"),
}


class OwnUnpickler(pickle.Unpickler):
    """Reads pickled bytes that name nothing but functions, records and exceptions of millhand, and plain data."""

    def find_class(self, module: str, name: str, /) -> object:
        """What a name stands for; UnpicklingError for a name of anything else, before it is imported."""
        if module == "builtins" or (module, name) in PLAIN or is_own(module):
            found: object = super().find_class(module, name)
            if (module, name) in PLAIN or is_trouble(found) or (is_own(module) and is_own_part(found)):
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is no part of {OWN}")


def is_own(module: str) -> bool:
    """True for the package millhand and the modules below it."""
    return module.partition(".")[0] == OWN


def is_own_part(thing: object) -> bool:
    """True for a function or class that a module of millhand defines, not for what it only imports."""
    return isinstance(thing, FunctionType | type) and is_own(thing.__module__)


def is_trouble(thing: object) -> bool:
    """True for a class of exceptions that Python itself defines."""
    return isinstance(thing, type) and issubclass(thing, Exception) and thing.__module__ == "builtins"


class OwnPickler(pickle.Pickler):
    """Writes an exception as its class and what it holds, for its __init__ need not take what it holds."""

    def reducer_override(self, thing: object, /) -> Any:
        """How an exception is built again; anything else as it always is."""
        if isinstance(thing, Exception):
            return error_again, (type(thing), thing.args, dict(thing.__dict__))
        return NotImplemented


def error_again(kind: type[Exception], arguments: tuple[object, ...], state: dict[str, object]) -> Exception:
    """An exception with its words and fields, without its traceback."""
    error = kind.__new__(kind, *arguments)
    error.__dict__.update(state)
    return error


def packed(thing: object) -> bytes:
    """Records and plain data of millhand as bytes, for another process or for a file; `unpacked` reads them back."""
    content = io.BytesIO()
    OwnPickler(content, protocol=5).dump(thing)
    return content.getvalue()


def unpacked(content: bytes) -> object:
    """What `packed` was given: a pickle, so its bytes may name what is to be built.

    That is why only names of millhand are followed: its frozen records and functions, Python's own exceptions, numbers,
    texts, tuples, lists, maps, sets and arrays. Anything else raises pickle.UnpicklingError, spoilt bytes one of
    UNREADABLE. It keeps data to data; it makes no stranger's bytes trustworthy, and nobody may rest on it for that.
    """
    return OwnUnpickler(io.BytesIO(content)).load()


UNREADABLE = (pickle.UnpicklingError, EOFError, LookupError, ValueError, TypeError, AttributeError, ImportError)
