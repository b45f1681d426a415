"""Lots and changeovers in small cells whose times are counted by hand.

One arm, one machine: pick 5 s, way 4 s, place 5 s, work 100 s, pick 5 s, way 4 s, place 5 s: 128 s to the first part;
with 4 s back to the raw parts each further one takes 132 s.
"""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.replications import simulate
from tests.solvers.kernel.shop import Form, arm_cell, counts_of, run_of, station_s, times_s, with_person

FIRST_S, EACH_S, SET_UP_S = 128.0, 132.0, 60.0


def two_lots(*, ways: list[tuple[str, str]], first: int = 3, second: int = 2, rounds: int = 1) -> Form:
    """Lots of two families at one machine, and a person who changes it over where a way is given."""
    form = arm_cell()
    plain = form["parts"]["part"]["route"]
    form["goal"] = "makespan"
    form["parts"] = {
        name: {"route": [plain[0], plain[1] | {"family": family}, plain[2]], "lot": {"size": size, "count": rounds}}
        for name, family, size in (("plate", "large", first), ("shaft", "small", second))
    }
    form["changeovers"] = [{"at": ["m1"], "from": one, "to": other, "duty": "set_up"} for one, other in ways]
    duty = {"trigger": {"kind": "changeover"}, "takes": SET_UP_S, "holds": "station"}
    return with_person(form, set_up=duty) if ways else form


def outs(form: Form, hours: float = 2.0) -> list[float]:
    """When parts left."""
    return times_s(run_of(form, hours), "out")


def test_two_lots_without_changeover_come_one_after_the_other() -> None:
    """The last of five parts leaves after one first and four further parts, and then nothing more is lifted."""
    form = two_lots(ways=[])
    run = run_of(form, 2.0)

    assert times_s(run, "out") == pytest.approx([FIRST_S + n * EACH_S for n in range(5)])
    assert counts_of(run)["picked"] == 5
    assert run.k.p_out[:2].tolist() == [3, 2]


def test_the_end_of_the_lots_is_told() -> None:
    """`finished_s` is when the last part of the last lot left."""
    output = simulate(cell_from(two_lots(ways=[])), hours=2.0, replications=2)

    assert output.finished_s is not None
    assert output.finished_s.mean == pytest.approx(FIRST_S + 4 * EACH_S)


def test_the_machine_is_changed_over_once_between_two_families() -> None:
    """The person is called when the first part of the other family would be fetched; all later parts come that much
    later, and the machine books the changeover as setup."""
    run = run_of(two_lots(ways=[("large", "small")]), 2.0)
    late = [0.0, 0.0, 0.0, SET_UP_S, SET_UP_S]

    assert times_s(run, "out") == pytest.approx([FIRST_S + n * EACH_S + more for n, more in enumerate(late)])
    assert counts_of(run)["calls"] == 1
    assert station_s(run, "m1")["setup"] == pytest.approx(SET_UP_S)


@pytest.mark.parametrize(
    ("ways", "changes"),
    [([("large", "small")], 2), ([("small", "large")], 1), ([("large", "small"), ("small", "large")], 3)],
    ids=["there", "back", "both ways"],
)
def test_only_the_ways_that_are_named_need_a_changeover(ways: list[tuple[str, str]], changes: int) -> None:
    """Two rounds of two lots change family three times: large, small, large, small."""
    run = run_of(two_lots(ways=ways, rounds=2), 3.0)

    assert counts_of(run)["calls"] == changes
    assert station_s(run, "m1")["setup"] == pytest.approx(changes * SET_UP_S)
    assert times_s(run, "out")[-1] == pytest.approx(FIRST_S + 9 * EACH_S + changes * SET_UP_S)


def test_a_lot_of_the_same_family_needs_no_changeover() -> None:
    """Two part types of one family follow each other as if they were one."""
    form = two_lots(ways=[("large", "small")])
    form["parts"]["shaft"]["route"][1]["family"] = "large"
    form["parts"]["plate"]["route"][1]["family"] = "large"
    form["changeovers"], form["duties"] = [], {}

    assert outs(form) == pytest.approx([FIRST_S + n * EACH_S for n in range(5)])


def test_lots_are_not_overdrawn_by_two_who_load() -> None:
    """Two arms that fetch at one moment lift no more parts than the lots have."""
    form = two_lots(ways=[], first=3, second=1)
    form["stations"]["m2"] = {"kind": "process", "place": "m1"}
    form["attendants"]["other"] = form["attendants"]["arm"]
    for row in form["handling"]:
        row["who"] = ["arm", "other"]
        row["at"] = ["m1", "m2"] if row["at"] == ["m1"] else row["at"]
    for part in form["parts"].values():
        part["route"][1]["at"] = ["m1", "m2"]
    run = run_of(form, 2.0)

    assert run.k.p_given[:2].tolist() == [3, 1]
    assert run.k.p_out[:2].tolist() == [3, 1]
