"""Supplies, stores, outfeeds and gates that stop, wear and have hours: against the same cell with a machine in their
place that takes no time, and by hand."""

from random import Random
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.bounds import calendar_rate_bound_per_h, rate_bound_per_h
from millhand.solvers.kernel.log import log_of
from tests.solvers.kernel.shop import Form, arm_cell, run_of, times_s, with_person

SEEDS = range(6)  # range(200) by hand
HOURS = 3.0


def troubles(dice: Random, *, loads: bool) -> Form:
    """Stops by the clock or with loads, that end by themselves or by somebody; wear; hours."""
    found: Form = {"faults": []}
    if dice.random() < 0.7:
        span = {"dist": "exponential", "mean_s": dice.randint(100, 900)}
        ends = dice.choice([{"self_s": dice.randint(5, 200)}, {"duty": "clear"}])
        found["faults"].append({"id": "jam", "on": "clock", "every": dice.choice([span, span["mean_s"]])} | ends)
    if loads and dice.random() < 0.4:
        found["wear"] = [{"id": "pads", "unit": "loads", "limit": 5, "spares": dice.choice([0, 1]), "duty": "renew"}]
    if not found["faults"] or dice.random() < 0.4:
        found["calendar"] = "open"
    return found


def plain(dice: Random, machines: int) -> Form:
    """One arm, one machine or two, and a person who clears and renews; hours never end as somebody arrives."""
    form = arm_cell(machines, hands=dice.choice([1, 1, 2]), time_s=dice.randint(20, 120))
    form = with_person(
        form,
        clear={"trigger": {"kind": "fault"}, "takes": dice.randint(5, 60)},
        renew={"trigger": {"kind": "wear"}, "takes": 40},
    )
    at_end = dice.choice(["finish_element", "drop"])
    form["calendars"] = {"open": {"period_s": 1800, "on": [[0.1, 700.37], [1000.71, 1700.53]], "at_end": at_end}}
    form["dispatch"] = {"arm": {"rule": dice.choice(["longest_waiting", "first_to_finish", "nearest"])}}
    return form


def instead(form: Form, name: str, *, before: bool) -> Form:
    """The same cell with a machine under the name of a supply or an outfeed, which takes no time, beside an endless one
    from or to which parts go by themselves; its number among the stations, and so its chance, stays the same."""
    route = form["parts"]["part"]["route"]
    own = form["stations"][name]
    machine = {"kind": "process", "place": own["place"], "self_in" if before else "self_out": True}
    keep = {key: own[key] for key in ("faults", "wear", "calendar") if key in own}
    beyond = {"kind": own["kind"], "capacity": None, "place": own["place"], "self_out" if before else "self_in": True}
    stations = {each: machine | keep if each == name else other for each, other in form["stations"].items()}
    step = {"at": [name], "time_s": 0}
    ways = [{"at": ["beyond"]}, step, *route[1:]] if before else [*route[:-1], step, {"at": ["beyond"]}]
    return {**form, "stations": stations | {"beyond": beyond}, "parts": {"part": {"route": ways}}}


