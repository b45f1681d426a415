"""Load bounds, by hand."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import HealthCheck, given, settings

from millhand.intake.cell import read_cell
from millhand.model.cell import Attendant, AttendantFault, Calendar, Cell, Step
from millhand.model.duty import Duty, Trigger
from millhand.model.handling import Handling, Miss
from millhand.model.station import Fault, Station, Wear
from millhand.solvers.cycle.bounds import (
    calendar_rate_bound_per_h,
    good_bound_per_h,
    least_period_steps,
    load_bounds,
    rate_bound_per_h,
)
from tests.cells_strategy import FEATURES, cells
from tests.solvers.cycle.rows import Row, row_cell, span, visit

CELLS = Path("examples/cells")


def seconds(cell: Cell) -> dict[str, float]:
    """The long-run load of each resource, in seconds a part set."""
    return {bound.resource: bound.steps * cell.grid_s for bound in load_bounds(cell)}


def with_machine(cell: Cell, name: str, station: Station) -> Cell:
    """The cell with one station changed."""
    return replace(cell, stations={**cell.stations, name: station})


def test_one_hand_has_to_carry_away_and_fetch() -> None:
    """m2: 35 s, four holds of 1 s, three loaded or empty ways of 2, 4 and 2 s: 47 s."""
    assert seconds(row_cell(Row(times_s=(20, 35, 25))))["m2"] == 47.0


def test_one_hand_changes_a_slot_as_it_changes_a_machine() -> None:
    """Of two slots each: 60 s, four holds of 1 s, ways of 2, 4 and 2 s: 72 s for one part, 36 s for two slots. With
    two hands the next part may be there at once: 62 s, 31 s for two."""
    one = row_cell(Row(times_s=(60,)))
    cell = with_machine(one, "m1", replace(one.stations["m1"], capacity=2))
    (arm,) = cell.attendants.values()
    both = replace(cell, attendants={"arm": replace(arm, hands=2)})

    assert seconds(one)["m1"] == pytest.approx(60 + 4 + 8)
    assert seconds(cell)["m1"] == pytest.approx((60 + 4 + 8) / 2)
    assert seconds(both)["m1"] == pytest.approx((60 + 2) / 2)


def test_two_hands_exchange() -> None:
    """m2 with an exchange of 2 s and a turn of 0.5 s: 37.5 s."""
    assert seconds(row_cell(Row(times_s=(20, 35, 25), hands=2, turn_s=0.5)))["m2"] == 37.5


def test_the_hand_waits_or_goes() -> None:
    """Short processes: waiting 3 s at the machine is less than the way there and back, so it enters the arm's load."""
    found = seconds(row_cell(Row(times_s=(3, 4, 5))))

    assert found["arm"] == 31.0


def test_machines_side_by_side_share_the_work() -> None:
    """Three like machines of 60 s, 4 s of holds and 16 s of ways: 80 s for three parts, and they are named together."""
    found = seconds(row_cell(Row(times_s=(60,), machines=3)))

    assert found["m1, m2 and m3"] == pytest.approx(80 / 3)


def test_operator_with_two_mills_by_hand() -> None:
    """The example: 380 s, exchange 45 s, tail 4 s, stops 380/72000 x 1200 s, tools 240/40 s, shared by two mills."""
    cell = read_cell(CELLS / "one_operator_two_mills.json")
    found = seconds(cell)

    assert found["mill1 and mill2"] == pytest.approx((380 + 45 + 4 + 380 / 72000 * 1200 + 240 / 40) / 2)
    handling, walking = 3 + 45 + 3, 4 + 4  # rack to mill1 and back, the nearer one
    duties = 25 + 60 / 10 + 380 / 72000 * 1200 + 240 / 40
    assert found["operator1"] == pytest.approx((handling + walking + duties) * (1 + 300 / 5400))


def test_cycle_and_long_run_stand_side_by_side() -> None:
    """What stops and duties add is told apart from what the cycle needs."""
    mills = load_bounds(read_cell(CELLS / "one_operator_two_mills.json"))[0]

    assert mills.cycle_steps == 214_500
    assert mills.words == "mill1 and mill2 need at least 220.667 s a part, 6.17 s of it for stops, duties and scrap"


