"""Cheap changes by hand: where each is offered, what each changes in times, hours and price."""

from dataclasses import replace
from itertools import pairwise

import pytest

from millhand.model.catalogue import share_of_steps
from millhand.model.inquiry import Inquiry
from millhand.stages.cells.hand_hours import heads_by_shift, pauses_by_hand
from millhand.stages.concepts import concepts, dropped
from tests.stages.jobs import plan_of, told
from tests.stages.shop import shop, with_value
from tests.stages.short_road import Walked, catalogue, changed, example, walked
from tests.stages.test_cells import shift

MILLS, LATHES, VISES = "1_two_mills", "2_three_lathes", "5_two_vises"
HOUR = 3600.0


def change(name: str) -> float:
    """The likely value of an effect, written change.effect."""
    own, _, effect = name.partition(".")
    return next(each for each in catalogue().hand_changes if each.id == own).effects[effect].value


def offered(inquiry: Inquiry) -> set[str]:
    """The changes by hand that are looked at."""
    return {each.change for each in concepts(inquiry, catalogue()) if each.change is not None}


def why_not(inquiry: Inquiry, name: str) -> str:
    """Why a change is not."""
    return dict(dropped(inquiry, catalogue()))[f"by_hand-{name}"]


def figure(made: Walked, name: str) -> float:
    """A figure of the concept that was walked."""
    return made.sheet.value(f"concepts.{made.performance.concept}.{name}")


def renamed(inquiry: Inquiry, name: str) -> Inquiry:
    """The first element of today's outside work under another name."""
    first, *rest = inquiry.today.elements
    return replace(inquiry, today=replace(inquiry.today, elements=(replace(first, name=name), *rest)))


def two_heads(name: str = MILLS) -> Inquiry:
    """Two operators, two machines each."""
    return changed(example(name), {"people.operators": 2.0, "machines.mill.count": 4.0})


# --- where each is offered ---


@pytest.mark.parametrize(
    ("name", "steps"),
    [
        ("deburr", 1.0),
        ("unload_and_wipe", 0.5),
        ("wipe_chuck", 0.0),
        ("open_and_blow_off", 0.0),
        ("gauge_and_wash", 1.0),
    ],
)
def test_steps_that_could_move_inside_are_told_by_their_names(name: str, steps: float) -> None:
    """A step beside the machine counts with its share of the element; what is done at chuck or door does not."""
    words = next(each.steps for each in catalogue().hand_changes if each.id == "inside_work")

    assert share_of_steps(name, words) == steps


def test_work_moves_inside_only_where_some_is_outside() -> None:
    """Deburring while the machine stands, or wiping as one of two steps; never what is done inside already."""
    assert "inside_work" in offered(example(LATHES))
    assert "inside_work" not in offered(example(MILLS))
    assert "inside_work" in offered(renamed(example(MILLS), "deburr"))
    assert "could be done while it runs" in why_not(example(MILLS), "inside_work")


@pytest.mark.parametrize(
    ("name", "here", "elsewhere", "words"),
    [
        ("several_in_fixture", {}, {"raw__length": 0.3}, "too long"),
        ("several_in_fixture", {}, {"sides": "two_vises"}, "two sides"),
        ("several_in_fixture", {}, {"parts_per_cycle": 2}, "already"),
        ("second_side", {"sides": "two_vises"}, {}, "no second side"),
        ("quick_change_set_ups", {}, {"families": 1}, "never changed over"),
        ("staggered_breaks", {"people__operators": 2}, {}, "nobody to step in"),
        ("relief_in_breaks", {}, {"people__operators": 2}, "each other"),
        ("faster_cutting", {}, {"kind": "moulding"}, "is a change for"),
        ("helper", {}, {"count": 1}, "too little"),
    ],
)
def test_a_change_is_offered_here_and_not_there(
    name: str, here: dict[str, float | str], elsewhere: dict[str, float | str], words: str
) -> None:
    """On both sides of its condition, with the reason in words."""
    assert name in offered(shop(**here))
    assert name not in offered(shop(**elsewhere))
    assert words in why_not(shop(**elsewhere), name)


