"""Supplies, stores and outfeeds that stop, wear and have hours: against the same cell with a machine in their place
that takes no time, and by hand."""

from random import Random

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import cell_from
from millhand.solvers.kernel.compiled import compiled
from tests.solvers.kernel.shop import Form, arm_cell, run_of, times_s, with_person

SEEDS = range(8)  # range(200) by hand
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


@pytest.mark.parametrize(
    ("trouble", "words"),
    [
        ({"faults": [{"id": "jam", "on": "busy", "every": 9, "self_s": 1}]}, "count on the clock, or on load"),
        ({"wear": [{"id": "pads", "unit": "busy_s", "limit": 9, "spares": 1}]}, "count loads"),
    ],
)
def test_a_supply_is_never_busy(trouble: Form, words: str) -> None:
    """It does no work, so nothing can be counted by its time of work: the words say what to count instead."""
    form = with_person(arm_cell(1), renew={"trigger": {"kind": "wear"}, "takes": 40})
    form["stations"]["raw"] |= {
        key: [each | ({"duty": "renew"} if key == "wear" else {}) for each in value] for key, value in trouble.items()
    }

    with pytest.raises(NotYet, match=words):
        compiled(cell_from(form))


def test_a_gate_has_no_stops_of_its_own() -> None:
    """A gate is supply and sink in one: who wants it to stop writes the two."""
    form = fed({"on": "load", "every": 3, "self_s": 30})
    del form["stations"]["done"]
    form["stations"]["raw"] = {"kind": "gate", "place": "in", "faults": form["stations"]["raw"]["faults"]}
    form["handling"] = [form["handling"][0] | {"place": {"hold_s": 5}}, form["handling"][2]]
    form["parts"]["part"]["route"][2] = {"at": ["raw"]}

    with pytest.raises(NotYet, match="of a gate"):
        compiled(cell_from(form))
