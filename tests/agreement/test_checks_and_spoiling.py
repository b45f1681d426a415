"""Parts that leave their route early, at a check or in a stop: closed form, simulation and load bound."""

from functools import cache
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import good_bound_per_h, load_bounds, rate_bound_per_h
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.left_out import left_out_words
from millhand.solvers.kernel.replications import Plan, simulate
from tests.solvers.kernel.shop import Form, arm_cell

CLOSE = 0.01  # of 200 h and three replications, three standard errors of the rarest count at most
SPOILS: Form = {"id": "crash", "keeps_part": False}


def line(*steps: Form, **stations: Form) -> Form:
    """Machines that pass parts on by themselves; each step names its own machine."""
    own = {"kind": "process", "self_in": True, "self_out": True}
    names = [step["at"][0] for step in steps]
    return {
        "format": "millhand-cell/1", "name": "a line that feeds itself", "grid_s": 0.1,
        "stations": {"raw": {"kind": "supply", "capacity": None}}
        | {name: own | stations.get(name, {}) for name in names}
        | {"done": {"kind": "sink", "capacity": None}},
        "parts": {"part": {"route": [{"at": ["raw"]}, *steps, {"at": ["done"]}]}},
    }  # fmt: skip


def step(name: str, time_s: Any, **more: Any) -> Form:
    """One step at one machine."""
    return {"at": [name], "time_s": time_s, **more}


@cache
def simulated(name: str) -> tuple[float, float]:
    """Parts and good parts an hour of one of the cells below."""
    found = simulate(cell_from(CELLS[name]()), hours=210, replications=3, plan=Plan(warm_up_hours=10))
    return found.parts_per_h.mean, found.good_per_h.mean


def checked() -> Form:
    """Half of the parts are bad and stay at a check before the slow machine."""
    return line(
        step("m1", 10, good=0.5), step("check", 5, on_bad="scrap_this"), step("m2", 100), check={"out_queue": 9}
    )


def spoilt() -> Form:
    """A stop after 100 s of work on average spoils a load of 50 s in one of the first machine, before a slow one."""
    crash = SPOILS | {"on": "busy", "every": {"dist": "exponential", "mean_s": 100}, "self_s": 0}
    return line(step("m1", 50), step("m2", 100), m1={"faults": [crash], "out_queue": 9})


def spoilt_at_once() -> Form:
    """A quarter of all loads is spoilt as it starts; the stop takes 20 s."""
    return line(step("m1", 60), m1={"faults": [SPOILS | {"on": "load", "p": 0.25, "self_s": 20}]})


def spoilt_by_clock() -> Form:
    """Each 100 s on average a stop spoils what is in the first of two machines, 30 s and 60 s."""
    crash = SPOILS | {"on": "clock", "every": {"dist": "exponential", "mean_s": 100}, "self_s": 0}
    return line(step("m1", 30), step("m2", 60), m1={"faults": [crash], "out_queue": 9})


def in_doubt() -> Form:
    """While a part is in the check of 18 s the next one is made, and is marked with it where it is bad."""
    return line(step("m1", 10, good=0.9), step("check", 18, on_bad="scrap_since_last"), check={"capacity": 2})


CELLS = {each.__name__: each for each in (checked, spoilt, spoilt_at_once, spoilt_by_clock, in_doubt)}


def test_what_a_check_takes_out_is_no_load_behind_it() -> None:
    """The slow machine gets half of the parts: 50 s for each that is started. All of its own are good."""
    cell = cell_from(checked())

    assert rate_bound_per_h(cell) == pytest.approx(3600 / 50)
    assert good_bound_per_h(cell) == pytest.approx(3600 / 100)
    assert simulated("checked") == pytest.approx((3600 / 50, 3600 / 100), rel=CLOSE)


def test_a_cycle_of_the_means_knows_nothing_of_it_and_says_so() -> None:
    """Every part of the cycle goes to the end: 100 s. What comes out faster is told beside it."""
    cell = cell_from(checked())
    slow = next(each for each in load_bounds(cell) if each.resource == "m2")

    assert (slow.steps, slow.cycle_steps) == (pytest.approx(500), pytest.approx(1000))
    assert slow.words == "m2 needs at least 50 s a part, 50 s less than in the cycle, where no part leaves early"
    assert left_out_words(cell) == (
        "bad parts among part: the cycle counts every part, also those that a check takes out; what comes behind has "
        "less to do than in the cycle, so more parts may leave than it says",
    )


def test_spoilt_loads_are_no_load_behind() -> None:
    """Of a load of 50 s e^-0.5 are left, and each takes 100 (1 - e^-0.5) s on average. A bound may be above, never
    below."""
    parts, good = simulated("spoilt")
    bound = rate_bound_per_h(cell_from(spoilt()))

    assert parts == pytest.approx(3600 / (100 * 0.6065306597), rel=CLOSE)
    assert good == pytest.approx(36, rel=CLOSE)
    assert parts <= bound == pytest.approx(3600 / (100 * (1 - 50 / 100)))


