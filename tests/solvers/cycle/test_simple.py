"""The simple cycles: which one is chosen, what is proven, what is refused by name."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import read_cell
from millhand.model.cell import Attendant, Cell, CellPart, Track
from millhand.model.station import Station
from millhand.solvers.cycle.bounds import load_bounds
from millhand.solvers.cycle.simple import schedule
from tests.solvers.cycle.rows import Row, row_cell

CELLS = Path("examples/cells")


def test_the_phillips_unger_1976_is_proven() -> None:
    """521 s, every order looked at or cut off."""
    found = schedule(read_cell(CELLS / "phillips_unger_1976.json"))

    assert (found.period_steps, found.proven) == (521, True)
    assert found.how == "exhaustive over all one-hand cycles with 1 part a period, each machine loaded once"


def test_an_operator_exchanges_at_two_mills() -> None:
    """429 s for two parts, the load of a mill, so nothing can be faster."""
    found = schedule(read_cell(CELLS / "one_operator_two_mills.json"))

    assert (found.period_steps, found.parts_per_period, found.proven) == (429_000, 2, True)
    assert found.how.endswith("equals the load bound of mill1 and mill2")


def test_the_reference_cell_makes_three_parts_in_138_seconds() -> None:
    """The figure that was worked out by hand for it."""
    found = schedule(read_cell(CELLS / "reference_cell.json"))

    assert (found.period_steps, found.parts_per_period) == (138_000, 3)


def test_a_given_order_is_kept_and_not_called_proven() -> None:
    """Waiting at each machine takes 30 s where the best takes 22 s."""
    found = schedule(row_cell(Row(times_s=(5, 7), order=("i", "m1", "m2"))))

    assert (found.period_steps, found.proven, found.how) == (30_000, False, "in the order given by the cell")


def test_an_order_that_misses_a_station_is_not_followed_and_that_is_said() -> None:
    """An order for something else than the carries of a cycle leaves the cycle free."""
    found = schedule(row_cell(Row(times_s=(5, 7), order=("i", "m1"))))

    assert found.period_steps == 22_000
    assert found.left_out == ("the order that arm goes by otherwise: the cycle has its own",)


def test_two_hands_without_an_exchange_lift_first() -> None:
    """Without a swap row the finished part is lifted with the other hand, the next set down after the turn."""
    cell = row_cell(Row(times_s=(60, 60), hands=2, turn_s=2))
    handling = tuple(replace(row, swap=None) for row in cell.handling)
    found = schedule(replace(cell, handling=handling))

    assert found.period_steps == 64_000
    assert found.proven


def test_slots_of_one_oven_are_filled_in_turn() -> None:
    """An oven for three parts: three parts a period, first in first out, a third of its time each."""
    cell = row_cell(Row(times_s=(90,), step_s=1))
    oven = replace(cell, stations={**cell.stations, "m1": Station(kind="process", place="m1", capacity=3)})
    found = schedule(oven)

    assert found.parts_per_period == 3
    assert found.period_steps < 3 * schedule(cell).period_steps


def two_zones(second: Attendant, *, shared: bool = False) -> Cell:
    """Four machines side by side, two people with two each (or with one in common)."""
    cell = row_cell(Row(times_s=(60,), machines=4, constant=True))
    supply, sink, machine = cell.handling
    first_machines = ("m1", "m2", "m3") if shared else ("m1", "m2")
    handling = (
        replace(supply, who=("ann", "ben")),
        replace(sink, who=("ann", "ben")),
        replace(machine, who=("ann",), at=first_machines),
        replace(machine, who=("ben",), at=("m3", "m4")),
    )
    ann = Attendant(kind="operator", home="i", moves_full="line")
    return replace(cell, attendants={"ann": ann, "ben": second}, handling=handling)


def test_attendants_with_machines_of_their_own_run_side_by_side() -> None:
    """Each serves two machines; the slower sets the common period."""
    ben = Attendant(kind="operator", home="i", moves_full="line")
    found = schedule(two_zones(ben))
    alone = schedule(row_cell(Row(times_s=(60,), machines=2, constant=True)))

    assert found.parts_per_period == 4
    assert found.period_steps == alone.period_steps
    assert {event.attendant for event in found.events if event.attendant} == {"ann", "ben"}


def test_a_slower_neighbour_sets_the_common_period() -> None:
    """A person at half pace takes longer over the same two machines."""
    ben = Attendant(kind="operator", home="i", moves_full="line")

    slow = schedule(two_zones(replace(ben, pace=5.0)))
    assert slow.period_steps > schedule(two_zones(ben)).period_steps
    assert not slow.proven


def test_attendants_who_share_a_machine_are_refused() -> None:
    """Who serves it when is not decided yet."""
    ben = Attendant(kind="operator", home="i", moves_full="line")
    with pytest.raises(NotYet, match="a cycle of attendants who share m3"):
        schedule(two_zones(ben, shared=True))


def refused(cell: Cell) -> str:
    """What is said of a cell that cannot be scheduled; its load bounds come out all the same."""
    assert load_bounds(cell)
    with pytest.raises(NotYet) as trouble:
        schedule(cell)
    return trouble.value.thing


def test_what_is_not_covered_is_named() -> None:
    """Each thing beyond the simple cycles by its own name."""
    cell = row_cell(Row(times_s=(20, 30)))
    arm, part = cell.attendants["arm"], cell.parts["part"]
    two_arms = replace(
        cell,
        attendants={"arm": arm, "arm2": arm},
        tracks={"floor": Track(attendants=("arm", "arm2"))},
        handling=tuple(replace(row, who=("arm", "arm2")) for row in cell.handling),
    )
    batch = replace(cell, stations={**cell.stations, "m1": Station(kind="process", place="m1", batch=2)})
    queue = replace(cell, stations={**cell.stations, "m1": Station(kind="process", place="m1", in_queue=1)})
    drops = replace(cell, stations={**cell.stations, "m1": Station(kind="process", place="m1", self_out=True)})
    mix = replace(cell, parts={"a": CellPart(route=part.route, share=0.5), "b": CellPart(route=part.route, share=0.5)})

    assert refused(two_arms) == "a cycle of several arms on one track"
    assert refused(batch) == "a cycle with loads of several parts"
    assert refused(queue) == "a cycle with a machine's own buffers"
    assert refused(drops) == "a cycle with parts that move by themselves"
    assert refused(mix) == "a cycle of several part types"
    assert refused(replace(cell, goal="makespan")) == "the shortest makespan of lots"
    idle = row_cell(Row(times_s=(0,), hold_s=0, step_s=0))
    with pytest.raises(NotYet, match="in which nothing takes any time"):
        schedule(idle)
    assert load_bounds(idle)[0].steps == 0


def test_windows_that_no_cycle_keeps_are_refused() -> None:
    """No-wait at every machine of a cell whose arm cannot be everywhere at once."""
    cell = row_cell(Row(times_s=(0, 0, 0), longest_s=(0, 0, 0), tail_s=1))

    assert refused(cell) == "a cycle for this cell: no simple one keeps its windows and ways"


def test_no_wait_is_a_window_of_nothing_to_spare() -> None:
    """With no waiting allowed at a machine the arm waits there for the part."""
    found = schedule(row_cell(Row(times_s=(5,), longest_s=(5,))))

    stays = {
        event.what: event.at_steps + event.lap * found.period_steps for event in found.events if event.station == "m1"
    }
    assert (stays["lift"] - stays["placed"]) % found.period_steps == 5_000


def test_the_same_cell_gives_the_same_schedule() -> None:
    """Nothing is left to chance."""
    cell = row_cell(Row(times_s=(12, 31, 7, 22)))

    assert schedule(cell) == schedule(cell)


def test_a_station_passed_twice_by_exchange_is_refused() -> None:
    """With two hands, or where it may choose, no simple cycle is known of a part that comes back to a station."""
    cell = read_cell(CELLS / "published_two_grippers_a.json")
    (name, part), *_ = cell.parts.items()
    again = replace(part, route=(*part.route[:2], part.route[2], part.route[1], *part.route[3:]))

    with pytest.raises(NotYet, match="a part passes a station twice, by exchange or by choice"):
        schedule(replace(cell, parts={name: again}))
