"""The price of a concept: every line an amount, sums that add up, and what the words of the inquiry change."""

import math
from collections.abc import Mapping

import pytest

from millhand.errors import ToolError
from millhand.model.fact import Fact
from millhand.stages.estimate import estimate
from millhand.trace import Sheet, recomputed
from tests.stages.money_shop import CATALOGUE, Made, Words, concept, inquiry, made

TRAVEL = Fact(
    id="concepts.drawers-floor_track-fenced.layout.track.travel", value=9.0, unit="m", basis="given", source="test"
)


BOUGHT = {
    "work_design": 0.3, "work_programming": 0.25, "work_build": 0.25, "work_start_up": 0.2,
    "training": 0.35, "freight": 0.25, "spares": 0.4,
}  # fmt: skip


def amounts(priced: Made) -> Mapping[str, float]:
    """The lines by their ids."""
    return {line.id: line.amount.value for line in priced.estimate.lines}


def catalogue_price(name: str) -> float:
    """A price of the catalogue, one year older than the order: 3 % dearer."""
    return CATALOGUE.components[name].figures["price"].value * 1.03


@pytest.mark.parametrize(
    ("line", "component", "count"),
    [
        ("arm", "fenced_20", 1), ("gripper", "parallel_double", 1), ("presenter", "drawers", 1),
        ("safeguarding", "fence", 1), ("mount", "pedestal", 1), ("fingers", "finger_set", 3),
        ("interface_free_outputs", "interface_free_outputs", 2), ("door_retrofit", "door_retrofit", 2),
        ("powered_vise", "powered_vise", 2), ("site_work", "site_work", 1),
    ],
)  # fmt: skip
def test_a_line_is_the_catalogue_price_times_its_pieces(line: str, component: str, count: int) -> None:
    """Machines, families and single things are counted each for itself, and prices carried on by one year."""
    assert amounts(made())[line] == pytest.approx(count * catalogue_price(component))


def test_bought_work_is_told_line_by_line_and_rises_and_falls_together() -> None:
    """Engineering to start-up in four lines, the rest in three; a dearer offer moves all of its own."""
    priced = made()
    wholes = {name: "engineering_two" if name.startswith("work_") else "training_freight_spares" for name in BOUGHT}

    for name, share in BOUGHT.items():
        assert amounts(priced)[name] == pytest.approx(share * catalogue_price(wholes[name]))
    dear = recomputed(priced.sheet.facts, {"catalogue.engineering_two.price": 70_000.0}, {})
    rise = [dear[f"concepts.{priced.concept.id}.estimate.{name}"] / amounts(priced)[name] for name in BOUGHT]
    assert rise == pytest.approx([70.0 / 45.0] * 4 + [1.0] * 3)


def test_cost_margin_and_price_are_three_numbers() -> None:
    """A fifth of the price is margin; whoever builds for himself takes none."""
    turnkey, own = made().estimate, made(words=Words(integrator="own"))
    price, cost, margin = (made().value(each) for each in (turnkey.installed, turnkey.cost, turnkey.margin))

    assert margin == pytest.approx(0.2 * price)
    assert cost == pytest.approx(price - margin)
    assert own.value(own.estimate.margin) == 0.0
    assert own.estimate.cost == own.estimate.installed


def test_a_raw_part_costs_what_the_shop_says_else_by_its_mass() -> None:
    """2 kg at 4 a kilogram, a year dearer; 200 of them go in trials."""
    by_mass = made()
    told = made(told={"raw_cost": 11.0})

    assert by_mass.value(by_mass.estimate.material_per_part) == pytest.approx(2.0 * 4.0 * 1.03)
    assert told.value(told.estimate.material_per_part) == 11.0
    assert amounts(told)["trial_parts"] == pytest.approx(200.0 * 11.0)