def test_helping_each_other_wants_two_with_machines_of_their_own() -> None:
    """Not one alone, not where the shop has it already, not where heads and machines do not come out even."""
    uneven = changed(two_heads(), {"machines.mill.count": 3.0})

    assert "help_each_other" in offered(two_heads())
    assert "nobody to step in" in why_not(example(MILLS), "help_each_other")
    assert "already" in why_not(told(two_heads(), {"people.tend": "together"}), "help_each_other")
    assert "already" in why_not(told(two_heads(), {"people.break_cover": "each_other"}), "help_each_other")
    assert "already" in why_not(uneven, "help_each_other")
    for change in ("staggered_breaks", "relief_in_breaks"):
        covered = told(
            two_heads() if change == "staggered_breaks" else example(MILLS), {"people.break_cover": "relief"}
        )
        assert why_not(covered, change) == "the breaks are covered already"


def test_a_lighter_last_shift_wants_two_heads_in_it() -> None:
    """One person is the fewest; of one shift none is the last."""
    assert "lighter_shift" in offered(two_heads())
    assert "no more" in why_not(example(MILLS), "lighter_shift")
    assert why_not(example("4_tiny_lots"), "lighter_shift") == "there is one shift"


def test_a_helper_is_offered_while_the_work_fits_one_person() -> None:
    """Four times the work beside the machines against one cutting time."""
    little, much = (changed(example(MILLS), {"today.elements.deburr.time": each}) for each in (30.0, 80.0))

    assert "helper" in offered(little)
    assert "more than one person" in why_not(much, "helper")


def test_each_says_what_it_assumes_and_what_to_ask() -> None:
    """In the concept, so that every face can show it."""
    for each in concepts(two_heads(), catalogue()):
        assert bool(each.assumes) == bool(each.question) == (each.kind == "by_hand")


@pytest.mark.parametrize("name", [MILLS, LATHES, "3_moulding", "4_tiny_lots", VISES])
def test_every_example_has_at_least_two(name: str) -> None:
    """With price and effect."""
    assert len(offered(example(name))) >= 2


# --- times ---


def test_what_moves_inside_leaves_the_outside() -> None:
    """Half of an element of two steps, as much of it as is likely to move; the sum of all work stays."""
    before, after = (plan_of(example(LATHES), each) for each in ("today", "by_hand-inside_work"))
    wiping = next(each for each in example(LATHES).today.elements if each.name == "unload_and_wipe")
    assert wiping.allowance is not None
    moved = wiping.time_s.value * (1.0 + wiping.allowance.value) / 2.0 * change("inside_work.moved")

    assert after.timing("turning.outside") == pytest.approx(before.timing("turning.outside_by_hand") - moved)
    assert after.timing("turning.inside") == pytest.approx(before.timing("turning.inside_by_hand") + moved)
    assert after.timing("turning.work") == pytest.approx(before.timing("turning.work"))


def test_work_at_the_bench_can_move_whatever_it_is_called() -> None:
    """An outside element told at the bench needs no machine."""
    first, *rest = example(MILLS).today.elements
    at_bench = replace(first, place="bench")
    inquiry = replace(example(MILLS), today=replace(example(MILLS).today, elements=(at_bench, *rest)))
    made = plan_of(inquiry, "by_hand-inside_work")
    share = change("inside_work.moved")

    assert made.timing("milling.moved") == pytest.approx(first.time_s.value * 1.12 * share)


def test_two_parts_in_a_fixture_take_two_parts_times() -> None:
    """Twice the times of one part, less what both share; as many loads for tools and chips as half the parts."""
    before, after = (plan_of(example(MILLS), each) for each in ("today", "by_hand-several_in_fixture"))
    inquiry, (cell, other) = example(MILLS), (each.plan.cell for each in (after, before))
    assert cell is not None
    assert other is not None

    assert after.timing("milling.parts_per_load") == 2.0
    cutting = 2.0 * 380.0 * change("several_in_fixture.process")
    assert after.timing("milling.process_changed") == pytest.approx(cutting)
    outside = 2.0 * before.timing("milling.outside_by_hand") * change("several_in_fixture.outside")
    assert after.timing("milling.outside") == pytest.approx(outside)
    assert after.timing("milling.inside_of_several") == pytest.approx(2.0 * before.timing("milling.inside_by_hand"))
    lives = [each.stations["machine_1"].wear[0].limit for each in (other, cell)]
    assert lives == [inquiry.parts[0].operations[0].tool_life_parts.value / loads for loads in (1.0, 2.0)]


