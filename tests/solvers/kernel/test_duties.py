"""Duties, faults, wear, hours and zones on cells whose course can be worked out by hand."""

from typing import Any

import pytest

from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.replications import counts_of as books_counted
from tests.solvers.kernel.shop import (
    Form,
    alone_row,
    arm_cell,
    attendant_s,
    counts_of,
    run_of,
    station_s,
    times_s,
    with_person,
)


def failing(form: Form, **fault: Any) -> Form:
    """The same cell with one fault of m1, ended by the person."""
    form["stations"]["m1"]["faults"] = [{"id": "stop", "on": "busy", "duty": "clear"} | fault]
    return with_person(form, clear={"trigger": {"kind": "fault"}, "takes": 30, "holds": "station"})


def test_a_fault_keeps_the_part_and_work_goes_on_with_the_rest() -> None:
    """After 150 s of work: 50 s into the second load; 30 s of repair; then the 50 s that were left."""
    run = run_of(failing(arm_cell(), every=150), 0.2)

    assert times_s(run, "fails", "m1")[0] == 146 + 50
    assert times_s(run, "finished", "m1")[:2] == [114, 146 + 100 + 30]
    assert station_s(run, "m1")["in_repair"] >= 30


def test_a_fault_that_falls_on_the_end_of_a_load_counts_for_the_next() -> None:
    """After exactly 100 s of work the load is done; the next one stops at once."""
    run = run_of(failing(arm_cell(), every=100), 0.1)

    assert times_s(run, "finished", "m1")[0] == 114
    assert times_s(run, "fails", "m1")[0] == 146


def test_a_fault_may_spoil_the_part() -> None:
    """The part leaves as scrap where it lies, and the arm brings another."""
    counts = counts_of(run_of(failing(arm_cell(), every=150, keeps_part=False), 0.1))

    assert counts["scrapped"] == 1


def test_a_fault_on_the_clock_waits_for_the_arm() -> None:
    """It would come at 12 s, while the arm loads the machine from 9 s to 14 s; so it comes at 14 s."""
    run = run_of(failing(arm_cell(), on="clock", every=12), 0.02)

    assert times_s(run, "fails", "m1")[0] == 14


def test_a_fault_by_loads_comes_with_every_third() -> None:
    """It ends by itself after 7 s."""
    form = arm_cell()
    form["stations"]["m1"]["faults"] = [{"id": "jam", "on": "load", "every": 3, "self_s": 7}]
    run = run_of(form, 0.2)

    assert times_s(run, "fails", "m1")[0] == 14 + 2 * 132
    assert times_s(run, "finished", "m1")[2] == 114 + 2 * 132 + 7


def test_a_fault_of_the_arm_stops_its_machines() -> None:
    """The arm stands from 50 s on and m1 with it; both go on at 80 s, so the part is 30 s late."""
    form = with_person(arm_cell(), clear={"trigger": {"kind": "fault"}, "takes": 30, "holds": "station"})
    form["attendants"]["arm"]["faults"] = [{"id": "air", "on": "clock", "every": 50, "duty": "clear", "stops": ["all"]}]
    run = run_of(form, 0.04)

    assert times_s(run, "fails") == [50, 130]  # 50 s after it was in order again
    assert attendant_s(run, "arm")["in_repair"] == 30 + 14
    assert station_s(run, "m1")["failed"] == 30 + 14
    assert station_s(run, "m1")["working"] == 50 - 14 + 50


def test_wear_is_renewed_when_the_spares_are_used_up() -> None:
    """Two loads a tool and one spare: the third load runs on the spare, after the fourth a person comes for 240 s."""
    form = with_person(arm_cell(), tools={"trigger": {"kind": "wear"}, "takes": 240, "holds": "station"})
    form["stations"]["m1"]["wear"] = [{"id": "tool", "unit": "loads", "limit": 2, "spares": 1, "duty": "tools"}]
    run = run_of(form, 0.5)
    fourth = 114 + 3 * 132

    assert times_s(run, "call") == [fourth, 2 * fourth + 240 + 18]
    assert station_s(run, "m1")["in_repair"] == 480
    assert times_s(run, "pick", "m1")[3] == fourth + 240 + 5


