"""Lots in small cells whose shortest makespan is counted by hand.

One arm, one machine: pick 5 s, way 4 s, place 5 s, work 100 s, pick 5 s, way 4 s, place 5 s: 128 s to the first part;
with 4 s back to the raw parts each further one takes 132 s.
"""

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from millhand.errors import InputErrors, NotYet, ToolError
from millhand.intake.cell import cell_from, read_cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle import makespan
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.kept import LEFT_OUT
from millhand.solvers.cycle.lots.makespan_graph import timed
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_lots import Lots, lots_of
from millhand.solvers.cycle.lots.makespan_plan import Plan
from millhand.solvers.cycle.lots.makespan_solve import Searched
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.small_lots import small_lots, with_windows
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.kernel.shop import Form, arm_cell, with_person

FIRST_S, EACH_S, SET_UP_S = 128, 132, 60


def lot_cell(size: int = 3, *, machines: int = 1, hands: int = 1, time_s: float = 100.0) -> Form:
    """One lot in a cell of an arm and its machines; whole seconds."""
    form = arm_cell(machines, hands=hands, time_s=time_s)
    form |= {"goal": "makespan", "grid_s": 1}
    form["parts"]["part"]["lot"] = {"size": size}
    return form


def found_in(form: Form) -> Schedule:
    """The proven schedule, with all that has to hold for any."""
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)

    assert proof_gaps(found) == []
    return found


def made_s(form: Form) -> int:
    """The proven makespan."""
    found = found_in(form)
    assert found.proven
    return found.period_steps


@pytest.mark.parametrize("size", [1, 2, 5])
def test_one_machine_takes_one_part_after_the_other(size: int) -> None:
    """The first part and as many further ones."""
    assert made_s(lot_cell(size)) == FIRST_S + (size - 1) * EACH_S


def test_a_way_from_home_comes_first() -> None:
    """An arm that starts elsewhere has to go to the raw parts before it lifts the first."""
    form = lot_cell(2)
    form["attendants"]["arm"]["home"] = "out"

    assert made_s(form) == 4 + FIRST_S + EACH_S


def test_the_example_of_two_lots() -> None:
    """Seven parts, proven: 756 s on a grid of a tenth of a second."""
    found = shortest_makespan(
        read_cell(Path("examples/cells/two_lots_finished_early.json")),
        deadline=None, deterministic=100.0, workers=1, seed=1,
    )  # fmt: skip

    assert proof_gaps(found) == []
    assert (found.period_steps, found.proven, found.parts_per_period) == (7560, True, 7)


def test_two_machines_work_side_by_side() -> None:
    """The second machine is loaded 18 s after the first and emptied after the first part is out: 4 s there and 14 s."""
    assert made_s(lot_cell(2, machines=2)) == FIRST_S + 4 + 14


def test_an_exchange_saves_the_empty_machine() -> None:
    """First part set down after 14 s; each exchange takes 10 s and 100 s pass between; the last pick leads to the sink.

    Two hands: 14 + 100 + 10 + 100 + 5 + 4 + 5 for two parts.
    """
    assert made_s(lot_cell(2, hands=2)) == 14 + 100 + 10 + 100 + 5 + 4 + 5


def test_the_first_plan_exchanges_too() -> None:
    """The same for four parts, before anything is searched."""
    plan = first_plan(lots_of(cell_from(lot_cell(4, hands=2))))

    assert plan is not None
    assert plan.end == 14 + 4 * 100 + 3 * 10 + 5 + 4 + 5


def test_one_hand_keeps_a_machine_empty_while_it_changes_the_part() -> None:
    """The bound by thinking alone: way, set-down, way back, lift, way, 22 s between two parts; it is the makespan."""
    found = found_in(lot_cell(5))

    assert found.bounds[0].steps == FIRST_S + 4 * EACH_S
    assert found.how == "bound by load"


def test_a_later_lot_waits_until_the_one_before_it_is_lifted() -> None:
    """Two short parts come before one of 300 s: the second is set down at 132 s + 14 s at the earliest, as one machine
    serves both, the long one is fetched 4 s later: 14 s there, its work, 14 s out."""
    form = lot_cell(2, machines=2)
    plain = form["parts"]["part"]["route"]
    form["parts"] = {
        "short": {"lot": {"size": 2}, "route": [plain[0], {"at": ["m1"], "time_s": 100}, plain[2]]},
        "long": {"lot": {"size": 1}, "route": [plain[0], {"at": ["m2"], "time_s": 300}, plain[2]]},
    }
    found = found_in(form)

    assert (found.bounds[0].resource, found.bounds[0].steps) == ("m2", EACH_S + 14 + 4 + 14 + 300 + 14)
    assert found.period_steps >= found.bounds[0].steps


