"""The steady view: whole steps, part sets, who can move what, what is left out."""

from dataclasses import replace
from pathlib import Path

from millhand.intake.cell import read_cell
from millhand.model.cell import Attendant, CellPart
from millhand.model.mix import part_set
from millhand.solvers.cycle.steady import steady, steps
from tests.solvers.cycle.rows import Row, row_cell

CELLS = Path("examples/cells")


def test_halves_go_up() -> None:
    """1.0005 s on a grid of a millisecond is 1001 steps; what lies on the grid stays."""
    assert [steps(each, 0.001) for each in (1.0005, 2.5, 0.0004)] == [1001, 2500, 0]


def test_a_part_set_is_the_smallest_in_the_ratio_of_the_shares() -> None:
    """A quarter and three quarters: one and three."""
    route = row_cell(Row(times_s=(1,))).parts["part"].route

    shares = {"plate": CellPart(route=route, share=0.25), "shaft": CellPart(route=route, share=0.75)}
    assert part_set(shares) == {"plate": 1, "shaft": 3}
    assert part_set({"part": CellPart(route=route)}) == {"part": 1}


def test_transfers_name_who_can_do_them() -> None:
    """One infeed arm and one outfeed arm: each transfer has its own."""
    cell = row_cell(Row(times_s=(20,)))
    arm = cell.attendants["arm"]
    both = {
        "arm": replace(arm, put_to=("m1",), take_from=("i",)),
        "out": replace(arm, take_from=("m1",), put_to=("o",)),
    }
    handling = tuple(replace(row, who=("arm", "out")) for row in cell.handling)
    view = steady(replace(cell, attendants=both, handling=handling))

    assert [(each.step, each.to_step, each.who) for each in view.transfers] == [(0, 1, ("arm",)), (1, 2, ("out",))]


def test_an_exchange_needs_two_hands() -> None:
    """A swap row is of no use to one hand."""
    two = row_cell(Row(times_s=(20,), hands=2))
    one = replace(two, attendants={"arm": replace(two.attendants["arm"], hands=1)})

    assert ("arm", "m1", "part", "swap") in steady(two).phases
    assert ("arm", "m1", "part", "swap") not in steady(one).phases


def test_a_persons_pace_multiplies_handling_and_walking_not_the_machine() -> None:
    """Pace 1.5: the hold and the way grow, the tail of the machine does not."""
    cell = row_cell(Row(times_s=(20,), tail_s=4))
    slow = Attendant(kind="operator", home="i", moves_full="line", pace=1.5)
    view = steady(replace(cell, attendants={"arm": slow}))

    phase = view.phases["arm", "m1", "part", "place"]
    assert (phase.hold_steps, phase.tail_steps) == (1500, 4000)
    assert view.movers["arm"].travel_steps("i", "m1", loaded=False) == 3000


def test_what_is_left_out_is_said() -> None:
    """Hours, stops, wear, refills, samples, spreads and duties of the examples are all named."""
    arm = steady(read_cell(CELLS / "one_arm_two_grippers.json")).left_out
    mills = steady(read_cell(CELLS / "one_operator_two_mills.json")).left_out

    assert "gauge, visited by one flange in 25: its mean load is in the bound" in arm
    assert "slow running while a person is in a zone" in arm
    assert "missed picks: their mean load is in the bound" in arm
    assert "duty deburr: its mean load is in the bound" in mills
    assert "hours and breaks of operator1" in mills
    assert "spreads of process and handling times: means are used" in mills
    assert steady(read_cell(CELLS / "phillips_unger_1976.json")).left_out == ()
