"""The Runner whose work is done by a cluster of dask.distributed: other machines by TLS, or processes of this one.

What is sent is a packed Task: the name of a function of millhand and plain data. The function of this module that reads
it on a worker follows no other name, and works only where the same sources and libraries are installed, so that the
bytes are those of a local run. The library itself runs anything it is sent, both ways: whoever reaches a scheduler can
run code on its workers, and whoever runs the scheduler can run code here. So name only a scheduler that is your own.
Only ways that no other machine can listen to are taken: loopback and TLS.

Nothing is lost but time. The scheduler gives the work of a lost worker to another; work that was out when the
connection was lost is sent again once it is back. Results come in the order of the items, whatever came first.
"""

import hashlib
import logging
import platform
import re
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from itertools import islice
from pathlib import Path
from time import monotonic
from types import FunctionType
from typing import Any, TypeVar

from millhand.errors import InputError, ToolError
from millhand.run import UNREADABLE, LocalRunner, is_own_part, packed, unpacked

Item = TypeVar("Item")
Result = TypeVar("Result")

HELP = (
    "Simulate on the cluster whose dask scheduler is at ADDRESS: tcp://127.0.0.1:PORT on this machine, "
    "tls://HOST:PORT anywhere. Naming it means running code there, and letting it run code here."
)
LOOPBACK = re.compile(r"tcp://(?:127\.0\.0\.1|localhost|\[::1\]):([0-9]{1,5})")
TLS = re.compile(r"tls://(?:[A-Za-z0-9](?:[A-Za-z0-9.-]*[A-Za-z0-9])?|\[[0-9A-Fa-f:]+\]):([0-9]{1,5})")
CURE = "tcp://127.0.0.1:PORT for a scheduler or tunnel on this machine, or tls://HOST:PORT"
CERTIFICATES = {  # as the library takes them: from these variables, or from its own configuration files
    "tls_ca_file": "DASK_DISTRIBUTED__COMM__TLS__CA_FILE",
    "tls_client_cert": "DASK_DISTRIBUTED__COMM__TLS__CLIENT__CERT",
    "tls_client_key": "DASK_DISTRIBUTED__COMM__TLS__CLIENT__KEY",
}

