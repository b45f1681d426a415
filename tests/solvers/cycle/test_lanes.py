"""The lanes of a period: hands, ways, stays and slots, read off the events and arcs of a schedule."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.intake.cell import read_cell
from millhand.model.schedule import Event
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.lanes import Lane, lanes
from millhand.solvers.cycle.pictures.motions import held_at_start, motions_of
from millhand.solvers.cycle.pictures.stayed import rows_of, stays
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.cycle.unrolled import handled
from tests.solvers.cycle.rows import Row, row_cell
from tests.solvers.cycle.test_changeovers import SOUND as CHANGED_OVER
from tests.solvers.cycle.test_validate_lots import SOUND
from tests.solvers.cycle.two_arms import two_arms

CELLS = Path("examples/cells")
DRAWN = ("phillips_unger_1976", "turn_wash_and_gauge", "three_machines_on_a_track", "one_operator_two_mills",
         "published_identical_8_machines_two_grippers", "reference_cell")  # fmt: skip


def spent(lane: Lane) -> dict[str, int]:
    """Grid steps in each state."""
    found: dict[str, int] = {}
    for each in lane.stretches:
        found[each.state] = found.get(each.state, 0) + each.end - each.start
    return found


@pytest.mark.parametrize("name", DRAWN)
def test_every_lane_fills_the_period_without_gap_or_overlap(name: str) -> None:
    """Each stretch begins where the last one ended, from nought to the period."""
    plan = schedule(read_cell(CELLS / f"{name}.json"))

    for lane in lanes(plan):
        edges = [each.start for each in lane.stretches] + [lane.stretches[-1].end]
        assert edges[0] == 0
        assert edges[-1] == plan.period_steps
        assert edges[1:] == [each.end for each in lane.stretches]


@pytest.mark.parametrize("name", DRAWN)
def test_stations_work_as_long_as_the_arcs_say(name: str) -> None:
    """The working time of all lanes is the sum of all process times of a period."""
    plan = schedule(read_cell(CELLS / f"{name}.json"))
    what = {event.id: event.what for event in plan.events}
    told = sum(arc.lag_steps for arc in plan.arcs if (what[arc.before], what[arc.after]) == ("start", "finish"))

    assert sum(spent(lane).get("working", 0) for lane in lanes(plan)) == told


def test_a_washer_for_three_has_three_rows() -> None:
    """Its stays lie upon each other; each row is one of its slots."""
    plan = schedule(read_cell(CELLS / "turn_wash_and_gauge.json"))

    assert [lane.name for lane in lanes(plan) if lane.name.startswith("washer")] == ["washer 1", "washer 2", "washer 3"]
    assert len(rows_of(plan, "washer")) == 3


def test_a_stay_of_more_than_a_period_fills_a_row_for_each() -> None:
    """No stretch is lost: each stay shows from its first to its last step."""
    plan = schedule(read_cell(CELLS / "turn_wash_and_gauge.json"))
    shown = sum(
        each.end - each.start
        for lane in lanes(plan)
        if lane.name.startswith("washer")
        for each in lane.stretches
        if each.state != "empty"
    )

    assert shown == sum(stay.last - stay.first for stay in stays(plan) if stay.station == "washer")


def test_what_the_end_of_the_period_cuts_is_marked_on_both_sides() -> None:
    """As many stretches go on as came in, each at its edge."""
    plan = schedule(read_cell(CELLS / "published_identical_8_machines_two_grippers.json"))

    for lane in lanes(plan):
        came = [each for each in lane.stretches if each.came]
        goes_on = [each for each in lane.stretches if each.goes_on]
        assert [each.start for each in came] == [0] * len(goes_on)
        assert all(each.end == plan.period_steps for each in goes_on)
    assert all(lane.stretches[0].came for lane in lanes(plan) if lane.owner == "station")


def test_the_given_order_comes_first() -> None:
    """Lanes as the cell lists its stations, attendants in front."""
    plan = schedule(row_cell(Row(times_s=(20, 35, 25))))
    names = [lane.name for lane in lanes(plan, order=("arm", "m3", "m2", "m1"))]

    assert names == ["arm", "m3", "m2", "m1"]


def test_written_motions_are_taken_as_they_stand() -> None:
    """The left arm of the schedule made by hand: six motions, two of them with a part."""
    _, plan = two_arms()
    told = [(each.departs, each.arrives, each.start, each.end, each.parts) for each in motions_of(plan, "left")]

    assert told == [
        (90, 163, "p1", "outfeed", 1),
        (213, 301, "outfeed", "infeed", 0),
        (351, 379, "infeed", "p1", 1),
        (489, 527, "p1", "park1", 0),
        (1350, 1388, "park1", "p1", 0),
    ]


def test_an_arm_that_moves_aside_shows_it() -> None:
    """The right arm is on its way for 5.8 + 2.8 + 8.8 + 7.3 + 3.8 s less what its list says, and holds for 4 visits."""
    _, plan = two_arms()
    right = next(lane for lane in lanes(plan) if lane.name == "right")

    assert spent(right)["carrying"] == 28 + 73
    assert spent(right)["travelling"] == 38 + 88 + 38
    assert spent(right)["handling"] == 90 + 50 + 50 + 110


def test_parts_in_hand_when_the_period_begins_are_counted() -> None:
    """One hand that follows the order of the cell begins empty; the published line carries over the end."""
    plan = schedule(row_cell(Row(times_s=(20, 35, 25))))
    hoist = schedule(read_cell(CELLS / "phillips_unger_1976.json"))

    assert held_at_start(plan, "arm") == 0
    assert held_at_start(hoist, "hoist") == 0


def test_the_schedule_of_two_arms_is_sound() -> None:
    """The validator finds nothing but the missing circuit in what is drawn here and elsewhere."""
    cell, plan = two_arms()

    assert violations(cell, plan) == ["no critical circuit is named"]


def test_lots_that_end_go_on_over_no_edge() -> None:
    """Two parts one after the other: each stay ends inside the time of all lots, and so does each stretch."""
    assert [(each.start, each.finish) for each in stays(SOUND)] == [(4, 9), (21, 26)]
    for lane in lanes(SOUND):
        assert not any(each.came or each.goes_on for each in lane.stretches)
        assert lane.stretches[-1].end == SOUND.period_steps
    machine = next(lane for lane in lanes(SOUND) if lane.name == "m1")
    assert spent(machine) == {"empty": 16, "handled": 4, "working": 10}


def test_a_leaving_without_an_arrival_is_no_motion() -> None:
    """Of lots only the first leaving from home is an event: the ways between visits are shown all the same."""
    cell = row_cell(Row(times_s=(20, 35, 25)))
    plan = schedule(cell)
    leaves = Event(id="0 depart arm", attendant="arm", station="", what="depart", part="", lap=0, at_steps=0)

    assert motions_of(replace(plan, events=(*plan.events, leaves)), "arm") == motions_of(plan, "arm") != ()


def test_a_part_in_a_machines_own_buffer_waits() -> None:
    """Before the machine hands are on it for the hold alone; then it lies there until the machine takes it."""
    best = best_cycle(read_cell(CELLS / "queues_before_and_after.json"), effort=Effort(most_sets=1))
    shown = [spent(lane) for lane in lanes(best) if lane.name.startswith("m1 ")]
    total = {state: sum(each.get(state, 0) for each in shown) for state in ("working", "handled", "waiting")}

    assert total["working"] == best.period_steps
    assert total["handled"] == 40 + 40  # set down, and lifted at the other end
    waited = [stay.start - stay.placed for stay in stays(best) if stay.station == "m1" and stay.placed is not None]
    assert [total["waiting"]] == waited
    assert waited[0] > 0


def test_a_changeover_is_hands_on_the_machine_and_no_work() -> None:
    """One set-up of 60 s between two families: in the lane of who does it, and in the only row of the machine."""
    drawn = {lane.name: lane for lane in lanes(CHANGED_OVER)}
    visits = sum(visit.hold_steps for visit in handled(CHANGED_OVER)[0] if visit.station == "m1" and visit.who)

    assert spent(drawn["person"])["handling"] == 60
    assert spent(drawn["m1"])["working"] == 5 * 100
    assert spent(drawn["m1"])["handled"] == visits
