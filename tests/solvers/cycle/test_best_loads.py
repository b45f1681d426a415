"""Loads of several parts, own buffers, duties and gates in the best cycle, against small counts by hand."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.errors import Contradiction
from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Attendant, Cell, MoveTable, Place
from millhand.model.duty import Duty, Trigger
from millhand.model.schedule import Schedule
from millhand.model.station import Station
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import cycle_bound_steps
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import finished_run
from tests.agreement.random_small import small_cell
from tests.cycle_oracle import best_one_unit
from tests.solvers.cycle.rows import Row, row_cell, span
from tests.solvers.kernel.shop import Form, arm_cell

CELLS = Path(__file__).parents[3] / "examples" / "cells"
ONE = Effort(deterministic=2.0, most_sets=1)


def machine(cell: Cell, station: Station) -> Cell:
    """The cell with another machine m1."""
    return replace(cell, stations={**cell.stations, "m1": replace(station, place="m1")})


def checked(cell: Cell, effort: Effort = ONE) -> Schedule:
    """The best cycle, which the validator has nothing against."""
    found = best_cycle(cell, effort=effort)
    assert violations(cell, found) == []
    return found


def test_a_load_of_two_waits_for_its_second_part() -> None:
    """One hand, 2 s between neighbours, holds of 1 s, a load of two in 20 s.

    From the second part set down the machine works 20 s; then two parts go: lift 1, way 2, set 1, way back to the
    supply 4, lift 1, way 2, set 1, and the same way for the other one. Only the last lift out of the machine, with the
    way to the sink, and the first of the next load lie behind one another: lift 1, 2, set 1, back 2, lift 1, 2, set 1,
    supply 4, lift 1, 2, set 1, back 2, lift 1, 2, set 1 = 24 s from the end of the work to the next start.
    """
    cell = machine(row_cell(Row(times_s=(20,))), Station(kind="process", batch=2))
    found = checked(cell)

    assert (found.period_steps, found.parts_per_period, found.proven) == (44_000, 2, True)


def test_parts_of_one_load_come_out_together() -> None:
    """Every part of a load starts and is done at the same moment, and nothing is lifted before that."""
    cell = machine(row_cell(Row(times_s=(20,))), Station(kind="process", batch=2))
    found = checked(cell)
    starts = {event.at_steps for event in found.events if event.what == "start"}

    assert len(starts) == 1


def test_cavities_fill_and_empty_by_themselves() -> None:
    """Material comes and parts drop by themselves, two at a time, so a mould of 9 s gives two parts in 9 s."""
    cell = machine(row_cell(Row(times_s=(9,))), Station(kind="process", batch=2, self_in=True, self_out=True))
    tray = replace(cell.stations["o"], kind="store", capacity=2)
    route = cell.parts["part"].route
    stations = {**cell.stations, "o": tray, "p": Station(kind="sink", place="o", capacity=None)}
    last = replace(route[-1], at=("p",))
    part = replace(cell.parts["part"], route=(*route[:-1], route[-1], last))
    rows = (*cell.handling, replace(cell.handling[-1], at=("p",)))
    whole = replace(cell, stations=stations, parts={"part": part}, handling=with_lift(rows, "o"))
    found = checked(whole)

    assert (found.period_steps, found.parts_per_period, found.proven) == (9_000, 2, True)


def with_lift(rows: tuple, station: str) -> tuple:  # type: ignore[type-arg]
    """The rows, with lifts at a station as set-downs."""
    return tuple(replace(row, pick=row.place) if station in row.at else row for row in rows)


def test_two_machines_with_two_vises_each() -> None:
    """The change of a load takes 53.4 s at least: exchange 17.2, way 3.5, set down 4, lift 5, way 3.5, exchange 17.2,
    a tail of 3. With 260 s of work that is what each machine needs for two parts; the cycle found takes no more.
    """
    found = checked(read_cell(CELLS / "two_vises_behind_one_door.json"), Effort())

    assert (found.period_steps, found.parts_per_period) == (3134, 4)


def test_buffers_of_its_own_keep_a_machine_at_work() -> None:
    """With a place before and one behind it the machine works all the time; without them it waits for the arm.

    The arm's tour of 1 + 2 + 1 + 1 + 2 + 1 + 4 = 12 s is shorter than the work of 20 s; without buffers lift 1, way 2,
    set 1, way back 4, lift 1, way 2, set 1 come between the end of one work and the start of the next.
    """
    cell = row_cell(Row(times_s=(20,)))
    both = machine(cell, Station(kind="process", in_queue=1, out_queue=1))

    assert checked(cell).period_steps == 32_000
    assert (checked(both).period_steps, checked(both).proven) == (20_000, True)


def test_a_buffer_on_one_side_saves_what_it_can() -> None:
    """With a place before the machine only, its part has to go before the next comes in by itself: lift 1 s more.

    With a place behind it only, the next part is there 1 s after the machine is empty at best: the set-down.
    """
    cell = row_cell(Row(times_s=(20,)))
    before = machine(cell, Station(kind="process", in_queue=1))
    behind = machine(cell, Station(kind="process", out_queue=1))

    assert checked(before).period_steps == 21_000
    assert checked(behind).period_steps == 21_000


def test_the_example_with_buffers_meets_its_load() -> None:
    """The slower machine works all the time."""
    found = checked(read_cell(CELLS / "queues_before_and_after.json"))

    assert (found.period_steps, found.parts_per_period, found.proven) == (700, 1, True)


def deburring(every: int = 1, takes_s: float = 5.0) -> Cell:
    """One machine of 4 s, one hand, and a bench half way between supply and machine where parts are deburred."""
    cell = row_cell(Row(times_s=(4,)))
    rows = ((0, 2, 4, 1), (2, 0, 2, 1), (4, 2, 0, 3), (1, 1, 3, 0))
    ways = MoveTable(places=("i", "m1", "o", "bench"), empty_s=tuple(tuple(map(float, row)) for row in rows))
    name = cell.attendants["arm"].moves_full
    duty = Duty(
        trigger=Trigger(kind="parts", at=("m1",), every_n=every), who=("arm",), place="bench", takes=span(takes_s)
    )
    return replace(
        cell,
        places={**cell.places, "bench": Place()},
        moves={str(name): ways},
        attendants={"arm": replace(cell.attendants["arm"], moves_full=name)},
        duties={"deburr": duty},
    )


def test_a_duty_for_each_part_is_in_the_cycle() -> None:
    """Its 5 s fit on the way back: set down at the sink, bench, supply.

    Lift 1, way 2, set 1, then back to the bench 1, the duty 5, to the machine 1, lift 1, way 2, set 1, to the supply 4:
    19 s, of which the work is covered. Nothing is left out any more.
    """
    found = checked(deburring())

    assert (found.period_steps, found.parts_per_period, found.proven) == (19_000, 1, True)
    assert [event.what for event in found.events if event.place == "bench"] == ["duty", "duty_done"]
    assert not any("deburr" in words for words in found.left_out)


def test_a_duty_for_each_second_part_comes_once_in_two() -> None:
    """Two parts a period: one tour with the duty and one without it."""
    found = checked(deburring(every=2))
    done = [event for event in found.events if event.what == "duty"]

    assert (found.parts_per_period, len(done), found.proven) == (2, 1, True)


def test_a_duty_that_comes_seldom_stays_in_the_bound() -> None:
    """Each fiftieth part would make the period fifty parts long: it is named as left out."""
    found = checked(deburring(every=50))

    assert not any(event.what == "duty" for event in found.events)
    assert any("deburr" in words for words in found.left_out)


def test_the_operator_of_the_example_deburrs_beside_the_work() -> None:
    """Two lathes of 150 + 3 s and an exchange of 25 s: 178 s for two parts, both deburred."""
    found = checked(read_cell(CELLS / "operator_deburrs_each_part.json"))

    assert (found.period_steps, found.parts_per_period, found.proven) == (1780, 2, True)
    assert sum(event.what == "duty" for event in found.events) == 2


@pytest.mark.parametrize("number", [37, 59, 63, 161, 226, 252, 341, 392])
def test_cells_that_went_wrong(number: int) -> None:
    """Gates out of turn, visits of no time, parts carried over a third station: never above the oracle."""
    cell = small_cell(number)
    found, every = checked(cell), best_one_unit(cell)

    assert every is not None
    assert found.period_steps <= every


def test_one_at_a_time_where_there_is_one_place() -> None:
    """Two arms and holds of 10 s at a supply with one place: no two lifts at once, so 10 s a part are the least.

    Each arm does the rest in no time, so with room for both the period would be half as long.
    """
    cell = row_cell(Row(times_s=(0,), machines=2, hold_s=10, step_s=0))
    rows = tuple(replace(row, who=("arm", "arm2")) for row in cell.handling)
    second = Attendant(kind="arm", home="i", moves_full=cell.attendants["arm"].moves_full)
    two = replace(cell, handling=rows, attendants={**cell.attendants, "arm2": second})
    narrow = replace(two, stations={**two.stations, "i": replace(two.stations["i"], capacity=1)})
    found = checked(narrow)
    lifts = sorted(event.at_steps for event in found.events if (event.what, event.station) == ("lift", "i"))

    assert all(b - a >= 10_000 for a, b in zip(lifts, [*lifts[1:], lifts[0] + found.period_steps], strict=True))


def test_several_loads_in_one_machine_are_so_many_machines() -> None:
    """Two slots with loads of two are as good as two such machines at one place; endless slots have no such name."""
    cell = row_cell(Row(times_s=(20,)))
    two = machine(cell, Station(kind="process", batch=2, capacity=2))
    one = machine(cell, Station(kind="process", batch=2))
    start, step, end = one.parts["part"].route
    twice = replace(
        one,
        stations={**one.stations, "m1b": one.stations["m1"]},
        handling=tuple(replace(row, at=(*row.at, "m1b")) if "m1" in row.at else row for row in one.handling),
        parts={"part": replace(one.parts["part"], route=(start, replace(step, at=("m1", "m1b")), end))},
    )
    found = checked(two)

    assert {event.station for event in found.events} == {"i", "m1", "m1 slot 2", "o"}
    assert (found.period_steps, found.proven) == (checked(twice).period_steps, True)
    endless = checked(machine(cell, Station(kind="process", batch=2, capacity=None)))
    assert {event.station for event in endless.events} == {"i", "m1", "o"}
    assert endless.period_steps <= found.period_steps


def test_a_part_leaves_a_buffer_for_its_own_machine_only() -> None:
    """What crosses over from one slot's buffer to the other slot is told, though both are on the route."""
    cell = machine(row_cell(Row(times_s=(20,))), Station(kind="process", capacity=2, in_queue=1))
    found = checked(cell)
    swapped = {"m1": "m1 slot 2", "m1 slot 2": "m1"}
    crossed = tuple(
        replace(event, station=swapped[event.station]) if event.station in swapped else event for event in found.events
    )

    assert "nothing moves by itself from m1 in to m1 slot 2" in violations(cell, replace(found, events=crossed))


