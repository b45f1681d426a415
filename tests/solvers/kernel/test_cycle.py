"""Rule `cycle` in small cells; all published cells are held against their schedules in tests/agreement."""

from dataclasses import replace
from itertools import pairwise

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import cell_from
from millhand.model.cell import Dispatch
from millhand.model.station import Station
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel import compile_cycle
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.running import finished_run
from tests.agreement.kept_period import assert_keeps_period
from tests.solvers.cycle.timetables import Line, arm, cell_of, ends_at, step, timetable
from tests.solvers.kernel.shop import Form, arm_cell, counts_of, in_cell, run_of, times_s


def in_turn(form: Form, fallback: str | None = None) -> Form:
    """The same cell with its arm under the rule `cycle`."""
    form["dispatch"] = {"arm": {"rule": "cycle"} | ({"fallback": fallback} if fallback else {})}
    return form


def in_series(machines: int, *, hands: int = 1, times_s: float = 100.0) -> Form:
    """Each part passes all machines one after the other."""
    form = arm_cell(machines, hands=hands)
    names = form["parts"]["part"]["route"][1]["at"]
    work = [{"at": [name], "time_s": times_s} for name in names]
    form["parts"]["part"]["route"][1:2] = work
    return form


def test_one_machine_is_fed_in_turn() -> None:
    """Pick 5 s, way 4 s, place 5 s, work 100 s, pick 5 s, way 4 s, place 5 s, way back 4 s: a part each 132 s."""
    outs = times_s(run_of(in_turn(arm_cell()), 2.0), "out")

    assert outs == pytest.approx([128 + n * 132 for n in range(len(outs))])
    assert len(outs) > 50


def test_two_machines_in_series_work_at_the_same_time() -> None:
    """The arm empties m2, moves the part of m1 on, and brings m1 a new one. From one load of m1 to the next: 100 s of
    work, pick 5, way 4, place 5 at m2, way 4, pick 5, way 4, place 5: 132 s, as long as nothing else waits."""
    outs = times_s(run_of(in_turn(in_series(2)), 3.0), "out")
    gaps = [after - before for before, after in pairwise(outs[3:])]

    assert gaps == pytest.approx([132.0] * len(gaps))
    assert len(gaps) > 50


def test_where_no_cycle_is_known_the_arm_chooses_by_its_fallback(monkeypatch: pytest.MonkeyPatch) -> None:
    """And that is said."""

    def none(*_: object, **__: object) -> None:
        """The search of a cell that it cannot schedule."""
        raise NotYet("a cycle for this cell")

    monkeypatch.setattr(compile_cycle, "best_cycle", none)
    words = compiled(cell_from(in_turn(in_series(2, hands=2), "nearest"))).left_out

    assert words == ("arm: no cycle of this cell is known; it chooses by its fallback, nearest",)


