"""Capacity by night and by shift, floor, pace, interface and lifting, each against numbers worked here."""

from dataclasses import replace

import pytest

from millhand.model.inquiry import Inquiry
from tests.stages.feasibility.judged import TRACK, judged
from tests.stages.shop import shop

RATE = 2 * 3600 / (330 + 30)  # two mills, 330 s and a gap of 30 s: 20 parts an hour
NIGHT_H, SHIFT_H = 8.0, 8.5


def with_second_operation(of: Inquiry) -> Inquiry:
    """The same part once more through the same mills."""
    part = of.parts[0]
    again = replace(part.operations[0], name="second side")
    return replace(of, parts=(replace(part, operations=(*part.operations, again)),))


def told_chips(of: Inquiry) -> Inquiry:
    """The shop that has said after how many parts its chip box is full."""
    machine = of.machines[0]
    chips = replace(machine.chip_limit_parts, basis="given")
    return replace(of, machines=(replace(machine, chip_limit_parts=chips),))


def test_the_least_limit_ends_the_night_and_is_named() -> None:
    """160 parts in 8 h; the lot of 120 ends before gauging (180), tools (300), chips and drawers (363)."""
    found = judged()
    demand, limit = found.numbers("capacity_night")

    assert (demand, limit) == pytest.approx((RATE * NIGHT_H, 120.0))
    assert found.sentence("capacity_night") == (
        "In 8 h alone 160 parts could be made, but the end of the lot ends the run after 120 parts, that is 6 h; "
        "next comes gauging by people, after 180."
    )
    assert found.verdicts["capacity_night"].kills is False


@pytest.mark.parametrize(
    ("changes", "limit", "words"),
    [
        ({"families": 1}, 300.0, "and nothing ends the run before: the first limit, tool life, comes after 300 parts"),
        ({"families": 1, "tool_life": 60}, 120.0, "but tool life ends the run after 120 parts"),
        ({"families": 1, "chip_limit": 40}, 80.0, "but a full chip box ends the run after 80 parts"),
        ({"lot_size": 1000}, 300.0, "tool life"),
        ({"families": 1, "gauge_every": 12}, 216.0, "gauging by people"),
    ],
)
def test_each_limit_can_be_the_least(changes: dict[str, float], limit: float, words: str) -> None:
    """Tools and chips count for each machine, a lot only where another family comes after it."""
    found = judged(TRACK, told_chips(shop(**{"gauge_every": 1000} | changes)))

    assert found.numbers("capacity_night")[1] == limit
    assert words in found.sentence("capacity_night")


def test_a_small_presenter_ends_the_night() -> None:
    """Two trays hold 66."""
    found = judged("trays-floor_track-fenced_20-parallel_double-fence")

    assert found.numbers("capacity_night")[1] == 66.0
    assert "the room in the presenter ends the run" in found.sentence("capacity_night")


def test_no_wish_no_night() -> None:
    """Who wants nobody-there hours of nought is not told about them."""
    found = judged(TRACK, shop(wishes__unattended=0))

    assert not {"capacity_night", "gauging_night"} & found.verdicts.keys()


def test_gauging_by_hand_is_pointed_out() -> None:
    """Every 10th part of each of two mills: 20 parts against 160."""
    found = judged()

    assert found.numbers("gauging_night") == pytest.approx((160.0, 20.0))
    assert "unchecked, unless the arm or the machine gauges" in found.sentence("gauging_night")


def test_one_refill_carries_the_shift_or_not() -> None:
    """170 parts in 8.5 h against 363 in drawers and 66 on trays: enough, and not."""
    drawers, trays = judged(), judged("trays-floor_track-fenced_20-parallel_double-fence")

    assert drawers.numbers("capacity_refill") == pytest.approx((RATE * SHIFT_H, 363.0))
    assert drawers.verdicts["capacity_refill"].holds
    assert (trays.verdicts["capacity_refill"].holds, trays.verdicts["capacity_refill"].kills) == (False, False)
    assert trays.sentence("capacity_refill").endswith(
        "holds 66: it takes 3 fillings a shift, 11 min each time all is filled."
    )


def test_a_part_that_does_not_fit_the_tray_ends_the_concept() -> None:
    """No pocket at all is more than a nuisance."""
    verdict = judged(TRACK, shop(raw__length=0.9, raw__width=0.7)).verdicts["capacity_refill"]

    assert (verdict.holds, verdict.kills) == (False, True)
    assert "not a single part fits in" in verdict.words


def test_a_shop_without_manned_shifts_has_no_shift_to_carry() -> None:
    """Nor anybody who lifts."""
    found = judged(TRACK, shop(shifts__early__manned="no"))

    assert not {"capacity_refill", "lifting"} & found.verdicts.keys()