def test_a_load_that_waits_for_its_second_part_too_long_is_told() -> None:
    """20 s of work and a stay as long, loads of two: the first part waits for the second one to be brought, way back 2,
    lift 1, way 2, set down 1, so it stays 26 s; the second one as long, while the first is put down."""
    cell = machine(row_cell(Row(times_s=(20,))), Station(kind="process", batch=2))
    part = cell.parts["part"]
    start, step, end = part.route
    short = replace(cell, parts={"part": replace(part, route=(start, replace(step, stay_max_s=20.0), end))})

    with pytest.raises(Contradiction) as trouble:
        best_cycle(short)
    assert trouble.value.demands == ("m1 works 2 parts at a time", "m1 holds a part at most 20 s")
    assert trouble.value.cures == ("let m1 work one part at a time", "let m1 hold a part for 26 s")


def test_a_load_that_comes_back_has_to_lie_somewhere() -> None:
    """Twice into the same machine, two at a time: the first part lifted fills the only hand, and cannot be set down
    again before the second one has left; with a store between, or one part at a time, there is a cycle."""
    cell = machine(row_cell(Row(times_s=(20,))), Station(kind="process", batch=2))
    start, step, end = cell.parts["part"].route
    back = replace(cell, parts={"part": replace(cell.parts["part"], route=(start, step, step, end))})

    with pytest.raises(Contradiction) as trouble:
        best_cycle(back, effort=ONE)
    assert trouble.value.demands == ("m1 works 2 parts at a time, and a part goes from one step there to the next",)
    assert trouble.value.cures == (
        "let m1 work one part at a time or give the parts of a load that comes back to m1 a place to lie between its"
        " two steps there",
    )
    two_loads = machine(back, Station(kind="process", batch=2, capacity=2))
    assert best_cycle(two_loads, effort=ONE).period_steps > 0