def test_events_have_the_names_of_the_cell() -> None:
    """Slots, own buffers and gates do not appear as stations of their own; visits are numbered in the order of time."""
    form = lot_cell(3)
    form["stations"]["m1"] |= {"in_queue": 2, "out_queue": 2}
    found = found_in(form)
    numbers = [int(event.id.split()[0]) for event in found.events if event.what in ("lift", "set", "start")]

    assert {event.station for event in found.events} == {"", "raw", "m1", "done"}
    assert numbers == sorted(numbers)
    assert found.events[1].id == "1 lift part 1 raw"


def test_lots_come_in_the_order_of_the_file() -> None:
    """The long part is given last, although it would better be first; a supply of its own lets it begin at once."""
    form = lot_cell(2, machines=2)
    plain = form["parts"]["part"]["route"]
    form["parts"] = {
        "short": {"lot": {"size": 2}, "route": [plain[0], {"at": ["m1"], "time_s": 10}, plain[2]]},
        "long": {"lot": {"size": 1}, "route": [plain[0], {"at": ["m2"], "time_s": 300}, plain[2]]},
    }
    late = made_s(form)
    form["stations"]["raw2"] = {"kind": "supply", "place": "in", "capacity": None}
    form["handling"][0]["at"].append("raw2")
    form["parts"]["long"]["route"] = [{"at": ["raw2"]}, *form["parts"]["long"]["route"][1:]]
    early = made_s(form)

    assert early == 14 + 300 + 14
    assert late > early


def test_several_lots_come_round_by_round() -> None:
    """With two lots of each type the supply gives a, b, a, b."""
    form = lot_cell(1)
    plain = form["parts"]["part"]["route"]
    form["parts"] = {name: {"lot": {"size": 1, "count": 2}, "route": plain} for name in ("a", "b")}
    found = found_in(form)
    lifts = [event.part for event in found.events if event.what == "lift" and event.station == "raw"]

    assert lifts == ["a", "b", "a", "b"]
    assert found.period_steps == FIRST_S + 3 * EACH_S


def families(ways: list[tuple[str, str]]) -> Form:
    """Three parts of one family, then two of another; somebody changes the machine over where a way is given."""
    form = lot_cell(1)
    plain = form["parts"]["part"]["route"]
    form["parts"] = {
        name: {"lot": {"size": size}, "route": [plain[0], plain[1] | {"family": family}, plain[2]]}
        for name, family, size in (("plate", "large", 3), ("shaft", "small", 2))
    }
    form["changeovers"] = [{"at": ["m1"], "from": one, "to": other, "duty": "set_up"} for one, other in ways]
    duty = {"trigger": {"kind": "changeover"}, "takes": SET_UP_S, "holds": "station"}
    return with_person(form, set_up=duty) if ways else form


def test_a_changeover_comes_once_between_two_families() -> None:
    """The machine is empty when the arm lifts the last plate; the set-up of 60 s runs while the arm carries it away and
    comes back, 4 + 5 + 4 s; the first part of the other family is fetched after it."""
    assert made_s(families([])) == FIRST_S + 4 * EACH_S
    assert made_s(families([("small", "large")])) == FIRST_S + 4 * EACH_S
    assert made_s(families([("large", "small")])) == FIRST_S + 4 * EACH_S + SET_UP_S - (4 + 5 + 4)


def test_a_changeover_by_the_arm_itself_takes_its_time() -> None:
    """The arm does it at the machine: it comes back there before it fetches the next part."""
    form = families([("large", "small")])
    form["duties"]["set_up"] |= {"who": ["arm"], "place": "m1"}

    assert made_s(form) == FIRST_S + 4 * EACH_S + SET_UP_S + 4


def test_a_load_of_two_starts_when_both_are_in() -> None:
    """Two parts in: 14 + 4 + 14 s; 100 s; the second comes out after the first is away: 14 + 4 + 14 s."""
    form = lot_cell(2)
    form["stations"]["m1"]["batch"] = 2

    assert made_s(form) == 32 + 100 + 32


