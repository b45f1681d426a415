"""Where work is done and who looks on: order, cancelling, and what is kept."""

import multiprocessing
import os
import signal
import time
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor
from pathlib import Path

import pytest

from millhand.run import Cancelled, LocalRunner, Nobody, watched


class Onlooker:
    """A Watch that writes down what it is told and asks to stop after so many steps."""

    def __init__(self, stop_after: int = 1_000_000) -> None:
        self.steps: list[tuple[str, int, int]] = []
        self.stop_after = stop_after

    def step(self, name: str, done: int, total: int) -> None:
        """Write it down."""
        self.steps.append((name, done, total))

    def cancelled(self) -> bool:
        """After so many pieces."""
        return len(self.steps) >= self.stop_after


def slow_square(number: int) -> tuple[int, int]:
    """The square and the process; the first item takes longest, so that results come out of order."""
    time.sleep(0.3 if number == 0 else 0.0)
    return number * number, os.getpid()


def broken(number: int) -> int:
    """A piece of work that fails at one item."""
    if number == 2:
        raise ValueError("the third piece")
    return number


def test_one_worker_is_this_very_process() -> None:
    """Nothing is started for one worker, and items are taken one after another."""
    taken: list[int] = []

    def items() -> Iterator[int]:
        for number in range(3):
            taken.append(number)
            yield number

    results = LocalRunner().map(slow_square, items())

    assert next(results) == (0, os.getpid())
    assert taken == [0]
    assert list(results) == [(1, os.getpid()), (4, os.getpid())]


def test_two_workers_give_the_same_results_in_the_same_order() -> None:
    """The first item is the slowest and still comes first; the work is done elsewhere."""
    one = list(LocalRunner(workers=1).map(slow_square, range(5)))
    two = list(LocalRunner(workers=2).map(slow_square, range(5)))

    assert [square for square, _ in two] == [square for square, _ in one] == [0, 1, 4, 9, 16]
    assert os.getpid() not in {process for _, process in two}


@pytest.mark.parametrize("workers", [1, 2])
def test_a_failing_piece_is_heard_of(workers: int) -> None:
    """Results before it come; then its own error."""
    results = LocalRunner(workers=workers).map(broken, range(4))

    assert [next(results), next(results)] == [0, 1]
    with pytest.raises(ValueError, match="the third piece"):
        next(results)


# --- kept ---


def test_without_a_cache_everything_is_made() -> None:
    """Twice asked, twice made."""
    made: list[int] = []
    runner = LocalRunner()

    assert [runner.kept("key", lambda: made.append(1) or b"x") for _ in range(2)] == [b"x", b"x"]  # type: ignore[func-returns-value]
    assert len(made) == 2


def test_what_was_made_once_is_read_the_next_time(tmp_path: Path) -> None:
    """Also by another runner on the same folder, which did not exist before; other keys are other files."""
    folder = tmp_path / "deep" / "cache"

    assert LocalRunner(cache=folder).kept("key", lambda: b"first") == b"first"
    assert LocalRunner(cache=folder).kept("key", lambda: b"second") == b"first"
    assert LocalRunner(cache=folder).kept("../other", lambda: b"other") == b"other"
    assert len(list(folder.iterdir())) == 2
    assert list(tmp_path.iterdir()) == [tmp_path / "deep"]


def test_a_cache_that_cannot_be_written_costs_time_never_the_answer(tmp_path: Path) -> None:
    """The folder's place is taken by a file: made each time, and no trace left."""
    place = tmp_path / "taken"
    place.write_bytes(b"a file")
    runner = LocalRunner(cache=place)

    assert runner.kept("key", lambda: b"made") == b"made"
    assert runner.kept("key", lambda: b"again") == b"again"
    assert place.read_bytes() == b"a file"


def test_what_fails_to_be_made_keeps_nothing(tmp_path: Path) -> None:
    """The error comes through and the next one makes it."""

    def fails() -> bytes:
        raise ValueError("no result")

    runner = LocalRunner(cache=tmp_path)
    with pytest.raises(ValueError, match="no result"):
        runner.kept("key", fails)

    assert list(tmp_path.iterdir()) == []
    assert runner.kept("key", lambda: b"made") == b"made"


# --- watched ---


def test_the_onlooker_hears_of_every_piece() -> None:
    """Nought first, then each one as it is done."""
    watch = Onlooker()

    assert list(watched(watch, "work", iter("ab"), total=2)) == ["a", "b"]
    assert watch.steps == [("work", 0, 2), ("work", 1, 2), ("work", 2, 2)]


def test_work_stops_between_two_pieces_when_asked_to() -> None:
    """What is done by then is not given out any more."""
    watch = Onlooker(stop_after=2)
    given: list[int] = []

    with pytest.raises(Cancelled, match="work"):
        given.extend(watched(watch, "work", range(10), total=10))

    assert watch.steps == [("work", 0, 10), ("work", 1, 10)]
    assert given == [0]


def mark(path: Path) -> None:
    """A piece of work that leaves a trace."""
    time.sleep(0.05)
    path.touch()


def test_a_stopped_pool_leaves_the_rest_undone(tmp_path: Path) -> None:
    """Cancelled with two workers: what had not begun is never begun."""
    places = [tmp_path / str(number) for number in range(60)]

    with pytest.raises(Cancelled):
        list(watched(Onlooker(stop_after=2), "work", LocalRunner(workers=2).map(mark, places), total=60))

    assert 2 <= len(list(tmp_path.iterdir())) < 30


def dying(number: int) -> int:
    """A piece of work whose process is killed, as by a system without memory."""
    if number == 1:
        os.kill(os.getpid(), signal.SIGKILL)
    return number


def test_a_killed_worker_is_heard_of() -> None:
    """Never waited for without end."""
    with pytest.raises(BrokenExecutor):
        list(LocalRunner(workers=2).map(dying, range(4)))


def test_who_stops_listening_stops_the_workers(tmp_path: Path) -> None:
    """At once, in the middle of a piece: the rest of an hour is not waited for."""
    started = time.monotonic()
    pieces = LocalRunner(workers=2).map(time.sleep, [0.0, 3600.0, 3600.0])
    next(pieces)
    pieces.close()  # type: ignore[attr-defined]

    assert time.monotonic() - started < 60.0
    assert not multiprocessing.active_children()


def test_processes_started_by_a_runner_hear_no_interrupt() -> None:
    """The terminal sends an interrupt to all of them; only the first one speaks."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's background job ignores it
    try:
        heard = list(LocalRunner(workers=2).map(signal.getsignal, [signal.SIGINT]))
        after = signal.getsignal(signal.SIGINT)
    finally:
        signal.signal(signal.SIGINT, before)

    assert heard == [signal.SIG_IGN]
    assert after is signal.default_int_handler


def test_nobody_never_stops_the_work() -> None:
    """The silent onlooker."""
    nobody = Nobody()
    nobody.step("work", 1, 2)

    assert not nobody.cancelled()
    assert list(watched(nobody, "work", [1, 2], total=2)) == [1, 2]
