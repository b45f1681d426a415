"""Work on a cluster: only by ways that no other machine can listen to, the same bytes as here, and nothing lost."""

import gc
import json
import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from functools import partial
from operator import methodcaller
from pathlib import Path
from time import monotonic, sleep

import numpy as np
import pytest
from click.testing import CliRunner

from millhand.cli.simulate import command as simulate_command
from millhand.cli.study import command as study_command
from millhand.cluster import (
    AHEAD,
    CERTIFICATES,
    CHUNK_S,
    TRIES,
    Answer,
    ClusterRunner,
    Line,
    Lost,
    Task,
    _answers,
    _chunk_size,
    _read,
    check_address,
    identity,
    runner_at,
    trouble_of,
    work,
)
from millhand.errors import InputError, InputErrors, NotYet, ToolError
from millhand.intake.cell import read_cell
from millhand.run import LocalRunner, Nobody, mark_of, packed, unpacked
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.replications import Counts, Piece, counted
from millhand.sweep import Chunk, counts_packed, sweep
from tests.reference_variants import PATH
from tests.test_sweep import SEED, Counting, cells, text

# The library may leave a socket to the garbage collector when a connection was cut off; nothing else is let pass.
pytestmark = pytest.mark.filterwarnings("ignore:unclosed (<socket|<ssl|transport|event loop):ResourceWarning")

START_S = 60.0  # so long a scheduler or worker may take to start on a machine that has other work
PIECES, HORIZON_S = 120, 3600.0


# --- addresses, installation, certificates ---

ACCEPTED = ["tcp://127.0.0.1:8786", "tcp://localhost:1", "tcp://[::1]:65535", "tls://cell-7.shop.example:8786"]
REFUSED = [
    *("", "8786", "127.0.0.1:8786", "tcp://", "tcp://127.0.0.1", "tcp://127.0.0.1:", "tcp://127.0.0.1:0"),
    *("tcp://127.0.0.1:65536", "tcp://127.0.0.1:8786/x", "tcp://127.0.0.1:8786\n", "tcp://127.0.0.1:٣"),
    *("tcp://10.0.0.7:8786", "tcp://0.0.0.0:8786", "tcp://localhost.example:8786", "tcp://[::]:8786"),
    *("tcp://127.0.0.1:1@shop.example:8786", "tcp://shop.example:8786", "ucx://127.0.0.1:8786", "inproc://127.0.0.1:1"),
    *("tls://shop.example", "tls://:8786", "tls://a@b:8786", "TLS://shop.example:8786", "http://127.0.0.1:8786"),
]


@pytest.mark.parametrize("address", [*ACCEPTED, "tls://10.0.0.7:8786", "tls://[fe80::7]:8786"])
def test_loopback_and_tls_are_taken(address: str) -> None:
    """This machine by its three names, and any machine by TLS."""
    check_address(address, where="--scheduler")


@pytest.mark.parametrize("address", REFUSED)
def test_any_other_address_is_wrong_input(address: str) -> None:
    """With the option, what was read, and what to write."""
    with pytest.raises(InputError) as refused:
        runner_at(address, cache=None)

    error = refused.value
    assert (error.where, error.read, error.code) == ("--scheduler", address, "scheduler_address")
    assert "tcp://127.0.0.1:PORT" in error.write
    assert "tls://HOST:PORT" in error.write


@pytest.mark.parametrize("command", [study_command, simulate_command], ids=lambda command: command.name)
def test_the_help_says_what_an_address_means(command: object) -> None:
    """Beside the option."""
    words = " ".join(CliRunner().invoke(command, ["--help"], terminal_width=400).stdout.split())  # type: ignore[arg-type]

    assert "Naming it means running code there, and letting it run code here." in words


@pytest.mark.parametrize("command", [study_command, simulate_command], ids=lambda command: command.name)
def test_an_address_is_refused_before_any_work(command: object) -> None:
    """Also the empty one; the file is not looked at."""
    result = CliRunner().invoke(command, [str(PATH), "--scheduler", ""], catch_exceptions=True)  # type: ignore[arg-type]

    assert result.exit_code in (1, 2)
    assert result.stdout == ""
    assert isinstance(result.exception, InputError) or "--scheduler: read ''" in result.stderr


