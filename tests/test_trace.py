"""The map of facts: computed numbers with their ranges, and the whole map worked out again after a change."""

import math
from dataclasses import replace

import pytest

from millhand.errors import ToolError
from millhand.formulas import REGISTER
from millhand.model.fact import Choice, Fact
from millhand.trace import Sheet, apply, found, needed, recomputed, steps
from tests.stages.short_road import Walked, example, walked

CELL = "drawers-floor_track-fenced_20-centric_double-fence"


def fact(fact_id: str, value: float, low: float | None = None, high: float | None = None, unit: str = "s") -> Fact:
    """A given fact."""
    shape = "point" if low is None else "triangular"
    return Fact(id=fact_id, value=value, low=low, high=high, unit=unit, basis="given", source="test", shape=shape)  # type: ignore[arg-type]


def sheet_of(*facts: Fact) -> Sheet:
    """A sheet with these facts."""
    return Sheet(facts)


# --- the sheet ---


def test_a_fact_once_written_stays() -> None:
    """The same again is nothing new; another one under the same id is our own error, by name."""
    one = fact("a", 1.0)
    sheet = sheet_of(one, one)

    with pytest.raises(ToolError, match="two different facts under the id a") as caught:
        sheet.add(fact("a", 2.0))

    assert caught.value.code == "fact_twice"
    assert sheet["a"] == one


@pytest.mark.parametrize("value", [math.inf, math.nan])
def test_what_is_no_number_is_no_fact(value: float) -> None:
    """A figure that never comes is None in a record, not an infinite fact."""
    with pytest.raises(ToolError, match="the fact never came out as") as caught:
        sheet_of(fact("never", value))

    assert caught.value.code == "fact_not_finite"


def test_words_and_numbers_lie_side_by_side() -> None:
    """A choice of the same id as no fact; both maps in the order of writing."""
    word = Choice(id="w", value="yes", options=("yes", "no"), basis="given", source="test")
    sheet = Sheet((fact("b", 1.0), word, fact("a", 2.0)))

    assert list(sheet.facts) == ["b", "a"]
    assert sheet.choices == {"w": word}
    assert "w" not in sheet
    assert [each.id for each in sheet] == ["b", "a"]
    with pytest.raises(ToolError):
        sheet.add(replace(word, value="no"))


def test_found_writes_and_gives_back() -> None:
    """A solver's result goes in as it is."""
    sheet, one = sheet_of(), fact("a", 1.0)

    assert found(sheet, one) is one
    assert sheet.value("a") == 1.0


# --- apply ---


def test_a_computed_fact_names_its_formula_and_its_inputs() -> None:
    """Value, unit, source and the way back to what it was computed from; nothing ranged: no range."""
    load, parts = fact("load", 90.0), fact("parts", 4.0, unit="parts")
    sheet = sheet_of(load, parts)

    made = apply(sheet, "time_a_part_s", "each", load_s=load, parts_per_load=parts)

    assert made.value == 22.5
    assert (made.unit, made.basis, made.formula) == ("s", "computed", "time_a_part_s")
    assert made.source == REGISTER["time_a_part_s"].source
    assert made.inputs == (("load_s", "load"), ("parts_per_load", "parts"))
    assert (made.low, made.high, made.shape) == (None, None, "point")
    assert sheet["each"] is made


def test_a_group_goes_in_as_a_tuple_in_its_order() -> None:
    """Three elements of one parameter, each under its name with the mark of a group."""
    elements = tuple(fact(name, seconds) for name, seconds in (("a", 1.0), ("b", 2.0), ("c", 4.0)))
    sheet = sheet_of(*elements)

    made = apply(sheet, "attendant_work_s", "sum", elements_s=elements)

    assert made.value == 7.0
    assert made.inputs == (("elements_s[]", "a"), ("elements_s[]", "b"), ("elements_s[]", "c"))


def test_an_empty_group_is_the_sum_of_nothing_and_stays_so() -> None:
    """No elements: nought, and nought again when the map is worked out anew."""
    sheet = sheet_of()

    made = apply(sheet, "attendant_work_s", "sum", elements_s=())

    assert made.value == 0.0
    assert made.inputs == ()
    assert recomputed(sheet.facts, {}, {}) == {"sum": 0.0}


