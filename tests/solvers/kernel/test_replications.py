"""Many replications: intervals, slices, processes, warm-up, what the output says."""

import math

import pytest

from millhand.intake.cell import cell_from
from millhand.model.canonical import canonical
from millhand.model.cell import Cell
from millhand.run import Cancelled, LocalRunner
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.replications import Piece, Plan, counted, interval, log_lines, output_of, simulate
from tests.reference_variants import reference_form


@pytest.fixture(scope="module")
def cell() -> Cell:
    """The reference cell."""
    return cell_from(reference_form())


def test_the_interval_is_students() -> None:
    """Four values: mean 5, standard deviation 2, so 3.182 (three degrees of freedom, 97.5 %) times 1."""
    figure = interval([3.0, 5.0, 5.0 - math.sqrt(2), 5.0 + math.sqrt(2) + 2.0 - 0.0])

    assert figure.mean == 5.0
    assert (figure.high - 5.0) == pytest.approx(5.0 - figure.low)


def test_the_interval_of_two_values_by_hand() -> None:
    """21 and 23: mean 22, standard error 1, and the t-quantile with one degree of freedom, 12.706."""
    figure = interval([21.0, 23.0])

    assert f"{figure.high - figure.mean:.3f}" == "12.706"
    assert figure.low == pytest.approx(44.0 - figure.high)


def test_an_interval_of_counts_ends_at_nothing() -> None:
    """1 and 3 parts: fewer than none cannot be; a difference may lie on both sides."""
    assert interval([1.0, 3.0]).low == 0.0
    assert interval([-1.0, 1.0]).low < -12.0


def test_one_value_has_no_width() -> None:
    """Nothing is said about chance that was not seen."""
    figure = interval([4.0])

    assert (figure.low, figure.mean, figure.high) == (4.0, 4.0, 4.0)


def test_the_bytes_do_not_depend_on_the_workers(cell: Cell) -> None:
    """One process or two."""
    alone = simulate(cell, hours=24, replications=4, seed=3)
    shared = simulate(cell, hours=24, replications=4, seed=3, plan=Plan(runner=LocalRunner(workers=2)))

    assert canonical(alone) == canonical(shared)


def test_slices_put_together_are_the_whole(cell: Cell) -> None:
    """Replications 0 to 1 and 2 to 3 counted apart, in any order."""
    c = compiled(cell)

    def some(numbers: list[int]) -> list[object]:
        pieces = [Piece(cell=c, horizon=43_200_000, warm_up=0, seed=3, replication=number) for number in numbers]
        return [counted(piece) for piece in pieces]

    assert some([2, 3])[::-1] == some([3, 2])
    assert [*some([0, 1]), *some([2, 3])] == some([0, 1, 2, 3])


def test_first_numbers_the_replications(cell: Cell) -> None:
    """The second of two is the one that begins at 1; another seed is another chance."""
    c = compiled(cell)
    both = [counted(Piece(cell=c, horizon=3 * 86_400_000, warm_up=0, seed=1, replication=n)) for n in (0, 1)]
    second = simulate(cell, hours=72, replications=1, seed=1, first=1)

    assert both[0] != both[1]
    assert second.parts_per_h == output_of(c, both[1:], seed=1, steps=3 * 86_400_000).parts_per_h
    assert simulate(cell, hours=72, replications=1, seed=2, first=1).counts != second.counts


def test_the_output_adds_up(cell: Cell) -> None:
    """Shares add up to one, attended and alone to all, good, scrapped and escaped to all."""
    output = simulate(cell, hours=48, replications=2)
    counts = {name: figure.mean for name, figure in output.counts.items()}

    assert all(math.fsum(shares.values()) == pytest.approx(1.0) for shares in output.states.values())
    assert counts["attended"] + counts["unattended"] == pytest.approx(output.parts_per_h.mean)
    assert output.good_per_h.mean + counts["scrapped"] + counts["escaped"] == pytest.approx(output.parts_per_h.mean)
    assert output.attended_share == pytest.approx(1 / 3)
    assert set(output.duties) == {"clear", "refill"}
    assert "drawers" not in output.states
    assert output.alone_s["absences"] == 4
    assert output.alone_s["p10_s"] <= output.alone_s["p50_s"] <= output.alone_s["p90_s"]


def test_a_warm_up_is_cut_off_only_when_asked_for(cell: Cell) -> None:
    """The first day and the second together are two days; without it the output says that nothing was cut."""
    first, whole = (simulate(cell, hours=hours, replications=1) for hours in (24, 48))
    second = simulate(cell, hours=48, replications=1, plan=Plan(warm_up_hours=24))

    assert first.parts_per_h.mean + second.parts_per_h.mean == pytest.approx(2 * whole.parts_per_h.mean)
    assert second.horizon_s == 86_400
    assert any("no warm-up is cut off" in words for words in whole.left_out)
    assert not any("warm-up" in words for words in second.left_out)


def test_an_onlooker_is_told_and_can_stop_it(cell: Cell) -> None:
    """Three steps of two replications; a watch that wants to stop gets its way."""
    seen: list[tuple[str, int, int]] = []

    class Watching:
        """Keeps what it is told."""

        def __init__(self, *, stops: bool) -> None:
            self.stops = stops

        def step(self, name: str, done: int, total: int) -> None:
            """Keep it."""
            seen.append((name, done, total))

        def cancelled(self) -> bool:
            """As wanted."""
            return self.stops

    simulate(cell, hours=1, replications=2, plan=Plan(watch=Watching(stops=False)))

    assert seen == [("simulation", 0, 2), ("simulation", 1, 2), ("simulation", 2, 2)]
    with pytest.raises(Cancelled):
        simulate(cell, hours=1, replications=2, plan=Plan(watch=Watching(stops=True)))


def test_the_log_tells_one_replication(cell: Cell) -> None:
    """The first four lines of the reference cell: three machines are loaded in turn."""
    lines = [line for line in log_lines(cell, hours=0.02) if not str(line["what"]).startswith(("is ", "goes"))]

    assert lines[0] == {"t_s": 4.5, "what": "pick", "who": "arm1", "where": "drawers"}
    assert lines[1] == {"t_s": 25.5, "what": "place", "who": "arm1", "where": "m1"}


def test_waits_have_their_interval(cell: Cell) -> None:
    """The share of each machine is that of its state, and its ends are those of the replications one by one."""
    whole = simulate(cell, hours=24, replications=3, seed=3)
    each = [simulate(cell, hours=24, replications=1, seed=3, first=number) for number in range(3)]

    assert whole.effectiveness
    for name, told in whole.effectiveness.items():
        alone = interval([one.states[name].get("waiting_attendant", 0.0) for one in each])
        assert told["waiting"] == pytest.approx(whole.states[name]["waiting_attendant"])
        assert (told["waiting_low"], told["waiting_high"]) == (pytest.approx(alone.low), pytest.approx(alone.high))