def done_s(form: Form) -> list[float]:
    """When machines finish and somebody lifts or sets down there, in turn."""
    run = run_of(form, HOURS)
    names = [name for name in form["stations"] if name.startswith("m")]
    return sorted(
        time for what in ("finished", "pick", "place", "swap") for name in names for time in times_s(run, what, name)
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_a_supply_is_a_machine_that_takes_no_time(seed: int) -> None:
    """Stops by the clock and hours of a supply: all happens at the same moments."""
    dice = Random(f"supply {seed}")
    form = plain(dice, 1 + seed % 2)
    form["stations"]["raw"] |= troubles(dice, loads=False)

    assert done_s(form) == done_s(instead(form, "raw", before=True))


@pytest.mark.parametrize("seed", SEEDS)
def test_an_outfeed_is_a_machine_that_takes_no_time(seed: int) -> None:
    """The same of an outfeed, and wear by the parts that are set down. With one machine only: in the moment in which a
    machine without time is done, it is not yet free for whoever chooses among several."""
    dice = Random(f"outfeed {seed}")
    form = plain(dice, 1)
    form["stations"]["done"] |= troubles(dice, loads=True)

    assert done_s(form) == done_s(instead(form, "done", before=False))


def fed(fault: Form, *, at: str = "raw") -> Form:
    """A machine of 10 s that one arm feeds: lift 5, way 4, set down 5, 10, lift 5, way 4, set down 5, way 4: 42 s."""
    form = arm_cell(1, time_s=10.0)
    form["stations"][at]["faults"] = [{"id": "jam"} | fault]
    return form


def test_each_third_part_jams_the_feeder() -> None:
    """The stop comes with the end of the third lift, at 89 s; the arm would set out for the next one at 122 s. A stop
    of 30 s does not matter to it. After one of 50 s, over at 139 s, come a way and a lift."""
    short = times_s(run_of(fed({"on": "load", "every": 3, "self_s": 30}), 0.1), "pick", "raw")
    long = times_s(run_of(fed({"on": "load", "every": 3, "self_s": 50}), 0.1), "pick", "raw")

    assert short[:5] == [5.0, 47.0, 89.0, 131.0, 173.0]
    assert long[:5] == [5.0, 47.0, 89.0, 139.0 + 4 + 5, 190.0]


def test_an_outfeed_that_jams_keeps_the_part_in_the_machine() -> None:
    """The second part is down at 80 s, and the stop of 60 s over at 140 s. The third is lifted then, not before."""
    outs = times_s(run_of(fed({"on": "load", "every": 2, "self_s": 60}, at="done"), 0.1), "out")

    assert outs[:4] == [38.0, 80.0, 140.0 + 5 + 4 + 5, 196.0]


def test_a_stop_that_falls_into_a_lift_comes_after_it() -> None:
    """The clock rings at 44 s, in the lift from 42 s to 47 s: that is ended, and the stop lasts from 47 s to 107 s."""
    picks = times_s(run_of(fed({"on": "clock", "every": 44, "self_s": 60}), 0.05), "pick", "raw")

    assert picks[:3] == [5.0, 47.0, 107.0 + 4 + 5]


def test_a_shelf_has_hours() -> None:
    """A store that is open for the first 100 s of 200: what comes later waits in the hand, and nobody lifts there."""
    form = fed({"on": "clock", "every": 1e6, "self_s": 1})
    form["calendars"] = {"day": {"period_s": 200, "on": [[0, 100]]}}
    form["stations"]["shelf"] = {"kind": "store", "place": "out", "capacity": 6, "calendar": "day"}
    form["handling"].append({"who": ["arm"], "at": ["shelf"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}})
    form["parts"]["part"]["route"].insert(2, {"at": ["shelf"]})
    run = run_of(form, 1.0)
    begun = [time - 5 for what in ("pick", "place") for time in times_s(run, what, "shelf")]

    assert len(begun) > 20
    assert all(time % 200 < 100 for time in begun)
    assert any(time % 200 < 10 for time in begun)


BUSY = {"on": "busy", "every": 15.0, "self_s": 60}


@pytest.mark.parametrize("at", ["raw", "done"])
def test_busy_time_is_the_time_of_lifting_and_setting_down(at: str) -> None:
    """Each takes 5 s here, so 15 s of work are three parts, whatever lies between them: the same moments."""
    by_loads = run_of(fed({"on": "load", "every": 3, "self_s": 60}, at=at), 0.3)
    by_time = run_of(fed(BUSY, at=at), 0.3)

    assert len(times_s(by_time, "fails")) > 3
    for what in ("pick", "place", "fails"):
        assert times_s(by_time, what) == times_s(by_loads, what)


def test_a_stop_that_falls_into_busy_time_comes_at_its_end() -> None:
    """After 12 s of work, in the third lift: it comes at 89 s, when that is done, and counts from nought again."""
    picks = times_s(run_of(fed(BUSY | {"every": 12.0}), 0.1), "pick", "raw")

    assert picks[:4] == [5.0, 47.0, 89.0, 149.0 + 4 + 5]


@pytest.mark.parametrize("at", ["raw", "done"])
def test_what_wears_by_busy_time(at: str) -> None:
    """Pads for 25 s of work last as long as pads for five parts of 5 s, one set of spares included."""
    runs = []
    for unit, limit in (("loads", 5), ("busy_s", 25)):
        form = with_person(arm_cell(1, time_s=10.0), renew={"trigger": {"kind": "wear"}, "takes": 300})
        wear = {"id": "pads", "unit": unit, "limit": limit, "spares": 1, "duty": "renew"}
        form["stations"][at]["wear"] = [wear]
        runs.append([times_s(run_of(form, 1.0), what) for what in ("pick", "place", "call")])

    assert len(runs[0][2]) > 2
    assert runs[0] == runs[1]


def test_stops_by_busy_time_of_varied_lifts() -> None:
    """Out of the log: the stop comes with the lift that makes the sum of all since the last one 40 s or more."""
    form = fed(BUSY | {"every": 40.0})
    form["handling"][0]["pick"]["hold_s"] = {"dist": "empirical", "values_s": [2, 5, 11], "mean_s": 6}
    run = run_of(form, 3.0)
    begins, busy, stops = 0.0, 0.0, []
    for line in log_of(run):
        time = float(line["t_s"])
        if line["who"] == "arm" and line["what"].startswith("is "):
            begins = time
        elif (line["what"], line["where"]) == ("pick", "raw"):
            busy += time - begins
            if busy >= 40:
                stops.append(time)
                busy = 0.0

    assert len(stops) > 30
    assert times_s(run, "fails") == stops


def gate(**own: Any) -> Form:
    """The same cell with a gate at which raw parts are lifted and finished ones set down, 5 s each. Lift 5, way 4, set
    down 5, work 10, lift 5, way 4, set down 5: a part every 38 s."""
    form = arm_cell(1, time_s=10.0)
    del form["stations"]["done"]
    form["stations"]["raw"] = {"kind": "gate", "place": "in"} | own
    form["handling"] = [form["handling"][0] | {"place": {"hold_s": 5}}, form["handling"][2]]
    form["parts"]["part"]["route"][2] = {"at": ["raw"]}
    return form


@pytest.mark.parametrize("fault", [{"on": "load", "every": 2, "self_s": 60}, BUSY | {"every": 20.0}])
def test_a_gate_stops_as_a_whole(fault: Form) -> None:
    """With the second part set down, the fourth visit of 5 s, at 76 s: nothing is lifted before 136 s."""
    run = run_of(gate(faults=[{"id": "jam"} | fault]), 0.1)

    assert times_s(run, "fails")[:2] == [76.0, 212.0]
    assert times_s(run, "pick", "raw")[:4] == [5.0, 43.0, 136.0 + 5, 179.0]


def test_nothing_is_set_down_at_a_gate_that_stands() -> None:
    """The clock rings at 40 s, in the lift from 38 s on: the stop comes at its end, 43 s, and lasts until 103 s. Then
    the part is lifted that was done at 62 s: nobody lifts what cannot be set down."""
    run = run_of(gate(faults=[{"id": "jam", "on": "clock", "every": 40, "self_s": 60}]), 0.04)

    assert times_s(run, "fails")[0] == 43.0
    assert times_s(run, "out")[:2] == [38.0, 103.0 + 5 + 4 + 5]


@pytest.mark.parametrize("seed", SEEDS)
def test_hours_of_a_gate_are_those_of_both_its_sides(seed: int) -> None:
    """A supply and an outfeed at one place with the same hours: all happens at the same moments."""
    dice = Random(f"gate {seed}")
    machines, hands = 1 + seed % 2, dice.choice([1, 2])
    one, two = (arm_cell(machines, hands=hands, time_s=time_s) for time_s in [dice.randint(20, 120)] * 2)
    for form in (one, two):
        at_end = "drop" if seed % 3 == 0 else "finish_element"
        form["calendars"] = {"open": {"period_s": 1800, "on": [[0.1, 700.37], [1000.71, 1700.53]], "at_end": at_end}}
    two["stations"]["raw"] |= {"calendar": "open"}
    two["stations"]["done"] |= {"calendar": "open", "place": "in"}
    del one["stations"]["done"]
    one["stations"]["raw"] = {"kind": "gate", "place": "in", "calendar": "open"}
    one["handling"] = [one["handling"][0] | {"place": {"hold_s": 5}}, one["handling"][2]]
    one["parts"]["part"]["route"][2] = {"at": ["raw"]}

    assert done_s(one) == done_s(two)


def test_a_stop_elsewhere_that_names_a_gate_stops_both_sides() -> None:
    """Nothing is lifted or set down between 30 s and 530 s, when the stop of another machine names the gate."""
    form = gate()
    form["stations"]["press"] = {"kind": "process", "place": "in"}
    form["stations"]["press"]["faults"] = [
        {"id": "door", "on": "clock", "every": {"dist": "constant", "mean_s": 30}, "self_s": 500, "stops": ["raw"]}
    ]
    run = run_of(form, 0.15)

    assert [time for what in ("pick", "out") for time in times_s(run, what, "raw") if time < 535] == [5.0]


def test_the_bound_knows_whom_a_gate_calls_once_a_part() -> None:
    """Somebody needs 300 s after each second part: 150 s a part at least, and the run comes near it but no nearer."""
    form = with_person(gate(), clear={"trigger": {"kind": "fault"}, "takes": 300})
    form["stations"]["raw"]["faults"] = [{"id": "jam", "on": "load", "every": 2, "duty": "clear"}]
    form["calendars"] = {"half": {"period_s": 7200, "on": [[0, 3600]]}}
    most = rate_bound_per_h(cell_from(form))

    assert most == pytest.approx(3600 / 150)
    assert 0.7 * most < len(times_s(run_of(form, 10.0), "out")) / 10 <= most
    form["stations"]["raw"]["calendar"] = "half"
    assert calendar_rate_bound_per_h(cell_from(form)) == pytest.approx(most)