def test_workers_and_a_scheduler_are_one_too_many() -> None:
    """Neither is dropped in silence."""
    result = CliRunner().invoke(study_command, ["x", "--workers", "2", "--scheduler", "tcp://127.0.0.1:1"])

    assert result.exit_code == 2
    assert "--scheduler takes the place of --workers" in result.stderr


def test_an_installation_without_the_extra_names_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tool's trouble, not the input's."""
    monkeypatch.setitem(sys.modules, "distributed", None)

    with pytest.raises(ToolError, match=r"install millhand with its extra, millhand\[cluster\]") as missing:
        runner_at("tcp://127.0.0.1:8786", cache=None)
    assert missing.value.code == "no_cluster"


@dataclass
class Certificates:
    """Certificate files of one authority for scheduler, workers and clients, and the variables that name them."""

    folder: Path

    def __post_init__(self) -> None:
        """Write them."""
        from distributed import Security

        made = Security.temporary()
        self.ca, self.cert, self.key = (self.folder / name for name in ("ca.pem", "cert.pem", "key.pem"))
        self.folder.mkdir()
        for path, content in ((self.ca, made.tls_ca_file), (self.cert, made.tls_client_cert)):
            path.write_text(content, encoding="utf-8")
        self.key.write_text(made.tls_client_key, encoding="utf-8")

    def words(self) -> list[str]:
        """The options of scheduler and worker."""
        return ["--tls-ca-file", str(self.ca), "--tls-cert", str(self.cert), "--tls-key", str(self.key)]

    def config(self) -> dict[str, str]:
        """What a client's environment says, as the library's configuration has it."""
        tls = "distributed.comm.tls."
        return {f"{tls}ca-file": str(self.ca), f"{tls}client.cert": str(self.cert), f"{tls}client.key": str(self.key)}


@pytest.mark.parametrize("lost", ["ca", "cert", "key", "all"])
def test_tls_needs_its_certificates(tmp_path: Path, lost: str) -> None:
    """Each file that is not there, or not named, is said by the variable that names it, before any work."""
    import dask

    made = Certificates(tmp_path / "own")
    config = {} if lost == "all" else made.config()
    if lost != "all":
        (made.folder / f"{lost}.pem").unlink()
    variable = dict(
        zip(("ca", "cert", "key", "all"), (*CERTIFICATES.values(), CERTIFICATES["tls_ca_file"]), strict=True)
    )

    with dask.config.set(config), pytest.raises(InputError) as refused:
        runner_at("tls://shop.example:8786", cache=None)

    assert refused.value.where == variable[lost]
    assert refused.value.read == ("" if lost == "all" else str(made.folder / f"{lost}.pem"))


# --- what travels ---

RECORDS = [
    *(None, 1.5, "text", b"bytes", (1, [2.0, {"a": {3}}]), frozenset({1}), range(3), 1 + 2j),
    *(mark_of, Counts, read_cell(PATH), compiled(read_cell(PATH)), KeyError("gone")),
]


@pytest.mark.parametrize("thing", RECORDS, ids=lambda thing: type(thing).__name__)
def test_records_and_plain_data_come_back_as_they_were(thing: object) -> None:
    """Values, containers, records, functions and classes of millhand."""
    found = unpacked(packed(thing))

    assert found == thing or repr(found) == repr(thing)


def test_arrays_come_back_as_they_were() -> None:
    """Of any kind of number, whichever way they lie."""
    for array in (np.arange(6.0).reshape(2, 3), np.arange(6).reshape(2, 3).T, np.array(["a"]), np.float64(2.5)):
        assert np.array_equal(unpacked(packed(array)), array)  # type: ignore[arg-type]
    table = np.array([(1, 2.5), (3, 4.5)], dtype=[("whole", "i8"), ("half", "f8")])
    for array in (table, table[0], table.view(np.recarray), table.view(np.recarray)[1]):
        assert unpacked(packed(array)).tolist() == array.tolist()  # type: ignore[attr-defined]


def named(module: str, name: str) -> bytes:
    """A pickle that says nothing but a name."""
    return b"\x80\x04" + b"".join(b"\x8c" + bytes([len(word)]) + word.encode() for word in (module, name)) + b"\x93."


STRANGE = [
    named("os", "system"),
    named("builtins", "eval"),
    named("builtins", "getattr"),
    named("millhand.run", "os.replace"),
    named("millhand.run", "tempfile.mkstemp"),
    named("millhand.run", "Path"),
    named("millhandy", "thing"),
    named("numpy", "load"),
    pickle.dumps(os.getpid),
    pickle.dumps(methodcaller("unlink")),
    pickle.dumps(partial(mark_of, b"")),
    pickle.dumps(Path("x")),
]


@pytest.mark.parametrize("content", STRANGE)
def test_names_of_anything_else_are_refused(content: bytes) -> None:
    """Also those that a module of millhand only imports; and a worker that is sent them does nothing."""
    with pytest.raises(pickle.UnpicklingError, match="is no part of millhand"):
        unpacked(content)

    answer = _read(work(content))
    assert answer.trouble is not None
    assert answer.results == ()
    assert "is no part of millhand" in str(answer.trouble)


@pytest.mark.parametrize("content", [b"", b"spoilt", packed(1)[:-1], named("millhand.nowhere", "x"), packed("no task")])
def test_a_worker_that_is_sent_nonsense_says_so(content: bytes) -> None:
    """Its answer is a trouble, not its end."""
    assert _read(work(content)).trouble is not None


@pytest.mark.parametrize("content", [None, "text", b"spoilt", packed("no answer"), named("os", "system")])
def test_a_worker_that_answers_nonsense_is_not_believed(content: object) -> None:
    """What comes back is data too."""
    with pytest.raises(ToolError, match="a worker sent back something that is no"):
        _read(content)


def test_a_worker_with_other_sources_works_not() -> None:
    """Its results might differ: what it has and what is here is said, and what to do."""
    task = Task(identity="millhand of another day", function=mark_of, items=(b"x",))
    trouble = _read(work(packed(task))).trouble

    assert trouble is not None
    assert f"{trouble}" == f"a worker has {identity()}, but here is millhand of another day; install the same on both."


ERRORS = [
    NotYet("a tandem line", where="stations.m1"),
    InputError(where="cell.json:3", read="3 kg", write="a time"),
    InputErrors([InputError("a", "b", "c"), InputError("d", "e", "f")]),
    ToolError("full", code="full"),
    KeyError("gone"),
    ZeroDivisionError("division by zero"),
]


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_an_error_comes_back_with_its_own_words(error: Exception) -> None:
    """Whatever its __init__ takes; and its fields with it."""
    found = unpacked(packed(trouble_of(error)))

    assert (type(found), str(found), found.__dict__) == (type(error), str(error), error.__dict__)


def test_an_error_of_another_library_comes_back_in_words() -> None:
    """Its class is not followed."""
    found = trouble_of(np.linalg.LinAlgError("singular"))

    assert isinstance(found, ToolError)
    assert str(found) == "a worker failed: LinAlgError: singular"


@pytest.mark.parametrize("function", [len, os.getpid, partial(mark_of), lambda item: item, LocalRunner(workers=1).map])
def test_only_functions_of_millhand_are_sent(function: Callable[[object], object]) -> None:
    """Anything else is refused here already, before a connection is made."""
    with pytest.raises(ToolError, match="is no function of millhand: it is not sent"):
        list(ClusterRunner(address="tcp://127.0.0.1:1").map(function, [b"x"]))


def test_chunks_grow_to_what_half_a_second_holds() -> None:
    """From one item on, at most twice as many at a time, and never below one."""
    answer = Answer(results=(1,) * 4, trouble=None, took_s=0.04)

    assert _chunk_size(answer, 4) == 8
    assert _chunk_size(answer, 1000) == round(CHUNK_S / 0.01)
    assert _chunk_size(Answer(results=(1,), trouble=None, took_s=9.0), 8) == 1
    assert _chunk_size(Answer(results=(1,), trouble=None, took_s=0.0), 8) == 16


@dataclass
class PoorLine:
    """A connection that is lost at each of these askings, and before each of these sendings."""

    losses: set[int]
    unsent: set[int] = field(default_factory=set)
    asked: int = 0
    sent: int = 0
    futures: list[bytes] = field(default_factory=list)

    def connect(self) -> None:
        """At once."""

    def close(self) -> None:
        """What was out is gone."""
        self.futures.clear()

    def ahead(self) -> int:
        """Two threads'."""
        return 2 * AHEAD

    def send(self, task: bytes) -> None:
        """Or find out that there is no connection."""
        self.sent += 1
        if self.sent in self.unsent:
            raise Lost("the connection was lost")
        self.futures.append(task)

    def answer(self) -> Answer:
        """Worked here, or lost."""
        self.asked += 1
        if self.asked in self.losses:
            raise Lost("the connection was lost")
        return _read(work(self.futures.pop(0)))


