"""Slots, own buffers and gates against the same cell written out by hand, and against times counted by hand."""

import math
from copy import deepcopy

import pytest

from tests.solvers.kernel.shop import Form, arm_cell, attendant_s, counts_of, run_of, station_s, times_s

HOURS = 3.0


def test_two_slots_are_two_machines() -> None:
    """A station with two slots makes what two machines at its place make, part by part at the same times."""
    two = arm_cell(2, time_s=170)
    two["stations"]["m2"]["place"] = "m1"
    one = arm_cell(1, time_s=170)
    one["stations"]["m1"]["capacity"] = 2
    ours, theirs = run_of(one, HOURS), run_of(two, HOURS)

    assert ours.c.station_names == ("raw", "m1", "m1 slot 2", "done")
    assert times_s(ours, "out") == times_s(theirs, "out")
    assert counts_of(ours) == counts_of(theirs)
    assert attendant_s(ours, "arm") == attendant_s(theirs, "arm")
    assert station_s(ours, "m1 slot 2") == station_s(theirs, "m2")


def test_a_stop_that_names_a_machine_stops_all_its_slots() -> None:
    """From 100 s on for 500 s nothing works there, whichever slot it is in; the same as with two machines named."""
    two = arm_cell(2, time_s=170)
    two["stations"]["m2"]["place"] = "m1"
    one = arm_cell(1, time_s=170)
    one["stations"]["m1"]["capacity"] = 2
    for form, names in ((one, ["m1"]), (two, ["m1", "m2"])):
        jam = {"id": "jam", "on": "clock", "every": {"dist": "constant", "mean_s": 100}, "self_s": 500, "stops": names}
        form["stations"]["press"] = {"kind": "process", "place": "m1", "faults": [jam]}

    ours, theirs = run_of(one, HOURS), run_of(two, HOURS)
    assert times_s(ours, "out") == times_s(theirs, "out")
    assert station_s(ours, "m1 slot 2") == station_s(theirs, "m2")
    assert station_s(ours, "m1 slot 2")["failed"] > HOURS * 3600 * 0.8


@pytest.mark.parametrize("room", [1, 2, 5])
def test_an_own_buffer_before_a_machine_is_a_store_that_it_takes_from(room: int) -> None:
    """`in_queue` n and a store of n before a machine with self_in run alike."""
    buffered = arm_cell(time_s=31)
    buffered["stations"]["m1"]["in_queue"] = room
    ours, theirs = run_of(buffered, HOURS), run_of(with_store(arm_cell(time_s=31), room, before=True), HOURS)

    assert times_s(ours, "out") == times_s(theirs, "out")
    assert counts_of(ours) == counts_of(theirs)
    assert station_s(ours, "m1") == station_s(theirs, "m1")


@pytest.mark.parametrize("room", [1, 2, 5])
def test_an_own_buffer_after_a_machine_is_a_store_that_it_puts_into(room: int) -> None:
    """`out_queue` n and a store of n after a machine with self_out run alike."""
    buffered = arm_cell(time_s=31)
    buffered["stations"]["m1"]["out_queue"] = room
    ours, theirs = run_of(buffered, HOURS), run_of(with_store(arm_cell(time_s=31), room, before=False), HOURS)

    assert times_s(ours, "out") == times_s(theirs, "out")
    assert counts_of(ours) == counts_of(theirs)
    assert station_s(ours, "m1") == station_s(theirs, "m1")


@pytest.mark.parametrize("queues", [{"in_queue": 1}, {"out_queue": 1}, {"in_queue": 2, "out_queue": 1}])
def test_only_each_nth_part_goes_through_a_gauge_with_own_buffers(queues: Form) -> None:
    """A step that each third part visits is skipped with its buffers by the others."""
    form = arm_cell(1, time_s=10, way_s=1)
    form["places"]["gauge"] = {}
    form["stations"]["gauge"] = {"kind": "process", "place": "gauge"} | queues
    form["handling"][2]["at"] = ["m1", "gauge"]
    ways = form["moves"]["ways"]
    ways["places"] = [*ways["places"], "gauge"]
    ways["empty_s"] = [[0 if a == b else 1 for b in ways["places"]] for a in ways["places"]]
    form["parts"]["part"]["route"].insert(2, {"at": ["gauge"], "time_s": 5, "every": 3})
    run = run_of(form, HOURS)
    into, out = (f"gauge {end}" if f"{end}_queue" in queues else "gauge" for end in ("in", "out"))
    made, brought, lifted = (len(times_s(run, *each)) for each in (("pick", "m1"), ("place", into), ("pick", out)))

    assert made > 100
    assert abs(made - 3 * brought) <= 3
    assert abs(brought - lifted) <= 2
    assert len(times_s(run, "finished", "gauge")) in (lifted, lifted + 1, lifted + 2)


def with_store(form: Form, room: int, *, before: bool) -> Form:
    """The cell with a store at the machine's place, which the machine takes from or puts into by itself."""
    store = {"kind": "store", "place": "m1", "capacity": room}
    machine = form["stations"]["m1"] | {"self_in" if before else "self_out": True}
    pair = {"queue": store, "m1": machine} if before else {"m1": machine, "queue": store}
    form["stations"] = {"raw": form["stations"]["raw"], **pair, "done": form["stations"]["done"]}
    row = next(row for row in form["handling"] if row["at"] == ["m1"])
    form["handling"].append(deepcopy(row) | {"at": ["queue"]})
    form["parts"]["part"]["route"].insert(1 if before else 2, {"at": ["queue"]})
    return form


@pytest.mark.parametrize("turnaround_s", [0.0, 30.0, 120.0])
def test_a_gate_gives_the_next_part_after_its_turnaround(turnaround_s: float) -> None:
    """Pick, way, place, work, pick, way, place: 128 s; then the gate turns before the next part is lifted."""
    form = arm_cell()
    form["stations"]["raw"] = {"kind": "gate", "place": "in", "capacity": 1, "turnaround_s": turnaround_s}
    del form["stations"]["done"]
    form["handling"][0]["place"] = {"hold_s": 5}
    del form["handling"][1]
    form["parts"]["part"]["route"][-1] = {"at": ["raw"]}
    outs = times_s(run_of(form, 1.0), "out")

    assert outs == pytest.approx([128 + n * (128 + turnaround_s) for n in range(len(outs))])
    assert len(outs) == math.ceil((3600 - 128) / (128 + turnaround_s))  # one at the horizon does not count
