"""How long one load takes, by hand and by an arm, against sums made by hand from what was given."""

import pytest

from millhand.model.inquiry import Inquiry
from millhand.model.timing import OperationTiming
from tests.stages.jobs import Planned, ids, job, plan_of, told
from tests.stages.short_road import catalogue

MILL, LINE, MOULD = job("one_mill"), job("line"), job("mould")
SINGLE = "trays-movable_stand-force_limited_25-parallel_single-scanner"
DOUBLE = SINGLE.replace("single", "double")
ONE_HAND = "trays-floor_track-fenced_20-parallel_single-fence"
TWO_HANDS = ONE_HAND.replace("single", "double")
FIGURES = {name: fact.value for name, fact in catalogue().figures.items()}


def component(name: str, figure: str) -> float:
    """A figure of a component."""
    return catalogue().components[name].figures[figure].value


def ways(made: Planned) -> dict[str, float]:
    """Travel between places of a cell."""
    return {pair: made.value(fact_id) for pair, fact_id in made.plan.timing.travel.items()}


def phases(made: Planned, index: int = 0) -> dict[str, float]:
    """Every phase of one operation."""
    row: OperationTiming = made.plan.timing.operations[index]
    names = ("process", "lead", "exchange", "tail", "gap", "other", "travel", "work")
    return {name: made.value(getattr(row, name)) for name in names}


# --- by hand ---


def test_by_hand_the_elements_of_one_load_with_allowance() -> None:
    """50 s outside and 40 s inside on a load of two parts; nothing is counted again for the other part."""
    found, more = phases(plan_of(MILL, "today")), 1.0 + MILL.people.allowance.value

    assert found["process"] == 300.0
    assert found["exchange"] == found["gap"] == pytest.approx(50.0 * more)
    assert found["other"] == pytest.approx(40.0 * more)
    assert found["travel"] == 0.0  # the rack stands at the one machine that he has
    assert found["work"] == pytest.approx(90.0 * more)
    assert found["lead"] == found["tail"] == 0.0


def test_who_tends_several_machines_walks_half_the_way_to_the_rack_and_half_on() -> None:
    """Two machines a head: one whole walk a load; from machine to machine it is the whole walk at once."""
    two = plan_of(told(MILL, {"people.machines_per_operator": 2.0}), "today")

    assert phases(two)["travel"] == MILL.today.walk_s.value
    assert ways(two)["presenter machine_1"] == MILL.today.walk_s.value / 2.0


def test_an_element_at_every_tenth_load_counts_a_tenth() -> None:
    """Gauging now and then."""
    rare = told(MILL, {"today.elements.deburr.every_n": 10.0})

    assert phases(plan_of(rare, "today"))["other"] == pytest.approx(4.0 * (1.0 + MILL.people.allowance.value))


def test_floor_to_floor_holds_the_outside_work_once() -> None:
    """What the shop timed from floor to floor is machining and loading together, for hands and for an arm."""
    whole = told(MILL, {"parts.lever.milling.time_is": "floor_to_floor"})
    outside = 50.0 * (1.0 + MILL.people.allowance.value)

    for concept in ("today", SINGLE):
        assert phases(plan_of(whole, concept))["process"] == pytest.approx(300.0 - outside)
    assert phases(plan_of(whole, "today"))["gap"] == pytest.approx(outside)


def test_without_inside_work_there_is_none() -> None:
    """Everything outside: the other work is nought, not missing."""
    bare = told(MILL, {"today.elements.deburr.side": "outside"})
    found = phases(plan_of(bare, "today"))

    assert found["other"] == 0.0
    assert found["exchange"] == pytest.approx(90.0 * (1.0 + MILL.people.allowance.value))


def test_a_change_by_hand_works_on_its_own_times_alone() -> None:
    """A second fixture shortens outside work and lengthens inside work; machining stays."""
    before, after = (phases(plan_of(MILL, each)) for each in ("today", "by_hand-second_fixture"))
    change = next(each for each in catalogue().hand_changes if each.id == "second_fixture")

    assert after["exchange"] == pytest.approx(before["exchange"] * change.effects["outside"].value)
    assert after["other"] == pytest.approx(before["other"] * change.effects["inside"].value)
    assert (after["process"], after["travel"]) == (before["process"], before["travel"])


def test_a_shorter_walk_shortens_every_way() -> None:
    """A better walking order."""
    before, after = (plan_of(MILL, each) for each in ("today", "by_hand-walking_order"))
    factor = next(each for each in catalogue().hand_changes if each.id == "walking_order").effects["walk"].value

    assert phases(after)["travel"] == pytest.approx(phases(before)["travel"] * factor)
    assert set(ways(after)) == set(ways(before))


def test_by_hand_a_line_is_walked_once_along_and_back() -> None:
    """Rack, mill, lathe, rack: one whole walk and two halves for a part, and inside work at both loads."""
    made = plan_of(LINE, "today")
    first, second = phases(made, 0), phases(made, 1)

    assert first["travel"] + second["travel"] == 2.0 * LINE.today.walk_s.value
    assert first["other"] == second["other"] == pytest.approx(20.0 * (1.0 + LINE.people.allowance.value))