def answered(line: PoorLine) -> list[object]:
    """All results of forty items."""
    items = [str(number).encode() for number in range(40)]
    return [each for answer in _answers(line, mark_of, iter(items)) for each in answer.results]  # type: ignore[arg-type]


def test_what_was_out_when_the_connection_was_lost_is_sent_again() -> None:
    """Nothing twice, nothing missing, all in order."""
    lost, whole = PoorLine({1, 4}, {3, 20}), PoorLine(set())

    assert answered(lost) == answered(whole) == [mark_of(str(number).encode()) for number in range(40)]
    assert lost.sent > whole.sent + 4


def test_the_same_work_is_not_sent_for_ever() -> None:
    """What kills every worker is said after a few times."""
    with pytest.raises(ToolError, match=f"the cluster lost the same work {TRIES} times: the connection was lost"):
        answered(PoorLine(set(range(2, 100))))


# --- real clusters: a scheduler and two workers, each a process of its own ---


@dataclass
class Cluster:
    """A scheduler and its workers."""

    address: str
    scheduler: subprocess.Popen[bytes]
    workers: list[subprocess.Popen[bytes]]


def dask(*words: str) -> subprocess.Popen[bytes]:
    """A process of the library's command line, silent."""
    silent = subprocess.DEVNULL
    return subprocess.Popen([sys.executable, "-m", "dask", *words], stdin=silent, stdout=silent, stderr=silent)