def test_the_sums_are_the_sums_of_their_lines() -> None:
    """Equipment, what is paid before hand-over, and the shop's own work are three numbers."""
    priced = made()
    group = {
        name: math.fsum(line.amount.value for line in priced.estimate.lines if line.group == name)
        for name in ("equipment", "work", "contingency", "own")
    }

    assert priced.value(priced.estimate.equipment) == pytest.approx(group["equipment"])
    assert priced.value(priced.estimate.installed) == pytest.approx(sum(group.values()) - group["own"])
    assert priced.value(priced.estimate.own) == pytest.approx(group["own"])
    assert group["contingency"] == pytest.approx(0.15 * (group["equipment"] + group["work"]))


def test_no_line_is_a_share_of_the_arm() -> None:
    """An arm at twice its price makes its own line dearer, and contingency; nothing else."""
    priced = made()
    arm = concept().arm
    assert arm is not None
    price = arm.figures["price"]
    after = recomputed(priced.sheet.facts, {price.id: 2.0 * price.value}, {})

    moved = {line.id for line in priced.estimate.lines if after[line.amount.id] != pytest.approx(line.amount.value)}

    assert moved == {"arm", "contingency"}


def test_every_bought_line_has_its_range() -> None:
    """Low, likely and high of the catalogue reach the line, and the sum lies between the sums of the ends."""
    priced = made()
    bought = [line.amount for line in priced.estimate.lines if line.group != "own"]
    total = priced.sheet[priced.estimate.installed]

    assert all(fact.low is not None and fact.high is not None for fact in bought)
    assert all(fact.low < fact.value < fact.high for fact in bought)  # type: ignore[operator]
    assert sum(fact.low or 0.0 for fact in bought) < (total.low or 0.0) < total.value
    assert total.value < (total.high or 0.0) < sum(fact.high or 0.0 for fact in bought)


@pytest.mark.parametrize(
    ("words", "there", "gone"),
    [
        (Words(door="powered"), set(), {"door_retrofit"}),
        (Words(clamping="powered_vise"), set(), {"powered_vise"}),
        (Words(clamping="hand_chuck"), {"powered_chuck"}, {"powered_vise"}),
        (Words(control="none"), {"interface_none"}, {"interface_free_outputs"}),
        (Words(integrator="own"), set(), set(BOUGHT)),
    ],
)
def test_words_of_the_inquiry_change_the_lines(words: Words, there: set[str], gone: set[str]) -> None:
    """Powered doors and vises cost nothing, a control without outputs costs more, own integration buys no work."""
    lines = amounts(made(words=words)).keys()

    assert there <= lines
    assert not gone & lines


def test_two_vises_cost_two() -> None:
    """First and second side in two vises: each machine gets two powered ones."""
    assert amounts(made(words=Words(sides="two_vises")))["powered_vise"] == pytest.approx(
        2 * amounts(made())["powered_vise"]
    )


def test_own_integration_costs_less_by_its_lines() -> None:
    """What is paid falls by 30 to 45 %, as the trade has it, and by nothing but the lines that are not bought."""
    turnkey, own = made(), made(words=Words(integrator="own"))
    paid = [each.value(each.estimate.installed) for each in (turnkey, own)]
    lines = amounts(turnkey)

    assert paid[0] - paid[1] == pytest.approx(1.15 * math.fsum(lines[name] for name in BOUGHT))
    assert 0.30 <= 1.0 - paid[1] / paid[0] <= 0.45


def test_one_arm_cells_lie_where_the_trade_has_them() -> None:
    """A one-arm cell comes to 110 000 to 215 000 installed, in the catalogue's money of its year."""
    one = made(numbers={"machines.mill.count": 1.0, "money.escalation": 0.0}, words=Words(door="powered"))
    two = made(numbers={"money.escalation": 0.0})

    assert 110_000.0 <= one.value(one.estimate.installed) <= 215_000.0
    assert 110_000.0 <= two.value(two.estimate.installed) <= 215_000.0