def test_a_load_that_is_spoilt_as_it_starts_takes_no_work() -> None:
    """60 s for three of four loads, 20 s more for the fourth: exact."""
    exact = 3600 / (0.75 * 60 + 0.25 * 20)

    assert rate_bound_per_h(cell_from(spoilt_at_once())) == pytest.approx(exact)
    assert simulated("spoilt_at_once")[0] == pytest.approx(exact, rel=CLOSE)
    assert load_bounds(cell_from(spoilt_at_once()))[0].words.endswith("where no part leaves early")


def test_stops_by_the_clock_spoil_a_load_each() -> None:
    """A part each 60 s at most where none is spoilt; so 0.6 of each may be, and 0.4 x 60 s are left to do."""
    parts, good = simulated("spoilt_by_clock")
    bound = rate_bound_per_h(cell_from(spoilt_by_clock()))

    assert 60 < parts <= bound
    assert bound == pytest.approx(3600 / (0.4 * 60))
    assert good <= 60 * (1 + CLOSE)


def test_a_marked_part_is_scrapped_and_says_nothing_of_its_machine() -> None:
    """A part goes out if it is good and the one before it was: 0.81. If the check of a marked part marked others, the
    first bad one would be the end of all good ones."""
    parts, good = simulated("in_doubt")

    assert parts == pytest.approx(360, rel=CLOSE)
    assert good == pytest.approx(360 * 0.81, rel=CLOSE)
    assert parts <= rate_bound_per_h(cell_from(in_doubt())) * (1 + CLOSE)


def gauged(on_bad: str, every: int = 1) -> Cell:
    """An arm with one hand, a machine of 100 s, and a gauge of 10 s beside the outfeed."""
    form = arm_cell(time_s=100)
    form["stations"]["gauge"] = {"kind": "process", "place": "out"}
    form["handling"].insert(0, {"who": ["arm"], "at": ["gauge"], "pick": {"hold_s": 2}, "place": {"hold_s": 2}})
    form["parts"]["part"]["route"][1]["good"] = 0.8
    form["parts"]["part"]["route"].insert(2, {"at": ["gauge"], "time_s": 10, "every": every, "on_bad": on_bad})
    return cell_from(form)


def test_a_gauge_gives_up_a_scrapped_part_without_a_visit() -> None:
    """Of five parts four are lifted (2 s), put out (5 s) and followed by the next (5, 2 s, twice 4 s of way);
    the next after the fifth is only put in."""
    assert seconds(gauged("scrap_this"), "gauge") == pytest.approx(10 + 0.8 * (2 + 5 + 4 + 5 + 4 + 2) + 0.2 * 2)


def test_what_may_be_marked_is_counted_as_scrapped() -> None:
    """The hand and the gauge may hold parts before one that is made: it goes on with the chance of 0.8^3 at least, and
    is then lifted (2 s) and put out (5 s)."""
    more = seconds(gauged("scrap_this"), "arm") - seconds(gauged("scrap_since_last"), "arm")

    assert more == pytest.approx((0.8 - 0.8**3) * (2 + 5))


@pytest.mark.parametrize("on_bad", ["scrap_this", "scrap_since_last"])
def test_no_gauge_beats_its_bound(on_bad: str) -> None:
    """An arm in no hurry comes near it."""
    cell = gauged(on_bad)
    found = simulate(cell, hours=100, replications=3).parts_per_h

    assert 0.9 * rate_bound_per_h(cell) <= found.low <= rate_bound_per_h(cell)


def seconds(cell: Cell, name: str) -> float:
    """The long-run load of a resource [s a part]."""
    return next(each.steps for each in load_bounds(cell) if each.resource == name) * cell.grid_s


def test_an_attended_load_of_several_parts_keeps_somebody_once() -> None:
    """Whoever completes a load of three stays 100 s for all of them."""
    form = arm_cell(time_s=100)
    form["stations"]["m1"]["attended"] = True
    one = seconds(cell_from(form), "arm")
    form["stations"]["m1"]["batch"] = 3

    assert one - seconds(cell_from(form), "arm") == pytest.approx(100 - 100 / 3)


def test_a_place_to_itself_takes_no_time_with_a_part_either() -> None:
    """Supply, machine and outfeed at one place, 9 s on the diagonal of the loaded moves: nobody goes anywhere."""
    form = arm_cell(time_s=100)
    for name in ("raw", "m1", "done"):
        form["stations"][name]["place"] = "in"
    form["moves"]["ways"]["loaded_s"] = [[9] * 3] * 3
    cell = cell_from(form)
    found = best_cycle(cell)

    assert violations(cell, found) == []
    assert found.period_steps * cell.grid_s == pytest.approx(5 + 5 + 100 + 5 + 5)
    assert simulate(cell, hours=10, replications=1).parts_per_h.mean == pytest.approx(
        3600 / 120 - 0.1
    )  # the last one a moment late
