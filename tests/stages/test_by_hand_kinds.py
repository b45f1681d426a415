"""Cheap changes by hand at machines that are no mills: each where it makes sense, with what it does to a load."""

from dataclasses import replace

import pytest

from millhand.model.inquiry import Inquiry
from millhand.stages.concepts import concepts, dropped
from tests.agreement.test_kinds_of_machines import inquiry
from tests.stages.jobs import plan_of, told
from tests.stages.short_road import catalogue
from tests.stages.test_by_hand import change


def offered(name: str) -> set[str]:
    """The changes by hand that are looked at for one of the kinds."""
    return {each.change for each in concepts(inquiry(name), catalogue()) if each.change is not None}


def why_not(of: Inquiry, name: str) -> str:
    """Why one is not."""
    return dict(dropped(of, catalogue()))[f"by_hand-{name}"]


@pytest.mark.parametrize(
    ("name", "there", "elsewhere"),
    [
        ("press", {"coil_feed", "sliding_nest", "drop_chute"}, {"bar_feeder", "drop_and_boxes", "several_in_fixture"}),
        ("insert", {"insert_jig", "self_parting_gates"}, {"drop_and_boxes", "pallet_changer", "coil_feed"}),
        ("drop", {"walking_order"}, {"drop_and_boxes", "insert_jig", "self_parting_gates"}),
        ("grinder", {"chute_loader", "gauging_in_machine", "wheel_dressed_less"}, {"faster_cutting", "bar_feeder"}),
        ("bar", {"bar_magazine"}, {"bar_feeder", "billet_magazine"}),
        ("turned", {"billet_magazine"}, {"bar_feeder", "bar_magazine", "several_in_fixture"}),
    ],
)
def test_a_kind_gets_the_changes_of_its_trade(name: str, there: set[str], elsewhere: set[str]) -> None:
    """What fits such a machine is offered, and what is made for another is not."""
    assert there <= offered(name)
    assert not elsewhere & offered(name)


@pytest.mark.parametrize(
    ("name", "what", "words"),
    [
        ("bar", "billet_magazine", "feeds itself already"),
        ("insert", "drop_and_boxes", "somebody is at the mould anyway"),
        ("drop", "self_parting_gates", "no gate or sprue"),
        ("press", "bar_feeder", "is a change for lathe"),
        ("turned", "bar_feeder", "goes through the spindle of few lathes"),  # 100 mm
    ],
)
def test_it_says_why_one_is_not_offered(name: str, what: str, words: str) -> None:
    """In the words of its rule."""
    assert words in why_not(inquiry(name), what)


@pytest.mark.parametrize(
    ("name", "words"), [("bar", "only take parts away"), ("insert", "leaves somebody at the mould")]
)
def test_no_arm_is_offered_that_would_leave_the_operator_there(name: str, words: str) -> None:
    """A machine that feeds itself and one that takes inserts: every cell is dropped, with the reason."""
    assert not [each for each in concepts(inquiry(name), catalogue()) if each.kind == "cell"]
    assert any(words in why for _, why in dropped(inquiry(name), catalogue()))


def test_without_inserts_an_arm_may_take_out() -> None:
    """The same moulds without the insert: cells are looked at."""
    whole = inquiry("insert")
    elements = tuple(each for each in whole.today.elements if "insert" not in each.name)
    without = replace(whole, today=replace(whole.today, elements=elements))

    assert [each for each in concepts(without, catalogue()) if each.kind == "cell"]


def test_a_coil_frees_the_hands() -> None:
    """Nothing of the stroke holds the hands then, and the machine has all of its 2 s alone; outside work is a share."""
    made = plan_of(inquiry("press"), "by_hand-coil_feed")
    (timed,) = made.plan.timing.operations

    assert made.value(timed.process) == made.value(timed.whole_run) == 2.0
    assert made.value(timed.exchange) == pytest.approx(3.0 * change("coil_feed.outside"))


def test_a_sliding_nest_frees_a_share_of_them() -> None:
    """3 s outside and 1 s held, each by its own factor; what is not held the machine runs alone."""
    made = plan_of(inquiry("press"), "by_hand-sliding_nest")
    (timed,) = made.plan.timing.operations
    held = 1.0 * change("sliding_nest.bound")

    assert made.value(timed.exchange) == pytest.approx(3.0 * change("sliding_nest.outside") + held)
    assert made.value(timed.process) == pytest.approx(2.0 - held)
    assert made.value(timed.gap) == pytest.approx(3.0 * change("sliding_nest.outside"))


def test_hands_held_through_all_of_a_cycle_leave_nothing_alone() -> None:
    """Work guided by hand: the machine runs while it is held, and is still told apart from standing."""
    made = plan_of(told(inquiry("press"), {"parts.clip.bending.hands_bound": 1.0}), "today")
    (timed,) = made.plan.timing.operations

    assert (made.value(timed.process), made.value(timed.whole_run), made.value(timed.gap)) == (0.0, 2.0, 3.0)


def test_light_parts_lifted_very_often_are_no_case_for_a_hoist() -> None:
    """0.11 kg more than fifteen times a minute: the table has ended, and the words say what looks at such work."""
    (verdict,) = [each for each in plan_of(inquiry("press"), "today").plan.verdicts if each.check == "lifting"]

    assert not verdict.holds
    assert "repetitive handling" in verdict.words
    assert "hoist" not in verdict.words
    assert verdict.caution


def test_nobody_lifts_the_parts_of_a_machine_that_feeds_itself() -> None:
    """Bars and boxes are lifted, whose mass nobody told: no verdict."""
    assert not [each for each in plan_of(inquiry("bar"), "today").plan.verdicts if each.check == "lifting"]


@pytest.mark.parametrize(("time_is", "run_s"), [("cycle", 2225.0), ("floor_to_floor", 2135.0)])
def test_floor_to_floor_of_a_bar_has_its_share_of_the_visit(time_is: str, run_s: float) -> None:
    """50 s of a part: 44 x 50 + 25, less the 90 s of putting the bar in where they were counted in the 50 s."""
    made = plan_of(told(inquiry("bar"), {"parts.pin.turning.time_is": time_is}), "today")

    assert made.value(made.plan.timing.operations[0].process) == pytest.approx(run_s)