def test_better_cutting_makes_machines_quicker_than_today() -> None:
    """The output that no process exceeds follows the shorter cutting time."""
    before, after = (walked(example(LATHES), f"by_hand-{each}") for each in ("walking_order", "faster_cutting"))
    factor = change("faster_cutting.process")

    ratio = figure(before, "performance.turning.machines_parts_per_h") / figure(
        after, "performance.turning.machines_parts_per_h"
    )
    assert ratio == pytest.approx(factor)


def test_a_shorter_set_up_gives_back_the_hours_of_its_lots() -> None:
    """Between the lots half the time: half the difference that set-ups made."""
    few = walked(example(MILLS), "by_hand-quick_change_set_ups")
    steady, rate = (figure(few, f"performance.{each}_parts_per_h") for each in ("net", "rate"))
    set_up_h = 50.0 / 60.0 * change("quick_change_set_ups.setup")

    assert 1.0 / rate == pytest.approx(1.0 / steady + set_up_h / (400.0 * 2.0))


# --- hours ---


def test_who_steps_in_is_paid_for_the_breaks() -> None:
    """Two shifts with three quarters of an hour of breaks on 250 days, one head, who is there as often as today."""
    made = walked(example(MILLS), "by_hand-relief_in_breaks")
    there = 1.0 - made.value("shifts.absent_share")

    assert figure(made, "performance.more_h") == pytest.approx(2.0 * 0.75 * 250.0 * there)
    assert made.value(made.performance.operator_h_per_y) == pytest.approx(2.0 * 8.5 * 250.0 * there)


def test_a_helper_costs_his_share_of_a_post() -> None:
    """Two machines of the four that he has: half a post in both shifts."""
    made = walked(changed(example(MILLS), {"today.elements.deburr.time": 30.0}), "by_hand-helper")

    today = made.value(made.today.operator_h_per_y)
    assert made.value(made.performance.operator_h_per_y) == pytest.approx(1.5 * today)


def test_one_person_fewer_frees_half_of_the_last_of_two_shifts() -> None:
    """A quarter of all hours; the cell has one operator there and two before."""
    made = walked(two_heads(), "by_hand-lighter_shift")
    cell = made.plan.cell
    assert cell is not None

    assert made.value(made.performance.operator_h_per_y) == pytest.approx(
        0.75 * made.value(made.today.operator_h_per_y)
    )
    first, second = (sum(end - start for start, end in cell.calendars[each].on) for each in ("operator1", "operator2"))
    assert second == pytest.approx(first / 2.0)


def test_only_the_last_shift_gets_lighter() -> None:
    """Two heads early, one late."""
    lighter = next(each for each in catalogue().hand_changes if each.id == "lighter_shift")

    assert heads_by_shift(two_heads(), lighter) == {"early": 2, "late": 1}
    assert heads_by_shift(two_heads(), None) == {"early": 2, "late": 2}


def test_staggered_breaks_leave_somebody_at_the_machines() -> None:
    """The second head goes when the first is back, and for as long."""
    cell = walked(two_heads(), "by_hand-staggered_breaks").plan.cell
    today = walked(two_heads(), "by_hand-walking_order").plan.cell
    assert cell is not None
    assert today is not None
    first, second = (cell.calendars[each].on for each in ("operator1", "operator2"))
    away = [[(end, start) for (_, end), (start, _) in pairwise(each)] for each in (first, second)]
    short = [[(a, b) for a, b in each if b - a < HOUR] for each in away]

    assert first == today.calendars["operator1"].on
    assert len(short[0]) == len(short[1]) == 20
    assert not any(a < d and c < b for a, b in short[0] for c, d in short[1])
    assert sum(b - a for a, b in short[0]) == pytest.approx(sum(b - a for a, b in short[1]))


