"""The event loop on cells whose course can be worked out by hand."""

import pytest

from millhand.errors import ToolError
from millhand.solvers.kernel.log import log_of
from tests.solvers.kernel.shop import arm_cell, attendant_s, counts_of, in_cell, run_of, station_s, times_s, with_person


def test_one_gripper_at_one_machine() -> None:
    """Raw 5, way 4, load 5, machining 100, unload 5, way 4, out 5, way 4: a part every 132 s, the first at 128."""
    run = run_of(arm_cell(), 1)

    assert times_s(run, "out") == [128 + 132 * n for n in range(27)]


def test_two_grippers_at_one_machine() -> None:
    """The machine sets the pace: machining 100 and the exchange 10; all else lies inside the machining."""
    run = run_of(arm_cell(hands=2), 1)

    assert times_s(run, "out")[:3] == [133, 243, 353]
    assert station_s(run, "m1")["handled"] == 5 + 10 * 32


def test_an_exchange_includes_the_turn_between_the_hands() -> None:
    """Turn 1.5 s: a part every 111.5 s."""
    form = arm_cell(hands=2)
    form["attendants"]["arm"]["turn_s"] = 1.5

    assert times_s(run_of(form, 1), "out")[:3] == [134.5, 246, 357.5]


def test_lead_and_tail_bind_the_machine_alone() -> None:
    """Door 3 s open from the finish on, 6 s to close: 100 + 3 + 10 + 6 = 119 s a part, and the arm leaves meanwhile."""
    form = arm_cell(hands=2)
    form["handling"][2]["place"] |= {"tail_s": 6}
    form["handling"][2]["swap"] |= {"lead_s": 3, "lead_on": "finish", "tail_s": 6}
    run = run_of(form, 1)

    assert times_s(run, "out")[:3] == [142, 261, 380]
    assert times_s(run, "finished")[0] == 14 + 5 - 5 + 6 + 100


def test_a_lead_that_is_over_before_the_arm_comes_costs_nothing() -> None:
    """Two machines of 20 s: the arm is late, so a lead from the finish on is inside the wait."""
    form = arm_cell(2, time_s=20, hands=2)
    form["handling"][2]["swap"] |= {"lead_s": 3, "lead_on": "finish"}
    late = times_s(run_of(form, 1), "out")
    form["handling"][2]["swap"]["lead_on"] = "arrival"
    waiting = times_s(run_of(form, 1), "out")

    assert late[5] - late[4] == 32  # raw 5, way 4, exchange 10, way 4, out 5, way 4
    assert waiting[5] - waiting[4] == 35


def test_turns_between_two_machines_by_each_rule() -> None:
    """Longest waiting starts when a machine waits; first to finish is there before. The arm's way of 4 s is the gap."""
    form = arm_cell(2, time_s=300, hands=2)
    ahead = times_s(run_of(form, 2), "out")
    form["dispatch"]["arm"]["rule"] = "longest_waiting"
    after = times_s(run_of(form, 2), "out")

    assert ahead[4] - ahead[2] == 310
    assert after[4] - after[2] == 314


def test_order_prefers_the_machine_named_first() -> None:
    """Both machines wait at the start; the order says m2."""
    form = arm_cell(2)
    form["dispatch"]["arm"] = {"rule": "order", "order": ["m2", "m1"]}

    assert [line["where"] for line in log_of(run_of(form, 0.1)) if line["what"] == "place"][:2] == ["m2", "m1"]


def test_nearest_prefers_the_machine_beside() -> None:
    """m2 is 1 s from the supply, m1 4 s."""
    form = arm_cell(2, hands=2)
    form["dispatch"]["arm"] = {"rule": "nearest"}
    form["moves"]["ways"]["empty_s"][0][2] = 1

    assert [line["where"] for line in log_of(run_of(form, 0.1)) if line["what"] == "place"][:2] == ["m2", "m1"]


def test_a_load_of_two_starts_when_it_is_full() -> None:
    """One gripper, two in a vise: in 5+4+5, back 4, in 5+4+5, then machining; nothing starts before."""
    form = arm_cell()
    form["stations"]["m1"]["batch"] = 2
    run = run_of(form, 0.5)

    assert times_s(run, "finished")[0] == 14 + 4 + 14 + 100
    assert times_s(run, "pick", "m1")[:2] == [137, 137 + 4 + 5 + 4 + 5]


def test_two_hands_fill_a_load_of_two_in_one_trip() -> None:
    """Without an exchange both hands carry raw parts: 5 + 5 + 4 + 5 + 5."""
    form = arm_cell(hands=2)
    del form["handling"][2]["swap"]
    form["stations"]["m1"]["batch"] = 2

    assert times_s(run_of(form, 0.5), "finished")[0] == 24 + 100


def test_two_operations_one_after_the_other() -> None:
    """One gripper, m1 100 s, then m2 50 s: m1's part is lifted only when m2 is free; nothing locks up."""
    form = arm_cell(2)
    step = form["parts"]["part"]["route"]
    step[1:2] = [{"at": ["m1"], "time_s": 100}, {"at": ["m2"], "time_s": 50}]
    run = run_of(form, 4)
    out = times_s(run, "out")

    assert out[5] - out[4] == 132  # m1: 100, unload 5, way 4, load m2 5, way 4, raw 5, way 4, load 5
    assert counts_of(run)["good"] == counts_of(run)["picked"] - in_cell(run)