def test_a_machine_with_several_loads_keeps_its_period() -> None:
    """Two loads of two parts in the first of two machines in a row, both brought and taken by an arm with two hands."""
    form = in_series(2, hands=2)
    form["stations"]["m1"] |= {"batch": 2, "capacity": 2}
    cell = cell_from(in_turn(form))
    assert compiled(cell).left_out == ()
    best = best_cycle(cell, effort=BRIEF)
    outs = times_s(run_of(form, 6.0), "out")
    late = outs[len(outs) // 2 :]
    gaps = [after - before for before, after in zip(late, late[best.parts_per_period :], strict=False)]

    assert gaps == pytest.approx([best.period_steps * cell.grid_s] * len(gaps))
    assert len(gaps) > 50


def test_a_part_that_passes_a_machine_twice_keeps_its_period() -> None:
    """Two hands, and in them parts for either side of the same machine: each goes where the schedule wants it."""
    form = in_series(2, hands=2)
    form["parts"]["part"]["route"].insert(3, {"at": ["m1"], "time_s": 20})
    cell = cell_from(in_turn(form))
    best = best_cycle(cell, effort=BRIEF)
    outs = times_s(run_of(form, 6.0), "out")
    late = outs[len(outs) // 2 :]
    gaps = [after - before for before, after in zip(late, late[best.parts_per_period :], strict=False)]

    assert gaps == pytest.approx([best.period_steps * cell.grid_s] * len(gaps))
    assert len(gaps) > 50


def test_a_part_that_is_lost_is_passed_over() -> None:
    """Faults that spoil what is inside take parts out of the turn: the others go on, and each part is accounted for."""
    form = in_series(3)
    form["stations"]["m2"]["faults"] = [
        {"id": "crash", "on": "load", "p": 0.2, "self_s": 50, "keeps_part": False},
    ]
    run = run_of(in_turn(form), 10.0)
    counts = counts_of(run)

    assert counts["scrapped"] > 10
    assert counts["good"] > 100
    assert counts["picked"] == counts["good"] + counts["scrapped"] + in_cell(run)


def by_hand(station: Station, lines: list[Line], *, period: int) -> list[int]:
    """When parts come out of a cell of one machine with a schedule written by hand; later periods only."""
    stations = {**ends_at("p0", "p2"), "m1": station}
    cell = cell_of(stations, (step("raw"), step("m1", time_s=8.0), step("done")), {"arm": arm("p0")})
    cell = replace(cell, dispatch={"arm": Dispatch(rule="cycle")})
    best = timetable(cell, lines, period=period)
    assert violations(cell, best) == []
    run = finished_run(compiled(cell, schedule=best), 60 * period, seed=1, replication=0, logging=True)
    return [round(at) for at in times_s(run, "out") if at >= 30 * period]


LONG_STAY = [
    Line(who="arm", kind="pick", at="raw", start=0),
    Line(who="arm", kind="place", at="m1", start=3),
    Line(who=None, kind="work", at="m1", start=4, takes=8),
    Line(who="arm", kind="pick", at="m1", start=16),
    Line(who="arm", kind="place", at="done", start=19),
]


def test_a_schedule_with_slots_is_obeyed() -> None:
    """Two slots: each load stays for more than a period, and the part that has been in longest comes out."""
    outs = by_hand(Station(kind="process", place="p1", capacity=2), LONG_STAY, period=12)

    assert [after - before for before, after in pairwise(outs)] == [12] * (len(outs) - 1)
    assert len(outs) > 20


def test_a_schedule_with_buffers_of_a_machine_is_obeyed() -> None:
    """The arm sets down before the machine and lifts behind it; both buffers are stations of their own when it runs."""
    outs = by_hand(Station(kind="process", place="p1", capacity=1, in_queue=1, out_queue=1), LONG_STAY, period=12)

    assert [after - before for before, after in pairwise(outs)] == [12] * (len(outs) - 1)
    assert len(outs) > 20


def test_a_turn_with_nothing_to_act_on_ends() -> None:
    """The schedule of a line that fills by itself, followed where it does not: nothing is lifted, the run ends."""
    fills, carried = in_turn(arm_cell(1, hands=1)), in_turn(arm_cell(1, hands=1))
    fills["stations"]["m1"]["self_in"] = True
    best = best_cycle(cell_from(fills))
    run = finished_run(compiled(cell_from(carried), schedule=best), 36_000, seed=1, replication=0)

    assert counts_of(run)["parts"] == 0


def test_several_parts_a_period_where_that_is_shorter() -> None:
    """Two machines for the first work, one for the second. From one load of m1 to the next: 200 s, pick 5, way 4, place
    5, way 4, pick 5, way 4, place 5: 232 s, and m2 as much: two parts in that time; one part a period knows only m1."""
    form = arm_cell(3)
    first, second = {"at": ["m1", "m2"], "time_s": 200}, {"at": ["m3"], "time_s": 80}
    form["parts"]["part"]["route"][1:2] = [first, second]
    outs = times_s(run_of(in_turn(form), 6.0), "out")
    late = outs[len(outs) // 2 :]

    assert [after - before for before, after in zip(late, late[2:], strict=False)] == pytest.approx(
        [232.0] * (len(late) - 2)
    )
    assert len(late) > 50


def test_a_stay_of_no_time_makes_nobody_wait() -> None:
    """A part leaves m2 at the moment at which it is set down there: the set-down does not wait for the lift. Eight
    seconds a part, where both waited for each other."""
    ways = {"arm": [[0, 1, 1, 3], [1, 0, 2, 2], [2, 2, 0, 3], [3, 1, 2, 0]],
            "other": [[0, 2, 1, 2], [1, 0, 2, 3], [2, 1, 0, 3], [3, 3, 2, 0]]}  # fmt: skip
    form = in_series(2, hands=2, times_s=0)
    form["grid_s"] = 1
    form["parts"]["part"]["route"][2]["stay_max_s"] = 0
    form["moves"] = {who: {"places": list(form["places"]), "empty_s": table} for who, table in ways.items()}
    arm = form["attendants"]["arm"] | {"moves": "arm"}
    form["attendants"] = {"arm": arm | {"take_from": ["raw", "m1", "m2"]}, "other": arm | {"moves": "other"}}
    form["handling"] = [
        row | {"who": [who]}
        for who, lift_s in (("arm", 1), ("other", 2))
        for row in (
            {"at": ["raw"], "pick": {"hold_s": 1}},
            {"at": ["m1", "m2"], "pick": {"hold_s": lift_s}, "place": {"hold_s": 1}},
            {"at": ["done"], "place": {"hold_s": 2}},
        )
    ]
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    cell = cell_from(form)
    best = best_cycle(cell, effort=Effort(deterministic=0.1, most_sets=2))

    assert best.period_steps == 8 * best.parts_per_period
    assert_keeps_period(cell, best)