def test_wear_by_busy_time_is_seen_at_the_end_of_the_load() -> None:
    """250 s of life are over in the third load; it is finished first."""
    form = with_person(arm_cell(), tools={"trigger": {"kind": "wear"}, "takes": 10, "holds": "station"})
    form["stations"]["m1"]["wear"] = [{"id": "tool", "unit": "busy_s", "limit": 250, "duty": "tools"}]

    assert times_s(run_of(form, 0.2), "call")[0] == 114 + 2 * 132


def test_the_clock_renews_wear_before_it_stops_the_machine() -> None:
    """Called each morning at 01:00 beside the wear itself: with a life of 40 loads the machine never stands worn."""
    tools = {"trigger": {"kind": "wear"}, "also": {"kind": "clock", "at_s": [3600]}, "takes": 60, "holds": "station"}
    form = with_person(arm_cell(), tools=tools)
    form["stations"]["m1"]["wear"] = [{"id": "tool", "unit": "loads", "limit": 40, "duty": "tools"}]
    run = run_of(form, 2)

    assert times_s(run, "begins tools") == [3600]
    assert station_s(run, "m1")["setup"] == 60
    assert "worn" not in station_s(run, "m1")


def test_a_call_outside_the_hours_waits_for_the_next_morning() -> None:
    """The machine fails at 164 s; the person comes at 3600 s."""
    form = failing(arm_cell(), every=150)
    form["calendars"] = {"day": {"period_s": 86400, "on": [[3600, 7200]]}}
    form["attendants"]["person"]["calendar"] = "day"
    run = run_of(form, 1.1)

    assert times_s(run, "begins clear")[0] == 3600
    assert station_s(run, "m1")["failed"] >= 3600 - 196
    assert attendant_s(run, "person")["off"] == 3600


def test_work_begun_is_finished_after_the_end_of_the_shift_and_none_is_begun_at_its_end() -> None:
    """On until 210 s: a repair from 196 s to 226 s is finished; with an end at 196 s it is not begun."""
    form = failing(arm_cell(), every=150)
    form["calendars"] = {"day": {"period_s": 86400, "on": [[0, 210]]}}
    form["attendants"]["person"]["calendar"] = "day"
    finished = times_s(run_of(form, 0.2), "ends clear")
    form["calendars"]["day"]["on"] = [[0, 196]]

    assert finished == [226]
    assert times_s(run_of(form, 0.2), "begins clear") == []


def test_a_calendar_that_drops_stops_the_work_and_goes_on_later() -> None:
    """The repair from 196 s is stopped at 210 s and ended after the pause from 210 s to 400 s: 16 s more."""
    form = failing(arm_cell(), every=150)
    form["calendars"] = {"day": {"period_s": 86400, "on": [[0, 210], [400, 900]], "at_end": "drop"}}
    form["attendants"]["person"]["calendar"] = "day"
    run = run_of(form, 0.2)

    assert times_s(run, "ends clear")[0] == 416
    assert attendant_s(run, "person")["break"] == 190


def test_a_response_time_counts_from_the_call() -> None:
    """Away at another place: the way of 20 s lies inside the 100 s; there already: at once."""
    form = failing(arm_cell(), every=150)
    form["places"]["beside"] = {}
    form["moves"]["stays"] = {"places": ["desk", "beside"], "empty_s": [[0, 20], [20, 0]]}
    form["duties"]["clear"] |= {"place": "beside", "response_s": 100}
    run = run_of(form, 0.2)

    assert times_s(run, "begins clear")[0] == 196 + 100
    assert attendant_s(run, "person")["travelling"] == 20
    assert times_s(run, "begins clear")[1] == times_s(run, "fails")[1]