def test_one_machine_needs_less_engineering_and_a_track_needs_more() -> None:
    """Engineering goes by what the arm serves."""
    one, two = made(numbers={"machines.mill.count": 1.0}), made()
    sheet = Sheet((*two.sheet.facts.values(), TRAVEL))
    track = estimate(two.inquiry, concept(mount="floor_track"), CATALOGUE, sheet)
    design = next(line for line in track.lines if line.id == "work_design").amount.value

    assert amounts(one)["work_design"] < amounts(two)["work_design"] < design


def test_a_track_is_paid_by_its_length() -> None:
    """A layout that asks for 9 m of travel: 5.5 m on top of the first 3.5 m."""
    asked, sheet = inquiry({"machines.mill.count": 4.0}), Sheet((TRAVEL,))
    track = estimate(asked, concept(mount="floor_track"), CATALOGUE, sheet)
    figures = CATALOGUE.components["floor_track"].figures
    price = figures["price"].value + 5.5 * figures["price_per_m"].value

    assert next(line for line in track.lines if line.id == "mount").amount.value == pytest.approx(1.03 * price)


def test_a_second_gate_is_a_line_of_its_own() -> None:
    """Where two are drawn one is paid besides the fence with its own; where one is drawn there is no such line."""
    more = Fact(
        id="concepts.drawers-pedestal-fenced.layout.gates.more", value=1.0, unit="1", basis="given", source="test"
    )
    of = inquiry({})
    with_two, with_one = (
        estimate(of, concept(), CATALOGUE, Sheet(facts)) for facts in ((more,), ())
    )  # fmt: skip
    price = CATALOGUE.components["fence"].figures["gate_price"].value

    assert next(line for line in with_two.lines if line.id == "gates").amount.value == pytest.approx(1.03 * price)
    assert "gates" not in [line.id for line in with_one.lines]


def test_today_costs_nothing() -> None:
    """No lines, and every sum is nought."""
    today = made("today")

    assert today.estimate.lines == ()
    assert [today.value(each) for each in (today.estimate.equipment, today.estimate.installed, today.estimate.own)] == [
        0.0
    ] * 3
    assert today.value(today.estimate.order_to_hand_over_s) == 0.0


def test_a_change_by_hand_costs_its_price_on_each_machine() -> None:
    """Two mills, one second fixture each, and contingency; own hours, and the standing, on top; from stock in weeks."""
    priced = made("by_hand")
    change = next(each for each in CATALOGUE.hand_changes if each.id == "second_fixture")

    assert amounts(priced)["change"] == pytest.approx(2 * 1.03 * change.price.value)
    assert set(amounts(priced)) == {"change", "contingency", "own_hours", "standstill"}
    hour = priced.value(priced.estimate.worked_hour)
    day = priced.value("wage.present_hours") / max(each.days_per_week.value for each in inquiry().shifts)
    assert amounts(priced)["own_hours"] == pytest.approx(8.0 * hour)
    assert amounts(priced)["standstill"] == pytest.approx(0.25 * day * hour)
    assert priced.value(priced.estimate.own) == pytest.approx((8.0 + 0.25 * day) * hour)
    assert priced.value(priced.estimate.order_to_hand_over_s) == 3 * 7 * 86400.0


def test_a_change_bought_once_is_paid_once() -> None:
    """What serves all machines is not counted by machine."""
    sheet, change = Sheet(), next(each for each in CATALOGUE.hand_changes if each.per == "once")
    priced = estimate(inquiry(), concept("by_hand", change=change.id), CATALOGUE, sheet)

    assert priced.lines[0].amount.value == pytest.approx(1.03 * change.price.value)
    assert [each.id for each in priced.lines] == ["change", "contingency"]  # another order of work holds the rest


def test_an_unknown_change_is_our_own_error() -> None:
    """A concept that names no change of the catalogue is refused by name."""
    with pytest.raises(ToolError, match="no change by hand is called walking_on_air"):
        estimate(inquiry(), concept("by_hand", change="walking_on_air"), CATALOGUE, Sheet())


