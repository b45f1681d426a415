"""Pieces that loads use up: without them a loaded machine stands until they are refilled."""

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import cell_from
from millhand.solvers.kernel.compiled import compiled
from tests.solvers.kernel.shop import Form, arm_cell, counts_of, run_of, station_s, times_s, with_person

FIRST_S, EACH_S, START_S = 128.0, 132.0, 14.0  # first part out, each further one; first load begins
REFILL_S = 500.0


def with_inserts(pieces: int, *, each: int = 1) -> Form:
    """One arm, one machine that uses up pieces from a magazine."""
    form = arm_cell()
    form["stations"]["inserts"] = {"kind": "supply", "place": "in", "capacity": pieces, "start": pieces}
    form["parts"]["part"]["route"][1]["uses"] = {"inserts": each}
    return form


def refilled(form: Form) -> Form:
    """The same with a person who refills the empty magazine."""
    trigger = {"kind": "level", "at": ["inserts"], "below": 1}
    return with_person(form, more={"trigger": trigger, "takes": REFILL_S, "restores": {"inserts": "full"}})


def test_without_a_refill_as_many_loads_as_pieces() -> None:
    """Three pieces are three parts; the fourth load stands starved in the machine."""
    run = run_of(with_inserts(3), 4.0)

    assert times_s(run, "out") == pytest.approx([FIRST_S + n * EACH_S for n in range(3)])
    assert counts_of(run)["picked"] == 4
    assert run.k.s_stock[run.c.station_names.index("inserts")] == 0


def test_a_load_that_needs_two_pieces_does_not_begin_with_one() -> None:
    """Five pieces are two loads of two; the one that is left is not taken."""
    run = run_of(with_inserts(5, each=2), 4.0)

    assert counts_of(run)["parts"] == 2
    assert run.k.s_stock[run.c.station_names.index("inserts")] == 1


def test_each_part_of_a_load_takes_its_pieces() -> None:
    """Seven pieces are three loads of two parts with one piece each, and one piece that is left."""
    form = with_inserts(7)
    form["stations"]["m1"]["batch"] = 2
    run = run_of(form, 4.0)

    assert counts_of(run)["parts"] == 6
    assert run.k.s_stock[run.c.station_names.index("inserts")] == 1


def test_the_load_waits_for_the_refill() -> None:
    """The third load takes the last piece and calls; the fourth begins when the refill ends, 500 s after the call."""
    run = run_of(refilled(with_inserts(3)), 0.3)
    called = START_S + 2 * EACH_S
    fourth = called + REFILL_S + 100 + 5 + 4 + 5  # refill, work, pick, way, place

    assert times_s(run, "out")[:5] == pytest.approx(
        [FIRST_S, FIRST_S + EACH_S, FIRST_S + 2 * EACH_S, fourth, fourth + EACH_S]
    )
    assert station_s(run, "m1")["starved"] == pytest.approx(called + REFILL_S - (START_S + 3 * EACH_S))


@pytest.mark.parametrize("rule", ["first_to_finish", "cycle"])
def test_a_store_on_no_route_is_a_supply_of_pieces(rule: str) -> None:
    """What lies there is no part: it is used up, and a duty fills it. All happens at the same moments."""
    runs = []
    for kind in ("supply", "store"):
        form = refilled(with_inserts(3))
        form["stations"]["inserts"] |= {"kind": kind, "refill": "more"}
        form["dispatch"] = {"arm": {"rule": rule}}
        runs.append(run_of(form, 4.0))

    assert times_s(runs[0], "out") == times_s(runs[1], "out")
    assert counts_of(runs[0]) == counts_of(runs[1])


def test_a_store_of_pieces_that_is_emptied_has_none() -> None:
    """Emptied at 600 s, with 100 pieces at first: the load that begins then is the last."""
    form = with_person(with_inserts(100), away={"trigger": {"kind": "clock", "at_s": [590]}, "takes": 10})
    form["stations"]["inserts"]["kind"] = "store"
    form["duties"]["away"]["restores"] = {"inserts": "empty"}

    assert len(times_s(run_of(form, 1.0), "out")) == len([n for n in range(9) if START_S + n * EACH_S < 600])


def test_a_store_without_a_limit_holds_what_it_begins_with() -> None:
    """Three pieces are three parts, as with a supply that nobody fills."""
    form = with_inserts(3)
    form["stations"]["inserts"] = {"kind": "store", "place": "in", "capacity": None, "start": 3}

    assert len(times_s(run_of(form, 2.0), "out")) == 3


def test_parts_of_a_route_are_no_pieces() -> None:
    """A store that parts pass gives no pieces and is filled by nobody: what to write instead is said."""
    form = refilled(with_inserts(3))
    form["stations"]["inserts"]["kind"] = "store"
    form["handling"].append({"who": ["arm"], "at": ["inserts"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}})
    form["parts"]["part"]["route"].insert(1, {"at": ["inserts"]})
    words = r"pieces used up out of a store on a part's route \(write a supply, or a store on no route\)"
    with pytest.raises(NotYet, match=words):
        compiled(cell_from(form))

    del form["parts"]["part"]["route"][2]["uses"]
    words = r"fills or empties a store on a part's route \(write a supply for parts that come there\)"
    with pytest.raises(NotYet, match=words):
        compiled(cell_from(form))


def test_raw_parts_that_are_used_up_as_well_are_never_below_none() -> None:
    """A load that uses up the parts of its own supply leaves the one alone that somebody is about to lift."""
    form = arm_cell(2)
    form["stations"]["raw"] |= {"capacity": 7, "start": 7}
    form["parts"]["part"]["route"][1] |= {"uses": {"raw": 1}, "time_s": 1}
    for hours in (at / 3600 for at in range(5, 300, 3)):
        run = run_of(form, hours)
        assert run.k.s_stock[run.c.station_names.index("raw")] >= 0