# --- by an arm ---


def test_one_hand_fetches_the_next_load_while_the_machine_stands() -> None:
    """Door, two exchanges and the round between them, blowing off, the round for the first one, door and handshake."""
    made = plan_of(MILL, SINGLE)
    found, way = phases(made), ways(made)
    there, back = way["presenter machine_1"], way["machine_1 outfeed"]
    pick, place = component("trays", "pick_s"), component("back_to_tray", "place_s")
    tour = back + place + way["outfeed presenter"] + pick + there
    exchange = made.timing("milling.exchange_one")
    door = component("door_fitted", "each_way_s")

    assert found["lead"] == door
    assert found["exchange"] == pytest.approx(2.0 * exchange + tour + FIGURES["blow_off_mill_s"])
    assert found["tail"] == pytest.approx(door + FIGURES["handshake_s"])
    assert found["gap"] == pytest.approx(found["lead"] + found["exchange"] + tour + found["tail"])
    assert found["other"] == pytest.approx(pick + place)
    assert found["travel"] == pytest.approx(there + back + way["outfeed presenter"])
    assert found["work"] == pytest.approx(found["exchange"] + found["other"] + found["travel"])


def test_two_hands_save_the_round_and_a_way_in_and_out() -> None:
    """The second hand has the next part ready: it turns where one hand goes out and comes in again."""
    one, two = plan_of(MILL, SINGLE), plan_of(MILL, DOUBLE)
    once, twice = (made.timing("milling.exchange_one") for made in (two, one))

    assert phases(two)["gap"] == pytest.approx(phases(two)["lead"] + phases(two)["exchange"] + phases(two)["tail"])
    saved = phases(one)["gap"] - phases(two)["gap"]
    rounds = 2 * one.timing("milling.round") - two.timing("milling.round")  # of the two parts of a load
    assert saved == pytest.approx(rounds + 2.0 * (twice - once))


@pytest.mark.parametrize(("concept", "of"), [(SINGLE, MILL), (DOUBLE, MILL), (ONE_HAND, LINE), (TWO_HANDS, LINE)])
def test_the_elements_add_up_to_the_gap(concept: str, of: Inquiry) -> None:
    """All in which the machine stands, and the rest is what the arm does elsewhere."""
    made = plan_of(of, concept)

    for index, row in enumerate(made.plan.timing.operations):
        stands = [made.value(each.time) for each in row.elements if each.side == "machine stands"]
        alone = [made.value(each.time) for each in row.elements if each.side == "arm alone"]
        assert sum(stands) == pytest.approx(phases(made, index)["gap"])
        if alone:
            assert sum(alone) == pytest.approx(phases(made, index)["other"] + phases(made, index)["travel"])


ROUND = "to the outfeed, finished part put down, to the presenter, raw part picked up, back to the machine"
OUT, INTO = "door opens, way in, finished part is gripped", "raw part is let go, seat is checked, way out"
SWING = "a short way back, wrist turns to the raw part, to the seat again"
SHUT = "door closes, end of program, release and restart"


@pytest.mark.parametrize(
    ("concept", "order"),
    [(SINGLE, f"{OUT}, way out, {ROUND}, seat is blown off, way in, {INTO}, further parts of the load, {SHUT}"),
     (DOUBLE, f"{OUT}, {SWING}, seat is blown off, {INTO}, further parts of the load, {SHUT}")],
)  # fmt: skip
def test_elements_stand_in_the_order_in_which_they_happen(concept: str, order: str) -> None:
    """One hand puts away and fetches before the raw part goes in; two hands exchange in one visit."""
    elements = plan_of(MILL, concept).plan.timing.operations[0].elements
    clamping = ("clamping opens", "clamping closes")
    names = (each.name for each in elements if each.side == "machine stands" and each.name not in clamping)

    assert ", ".join(names) == order


def test_clamping_opens_before_the_way_out_and_closes_before_the_raw_part_is_let_go() -> None:
    """Of a powered vise, at the one hand's two visits."""
    clamped = told(MILL, {"machines.mill.clamping": "powered_vise"})
    names = [each.name for each in plan_of(clamped, SINGLE).plan.timing.operations[0].elements]
    opens, closes = names.index("clamping opens"), names.index("clamping closes")

    assert names[opens - 1 : opens + 2] == ["finished part is gripped", "clamping opens", "way out"]
    assert names[closes - 1 : closes + 2] == ["way in", "clamping closes", "raw part is let go"]


@pytest.mark.parametrize(("family", "low_s", "high_s"), [("fenced", 9.0, 25.0), ("force_limited", 18.0, 45.0)])
def test_an_exchange_by_its_elements_lies_where_practice_has_it(family: str, low_s: float, high_s: float) -> None:
    """Common practice, no source: 9 to 25 s with a fenced arm, 18 to 45 s with a force-limited one near people."""
    of = told(MILL, {"wishes.people_pass": "yes"}) if family == "force_limited" else told(job("dozen"), {})
    concept = DOUBLE if family == "force_limited" else ids(of, "trays-floor_track-fenced_20-parallel_double")[0]
    made = plan_of(of, concept)
    name = made.plan.timing.operations[0].operation

    assert low_s <= made.timing(f"{name}.exchange_one") <= high_s