def test_a_break_is_moved_only_to_where_there_is_room() -> None:
    """After the others', before it at the end of the shift, and left alone where neither is free."""
    staggered = next(each for each in catalogue().hand_changes if each.id == "staggered_breaks")
    late, full = shift(6.0, 8.0, 5.0, (13.5, 0.5)), shift(6.0, 1.0, 5.0, (6.25, 0.75))

    assert pauses_by_hand(example(MILLS), late, 2, staggered) == [(7.0 * HOUR, 0.5 * HOUR)]
    assert pauses_by_hand(example(MILLS), late, 1, staggered) == [(7.5 * HOUR, 0.5 * HOUR)]
    assert pauses_by_hand(example(MILLS), full, 2, staggered) == [(0.25 * HOUR, 0.75 * HOUR)]


def test_a_feeder_shortens_the_breaks_by_what_it_feeds() -> None:
    """The machines stand for the share of the break that is lost."""
    feeder = next(each for each in catalogue().hand_changes if each.id == "bar_feeder")
    own = shift(6.0, 8.0, 5.0, (9.0, 0.5))

    ((into, length),) = pauses_by_hand(example(MILLS), own, 1, feeder)
    assert (into, length) == pytest.approx((3.0 * HOUR, 0.5 * HOUR * change("bar_feeder.breaks_lost")))


def test_helping_each_other_lets_each_serve_all_for_the_same_hours() -> None:
    """As today but for the machines of their own; and so it is where the shop says it, or a shift has fewer heads."""
    made = walked(two_heads(), "by_hand-help_each_other")
    today = plan_of(two_heads(), "today").plan.cell
    cells = [made.plan.cell, plan_of(told(two_heads(), {"people.tend": "together"}), "today").plan.cell]
    late = replace(two_heads().shifts[1].operators, id="shifts.late.operators", value=1.0)
    early, second = two_heads().shifts
    fewer = replace(two_heads(), shifts=(early, replace(second, operators=late)))

    assert made.value(made.performance.operator_h_per_y) == made.value(made.today.operator_h_per_y)
    assert today is not None
    assert all(who.take_from for who in today.attendants.values())
    for cell in (*cells, plan_of(fewer, "today").plan.cell):
        assert cell is not None
        assert not any(who.take_from for who in cell.attendants.values())


def test_a_shop_that_covers_its_breaks_pays_for_them_and_keeps_its_machines() -> None:
    """From elsewhere: no break in the hours of the cell, all hours paid. Each other: one after the other."""
    relief, each_other = (
        plan_of(told(two_heads(), {"people.break_cover": cover}), "today") for cover in ("relief", "each_other")
    )
    there = 1.0 - relief.value("shifts.absent_share")
    first, second = (each.on for each in each_other.plan.cell.calendars.values())  # type: ignore[union-attr]

    assert relief.value("shifts.assigned_h_per_y") == pytest.approx(2.0 * 2.0 * 8.5 * 250.0 * there)
    assert sum(end - begin for begin, end in relief.plan.cell.calendars["operator1"].on) == 5 * 17 * HOUR  # type: ignore[union-attr]
    assert first != second
    assert sum(end - begin for begin, end in first) == sum(end - begin for begin, end in second)


# --- price ---


def test_what_goes_by_the_part_is_bought_for_each_family() -> None:
    """Four families, two machines."""
    one, four = (
        walked(changed(example(MILLS), {"parts.bracket.families": each}), "by_hand-faster_cutting")
        for each in (1.0, 4.0)
    )

    assert figure(four, "estimate.change") == pytest.approx(4.0 * figure(one, "estimate.change"))


def test_a_powered_door_ends_the_powered_door_alone() -> None:
    """Nothing else by hand hangs on that word."""
    inquiry = example(MILLS)
    door = with_value(inquiry.machines[0].door, "powered")
    told = replace(inquiry, machines=(replace(inquiry.machines[0], door=door),))

    assert offered(inquiry) - offered(told) == {"powered_door"}