def worker(place: Path, *words: str) -> subprocess.Popen[bytes]:
    """A worker with one thread, for the scheduler that writes this file; it ends with it."""
    fixed = (
        "--nthreads",
        "1",
        "--no-nanny",
        "--no-dashboard",
        "--host",
        "127.0.0.1",
        "--death-timeout",
        f"{START_S:g}",
    )
    return dask("worker", "--scheduler-file", str(place), *fixed, *words)


@contextmanager
def cluster(folder: Path, *words: str, workers: int, port: int = 0) -> Iterator[Cluster]:
    """One that runs until the end of the block, of the sources as they are when it starts."""
    identity.cache_clear()
    folder.mkdir()
    place = folder / "scheduler.json"
    fixed = ("--host", "127.0.0.1", "--port", str(port), "--no-dashboard", "--no-show", "--scheduler-file", str(place))
    with ExitStack() as stack:
        scheduler = dask("scheduler", *fixed, *words)
        stack.callback(ended, [scheduler])
        found = [worker(place, *words) for _ in range(workers)]
        stack.callback(ended, found)
        address = address_in(place)
        yield Cluster(address, scheduler, found)
        ended(found)


def address_in(place: Path) -> str:
    """What a scheduler writes down once it can be reached."""
    until = monotonic() + START_S
    while True:
        try:
            return str(json.loads(place.read_text(encoding="utf-8"))["address"])
        except (OSError, ValueError):
            assert monotonic() < until, "the scheduler does not start"
            sleep(0.05)