def test_two_vises_are_two_exchanges_and_one_turn_for_each_part() -> None:
    """First and second side in one door opening."""
    sides = told(MILL, {"parts.lever.milling.sides": "two_vises", "parts.lever.milling.parts_per_cycle": 1.0})
    made, turn = plan_of(sides, DOUBLE), FIGURES["turn_over_s"]

    assert phases(made)["exchange"] == pytest.approx(
        2.0 * made.timing("milling.exchange_one") + turn + FIGURES["blow_off_mill_s"]
    )


def test_a_door_that_is_opened_by_hand_is_retrofitted_and_none_takes_no_time() -> None:
    """Which figure counts follows from the word."""
    hand, none = (told(MILL, {"machines.mill.door": word}) for word in ("hand", "none"))

    assert phases(plan_of(hand, DOUBLE))["lead"] == component("door_retrofit", "each_way_s")
    assert phases(plan_of(none, DOUBLE))["lead"] == 0.0
    assert phases(plan_of(none, DOUBLE))["tail"] == FIGURES["handshake_s"]


def test_a_force_limited_arm_is_slow_only_where_people_pass() -> None:
    """And a fenced one is never."""
    near, far = (told(MILL, {"wishes.people_pass": word}) for word in ("yes", "no"))
    fenced = told(job("dozen"), {"machines.mill.count": 1.0, "wishes.people_pass": "yes"})
    other = told(fenced, {"wishes.people_pass": "no"})
    arm = ids(fenced, "trays-pedestal-fenced")[0]

    assert ways(plan_of(near, SINGLE))["presenter machine_1"] > 2.0 * ways(plan_of(far, SINGLE))["presenter machine_1"]
    assert ways(plan_of(fenced, arm)) == ways(plan_of(other, arm))


def test_in_a_line_picking_and_placing_are_done_once() -> None:
    """Picking belongs to the first machine, placing to the last."""
    made = plan_of(LINE, TWO_HANDS)

    assert phases(made, 0)["other"] == component("trays", "pick_s")
    assert phases(made, 1)["other"] == component("back_to_tray", "place_s")


def test_two_hands_go_along_the_line_and_back() -> None:
    """Presenter, one of the mills (the mean of both), lathe, outfeed, presenter."""
    made = plan_of(LINE, TWO_HANDS)
    way = ways(made)
    into = (way["presenter machine_1"] + way["presenter machine_2"]) / 2.0
    between = (way["machine_1 machine_3"] + way["machine_2 machine_3"]) / 2.0
    round_trip = into + between + way["machine_3 outfeed"] + way["outfeed presenter"]

    assert phases(made, 0)["travel"] + phases(made, 1)["travel"] == pytest.approx(round_trip)


def test_one_hand_goes_every_way_of_a_line_twice() -> None:
    """It fetches for the lathe from a mill, for the mill from the presenter, and returns for the finished part."""
    made = plan_of(LINE, ONE_HAND)
    way = ways(made)
    into = (way["presenter machine_1"] + way["presenter machine_2"]) / 2.0
    between = (way["machine_1 machine_3"] + way["machine_2 machine_3"]) / 2.0
    loaded = into + between + way["machine_3 outfeed"]
    outfeed_to_mill = (way["outfeed machine_1"] + way["outfeed machine_2"]) / 2.0
    lathe_to_presenter = way["machine_3 presenter"]
    empty = outfeed_to_mill + lathe_to_presenter + between  # to the mill for the lathe, to the presenter, to the lathe

    assert phases(made, 0)["travel"] + phases(made, 1)["travel"] == pytest.approx(loaded + empty)


def test_a_mould_is_only_emptied() -> None:
    """In, grip, out, whatever the cavities; no picking, out and back to the outfeed, and no round to fetch."""
    concept = ids(MOULD, "from_mould-out_box-pedestal-fenced_20")[0]
    made = plan_of(MOULD, concept)
    found, way = phases(made), ways(made)
    names = [each.name for each in made.plan.timing.operations[0].elements][1:4]

    assert names == ["way in", "finished part is gripped", "way out"]
    assert found["exchange"] == pytest.approx(made.timing(f"{made.plan.timing.operations[0].operation}.exchange_one"))
    assert found["gap"] == pytest.approx(found["lead"] + found["exchange"] + found["tail"])
    assert found["other"] == component("out_box", "place_s")
    into, out = (
        sum(way[f"{a} {b}"] for a, b in pairs) / len(pairs)
        for pairs in ([("outfeed", m) for m in mills(made)], [(m, "outfeed") for m in mills(made)])
    )
    assert found["travel"] == pytest.approx(into + out)


def mills(made: Planned) -> list[str]:
    """The places of the machines."""
    return [place for place in made.plan.timing.places if place.startswith("machine_")]