def test_a_supply_that_runs_dry_starves_the_machine() -> None:
    """Two parts and nobody who refills: both come out, then nothing to load anywhere."""
    form = arm_cell()
    form["stations"]["raw"] |= {"capacity": 2, "start": 2}
    form["stations"]["raw"]["refill"] = "refill"
    form = with_person(form, on=[[3600, 7200]], refill=refill_below(1) | {"takes": 600})
    run = run_of(form, 1)

    assert times_s(run, "out") == [128, 260]
    assert times_s(run, "call") == [132 + 5]
    assert station_s(run, "m1")["starved"] == 3600 - 251
    assert attendant_s(run, "arm")["idle"] == 3600 - 260


def refill_below(below: int) -> dict[str, object]:
    """A refill of the raw parts."""
    return {"trigger": {"kind": "level", "at": ["raw"], "below": below}, "restores": {"raw": "full"}}


def test_a_full_outfeed_blocks_the_machine() -> None:
    """Room for one part and nobody who empties it."""
    form = arm_cell()
    form["stations"]["done"]["capacity"] = 1
    run = run_of(form, 1)

    assert times_s(run, "out") == [128]
    assert station_s(run, "m1")["blocked"] == 3600 - (128 + 4 + 5 + 4 + 5 + 100)


def test_an_attended_gauge_keeps_the_arm() -> None:
    """Every second part is gauged for 12 s; the arm stays and brings the part out itself."""
    form = arm_cell(hands=2)
    form["stations"]["gauge"] = {"kind": "process", "place": "out", "attended": True}
    form["handling"].append({"who": ["arm"], "at": ["gauge"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}})
    form["parts"]["part"]["route"].insert(2, {"at": ["gauge"], "time_s": 12, "every": 2, "on_bad": "scrap_this"})
    run = run_of(form, 1)

    assert times_s(run, "out")[:2] == [133, 243 + 5 + 12 + 5]
    assert counts_of(run)["gauged"] == counts_of(run)["parts"] // 2
    assert station_s(run, "gauge")["working"] == 12 * counts_of(run)["gauged"]


def test_a_part_found_bad_leaves_at_the_gauge() -> None:
    """All parts bad, each gauged: none comes out, all are scrapped where they lie."""
    form = arm_cell(hands=2)
    form["stations"]["gauge"] = {"kind": "process", "place": "out", "attended": True}
    form["handling"].append({"who": ["arm"], "at": ["gauge"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}})
    form["parts"]["part"]["route"][1]["good"] = 0
    form["parts"]["part"]["route"].insert(2, {"at": ["gauge"], "time_s": 12, "on_bad": "scrap_this"})
    run = run_of(form, 1)

    assert counts_of(run)["scrapped"] == counts_of(run)["parts"] > 25
    assert times_s(run, "out") == []
    assert times_s(run, "scrapped")[:2] == [145, 255]


def test_scrap_since_the_last_good_check_takes_back_what_lay_in_the_outfeed() -> None:
    """All parts bad, every fifth gauged: the four before it had gone out as escaped and are scrap now."""
    form = arm_cell(hands=2)
    form["stations"]["gauge"] = {"kind": "process", "place": "out", "attended": True}
    form["handling"].append({"who": ["arm"], "at": ["gauge"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}})
    form["parts"]["part"]["route"][1]["good"] = 0
    form["parts"]["part"]["route"].insert(2, {"at": ["gauge"], "time_s": 12, "every": 5, "on_bad": "scrap_since_last"})
    counts = counts_of(run_of(form, 1))

    assert counts["gauged"] == 6
    assert counts["scrapped"] == 30
    assert counts["escaped"] == counts["parts"] - 30


def test_parts_that_come_in_and_go_out_by_themselves() -> None:
    """No attendant: one part every 60 s, the machine always at work."""
    form = arm_cell(time_s=60)
    form["stations"]["m1"] |= {"self_in": True, "self_out": True}
    run = run_of(form, 1)

    assert times_s(run, "out") == [60 * (n + 1) for n in range(59)]  # the one at the horizon itself does not count
    assert station_s(run, "m1") == {"working": 3600}


def test_a_store_between_two_machines_keeps_both_at_work() -> None:
    """Two part types are not needed: m1 fills the store while m2 is at work; all parts come out."""
    form = arm_cell(2, time_s=100)
    form["stations"]["between"] = {"kind": "store", "place": "m2", "capacity": 3}
    form["handling"].append({"who": ["arm"], "at": ["between"], "pick": {"hold_s": 2}, "place": {"hold_s": 2}})
    route = form["parts"]["part"]["route"]
    route[1:2] = [{"at": ["m1"], "time_s": 100}, {"at": ["between"]}, {"at": ["m2"], "time_s": 200}]
    run = run_of(form, 4)

    assert counts_of(run)["parts"] > 60
    assert station_s(run, "m2")["working"] / (4 * 3600) > 0.85


def test_attendants_who_wait_for_each_other_are_named() -> None:
    """One gripper; each part goes m1, m2, m1: with both done nothing can move, and the error says who waits."""
    form = arm_cell(2)
    route = form["parts"]["part"]["route"]
    route[1:2] = [{"at": [name], "time_s": 100} for name in ("m1", "m2", "m1")]
    with pytest.raises(ToolError) as raised:
        run_of(form, 4)

    assert raised.value.code == "deadlock"
    assert "m1 holds a finished part that waits for m2" in str(raised.value)
    assert "m2 holds a finished part that waits for m1" in str(raised.value)


def test_a_run_without_progress_ends_with_an_error() -> None:
    """Nothing takes any time: events pile up on one moment."""
    form = arm_cell(way_s=0, time_s=0)
    for row in form["handling"]:
        for visit in ("pick", "place"):
            if visit in row:
                row[visit] = {"hold_s": 0}
    with pytest.raises(ToolError) as raised:
        run_of(form, 1, logging=False)

    assert raised.value.code == "no_progress"
    assert "events at 0 s" in str(raised.value)