def test_a_duty_that_cycles_hold_is_a_load_of_the_cycle() -> None:
    """The operator's 39 s a part and 20 s at the bench in both; one that comes too seldom is in the long run alone."""
    cell = read_cell(CELLS / "operator_deburrs_each_part.json")
    duty = cell.duties["deburr"]
    seldom = replace(duty, trigger=replace(duty.trigger, every_n=10))

    def loads_of(duty: Duty) -> tuple[float, float]:
        """Of the operator: in the long run, and of the cycle alone."""
        whole = replace(cell, duties={"deburr": duty})
        bound = next(each for each in load_bounds(whole) if each.resource == "operator")
        return bound.steps * cell.grid_s, bound.cycle_steps * cell.grid_s

    assert loads_of(duty) == pytest.approx((59, 59))
    assert loads_of(seldom) == pytest.approx((41, 39))


def test_the_reference_cell_gives_three_parts_in_138_seconds() -> None:
    """By hand: 120 s and an exchange of 18 s on each of three machines."""
    assert load_bounds(read_cell(CELLS / "reference_cell.json"))[0].cycle_steps * 0.001 == pytest.approx(138 / 3)


def test_stops_and_wear_lengthen_the_load() -> None:
    """A stop of 100 s each 1000 s of work and a tool of 50 s each 10 loads: 35 s x 0.1 + 5 s."""
    plain = row_cell(Row(times_s=(20, 35, 25), hands=2))
    fault = Fault(id="stop", on="busy", every=span(1000), self_s=span(100))
    wear = Wear(id="tool", unit="loads", limit=5, spares=1, duty="tools")
    station = Station(kind="process", place="m2", faults=(fault,), wear=(wear,))
    duty = Duty(trigger=Trigger(kind="wear"), who=("arm",), takes=span(50), holds="station")
    cell = replace(with_machine(plain, "m2", station), duties={"tools": duty})

    assert seconds(cell)["m2"] == pytest.approx(seconds(plain)["m2"] + 3.5 + 5.0)


def test_stops_by_the_clock_stretch_everything() -> None:
    """A stop of 60 s each 600 s of clock: a tenth more."""
    plain = row_cell(Row(times_s=(20, 35, 25), hands=2))
    fault = Fault(id="stop", on="clock", every=span(600), self_s=span(60))
    cell = with_machine(plain, "m2", Station(kind="process", place="m2", faults=(fault,)))

    assert seconds(cell)["m2"] == pytest.approx(1.1 * seconds(plain)["m2"])


def test_a_stop_of_the_arm_that_stops_all() -> None:
    """The machines lose the arm's stops too where it says so."""
    plain = row_cell(Row(times_s=(20, 35, 25), hands=2))
    stop = AttendantFault(id="air", on="clock", every=span(900), self_s=span(90), stops=("all",))
    cell = replace(plain, attendants={"arm": replace(plain.attendants["arm"], faults=(stop,))})

    assert seconds(cell)["m1"] == pytest.approx(1.1 * seconds(plain)["m1"])
    assert seconds(cell)["arm"] == pytest.approx(1.1 * seconds(plain)["arm"])


def test_a_duty_at_times_of_the_week_takes_its_share_of_a_week() -> None:
    """Ten calls of 2 h in seven days, and one of 2 h each day: the arm's own work is that much longer."""
    plain = row_cell(Row(times_s=(20, 35, 25), hands=2))
    weekly = tuple(day * 86_400.0 + hour * 3_600.0 for day in range(5) for hour in (6, 14))
    lengths = []
    for at_s in (weekly, (21_600.0,)):
        duty = Duty(trigger=Trigger(kind="clock", at_s=at_s), who=("arm",), place="in", takes=span(7_200))
        lengths.append(seconds(replace(plain, duties={"check": duty}))["arm"] / seconds(plain)["arm"])

    assert lengths == pytest.approx([1.0 + 10 * 2 / 168, 1.0 + 2 / 24])