def ended(processes: Sequence[subprocess.Popen[bytes]]) -> None:
    """Killed and waited for."""
    for process in processes:
        process.kill()
        process.wait()


@pytest.fixture
def tidy() -> Iterator[None]:
    """What the library leaves is collected under this file's filter, not in the middle of another test."""
    yield
    gc.collect()


real = pytest.mark.usefixtures("tidy")


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Cluster]:
    """Two workers."""
    with cluster(tmp_path_factory.mktemp("cluster") / "two", workers=2) as found:
        yield found


def pieces(count: int = PIECES) -> list[Piece]:
    """Replications of the reference cell."""
    cell = read_cell(PATH)
    whole = compiled(cell)
    steps = round(HORIZON_S / cell.grid_s)
    return [Piece(cell=whole, horizon=steps, warm_up=0, seed=SEED, replication=number) for number in range(count)]


@real
def test_a_killed_worker_costs_time_and_nothing_else(two: Cluster) -> None:
    """Killed half-way: every result is there, in order, byte for byte as from this very process."""
    here = list(LocalRunner().map(counted, pieces()))
    line = ClusterRunner(address=two.address).map(counted, pieces())
    there = [next(line) for _ in range(20)]
    two.workers[0].send_signal(signal.SIGKILL)
    two.workers[0].wait()
    there.extend(line)

    assert two.workers[0].returncode == -signal.SIGKILL
    assert two.workers[1].poll() is None
    assert packed(there) == packed(here)


@real
def test_a_failing_piece_is_heard_of(two: Cluster) -> None:
    """Results before it come; then its own error, with its own words."""
    line = ClusterRunner(address=two.address).map(mark_of, [b"a", b"b", "no bytes", b"c"])  # type: ignore[list-item]
    with pytest.raises(TypeError) as here:
        mark_of("no bytes")  # type: ignore[arg-type]

    assert [next(line), next(line)] == [mark_of(b"a"), mark_of(b"b")]
    with pytest.raises(TypeError) as there:
        next(line)
    assert str(there.value) == str(here.value)


@real
def test_nothing_to_do_and_nobody_listening_are_no_trouble(two: Cluster) -> None:
    """No item, no result; and a listener that goes away leaves the cluster free for the next."""
    runner = ClusterRunner(address=two.address)
    line = runner.map(counted, pieces())
    next(line)
    line.close()  # type: ignore[attr-defined]

    assert list(runner.map(mark_of, [])) == []
    assert list(runner.map(mark_of, [b"a"])) == [mark_of(b"a")]


@real
def test_the_command_gives_the_same_bytes_there(two: Cluster) -> None:
    """`simulate --scheduler ADDRESS --json`; beside them at most the lines of progress that a slow machine shows."""
    words = [str(PATH), "--hours", "2", "--replications", "6", "--json"]

    here = CliRunner().invoke(simulate_command, words)
    there = CliRunner().invoke(simulate_command, [*words, "--scheduler", two.address])

    assert there.exit_code == 0
    assert [line for line in there.stderr.splitlines() if not line.startswith("simulation: ")] == []
    assert there.stdout == here.stdout


@real
def test_a_sweep_begun_there_goes_on_here(two: Cluster, tmp_path: Path) -> None:
    """What came from the cluster is kept here, chunk by chunk, and goes into the rest of the sweep."""
    asked = {"hours": 1.0, "replications": 2, "seed": SEED, "watch": Nobody()}
    begun = sweep(cells(3), runner=ClusterRunner(address=two.address, cache=tmp_path), **asked)  # type: ignore[arg-type]
    next(begun)
    begun.close()  # type: ignore[attr-defined]
    here = Counting(cache=tmp_path)

    found = list(sweep(cells(3), runner=here, **asked))  # type: ignore[arg-type]

    assert text(found) == text(sweep(cells(3), runner=LocalRunner(), **asked))  # type: ignore[arg-type]
    assert len(here.done) == 2