def test_a_lot_that_leaves_a_load_incomplete_is_told() -> None:
    """Three parts in loads of two: the last load would wait for ever."""
    form = lot_cell(3)
    form["stations"]["m1"]["batch"] = 2
    with pytest.raises(InputErrors) as caught:
        found_in(form)

    assert "3 parts, loads of 2" in str(caught.value)
    assert "a multiple of 2" in str(caught.value)


def test_machines_that_take_in_and_put_out_by_themselves() -> None:
    """Nobody carries: a machine starts the next part at the moment at which the last one leaves."""
    form = lot_cell(4)
    form["stations"]["m1"] |= {"self_in": True, "self_out": True}

    assert made_s(form) == 400


def test_own_buffers_keep_a_machine_at_work() -> None:
    """With room before and behind it the machine works without a pause from 14 s on."""
    form = lot_cell(3)
    form["stations"]["m1"] |= {"in_queue": 2, "out_queue": 2}

    assert made_s(form) == 14 + 300 + 14


def test_two_slots_are_two_machines() -> None:
    """Two slots at one place: the second part is set down 18 s after the first."""
    form = lot_cell(2)
    form["stations"]["m1"]["capacity"] = 2

    assert made_s(form) == made_s(lot_cell(2, machines=2))


def test_an_attended_machine_keeps_the_arm() -> None:
    """The arm stays through the work; with two machines it still does one part after the other."""
    form = lot_cell(2, machines=2)
    for name in ("m1", "m2"):
        form["stations"][name]["attended"] = True

    assert made_s(form) == FIRST_S + EACH_S


def test_a_gate_turns_around() -> None:
    """One spot for in and out: the next part is lifted 50 s after the last one was set down."""
    form = lot_cell(2)
    form["stations"] = {"gate": {"kind": "gate", "place": "in", "turnaround_s": 50}, "m1": form["stations"]["m1"]}
    form["handling"] = [
        {"who": ["arm"], "at": ["gate", "m1"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}},
    ]
    form["parts"]["part"]["route"] = [{"at": ["gate"]}, form["parts"]["part"]["route"][1], {"at": ["gate"]}]

    assert made_s(form) == FIRST_S + 50 + FIRST_S


def stored(room: int | None) -> Form:
    """Two machines in a row with a store between them."""
    form = lot_cell(4, machines=2)
    form["stations"]["shelf"] = {"kind": "store", "place": "m1", "capacity": room}
    form["handling"].append({"who": ["arm"], "at": ["shelf"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}})
    ends = form["parts"]["part"]["route"]
    form["parts"]["part"]["route"] = [
        ends[0], {"at": ["m1"], "time_s": 10}, {"at": ["shelf"]}, {"at": ["m2"], "time_s": 150}, ends[2],
    ]  # fmt: skip
    return form


def most_in(found: Schedule, station: str) -> int:
    """The most parts that are in a store at once, from set-down to the end of the lift."""
    changes = [
        (event.at_steps, -1 if event.what == "lifted" else 1)
        for event in found.events
        if event.station == station and event.what in ("set", "lifted")
    ]
    inside, most = 0, 0
    for _, change in sorted(changes):
        inside += change
        most = max(most, inside)
    return most


@pytest.mark.parametrize("room", [1, 2])
def test_a_store_never_holds_more_than_it_has_room_for(room: int) -> None:
    """The fast first machine would fill the shelf."""
    assert most_in(found_in(stored(room)), "shelf") <= room


def test_more_room_never_takes_longer() -> None:
    """One, two, any number of places."""
    times = [made_s(stored(room)) for room in (1, 2, None)]

    assert times == sorted(times, reverse=True)


def test_nobody_who_carries_is_told() -> None:
    """Two arms of which neither may do the whole way, and no place to hand over."""
    form = lot_cell(1)
    form["attendants"]["other"] = dict(form["attendants"]["arm"])
    form["attendants"]["arm"]["put_to"] = ["done"]
    form["attendants"]["other"]["take_from"] = ["m1"]
    form["handling"] = [row | {"who": ["arm", "other"]} for row in form["handling"]]
    with pytest.raises(InputErrors):
        found_in(form)