def test_what_would_help_is_enough_beside_all_other_demands() -> None:
    """The same before a machine for one part: that has to work, 10 s, and be emptied before the second part can go.

    From the first set-down: way back 2, lift 1, way 2, set down 1, work 20; then lift 1, way 2, set down 1, work 10,
    lift 1, way 2, set down 1, back two ways 4: 48 s until the second part is lifted, 42 s after it was set down.
    """
    cell = machine(row_cell(Row(times_s=(20, 10))), Station(kind="process", batch=2))
    part = cell.parts["part"]
    start, step, *rest = part.route
    short = replace(cell, parts={"part": replace(part, route=(start, replace(step, stay_max_s=20.0), *rest))})

    with pytest.raises(Contradiction) as trouble:
        best_cycle(short, effort=ONE)
    assert trouble.value.demands == ("m1 works 2 parts at a time", "m1 holds a part at most 20 s")
    assert trouble.value.cures == ("let m1 work one part at a time", "let m1 hold a part for 42 s")
    assert not str(trouble.value).endswith("besides.")


def test_a_limited_stay_counts_the_time_in_the_buffer() -> None:
    """20 s of work and a stay as long: a part set down in the buffer has to go on at once, into an empty machine."""
    cell = machine(row_cell(Row(times_s=(20,))), Station(kind="process", capacity=2, in_queue=1))
    part = cell.parts["part"]
    start, step, end = part.route

    def within(stay_s: float) -> Cell:
        return replace(cell, parts={"part": replace(part, route=(start, replace(step, stay_max_s=stay_s), end))})

    free, short = checked(cell), checked(within(20.0))
    assert free.period_steps < short.period_steps
    assert any("are allowed" in words for words in violations(within(20.0), free))