@real
def test_a_chunk_of_a_sweep_is_the_same_there(two: Cluster) -> None:
    """The bytes that would be kept."""
    chunks = [Chunk(cell=cell, hours=1.0, seed=SEED, first=0, end=3) for cell in cells(3)]

    assert list(ClusterRunner(address=two.address).map(counts_packed, chunks)) == list(map(counts_packed, chunks))


@real
def test_a_lost_connection_is_taken_up_again(tmp_path: Path) -> None:
    """The scheduler dies with its workers and comes back: what was out is sent again, to the same bytes."""
    here = list(LocalRunner().map(counted, pieces(60)))
    with cluster(tmp_path / "first", workers=1) as first:
        line = ClusterRunner(address=first.address).map(counted, pieces(60))
        there = [next(line) for _ in range(5)]
        ended([first.scheduler, *first.workers])
        port = int(first.address.rpartition(":")[2])
        with cluster(tmp_path / "second", workers=1, port=port) as second:
            assert second.address == first.address
            there.extend(line)

    assert packed(there) == packed(here)


@real
def test_a_connection_that_is_just_being_taken_up_again_is_closed(
    two: Cluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it was about to do finds its connections closed: no error comes out, and its thread has ended."""
    line = Line(address=two.address, patience_s=START_S)
    line.connect()
    client, runner = line.client, line.client._loop_runner

    async def reconnects(fast: bool = False) -> None:
        """Hangs up, and then what is still under way does not get through."""
        await hangs_up(fast=fast)
        raise RuntimeError("ConnectionPool is closed")

    hangs_up = client._close
    monkeypatch.setattr(client, "_close", reconnects)

    line.close()

    assert line.client is None
    assert not runner.is_started()


@real
def test_a_cluster_that_stays_away_ends_the_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No worker left in the middle of the work, none at its start, nobody there at all: in words, after a while."""
    no_worker = r"the cluster at tcp://127\.0\.0\.1:\d+ has no worker\. What was kept is not made again"
    monkeypatch.setattr("millhand.cluster.LOOK_S", 0.1)
    with cluster(tmp_path / "left", workers=1) as left:
        runner, line = (
            ClusterRunner(address=left.address, patience_s=1.0),
            Line(address=left.address, patience_s=START_S),
        )
        line.connect()
        ended(left.workers)
        line.patience_s = 1.0
        line.send(packed(Task(identity=identity(), function=mark_of, items=(b"a",))))
        with pytest.raises(ToolError, match=no_worker):
            line.answer()
        with pytest.raises(ToolError, match=no_worker):
            list(runner.map(mark_of, [b"a"]))
        ended([left.scheduler])
        with pytest.raises(Lost, match="the connection to tcp://"):
            line.answer()
        with pytest.raises(Lost, match="the connection to tcp://"):
            line.send(b"")
        line.close()
    with pytest.raises(ToolError, match=r"no scheduler answers at tcp://127\.0\.0\.1:\d+\. What was kept"):
        list(runner.map(mark_of, [b"a"]))


@real
def test_tls_with_certificates_of_its_own(tmp_path: Path) -> None:
    """Who has a certificate of the cluster's authority works there; who has one of another is turned away."""
    import dask

    own, strange = Certificates(tmp_path / "own"), Certificates(tmp_path / "strange")
    with cluster(tmp_path / "tls", *own.words(), "--protocol", "tls", workers=1) as found:
        assert found.address.startswith("tls://127.0.0.1:")
        with dask.config.set(own.config()):
            assert list(runner_at(found.address, cache=None).map(mark_of, [b"a"])) == [mark_of(b"a")]
        with (
            dask.config.set(strange.config()),
            pytest.raises(ToolError, match=r"no scheduler answers at tls://.* with these certificates"),
        ):
            list(ClusterRunner(address=found.address, patience_s=1.0).map(mark_of, [b"a"]))