def test_ranges_of_independent_inputs_add_as_squares() -> None:
    """Downwards and upwards apart: 3 and 4 make 5, 6 and 8 make 10."""
    inputs = (fact("a", 100.0, 97.0, 106.0), fact("b", 50.0, 46.0, 58.0))

    made = apply(sheet_of(*inputs), "attendant_work_s", "sum", elements_s=inputs)

    assert (made.low, made.value, made.high) == (145.0, 150.0, 160.0)
    assert made.shape == "triangular"


def test_a_fact_that_goes_in_twice_moves_both_places_at_once() -> None:
    """There and back over the same way is twice as uncertain, not one and a half times."""
    way = fact("way", 10.0, 8.0, 13.0)

    made = apply(sheet_of(way), "attendant_work_s", "both", elements_s=(way, way))

    assert (made.low, made.value, made.high) == (16.0, 20.0, 26.0)


def test_a_divisor_turns_the_ends_round() -> None:
    """More parts a load, less time a part."""
    load, parts = fact("load", 60.0), fact("parts", 4.0, 3.0, 6.0, unit="parts")

    made = apply(sheet_of(load, parts), "time_a_part_s", "each", load_s=load, parts_per_load=parts)

    assert (made.low, made.value, made.high) == pytest.approx((10.0, 15.0, 20.0))


def test_a_range_goes_no_further_than_all_inputs_together() -> None:
    """A distance between uncertain spots stays above nothing, however wide the spots are."""
    coordinates = tuple(fact(name, 1.0, 0.0, 2.0, unit="m") for name in ("x", "y"))

    x, y = coordinates
    made = apply(sheet_of(*coordinates), "root_sum_square_m", "way", links_m=(x, y))

    assert made.low is not None
    assert made.high is not None
    assert 0.0 <= made.low < made.value == math.sqrt(2.0) < made.high <= math.hypot(2.0, 2.0)


def test_an_end_outside_the_valid_range_is_taken_at_its_edge() -> None:
    """A linear range that dips below nothing does not break a formula that needs a distance from nothing up."""
    way, quick = fact("way", 0.4, -0.3, 1.0, unit="m"), fact("speed", 2.0, unit="m/s")
    rest = fact("ramp", 0.5), fact("settle", 0.2)

    made = apply(
        sheet_of(way, quick, *rest), "swing_time_s", "swing",
        distance_m=way, speed_m_s=quick, ramp_s=rest[0], settle_s=rest[1],
    )  # fmt: skip

    assert made.low == pytest.approx(0.0)  # no way, no time
    assert made.outside == ()


def test_each_number_of_a_group_is_held_against_the_valid_range() -> None:
    """The first of two shares is no share, the second is; the first is named."""
    wrong, right = fact("wrong", 1.2, unit="1"), fact("right", 0.9, unit="1")

    made = apply(sheet_of(wrong, right), "joint_good_share", "good", good_shares=(wrong, right))

    assert made.outside == ("good_shares = 1.2, valid from 0 to 1",)


def test_a_result_without_end_has_no_range() -> None:
    """A payback that never comes at one end of an input has a value and no range."""
    saving = fact("saving", 10.0, -1.0, 20.0, unit="money/y")
    price = fact("price", 100.0, unit="money")

    made = apply(sheet_of(price, saving), "plain_ratio_y", "ratio", price_money=price, saving_money_per_y=saving)

    assert (made.value, made.low, made.high) == (10.0, None, None)


# --- the map worked out again ---


@pytest.fixture(scope="module")
def whole() -> Walked:
    """Today and one cell of an example on their whole road."""
    return walked(example("2_three_lathes"), CELL)


def test_the_whole_map_comes_out_again_to_the_last_bit(whole: Walked) -> None:
    """Nothing changed: every number of the example, given or computed, is the one that was written."""
    facts = whole.sheet.facts
    again = recomputed(facts, {}, {})

    wrong = {each.id for each in facts.values() if again[each.id] != each.value}
    assert not wrong
    assert sum(each.formula is not None for each in facts.values()) > 200


def test_inputs_come_before_what_follows_from_them(whole: Walked) -> None:
    """The order of writing is an order in which everything can be worked out."""
    seen: set[str] = set()
    for each in whole.sheet:
        assert {source for _, source in each.inputs} <= seen, each.id
        seen.add(each.id)


