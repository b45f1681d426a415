"""The chain of errors from pocket to seat and the stand that moves, against numbers worked here."""

import math
from dataclasses import replace

import pytest

from millhand.model.inquiry import Inquiry
from millhand.stages.feasibility.placing import chain, links
from tests.stages.feasibility.judged import TRACK, asked_of, judged
from tests.stages.shop import shop

CENTRIC = TRACK.replace("parallel", "centric")
DISC: dict[str, float | str] = {"shape": "round", "raw__length": 0.05, "raw__width": 0.08}
MOVED = "drawers-movable_stand-force_limited_25-parallel_single-scanner"
TILT_M = 0.06 * math.tan(0.005)  # half of 120 mm
LINKS_M = (0.001, 0.00005, 0.0001, 0.0005, TILT_M)  # play, arm, grip, half of 1 mm of scatter, tilt


def with_seat(catch_m: float, **changes: float | str) -> Inquiry:
    """The shop with a seat that somebody measured."""
    of = shop(**changes)
    machine = of.machines[0]
    catch = replace(machine.inside.catch_m, value=catch_m, low=None, high=None, shape="point", basis="given")
    return replace(of, machines=(replace(machine, inside=replace(machine.inside, catch_m=catch)),))


def test_independent_errors_add_by_their_squares() -> None:
    """The likely error is what counts; the worst stands beside it, and the greatest link is named."""
    found = judged()

    assert found.numbers("placing") == pytest.approx((math.hypot(*LINKS_M), 0.002))
    assert found.sheet.value(f"concepts.{TRACK}.feasibility.placing.worst") == pytest.approx(math.fsum(LINKS_M))
    assert "most of it by play in the pocket" in found.sentence("placing")
    assert "A seat check by air" in found.sentence("placing")


def test_three_jaws_take_the_play_out() -> None:
    """What centres the part leaves the scatter of the raw part as the greatest link."""
    found = judged(CENTRIC, shop(**DISC))

    assert found.numbers("placing")[0] == pytest.approx(math.hypot(0.00005, 0.0001, 0.0005, 0.025 * math.tan(0.005)))
    assert "most of it by scatter of the raw part" in found.sentence("placing")


def test_the_verdict_says_what_the_solver_finds() -> None:
    """The same likely and worst error, the same margin and the same greatest link."""
    asked = asked_of()
    machine = asked.inquiry.machines[0]

    found = chain(links(asked), machine)

    demand, limit = judged().numbers("placing")
    assert (found.likely_m, found.likely_margin_m) == pytest.approx((demand, limit - demand))
    assert found.greatest == "play"


@pytest.mark.parametrize("scatter_m", [0.004, 0.006])
def test_a_raw_part_that_scatters_too_much_for_a_measured_seat(scatter_m: float) -> None:
    """Half of the scatter is by far the greatest link; once it alone is more than the seat catches nothing helps."""
    found = judged(TRACK, with_seat(0.002, raw_tolerance=scatter_m))
    verdict = found.verdicts["placing"]

    likely = math.sqrt(0.001**2 + 0.00005**2 + 0.0001**2 + (scatter_m / 2) ** 2 + TILT_M**2)
    assert (verdict.holds, verdict.kills) == (False, scatter_m / 2 > 0.002)
    assert found.sheet.value(verdict.margin) == pytest.approx(1.0 - likely / 0.002)
    assert "raw parts that scatter less" in verdict.words


def test_an_assumed_seat_warns_where_a_better_one_is_usual() -> None:
    """The best usual seats catch 4 mm: 3 mm off is a question, 5 mm off is the end."""
    off, far = (judged(TRACK, shop(raw_tolerance=value)).verdicts["placing"] for value in (0.006, 0.010))

    assert (off.holds, off.kills) == (False, False)
    assert (far.holds, far.kills) == (False, True)


def test_at_its_limit_it_still_holds() -> None:
    """A seat that catches exactly the likely error."""
    assert judged(TRACK, with_seat(math.hypot(*LINKS_M) + 1e-9)).verdicts["placing"].holds
    assert not judged(TRACK, with_seat(math.hypot(*LINKS_M) - 1e-9)).verdicts["placing"].holds


def test_a_docked_stand_is_a_link_more() -> None:
    """Its place after docking counts with the others."""
    of = shop(must_move="yes")

    demand = judged(MOVED, of).numbers("placing")[0]
    assert demand == pytest.approx(math.hypot(0.001, 0.0001, 0.0001, 0.0005, TILT_M, 0.0004))


def test_a_mould_takes_nothing_in() -> None:
    """Parts are only taken out of it."""
    of = shop(kind="moulding", clamping="mould", film="dry", condition="moulded")

    assert "placing" not in judged("from_mould-out_conveyor-floor_track-fenced_20-parallel_single-fence", of).verdicts


def test_a_stand_is_held_by_its_weight() -> None:
    """400 kg, 0.45 m in from the edge; the moving masses stop with 0.4 of 8 m/s2 at 1.2 m height, 0.23 m outside."""
    found = judged(MOVED, shop(must_move="yes"))
    moving, accel = 55.0 + 1.17 + 0.7 + 2.0, 0.4 * 8.0
    tips = 9.80665 * 400.0 * 0.45 / (moving * (accel * 1.2 + 9.80665 * (0.4 * 1.7 - 0.45)))
    slides = 0.3 * (400.0 + moving) * 9.80665 / (moving * accel)

    assert found.numbers("stand") == pytest.approx((1.5, min(tips, slides)))
    assert "would make it tip" in found.sentence("stand")
    assert found.verdicts["stand"].caution.startswith("An aid for concept work. A stand that tips")


def test_only_a_stand_that_moves_is_asked_whether_it_does() -> None:
    """A pedestal and a track are bolted down."""
    assert "stand" not in judged().verdicts


def test_a_stand_that_its_weight_does_not_hold_has_to_be_anchored() -> None:
    """A stiff stop of a large arm on one machine's stand: a warning with its cure."""
    found = judged("drawers-movable_stand-fenced_20-parallel_single-fence", shop(machines__mill_3__count=1))
    verdict = found.verdicts["stand"]

    assert (verdict.holds, verdict.kills) == (False, False)
    assert "the docking has to anchor it" in verdict.words
    assert found.sheet.value(verdict.margin) < 0.0