def test_who_waits_at_a_machine_leaves_for_a_call_in_time() -> None:
    """The operator waits at m1 from 14 s on; called at 50 s, 20 s to respond, 4 s of way: he leaves at 66 s."""
    form = arm_cell()
    form["attendants"]["arm"]["kind"] = "operator"
    form["duties"]["look"] = {"trigger": {"kind": "clock", "at_s": [50]}, "who": ["arm"], "place": "out", "takes": 10}
    form["duties"]["look"]["response_s"] = 20
    run = run_of(form, 0.04)

    assert times_s(run, "begins look") == [70]
    assert attendant_s(run, "arm")["on_duty"] == 10
    assert times_s(run, "finished", "m1") == [114]


def test_priority_comes_before_the_order_of_calls() -> None:
    """Two calls wait for the morning; the later one is the more urgent."""
    clock = {"trigger": {"kind": "clock", "at_s": [10]}, "takes": 60, "priority": 2}
    form = with_person(failing(arm_cell(), every=150), round=clock)
    form["calendars"] = {"day": {"period_s": 86400, "on": [[3600, 7200]]}}
    form["attendants"]["person"]["calendar"] = "day"
    run = run_of(form, 1.05)

    assert times_s(run, "begins clear")[0] == 3600
    assert times_s(run, "begins round")[0] == 3630


def test_a_more_urgent_call_breaks_into_a_duty_that_allows_it() -> None:
    """A round of 300 s from 100 s on; the fault at 196 s is cleared first, then the remaining 204 s."""
    clock = {"trigger": {"kind": "clock", "at_s": [100]}, "takes": 300, "priority": 2, "interruptible": True}
    run = run_of(with_person(failing(arm_cell(), every=150), round=clock), 0.12)

    assert times_s(run, "begins clear")[0] == 196
    assert times_s(run, "ends round")[0] == 226 + 204


def test_a_duty_every_third_part_adds_up_while_nobody_is_there() -> None:
    """27 parts in the first hour make nine calls, answered one after the other from 3600 s on."""
    gauge = {"trigger": {"kind": "parts", "at": ["m1"], "every": 3}, "takes": 60}
    run = run_of(with_person(arm_cell(), on=[[3600, 7200]], gauge=gauge), 1.3)

    assert times_s(run, "begins gauge")[:9] == [3600 + 60 * n for n in range(9)]


def test_a_refill_is_called_below_its_level_and_counts_at_its_end() -> None:
    """Ten parts, called with the stock at 2; full when the 600 s are over."""
    form = arm_cell()
    form["stations"]["raw"] |= {"capacity": 10, "start": 10, "refill": "refill"}
    trigger = {"kind": "level", "at": ["raw"], "below": 3}
    form = with_person(form, refill={"trigger": trigger, "takes": 600, "restores": {"raw": "full"}})
    run = run_of(form, 1)
    eighth = 5 + 132 * 7

    assert times_s(run, "begins refill")[0] == eighth
    assert times_s(run, "pick", "raw")[9:11] == [5 + 132 * 9, eighth + 600 + 4 + 5]  # it waited at the outfeed


def test_who_fills_the_presenter_may_empty_the_outfeed() -> None:
    """Room for ten in both; the call comes with the eighth part lifted, and 30 s later both are as new."""
    form = arm_cell()
    form["stations"]["raw"] |= {"capacity": 10, "start": 10, "refill": "refill"}
    form["stations"]["done"] |= {"capacity": 10, "refill": "refill"}
    trigger = {"kind": "level", "at": ["raw"], "below": 3}
    restored = {"raw": "full", "done": "empty"}
    form = with_person(form, refill={"trigger": trigger, "takes": 30, "restores": restored})
    run = run_of(form, 1)

    assert times_s(run, "begins refill")[0] == 5 + 132 * 7
    assert counts_of(run)["parts"] == 27
    assert "blocked" not in station_s(run, "m1")