def test_refills_load_whoever_brings_them() -> None:
    """900 s for each 96 parts: 9.375 s a part of the tender."""
    cell = read_cell(CELLS / "one_arm_two_grippers.json")
    refill = 900 / 96
    chips, tools, stops = 300 / 300, 420 * 360 / (2 * 28800), 600 * 360 / 72000
    arm_stops = 600 / 900000  # by the clock, so they stretch the rest

    assert seconds(cell)["tender"] == pytest.approx((refill + chips + tools + stops) * (1 + arm_stops))


def test_what_a_load_of_several_parts_calls_for_is_shared_by_them() -> None:
    """A stop each 1000 s of work, ended by somebody in 100 s, loads of 4 parts in 35 s: 100 x 35 / 1000 / 4 a part."""
    plain = row_cell(Row(times_s=(35,)))
    fault = Fault(id="stop", on="busy", every=span(1000), duty="clear")
    station = Station(kind="process", place="m1", capacity=1, batch=4, faults=(fault,))
    duty = Duty(trigger=Trigger(kind="stop"), who=("helper",), place="m1", takes=span(100), holds="station")
    cell = replace(with_machine(plain, "m1", station), duties={"clear": duty})
    cell = replace(
        cell, attendants={**cell.attendants, "helper": Attendant(kind="operator", home="i", moves_full="line")}
    )

    assert seconds(cell)["helper"] == pytest.approx(100 * 35 / 1000 / 4)


@pytest.mark.parametrize("on", ["clock", "busy"])
@pytest.mark.parametrize("keeps", [True, False])
def test_who_attends_a_machine_is_free_when_it_stops(on: Literal["clock", "busy"], keeps: bool) -> None:
    """How much of the work was still to do nobody knows, and nobody has to come back for it: so it is not counted in
    the long run; in the cycle it is."""
    station = Station(kind="process", place="m1", attended=True)
    plain = with_machine(row_cell(Row(times_s=(35,))), "m1", station)
    stop = Fault(id="power", on=on, every=span(36_000), self_s=span(1), keeps_part=keeps)
    stopping = with_machine(plain, "m1", replace(station, faults=(stop,)))
    arm, stopped = (next(b for b in load_bounds(cell) if b.resource == "arm") for cell in (plain, stopping))

    assert arm.steps == arm.cycle_steps == stopped.cycle_steps
    free = arm.steps - 35 / plain.grid_s
    assert 0.99 * free < stopped.steps <= free  # of the parts that are spoilt nothing is carried away either


def test_a_tray_that_no_store_can_say_has_bounds_all_the_same() -> None:
    """The machine counts as one that nobody attends: nothing that must be done is counted twice."""
    plain = row_cell(Row(times_s=(20,)))
    station = Station(kind="process", place="m1", attended=True, in_queue=1, capacity=None)
    found = seconds(with_machine(plain, "m1", station))

    assert found == seconds(with_machine(plain, "m1", replace(station, attended=False)))


def test_of_two_such_machines_the_second_is_freed_with_the_first() -> None:
    """Beside a machine without a tray no tray can be said either."""
    plain = row_cell(Row(times_s=(20,), machines=2))
    first = Station(kind="process", place="m1", attended=True, in_queue=1, capacity=None)
    second = Station(kind="process", place="m2", attended=True, in_queue=1, capacity=1)
    both = with_machine(with_machine(plain, "m1", first), "m2", second)
    free = with_machine(
        with_machine(plain, "m1", replace(first, attended=False)), "m2", replace(second, attended=False)
    )

    assert seconds(both) == seconds(free)


def test_missed_picks_lengthen_the_pick() -> None:
    """One in ten fails, two retries of 5 s: 0.1 x 5 + 0.01 x 5 s more."""
    plain = row_cell(Row(times_s=(1,), machines=6, constant=True))
    row = plain.handling[0]
    miss = Miss(p=0.1, retries=2, retry_s=span(5))
    cell = replace(plain, handling=(replace(row, miss=miss), *plain.handling[1:]))

    assert seconds(cell)["arm"] == pytest.approx(seconds(plain)["arm"] + 0.55)