def test_a_change_runs_through_to_the_payback_as_a_new_study_would(whole: Walked) -> None:
    """A dearer hour, worked out again on the map and on the road anew: the same figures."""
    inquiry = example("2_three_lathes")
    wage = inquiry.people.wage_per_h
    dearer = replace(inquiry, people=replace(inquiry.people, wage_per_h=replace(wage, value=2.0 * wage.value)))
    assert whole.case.payback_months is not None

    on_the_map = recomputed(whole.sheet.facts, {wage.id: 2.0 * wage.value}, {})
    anew = walked(dearer, CELL)

    assert on_the_map[whole.case.npv] == pytest.approx(anew.value(anew.case.npv), rel=1e-12)
    assert on_the_map[whole.case.payback_months] == pytest.approx(anew.value(anew.case.payback_months), rel=1e-12)
    assert on_the_map[whole.case.npv] > whole.value(whole.case.npv)


def test_what_does_not_follow_stays(whole: Walked) -> None:
    """A dearer hour moves no time and no solver's result."""
    wage = example("2_three_lathes").people.wage_per_h
    again = recomputed(whole.sheet.facts, {wage.id: 2.0 * wage.value}, {})

    assert again[whole.today.parts_per_y] == whole.sheet.value(whole.today.parts_per_y)
    assert again[whole.performance.bound_loads_per_h] == whole.sheet.value(whole.performance.bound_loads_per_h)


def test_a_solved_number_comes_from_its_solver_and_runs_on(whole: Walked) -> None:
    """Half the load bound, half the parts an hour."""
    bound = whole.performance.bound_loads_per_h
    half = whole.sheet.value(bound) / 2.0
    again = recomputed(whole.sheet.facts, {}, {bound: lambda numbers: half})

    assert again[bound] == half
    assert again[whole.performance.attended_per_h] < 0.6 * whole.sheet.value(whole.performance.attended_per_h)


def test_steps_that_are_gone_through_many_times_give_what_the_map_gives(whole: Walked) -> None:
    """Only what a change reaches is worked out: a wage, a solver's result, a computed number set from outside, one
    after another and none at all come out of the same steps as they come out of the whole map, to the last bit."""
    facts = needed(whole.sheet.facts, (whole.case.npv, whole.case.hurdle_balance))
    again = steps(facts)
    wage, bound = example("2_three_lathes").people.wage_per_h, whole.performance.bound_loads_per_h
    half = {bound: lambda numbers: whole.sheet.value(bound) / 2.0}
    computed = next(each.id for each in reversed(facts.values()) if each.formula and each.id != whole.case.npv)

    for changes in ({}, {wage.id: 2.0 * wage.value}, {wage.id: wage.value}, {computed: 7.0}, {wage.id: 0.5}, {}):
        for solved in ({}, half):
            assert recomputed(again, changes, solved) == recomputed(facts, changes, solved)


def test_steps_ask_no_formula_whose_inputs_stay(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of two sums, the one whose element was changed is worked out again, the other is taken as it was."""
    sheet = sheet_of(one := fact("one", 1.0), two := fact("two", 2.0))
    apply(sheet, "attendant_work_s", "first", elements_s=(one,))
    apply(sheet, "attendant_work_s", "second", elements_s=(two,))
    asked: list[tuple[float, ...]] = []
    sums = REGISTER["attendant_work_s"]
    counting = replace(sums, function=lambda elements_s: (asked.append(elements_s), sum(elements_s))[1])
    monkeypatch.setitem(REGISTER, "attendant_work_s", counting)  # type: ignore[arg-type]
    again = steps(sheet.facts)
    recomputed(again, {}, {})
    asked.clear()

    assert recomputed(again, {"one": 5.0}, {}) == {"one": 5.0, "two": 2.0, "first": 5.0, "second": 2.0}
    assert asked == [(5.0,)]


def test_nothing_is_written_into_the_sheet_by_working_it_out(whole: Walked) -> None:
    """The map before is the map after."""
    before = whole.sheet.facts
    recomputed(before, {"people.wage": 1.0}, {})

    assert whole.sheet.facts == before