def test_a_supply_that_holds_too_little_is_told() -> None:
    """Two parts at the start, three in the lot, and nobody refills."""
    form = lot_cell(3)
    form["stations"]["raw"] |= {"capacity": 10, "start": 2}
    with pytest.raises(InputErrors) as caught:
        found_in(form)

    assert "2 parts at the start, lots of 3" in str(caught.value)


def test_pieces_used_up_are_refused_by_name() -> None:
    """Pieces from a store that parts go through are never approximated."""
    form = lot_cell(1)
    form["stations"]["rack"] = {"kind": "store", "place": "in", "capacity": 4}
    route = form["parts"]["part"]["route"]
    route[1:] = [{**route[1], "uses": {"rack": 2}}, {"at": ["rack"]}, *route[2:]]
    form["handling"].append({"who": ["arm"], "at": ["rack"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}})
    with pytest.raises(NotYet, match="pieces that may run out"):
        found_in(form)


@pytest.mark.parametrize("seed", range(12))
def test_a_longer_time_never_shortens_the_makespan(seed: int) -> None:
    """Longer work, then slower ways, each time proven."""
    form: dict[str, Any] = small_lots(seed)
    times = [made_s(form)]
    for part in form["parts"].values():
        for step in part["route"][1:-1]:
            work = step["time_s"]
            step["time_s"] = work + 7 if isinstance(work, int) else {name: time + 7 for name, time in work.items()}
    times.append(made_s(form))
    ways = form["moves"]["ways"]
    for name in ("empty_s", "loaded_s"):
        if name in ways:
            ways[name] = [[way + 2 if way else 0 for way in row] for row in ways[name]]
    times.append(made_s(form))

    assert all(shorter <= longer for shorter, longer in pairwise(times))
    assert times[0] < times[2]


@pytest.mark.parametrize("seed", range(8))
def test_limited_stays_never_shorten_the_makespan(seed: int) -> None:
    """What is forbidden cannot help."""
    free = made_s(small_lots(seed, hands=2))
    form = with_windows(small_lots(seed, hands=2), seed)
    for part in form["parts"].values():
        for step in part["route"][1:-1]:
            step["stay_max_s"] += 20

    assert made_s(form) >= free


def test_the_same_comes_out_every_time() -> None:
    """One seed, one worker: the same events and arcs."""
    form = small_lots(5, hands=2)

    assert found_in(form) == found_in(form)


def test_somebody_without_a_home_does_no_harm() -> None:
    """A person who goes nowhere has no place to begin at; the plan is that without the person, and is checked."""
    form = lot_cell(2)
    form["attendants"]["person"] = {"kind": "operator"}

    assert made_s(form) == FIRST_S + EACH_S


def test_a_plan_that_the_validator_refuses_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search comes up with a plan of a shop whose machines are ten times as quick. The plan found before it holds,
    the words say why, and what such a search says of other plans is not believed."""
    cell, quick = cell_from(lot_cell(3, machines=2)), lots_of(cell_from(lot_cell(3, machines=2, time_s=10.0)))
    plain, broken = first_plan(lots_of(cell)), first_plan(quick)
    assert plain is not None
    assert broken is not None
    with_broken_plan(monkeypatch, broken, quick)

    found = shortest_makespan(cell, deadline=None, deterministic=None, workers=1, seed=1)

    assert violations(cell, found) == []
    assert found.period_steps == plain.end
    assert found.how == f"search over all plans; {LEFT_OUT}"
    assert not found.proven
    assert broken.end < found.least_steps == max(each.steps for each in found.bounds) < plain.end


def with_broken_plan(monkeypatch: pytest.MonkeyPatch, broken: Plan, quick: Lots) -> None:
    """A search that ends with this plan and calls it the best, its times those of other lots."""
    made = Searched(plan=broken, least=broken.end, best=True, impossible=False)
    monkeypatch.setattr(makespan, "searched", lambda *_, **__: made)
    monkeypatch.setattr(makespan, "timed", lambda lots, plan: timed(quick if plan == broken else lots, plan))


def test_where_the_validator_refuses_every_plan_its_words_come_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """There is nothing to fall back on."""
    monkeypatch.setattr("millhand.solvers.cycle.checking.validate.violations", lambda *_: ["made up"])

    with pytest.raises(ToolError, match="the plan found does not pass the validator: made up"):
        found_in(lot_cell(2))
