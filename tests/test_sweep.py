"""A sweep gives what single simulations give, keeps each chunk as it comes, and goes on from there after a cut."""

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

import pytest

from millhand.intake.cell import read_cell
from millhand.model.canonical import canonical
from millhand.model.cell import Cell
from millhand.model.performance import Output
from millhand.run import LocalRunner, Nobody, Runner, packed
from millhand.solvers.kernel.replications import simulate
from millhand.sweep import CHUNK, Chunk, counts_packed, sweep
from tests.reference_variants import PATH

Item = TypeVar("Item")
Result = TypeVar("Result")

HOURS = 1.0  # some ten parts, so that a test takes a second
SEED = 3


@dataclass(frozen=True)
class Counting:
    """A LocalRunner that writes down what it is given to do."""

    cache: Path | None
    done: list[object] = field(default_factory=list)

    def map(self, function: Callable[[Item], Result], items: Iterable[Item]) -> Iterator[Result]:
        """In this process."""
        for item in items:
            self.done.append(item)
            yield function(item)

    def kept(self, key: str, make: Callable[[], bytes]) -> bytes:
        """As the LocalRunner."""
        return LocalRunner(cache=self.cache).kept(key, make)


def cells(count: int) -> list[Cell]:
    """The reference cell, its raw stock one part larger from sample to sample."""
    cell = read_cell(PATH)
    samples = []
    for number in range(count):
        stations = {
            name: replace(each, capacity=each.capacity + number) if each.kind == "supply" and each.capacity else each
            for name, each in cell.stations.items()
        }
        samples.append(replace(cell, stations=stations))
    return samples


def swept(runner: Runner, *, count: int, replications: int) -> list[Output]:
    """The outputs of so many cells."""
    found = sweep(cells(count), hours=HOURS, replications=replications, seed=SEED, runner=runner, watch=Nobody())
    return list(found)


def text(outputs: Iterable[Output]) -> str:
    """All that a sweep found, byte by byte."""
    return "".join(map(canonical, outputs))


@pytest.mark.parametrize("replications", [1, CHUNK, CHUNK + 2])
def test_a_sweep_says_what_single_simulations_say(replications: int) -> None:
    """The same bytes, whatever the number of chunks that a cell's replications fill."""
    single = [simulate(cell, hours=HOURS, replications=replications, seed=SEED) for cell in cells(2)]

    assert text(swept(LocalRunner(), count=2, replications=replications)) == text(single)


def test_the_samples_of_these_tests_differ() -> None:
    """Or a mixed-up order would not be seen."""
    first, second = swept(LocalRunner(), count=2, replications=2)

    assert first.cell != second.cell


def test_nothing_to_do_is_done_at_once() -> None:
    """No cell, no output."""
    assert swept(LocalRunner(), count=0, replications=5) == []


def test_what_is_kept_is_not_made_again(tmp_path: Path) -> None:
    """The second sweep makes nothing; a longer one only the chunks that were not full, and those beyond."""
    first, second, longer = (Counting(cache=tmp_path) for _ in range(3))

    whole = swept(first, count=2, replications=CHUNK + 2)
    again = swept(second, count=2, replications=CHUNK + 2)
    more = swept(longer, count=2, replications=2 * CHUNK)

    assert (len(first.done), len(second.done), len(longer.done)) == (4, 0, 2)
    assert text(again) == text(whole)
    assert text(more) == text(swept(LocalRunner(), count=2, replications=2 * CHUNK))


def test_another_seed_or_horizon_is_another_sweep() -> None:
    """What counts depend on stands in the name that they are kept under."""
    chunk = Chunk(cell=cells(1)[0], hours=HOURS, seed=SEED, first=0, end=CHUNK)
    others = [replace(chunk, cell=cells(2)[1]), replace(chunk, hours=9.0), replace(chunk, seed=4)]
    others += [replace(chunk, first=1), replace(chunk, end=5)]

    assert len({each.key() for each in (chunk, *others)}) == 6


@pytest.mark.parametrize("content", [packed("of an older version"), packed((1, 2)), b"spoilt", b""])
def test_what_cannot_be_read_is_made_again(tmp_path: Path, content: bytes) -> None:
    """Kept by a version that kept something else, or no record at all: never believed, never in the way."""
    chunk = Chunk(cell=cells(1)[0], hours=HOURS, seed=SEED, first=0, end=2)
    LocalRunner(cache=tmp_path).kept(chunk.key(), lambda: content)
    runner = Counting(cache=tmp_path)

    assert text(swept(runner, count=1, replications=2)) == text(swept(LocalRunner(), count=1, replications=2))
    assert len(runner.done) == 1


def test_a_chunk_whose_file_goes_while_it_is_needed_is_made(tmp_path: Path) -> None:
    """Somebody clears the cache folder in the middle of a sweep."""
    runner = Counting(cache=tmp_path)
    whole = swept(runner, count=2, replications=2)
    outputs = sweep(cells(2), hours=HOURS, replications=2, seed=SEED, runner=runner, watch=Nobody())
    found = [next(outputs)]
    for path in tmp_path.iterdir():
        path.unlink()
    found.extend(outputs)

    assert text(found) == text(whole)


def test_the_counts_of_a_chunk_are_those_of_its_numbers() -> None:
    """A chunk that begins later holds other replications."""
    chunk = Chunk(cell=cells(1)[0], hours=HOURS, seed=SEED, first=0, end=2)

    assert counts_packed(chunk) != counts_packed(replace(chunk, first=2, end=4))


# --- cut off and gone on with ---

CELLS, REPLICATIONS = 4, 3 * CHUNK
CHUNKS = CELLS * 3
SWEEPING = """
import sys
from pathlib import Path
from millhand.run import LocalRunner, Nobody
from millhand.sweep import sweep
from tests.test_sweep import CELLS, HOURS, REPLICATIONS, SEED, cells

if __name__ == "__main__":
    runner = LocalRunner(workers=2, cache=Path(sys.argv[1]))
    for output in sweep(cells(CELLS), hours=HOURS, replications=REPLICATIONS, seed=SEED, runner=runner, watch=Nobody()):
        print(output.cell, flush=True)
        sys.stdin.readline()
"""


def test_a_killed_sweep_goes_on_from_what_is_kept(tmp_path: Path) -> None:
    """Killed with two workers after its second cell: what is not kept is made, no more, to the same bytes."""
    script, kept = tmp_path / "sweeping.py", tmp_path / "kept"
    script.write_text(SWEEPING, encoding="utf-8")
    first = subprocess.Popen(
        [sys.executable, str(script), str(kept)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": os.getcwd()},
        start_new_session=True,
    )
    assert first.stdin is not None
    assert first.stdout is not None
    with first:
        told = [first.stdout.readline().strip()]
        first.stdin.write("\n")
        first.stdin.flush()
        told.append(first.stdout.readline().strip())
        os.killpg(first.pid, signal.SIGKILL)
    made = len(list(kept.iterdir()))
    second = Counting(cache=kept)

    found = swept(second, count=CELLS, replications=REPLICATIONS)

    assert told == [each.cell for each in found[:2]]
    assert made == CHUNKS // 2
    assert len(second.done) == CHUNKS - made
    assert text(found) == text(swept(LocalRunner(), count=CELLS, replications=REPLICATIONS))