def test_samples_and_scrap_change_the_flow() -> None:
    """A gauge for each fifth part, which throws bad parts out: its load is a fifth."""
    plain = row_cell(Row(times_s=(50,)))
    route = plain.parts["part"].route
    gauge = Step(at=("gauge",), time_s=span(10), every=5, on_bad="scrap_this")
    part = replace(plain.parts["part"], route=(route[0], replace(route[1], good=0.9), gauge, route[2]))
    stations = {**plain.stations, "gauge": Station(kind="process", place="o")}
    handling = (*plain.handling, Handling(who=("arm",), at=("gauge",), pick=visit(1), place=visit(1)))
    cell = replace(plain, parts={"part": part}, stations=stations, handling=handling)
    gauge_load = (
        10 + 1 + 0 + 1 + 4 + 1 + 2 + 1
    )  # carried to o at the same place, the next fetched from m1: 2 s each way

    found = load_bounds(cell)
    by_name = {bound.resource: bound for bound in found}
    assert by_name["gauge"].steps * 0.001 == pytest.approx(gauge_load / 5, abs=1.0)
    assert by_name["gauge"].cycle_steps == 0
    assert good_bound_per_h(cell) == pytest.approx(0.9 * rate_bound_per_h(cell))


def test_two_operators_share_what_both_can_do() -> None:
    """Two people alike halve the work; the way back of each is not counted, so the bound is the loaded work."""
    plain = row_cell(Row(times_s=(1,), machines=6, constant=True))
    both = {name: Attendant(kind="operator", hands=1, home="i", moves_full="line") for name in ("ann", "ben")}
    handling = tuple(replace(row, who=("ann", "ben")) for row in plain.handling)
    found = seconds(replace(plain, attendants=both, handling=handling))

    assert found["ann and ben"] == pytest.approx((4 * 1 + 2 * 2) / 2)


def test_a_pace_lengthens_walking_and_handling() -> None:
    """A pace of 1.25 on 4 s of holds and four ways of 2 s."""
    plain = row_cell(Row(times_s=(30,), machines=6, constant=True))
    slow = Attendant(kind="operator", hands=1, home="i", moves_full="line", pace=1.25)

    assert seconds(plain)["arm"] == 12.0
    assert seconds(replace(plain, attendants={"arm": slow}))["arm"] == 15.0


def test_calendars_count_only_over_all_hours() -> None:
    """The arm works 8 h of 24: a third over all hours, everything while open."""
    plain = row_cell(Row(times_s=(1,), machines=6, constant=True))
    arm = replace(plain.attendants["arm"], calendar="day")
    cell = replace(plain, attendants={"arm": arm}, calendars={"day": Calendar(period_s=86400, on=((0, 28800),))})

    assert rate_bound_per_h(cell) == rate_bound_per_h(plain)
    assert calendar_rate_bound_per_h(cell) == pytest.approx(rate_bound_per_h(plain) / 3)


def test_the_least_period_is_the_largest_load_rounded_up() -> None:
    """Whole grid steps for one part set."""
    assert least_period_steps(row_cell(Row(times_s=(60,), machines=3))) == 26667


def test_the_phillips_unger_1976_has_its_load_bound() -> None:
    """The hoist carries for 328 s and needs 46 s between at least."""
    first = load_bounds(read_cell(CELLS / "phillips_unger_1976.json"))[0]

    assert (first.resource, first.words) == ("hoist", "hoist needs at least 374 s a part")


@settings(max_examples=40, suppress_health_check=list(HealthCheck))
@given(cell=cells(FEATURES - {"leads"}))
def test_every_cell_has_bounds(cell: Cell) -> None:
    """Whatever the format can say, some resource bounds the rate; good parts are never more than parts."""
    bounds = load_bounds(cell)

    assert bounds
    assert all(a.steps >= b.steps for a, b in pairwise(bounds))
    assert 0 < good_bound_per_h(cell) <= rate_bound_per_h(cell) * (1 + 1e-12)
    assert calendar_rate_bound_per_h(cell) <= rate_bound_per_h(cell) * (1 + 1e-12)


def test_longer_processes_never_lower_a_bound() -> None:
    """The bound grows with the time of the busiest machine."""
    rates = [rate_bound_per_h(row_cell(Row(times_s=(20, time, 25)))) for time in (10, 35, 60)]

    assert rates == sorted(rates, reverse=True)
    assert rates[0] > rates[2]