def test_a_miss_that_is_given_up_calls_somebody() -> None:
    """Every try misses: two retries of 8 s, then the person for 30 s, and again."""
    form = with_person(arm_cell(), help_out={"trigger": {"kind": "fault"}, "takes": 30, "holds": "station"})
    form["handling"][0]["miss"] = {"p": 1, "retries": 2, "retry_s": 8, "duty": "help_out"}
    run = run_of(form, 0.1)

    assert times_s(run, "call")[:2] == [21, 21 + 30 + 21]
    assert attendant_s(run, "arm")["in_repair"] >= 30
    assert counts_of(run)["picked"] == 0


def test_the_arm_stops_while_a_person_stands_in_its_zone() -> None:
    """The round from 100 s to 160 s: the machine goes on, the arm does not; its way and its unloading wait."""
    form = with_person(arm_cell(), round={"trigger": {"kind": "clock", "at_s": [100]}, "takes": 60})
    form["zones"] = {"front": {"from": ["round"], "slows": {"arm": "stop"}}}
    run = run_of(form, 0.06)

    assert times_s(run, "finished", "m1")[0] == 114
    assert times_s(run, "pick", "m1") == [165]
    assert attendant_s(run, "arm")["stopped"] == 60


def test_a_way_under_way_is_stretched_by_the_slow_table() -> None:
    """The way from 5 s to 9 s, slowed from 7 s on by three times: 2 s + 6 s; handling keeps its time."""
    form = with_person(arm_cell(), round={"trigger": {"kind": "clock", "at_s": [7]}, "takes": 60})
    places = form["moves"]["ways"]["places"]
    slow = [[0 if a == b else 12 for b in places] for a in places]
    form["moves"]["slow_ways"] = {"places": places, "empty_s": slow}
    form["attendants"]["arm"]["moves"] = {"full": "ways", "slow": "slow_ways"}
    form["zones"] = {"front": {"from": ["round"], "slows": {"arm": "slow"}}}
    run = run_of(form, 0.05)

    assert times_s(run, "place", "m1")[0] == 7 + 6 + 5
    assert attendant_s(run, "arm")["slowed"] == 6


def test_a_duty_that_holds_the_arm_stops_it() -> None:
    """As a zone with stop."""
    form = with_person(arm_cell(), round={"trigger": {"kind": "clock", "at_s": [100]}, "takes": 60, "holds": "arm"})

    assert times_s(run_of(form, 0.06), "pick", "m1") == [165]


def test_a_machine_warms_up_after_it_has_stood() -> None:
    """Off from 1800 s to 7200 s: it finishes its load, stands more than an hour, and warms up for 900 s."""
    form = arm_cell()
    form["calendars"] = {"open": {"period_s": 86400, "on": [[0, 1800], [7200, 80000]], "at_end": "finish_load"}}
    form["stations"]["m1"] |= {"calendar": "open", "warm_up": {"after_s": 3600, "takes_s": 900}}
    run = run_of(form, 3)
    states = station_s(run, "m1")

    assert states["warming"] == 900
    assert max(t for t in times_s(run, "finished") if t < 7200) == 114 + 132 * 13
    assert 5400 - 100 < states["off"] < 5400


def test_parts_are_told_apart_by_whether_somebody_was_there() -> None:
    """The person is there in the first half hour: 13 parts until 1800 s (128 + 132 n), 14 after."""
    counts = counts_of(run_of(with_person(arm_cell(), on=[[0, 1800]]), 1))

    assert (counts["attended"], counts["unattended"]) == (13, 14)


def test_the_time_until_somebody_is_needed_is_kept_for_each_absence() -> None:
    """Gone at 150 s, the fault comes at 196 s: 46 s."""
    form = failing(arm_cell(), every=150)
    form["calendars"] = {"day": {"period_s": 86400, "on": [[0, 150], [900, 1800]]}}
    form["attendants"]["person"]["calendar"] = "day"

    assert books_counted(run_of(form, 0.2)).alone == (46_000,)