def test_the_change_of_a_load_is_in_the_bound() -> None:
    """Two vises behind one door: a gripper stays free of raw parts, so the second one is fetched between two exchanges.

    Exchange 17.2 s with the turn, way 3.5 s, set down 4 s, lift 5 s, way 3.5 s, exchange 17.2 s, door 3 s, and 260 s of
    work: 313.4 s for the two parts of each machine, whatever the order.
    """
    cell = read_cell(CELLS / "two_vises_behind_one_door.json")
    found = checked(cell)

    assert cycle_bound_steps(cell) * 4 == pytest.approx(3134.0)
    assert (found.period_steps, found.parts_per_period, found.proven) == (3134, 4, True)


def test_the_change_of_a_load_with_one_hand() -> None:
    """As counted above: 24 s from the end of the work to the next start, so the bound is the cycle itself."""
    cell = machine(row_cell(Row(times_s=(20,))), Station(kind="process", batch=2))

    assert cycle_bound_steps(cell) * 2 == pytest.approx(44_000.0)


def two_in_line(swap_s: float | None) -> Form:
    """Two machines in line with loads of two, an arm with two hands, and perhaps a row for exchanges."""
    form = arm_cell(2, way_s=1, hands=2) | {"grid_s": 1.0}
    for name in ("m1", "m2"):
        form["stations"][name]["batch"] = 2
    form["handling"][2] |= {"pick": {"hold_s": 8}, "place": {"hold_s": 4}, "swap": {"hold_s": swap_s}}
    if swap_s is None:
        del form["handling"][2]["swap"]
    steps = ({"at": [name], "time_s": time} for name, time in (("m1", 36), ("m2", 25)))
    form["parts"]["part"]["route"] = [{"at": ["raw"]}, *steps, {"at": ["done"]}]
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def test_a_row_for_exchanges_never_makes_a_cycle_longer() -> None:
    """Whoever exchanges fetches two raw parts one by one; a slow exchange is left alone, and both hands bring parts, in
    81 s as without the row. So it is in the simulation, too."""
    form = two_in_line(13)
    cell = cell_from(form)
    found = best_cycle(cell, effort=Effort(deterministic=0.2, most_sets=1))

    assert (found.period_steps, found.parts_per_period, violations(cell, found)) == (81, 2, [])
    assert found.how.endswith("without exchanges in one visit")
    run = finished_run(compiled(cell, schedule=found), 3600, seed=1, replication=0, logging=True)
    out = [float(line["t_s"]) for line in log_of(run) if line["what"] == "out"]
    assert {after - before for before, after in zip(out[8:], out[10:], strict=False)} == {81.0}


def test_a_quick_exchange_is_taken() -> None:
    """Where an exchange is worth the hand that it keeps free, the cycle has some, and is shorter."""
    quick = best_cycle(cell_from(two_in_line(2)), effort=BRIEF)

    assert quick.period_steps < 81
    assert not quick.how.endswith("without exchanges in one visit")


def test_whoever_has_to_exchange_keeps_a_hand_free_of_raw_parts() -> None:
    """A cycle that fills both hands with raw parts is right where nothing is exchanged by a swap alone."""
    form = two_in_line(None)
    found = best_cycle(cell_from(form), effort=BRIEF)
    form["handling"].insert(0, form["handling"][2] | {"at": ["m2"], "swap": {"hold_s": 2}})
    del form["handling"][0]["pick"]

    assert found.period_steps == 81
    assert any("a raw part in every hand" in words for words in violations(cell_from(form), found))
