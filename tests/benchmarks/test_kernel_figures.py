"""What the kernel's figures are made of: the cells that are timed, rates, sizes, and whether the kernel is right."""

import ast
import shutil
from pathlib import Path

import pytest

from benchmarks.kernel_cells import concepts, in_a_larger_shape, reference_cell, with_machines
from benchmarks.kernel_right import EXPECTED, VARIANTS, distances, parts_without_chance
from benchmarks.kernel_runs import timed_run
from benchmarks.kernel_scaling import Done, steady_rate
from benchmarks.kernel_start import bytes_of
from benchmarks.worker import SOURCE, TOP, of_head, without_log
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.records import shape_of

FEWER = 100  # replications; the figure kernel_right takes 2000
FAR = 3.5  # standard errors: among 54 means chance goes beyond it once in forty times


def test_three_machines_are_the_reference_cell() -> None:
    """The cell with a number of machines is the fixed one where the number is three."""
    assert with_machines(3) == reference_cell()


@pytest.mark.parametrize("count", [1, 8])
def test_other_numbers_of_machines_run(count: int) -> None:
    """Each machine makes parts; one alone is exchanged in turn: a part each 138 s at most."""
    run = timed_run(with_machines(count), numbers=range(1), hours=24)

    assert 0 < run.parts < count * 86_400 / 138


def test_the_cell_in_a_larger_shape_does_the_same() -> None:
    """Another shape, the same counts: room that nobody uses changes nothing."""
    cells = [reference_cell(), in_a_larger_shape()]
    small, large = (timed_run(cell, numbers=range(2), hours=48).counts for cell in cells)

    assert shape_of(compiled(cells[0])) != shape_of(compiled(cells[1]))
    assert small == large


def test_concepts_differ_in_numbers_not_in_structure() -> None:
    """One shape for all, no two alike, the same ones every time."""
    cells = concepts(5)

    assert len({shape_of(compiled(cell)) for cell in [*cells, reference_cell()]}) == 1
    assert all(one != other for at, one in enumerate(cells) for other in cells[:at])
    assert cells == concepts(5)


def test_a_timed_run_counts_what_the_replications_count() -> None:
    """Two halves make the same parts and events as the whole; so does a run with its log."""
    whole = timed_run(reference_cell(), numbers=range(4), hours=24)
    halves = [timed_run(reference_cell(), numbers=numbers, hours=24) for numbers in (range(2), range(2, 4))]
    logged = timed_run(reference_cell(), numbers=range(4), hours=24, logging=True)

    assert whole.counts == halves[0].counts + halves[1].counts == logged.counts
    assert whole.parts > 1800
    assert whole.events > 4 * whole.parts


def test_the_rate_of_two_processes_leaves_out_their_starts() -> None:
    """Two processes that make a part a second each, one of which starts late: 2 a second while both are at work."""
    early = [Done(process=1, begin=at, end=at + 1, parts=1) for at in range(10)]
    late = [Done(process=2, begin=at + 0.5, end=at + 1.5, parts=1) for at in range(3, 9)]

    assert steady_rate([*early, *late]) == pytest.approx(2.0)


def test_memory_counts_what_a_thing_holds_once() -> None:
    """A tuple is its head, a place for each number, and each number, but none twice."""
    one, two = bytes_of(1), bytes_of(1 << 40)

    assert bytes_of((1, 1 << 40)) == bytes_of(()) + 2 * 8 + one + two
    assert bytes_of((1, 1, 1)) == bytes_of(()) + 3 * 8 + one
    assert bytes_of(Done(process=1, begin=0.5, end=1.5, parts=2)) > bytes_of(0.5) + bytes_of(1.5) + bytes_of(1) + one


def test_a_kernel_without_its_log_has_no_line_that_asks_for_it(tmp_path: Path) -> None:
    """The changed copy is plain Python still; where the log is asked for otherwise, that is told."""
    package = tmp_path / "millhand"
    shutil.copytree(SOURCE, package)
    without_log(package)

    texts = [path.read_text(encoding="utf-8") for path in (package / "solvers/kernel/events").glob("*.py")]
    assert not any("k.logging" in text for text in texts)
    assert all(ast.parse(text) for text in texts)
    with pytest.raises(ValueError, match="no line of the event loop"):
        without_log(package)


@pytest.mark.skipif(not (TOP / ".git").exists(), reason="needs the project's history")
def test_the_last_commit_takes_the_place_of_the_present_sources(tmp_path: Path) -> None:
    """What lay there is gone; what the commit holds is there, also the file that the sources only link to."""
    package = tmp_path / "src" / "millhand"
    package.mkdir(parents=True)
    (package / "new.py").touch()
    of_head(package)

    assert not (package / "new.py").exists()
    assert (package / "solvers/kernel/replications.py").is_file()
    assert (package / "report/sources.toml").is_file()


@pytest.mark.parametrize("variant", VARIANTS)
def test_the_kernel_agrees_with_the_long_run_of_the_other_program(variant: str) -> None:
    """Each mean within FAR standard errors of the difference, also where the rare is made common.

    Own computation on both sides; the other program was written apart, with other random numbers.
    """
    z = distances(variant, replications=FEWER)

    assert len(z) == 27
    assert {name: value for name, value in z.items() if abs(value) > FAR} == {}


def test_without_chance_it_makes_the_parts_that_are_known_by_hand() -> None:
    """To the part."""
    assert parts_without_chance() == EXPECTED["zero_variance"]["parts_in_days"]["20"]