def test_a_worked_hour_costs_more_than_a_paid_one() -> None:
    """24 with late premium on half the hours, 30 % on-cost, breaks unpaid, 8 % absence."""
    priced = made()

    assert priced.value(priced.estimate.worked_hour) == pytest.approx(24.0 * 1.05 * 1.30 / 0.92)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (Words(on_cost_per="worked"), 24.0 * 1.05 * 1.30),
        (Words(premium="none"), 24.0 * 1.30 / 0.92),
        (Words(premium="night"), 24.0 * 1.11 * 1.30 / 0.92),
        (Words(breaks_paid="yes"), 24.0 * 1.05 * 1.30 / 0.92 * 8.0 / 7.5),
    ],
)
def test_on_cost_premiums_and_paid_breaks_are_told_apart(words: Words, expected: float) -> None:
    """On-cost per worked hour has absence in it already; paid breaks make a worked hour dearer."""
    priced = made(words=words)

    assert priced.value(priced.estimate.worked_hour) == pytest.approx(expected)


def test_the_shops_own_work_is_hours_and_standing_days() -> None:
    """120 hours, and three days of two shifts made up for by one head each, at what a worked hour costs."""
    priced = made()
    hour = priced.value(priced.estimate.worked_hour)

    assert amounts(priced)["own_hours"] == pytest.approx(120.0 * hour)
    assert amounts(priced)["standstill"] == pytest.approx(3.0 * 16.0 * hour)


def test_door_work_and_tracks_take_longer() -> None:
    """Twenty weeks instead of sixteen."""
    week = 7 * 86_400.0

    assert made().value(made().estimate.order_to_hand_over_s) == pytest.approx(20 * week)
    powered = made(words=Words(door="powered"))
    assert powered.value(powered.estimate.order_to_hand_over_s) == pytest.approx(16 * week)


def test_the_class_of_the_estimate_is_said_in_figures() -> None:
    """20 % below and 40 % above stand in the sentence as marks of facts."""
    priced = made()

    for name, share in (("accuracy_low_share", 0.2), ("accuracy_high_share", 0.4)):
        assert f"[[catalogue.{name}|percent]]" in priced.estimate.estimate_class
        assert priced.value(f"catalogue.{name}") == share
    base = f"concepts.{priced.concept.id}.estimate"
    installed = priced.value(priced.estimate.installed)
    assert priced.value(f"{base}.usual_low") == pytest.approx(0.8 * installed)
    assert priced.value(f"{base}.usual_high") == pytest.approx(1.4 * installed)


def test_what_is_not_in_the_price_is_listed() -> None:
    """The building, fixtures, permits; and the work itself, where the shop integrates on its own."""
    turnkey, own = made().estimate.excluded, made(words=Words(integrator="own")).estimate.excluded

    for thing in ("building", "fixtures", "permits"):
        assert any(thing in line for line in turnkey)
    assert set(own) - set(turnkey) == {
        "engineering, programming, risk assessment, training and freight, which the shop takes on itself"
    }


def test_the_price_follows_from_facts_alone() -> None:
    """Recomputing the graph gives the same sum, and another exchange rate scales what is bought."""
    priced = made()
    facts: Mapping[str, Fact] = priced.sheet.facts
    same = recomputed(facts, {}, {})
    other = recomputed(facts, {"money.exchange_rate": 0.9}, {})

    assert same[priced.estimate.installed] == pytest.approx(priced.value(priced.estimate.installed))
    assert other[priced.estimate.installed] == pytest.approx(0.9 * same[priced.estimate.installed])
    bought = sum(amounts(priced)[name] for name in ("trial_parts", "site_work"))
    assert other[priced.estimate.own] == pytest.approx(same[priced.estimate.own] - 0.1 * bought)