def test_two_repairers_work_side_by_side() -> None:
    """Two machines fail together at 100 s; with two people both are back at 130 s, with one the second at 160 s."""
    for people, second in ((1, 160), (2, 130)):
        form = alone_row(2, fault_mean_s=1, repair=30, repairers=people)
        for name in ("m1", "m2"):
            form["stations"][name]["faults"][0]["every"] = 100
        assert times_s(run_of(form, 0.05), "ends clear")[:2] == [130, second]


@pytest.mark.parametrize("hands", [1, 2])
def test_an_operator_takes_longer_by_his_pace(hands: int) -> None:
    """Pace 1.5 multiplies walking and handling: the first part takes 28 s of them, 42 s at this pace."""
    form = arm_cell(hands=hands)
    form["attendants"]["arm"] |= {"kind": "operator", "pace": 1.5}
    first = times_s(run_of(form, 0.1), "out")[0]

    assert first == {1: 100 + 42, 2: 7.5 + 6 + 7.5 + 100 + 15 + 6 + 7.5}[hands]


def walking_person(form: Form, **duties: Form) -> Form:
    """The same cell with a person who walks between all its places, and does these duties wherever he is called."""
    form = with_person(form, **duties)
    places = list(form["places"])
    form["moves"]["walks"] = {"places": places, "empty_s": [[0 if a == b else 4 for b in places] for a in places]}
    form["attendants"]["person"]["moves"] = "walks"
    for duty in form["duties"].values():
        duty.pop("place")
    return form


@pytest.mark.parametrize("also", [None, {"kind": "clock", "every": 100_000}])
@pytest.mark.parametrize("machines", [1, 2])
def test_a_duty_without_a_place_is_done_where_the_parts_are(machines: int, also: Form | None) -> None:
    """Called by each part of a machine, the person walks there; a clock beside it does not keep him away."""
    trigger = {"kind": "parts", "at": ["m1", "m2"][:machines], "every": 1}
    form = walking_person(arm_cell(machines), look={"trigger": trigger, "takes": 10} | ({"also": also} if also else {}))
    run = run_of(form, 0.15)
    goes = [line["where"] for line in log_of(run) if line["what"] == "goes" and line["who"] == "person"]

    assert goes == (["m1"] if machines == 1 else (["m1", "m2"] * 9)[: len(goes)])
    assert times_s(run, "ends look")[0] == times_s(run, "call")[0] + 4 + 10
    assert len(times_s(run, "ends look")) >= 3


def test_a_refill_without_a_place_is_done_at_the_stock() -> None:
    """The person walks to the raw parts, and stays there."""
    trigger = {"kind": "level", "at": ["raw"], "below": 3}
    form = walking_person(arm_cell(), fill={"trigger": trigger, "takes": 10, "restores": {"raw": "full"}})
    form["stations"]["raw"] |= {"capacity": 4, "start": 4}
    run = run_of(form, 0.3)

    assert [line["where"] for line in log_of(run) if line["what"] == "goes" and line["who"] == "person"] == ["in"]
    assert len(times_s(run, "ends fill")) >= 2


def test_who_is_called_to_a_place_that_takes_no_way_is_there_afterwards() -> None:
    """From the machine to the bench is no way, but on from the bench to the outfeed it is 9 s, not 4 s."""
    trigger = {"kind": "parts", "at": ["m1"], "every": 1}
    form = arm_cell()
    form["duties"] = {"look": {"trigger": trigger, "who": ["arm"], "takes": 10, "place": "bench"}}
    form["places"]["bench"] = {}
    places = list(form["places"])
    way = {("m1", "bench"): 0, ("bench", "out"): 9}
    form["moves"]["ways"] = {
        "places": places,
        "empty_s": [[0 if a == b else way.get((a, b), 4) for b in places] for a in places],
    }
    run = run_of(form, 0.15)

    assert times_s(run, "out")[0] == 114 + 5 + 10 + 9 + 5