def test_floor_ends_a_concept_only_where_the_shop_gave_it() -> None:
    """The same square metres as a guess only warn; nothing said is nothing checked."""
    tight = shop(wishes__floor=5)
    guess = replace(tight, wishes=replace(tight.wishes, floor_m2=replace(tight.wishes.floor_m2, basis="assumed")))  # type: ignore[type-var]

    given, guessed = (judged(TRACK, of).verdicts["floor_area"] for of in (tight, guess))
    assert (given.holds, given.kills) == (False, True)
    assert (guessed.holds, guessed.kills) == (False, False)
    assert "floor_area" not in judged(TRACK, replace(tight, wishes=replace(tight.wishes, floor_m2=None))).verdicts


def test_the_slower_one_sets_the_pace() -> None:
    """45 s of arm against 180 s of machines; with 200 s of arm the machines wait, and the rate follows the arm."""
    quick, slow = judged(), judged(work=200.0)

    assert quick.numbers("pace") == pytest.approx((45.0, 180.0))
    assert quick.sentence("pace").endswith("the machines set the pace.")
    assert slow.numbers("pace") == pytest.approx((200.0, 180.0))
    assert (slow.verdicts["pace"].holds, slow.verdicts["pace"].kills) == (False, False)
    assert slow.sentence("pace").endswith("the arm sets the pace, and machines wait for it.")
    assert slow.numbers("capacity_night")[0] == pytest.approx(8 * 3600 / 200)


def test_a_part_that_comes_twice_takes_twice_the_time() -> None:
    """Two visits to the same two mills: one part every 360 s, and the arm works for both."""
    found = judged(TRACK, with_second_operation(shop()))

    assert found.numbers("pace") == pytest.approx((90.0, 360.0))


def test_two_parts_a_load_halve_the_time_a_part() -> None:
    """A fixture for two."""
    assert judged(TRACK, shop(parts_per_cycle=2)).numbers("pace") == pytest.approx((22.5, 90.0))


def test_a_control_without_interface_warns() -> None:
    """None of two machines can be started: a margin of minus one, a question, and no end of the concept."""
    good, bad = judged(), judged(TRACK, shop(control="none"))

    assert good.numbers("interface") == (2.0, 2.0)
    assert bad.numbers("interface") == (2.0, 0.0)
    assert bad.sheet.value(bad.verdicts["interface"].margin) == -1.0
    assert (bad.verdicts["interface"].holds, bad.verdicts["interface"].kills) == (False, False)
    assert "ask this before anything else" in bad.sentence("interface")


def test_lifting_by_the_equation() -> None:
    """Two lifts for each of 20 parts an hour in a shift of 8.5 h, hands 0.4 m out, 0.9 m high, trunk turned."""
    demand, limit = judged().numbers("lifting")
    lifts = RATE * 2 / 60
    frequency = 0.81 + (lifts - 0.5) / (1.0 - 0.5) * (0.75 - 0.81)
    multipliers = (0.25 / 0.4, 1 - 0.3 * (0.9 - 0.75), 0.82 + 0.045 / 0.4, 1 - 0.0032 * 0.3 * 180 / 3.141592653589793)

    expected = 23.0 * frequency * 0.95
    for each in multipliers:
        expected *= each
    assert demand == 1.17
    assert limit == pytest.approx(expected)


def test_by_hand_it_is_the_machine_that_is_lifted_into() -> None:
    """Loading height, and the pace of the machines that one person tends."""
    found = judged("today")

    assert found.sheet["concepts.today.feasibility.lifting.limit"].inputs[1] == (
        "vertical_m",
        "machines.mill_3.load_height",
    )
    assert found.sheet.value("concepts.today.feasibility.pace.person_rate") == pytest.approx(RATE)
    assert found.sentence("lifting").startswith("Loading by hand means lifting 1.2 kg at a time")


def test_a_heavy_part_is_a_matter_for_a_hoist() -> None:
    """A warning with its caution, never the end of the concept."""
    found = judged("today", shop(raw_mass=15))

    verdict = found.verdicts["lifting"]
    assert (verdict.holds, verdict.kills) == (False, False)
    assert "a hoist" in verdict.words
    assert "competent persons assess" in verdict.caution


def test_nobody_lifts_single_parts_into_a_hopper() -> None:
    """A feeder is filled by the box: the equation for single parts does not fit."""
    of = shop(shape="round", raw__length=0.05, raw__width=0.08, leaves="box")
    found = judged("step_feeder-out_box-floor_track-fenced_20-centric_double-fence", of)

    assert "lifting" not in found.verdicts