PATIENCE_S = 60.0  # judged: longer than a scheduler takes to start anew, shorter than anybody waits before looking
LOOK_S = 2.0  # between two looks at who works
CHUNK_S = 0.5  # work of one task, some hundred times what sending it costs (about 2 ms), and little to do again
AHEAD = 3  # tasks a thread that are out at the same time, so that none waits for us
TRIES = 3  # a piece is sent so often before it is said to be what kills workers
LIBRARIES = ("numpy", "scipy", "numba")  # those that touch numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is sent: data, and the function of millhand that is to work on it, packed as its name."""

    identity: str
    function: Callable[..., object]
    items: tuple[object, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What comes back: results in order, up to the first item that failed, and how long they took."""

    results: tuple[object, ...]
    trouble: Exception | None
    took_s: float


def work(task: bytes) -> bytes:
    """On the worker: the packed Answer to a packed Task. Nothing outside millhand is looked up."""
    began, results, trouble = monotonic(), [], None
    try:
        asked = unpacked(task)
        if not isinstance(asked, Task) or not isinstance(asked.function, FunctionType):
            raise ToolError("a worker was sent something that is no work of millhand.")
        if asked.identity != identity():
            raise ToolError(f"a worker has {identity()}, but here is {asked.identity}; install the same on both.")
        for item in asked.items:
            results.append(asked.function(item))
    except Exception as error:
        trouble = trouble_of(error)
    return packed(Answer(results=tuple(results), trouble=trouble, took_s=monotonic() - began))


def trouble_of(error: Exception) -> Exception:
    """The same error; where its class is of another library and cannot travel, a ToolError with its words."""
    try:
        unpacked(packed(error))
    except Exception:
        return ToolError(f"a worker failed: {type(error).__name__}: {error}")
    return error


@cache
def identity() -> str:
    """What the bytes of a result depend on: millhand's sources, Python, the libraries of numbers, kind of processor."""
    sources, own = hashlib.sha256(), Path(__file__).resolve().parent
    for path in sorted(own.rglob("*.py")):
        sources.update(path.relative_to(own).as_posix().encode() + path.read_bytes())
    python = f"Python {'.'.join(platform.python_version_tuple()[:2])} on {platform.machine()}"
    return ", ".join((f"millhand {sources.hexdigest()[:12]}", python, *map(_installed, LIBRARIES)))


def _installed(library: str) -> str:
    """A library with its version."""
    try:
        return f"{library} {version(library)}"
    except PackageNotFoundError:
        return f"no {library}"


# --- which addresses are taken ---


def runner_at(address: str, *, cache: Path | None, where: str = "--scheduler") -> "ClusterRunner":
    """The Runner of the cluster at this address; says first what is wrong with address, installation, certificates."""
    check_address(address, where=where)
    distributed = library()
    if address.startswith("tls:"):
        _check_certificates(distributed.Security())
    return ClusterRunner(address=address, cache=cache)


def check_address(address: str, *, where: str) -> None:
    """InputError unless the way there is on this machine, or is TLS."""
    match = LOOPBACK.fullmatch(address) or TLS.fullmatch(address)
    if match is None or not 0 < int(match[1]) <= 65535:
        raise InputError(where, address, CURE, code="scheduler_address")


def library() -> Any:
    """dask.distributed, which is an extra of the installation; a ToolError that names it where it is missing."""
    try:
        import distributed
    except ImportError as missing:
        words = "a cluster needs the library distributed: install millhand with its extra, millhand[cluster]."
        raise ToolError(words, code="no_cluster") from missing
    return distributed


def _check_certificates(security: Any) -> None:
    """Certificate and authority are needed, and each file that is named must be there; the key may be in the first."""
    for name, variable in CERTIFICATES.items():
        path = getattr(security, name)
        if (path is None and name != "tls_client_key") or (path is not None and not Path(path).is_file()):
            cure = "the path of a PEM file for tls:// addresses, there or in a configuration file of dask"
            raise InputError(variable, str(path or ""), cure, code="scheduler_certificate")


# --- the runner ---


@dataclass(frozen=True, slots=True, kw_only=True)
class ClusterRunner:
    """A cluster by its scheduler's address. What is kept is kept here, in `cache`, as by the LocalRunner."""

    address: str
    cache: Path | None = None
    patience_s: float = PATIENCE_S

    def map(self, function: Callable[[Item], Result], items: Iterable[Item]) -> Iterator[Result]:
        """In order of the items, in chunks as long as CHUNK_S; the function must be one of millhand's own.

        Without a connection, or without any worker, for `patience_s` the work ends in a ToolError.
        """
        if not is_own_part(function):
            raise ToolError(f"{function!r} is no function of millhand: it is not sent.")
        library()  # it says how loudly it speaks when it is first imported: before it is made quiet
        line = Line(address=self.address, patience_s=self.patience_s)
        with quiet():
            try:
                for answer in _answers(line, function, iter(items)):
                    yield from answer.results  # type: ignore[misc]
                    if answer.trouble is not None:
                        raise answer.trouble
            finally:
                line.close()

    def kept(self, key: str, make: Callable[[], bytes]) -> bytes:
        """Read or make, here: the cluster keeps nothing."""
        return LocalRunner(cache=self.cache).kept(key, make)


def _answers(line: "Line", function: Callable[..., object], items: Iterator[object]) -> Iterator[Answer]:
    """Every answer in the order of the items; keeps so much ahead that no thread waits, and resends what was lost."""
    out: deque[bytes] = deque()
    size, tries = 1, 0
    while True:
        try:
            line.connect()
            while len(out) < line.ahead() and (chunk := tuple(islice(items, size))):
                out.append(packed(Task(identity=identity(), function=function, items=chunk)))
            for task in tuple(islice(out, len(line.futures), None)):
                line.send(task)
            if not out:
                return
            answer = line.answer()
        except Lost as lost:
            tries += 1
            if tries >= TRIES:
                raise ToolError(f"the cluster lost the same work {TRIES} times: {lost}") from lost
            line.close()
            continue
        tries, size = 0, _chunk_size(answer, size)
        out.popleft()
        yield answer


def _chunk_size(answer: Answer, size: int) -> int:
    """How many items take about CHUNK_S, by what the last ones took; it at most doubles, for items may grow longer."""
    each_s = answer.took_s / max(1, len(answer.results))
    return max(1, min(2 * size, int(CHUNK_S / each_s) if each_s > 0.0 else 2 * size))


class Lost(Exception):
    """Work that is to be sent again: the connection is gone, or too many workers died over it."""


@dataclass(slots=True, kw_only=True)
class Line:
    """The connection to a scheduler, opened anew after it was lost, and what is out on it in order."""

    address: str
    patience_s: float
    client: Any = field(default=None)
    futures: deque[Any] = field(default_factory=deque)
    threads: int = 0
    looked_s: float = 0.0
    worked_s: float = 0.0  # when somebody was last seen at work

    def connect(self) -> None:
        """Be connected, with at least one worker there; a ToolError when that takes longer than the patience."""
        if self.client is not None:
            return
        distributed, given_up = library(), monotonic() + self.patience_s
        try:
            self.client = distributed.Client(self.address, timeout=self.patience_s, set_as_default=False)
        except OSError as failed:
            shown = " with these certificates" if self.address.startswith("tls:") else ""
            raise ToolError(f"no scheduler answers at {self.address}{shown}. {GO_ON}", code="cluster_lost") from failed
        try:
            self.client.wait_for_workers(1, timeout=max(LOOK_S, given_up - monotonic()))
        except (TimeoutError, OSError) as failed:
            raise self._deserted() from failed

    def send(self, task: bytes) -> None:
        """One task more is out, also where it equals another; Lost when there is no connection now."""
        if self.client.status != "running":
            raise Lost(f"the connection to {self.address} was lost")
        self.futures.append(self.client.submit(work, task, pure=False))

    def answer(self) -> Answer:
        """That of the oldest task; Lost when all has to be sent again, a ToolError when nobody works so long."""
        from distributed import KilledWorker

        self.worked_s = monotonic()
        while True:
            try:
                answer = _read(self.futures[0].result(timeout=LOOK_S))
                self.futures.popleft()
                return answer
            except TimeoutError:
                self.look()
                if not self.threads and monotonic() - self.worked_s > self.patience_s:
                    raise self._deserted() from None
            except CancelledError as lost:
                raise Lost(f"the connection to {self.address} was lost") from lost
            except KilledWorker as lost:
                raise Lost("the workers that had it died, most often because memory ran out") from lost

    def ahead(self) -> int:
        """How many tasks may be out now."""
        self.look()
        return AHEAD * max(1, self.threads)

    def look(self) -> None:
        """See from time to time who works: workers may come and go."""
        if monotonic() - self.looked_s < LOOK_S or self.client.status != "running":
            return
        with suppress(OSError):
            self.threads = sum(self.client.nthreads().values())
        self.looked_s = monotonic()
        if self.threads:
            self.worked_s = self.looked_s

    def close(self) -> None:
        """Give back what is still out, and hang up.

        A client that is just about to take up a lost connection ends that with a RuntimeError, since its connections
        are closed under it, and leaves its thread behind, which is stopped here.
        """
        client, self.client = self.client, None
        self.futures.clear()
        if client is not None:
            with suppress(OSError, TimeoutError, CancelledError):
                try:
                    client.close(timeout=LOOK_S)
                except RuntimeError:
                    client._loop_runner.stop(timeout=LOOK_S)

    def _deserted(self) -> ToolError:
        """Nobody works there."""
        return ToolError(f"the cluster at {self.address} has no worker. {GO_ON}", code="cluster_lost")


GO_ON = "What was kept is not made again: give the same command once more, or without --scheduler for this machine."


def _read(content: object) -> Answer:
    """The answer in a worker's bytes."""
    try:
        answer = unpacked(content) if isinstance(content, bytes) else None
    except UNREADABLE as strange:
        raise ToolError(f"a worker sent back something that is no data of millhand: {strange}.") from strange
    if not isinstance(answer, Answer):
        raise ToolError("a worker sent back something that is no answer.")
    return answer


@contextmanager
def quiet() -> Iterator[None]:
    """The library's own messages are left out meanwhile: what is wrong is told once, in our words."""
    loggers = [logging.getLogger(name) for name in ("distributed", "distributed.client")]
    before = [logger.level for logger in loggers]
    for logger in loggers:
        logger.setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        for logger, level in zip(loggers, before, strict=True):
            logger.setLevel(level)
