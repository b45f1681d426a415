"""How far uncertain facts move the answer: quantiles, draws, bounds that follow, ranges, drivers."""

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from millhand.errors import ToolError
from millhand.model.case import Case
from millhand.model.fact import Fact, Shape
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.stages.spread import (
    Asked,
    Together,
    bounds_of,
    draws,
    drivers,
    quantile,
    uncertain,
    with_ranges,
    worlds,
)
from millhand.trace import Sheet, apply, needed, recomputed
from tests.stages.jobs import job, plan_of, told
from tests.stages.short_road import Walked, example, walked

CELL = "drawers-floor_track-fenced_20-centric_double-fence"
TRAYS = "trays-movable_stand-force_limited_25-parallel_double-scanner"


def fact(
    fact_id: str, value: float, low: float | None, high: float | None, *, unit: str = "s", shape: Shape = "triangular"
) -> Fact:
    """An assumed fact with a range."""
    return Fact(id=fact_id, value=value, low=low, high=high, unit=unit, basis="assumed", source="test", shape=shape)


# --- one fact ---


@pytest.mark.parametrize(
    "given",
    [
        fact("a", 45.0, 30.0, 70.0),
        fact("b", 45.0, 30.0, 70.0, shape="lognormal"),
        fact("c", 64_800.0, 28_800.0, 162_000.0),  # stops: long to the right
        fact("d", 0.1, 0.0, 0.3, unit="1"),  # from nothing up: straight
        fact("e", 0.0, -0.05, 0.05, unit="1"),
        fact("f", 2.0, 2.0, 5.0),  # nothing below the likely value
        fact("g", 50.0, 10.0, 90.0, shape="uniform"),
    ],
)
def test_p10_p50_and_p90_are_the_three_numbers_of_the_fact(given: Fact) -> None:
    """To the last bits, whatever the shape."""
    assert quantile(given, 0.1) == pytest.approx(given.low, abs=1e-12, rel=1e-12)
    assert quantile(given, 0.5) == pytest.approx(given.value, abs=1e-12, rel=1e-12)
    assert quantile(given, 0.9) == pytest.approx(given.high, abs=1e-12, rel=1e-12)


@given(
    value=st.floats(1e-3, 1e6),
    below=st.floats(0.0, 1.0),
    above=st.floats(1.0, 30.0),
    shares=st.tuples(st.floats(0.001, 0.999), st.floats(0.001, 0.999)),
)
def test_a_larger_share_is_never_a_smaller_value(
    value: float, below: float, above: float, shares: tuple[float, float]
) -> None:
    """Monotone, and never below nothing where the fact is not."""
    given = fact("x", value, value * below, value * above)
    less, more = sorted(shares)

    assert 0.0 <= quantile(given, less) <= quantile(given, more) * (1.0 + 1e-12)


def test_far_draws_are_brought_back() -> None:
    """Beyond two and a half deviations nothing further comes."""
    given = fact("x", 64_800.0, 28_800.0, 162_000.0)

    assert quantile(given, 1e-9) == quantile(given, 1e-5) > 0.0
    assert quantile(given, 1.0 - 1e-9) == quantile(given, 1.0 - 1e-5)
    assert quantile(given, 1e-9) == pytest.approx(64_800.0 * (28_800.0 / 64_800.0) ** (2.5 / 1.2815515655446004))


def test_a_share_stays_a_share() -> None:
    """At most one, at least none; what is not a share may be more."""
    share = fact("share", 0.9, 0.6, 0.98, unit="1")
    flat = fact("flat", 0.5, 0.1, 0.95, unit="1", shape="uniform")

    assert max(quantile(each, 0.9999) for each in (share, flat)) <= 1.0
    assert quantile(flat, 0.0001) >= 0.0
    assert quantile(fact("factor", 2.0, 1.5, 3.0, unit="1"), 0.99) > 3.0


@pytest.mark.parametrize("share", [1e-6, 0.0025, 0.05])
def test_no_time_is_drawn_as_nothing(share: float) -> None:
    """Half a second to five, straight: what lies below half the P10 is brought back; no process takes no time."""
    time = fact("time", 2.75, 0.5, 5.0, shape="uniform")

    assert 0.25 <= quantile(time, share) < 0.5
    assert quantile(fact("from nothing", 2.5, 0.0, 5.0, shape="uniform"), share) == 0.0


# --- all facts together ---

FACTS = (fact("a", 45.0, 30.0, 70.0), fact("b", 0.1, 0.0, 0.3, unit="1"), fact("c", 9.0, 8.0, 12.0))


def test_each_fact_is_drawn_once_from_each_of_equal_slices() -> None:
    """Forty draws: the forty middle quantiles, every one once, in some order."""
    rows = draws(FACTS, count=40, seed=1)

    for each in FACTS:
        drawn = [row[each.id] for row in rows]
        assert sorted(drawn) == sorted(quantile(each, (slot + 0.5) / 40) for slot in range(40))
        assert drawn != sorted(drawn)


def test_the_order_belongs_to_the_fact_alone() -> None:
    """Other facts beside it, another order of facts: the same world in the same draw. Another seed, another order."""
    together = draws(FACTS, count=40, seed=1)
    alone = draws(FACTS[2:], count=40, seed=1)
    turned = draws(FACTS[::-1], count=40, seed=1)
    other = draws(FACTS, count=40, seed=2)

    assert [row["c"] for row in together] == [row["c"] for row in alone] == [row["c"] for row in turned]
    assert [row["c"] for row in together] != [row["c"] for row in other]


def test_facts_are_drawn_independently_of_each_other() -> None:
    """The ranks of two facts are not those of each other: correlation near nothing in 400 draws."""
    rows = draws(FACTS, count=400, seed=1)
    columns = [sorted(range(400), key=lambda i, each=each: rows[i][each.id]) for each in FACTS]  # type: ignore[misc]
    mean = 399 / 2.0
    spread = sum((i - mean) ** 2 for i in range(400))
    for one, two in ((0, 1), (0, 2), (1, 2)):
        places = [{draw: rank for rank, draw in enumerate(columns[k])} for k in (one, two)]
        together = sum((places[0][i] - mean) * (places[1][i] - mean) for i in range(400)) / spread
        assert abs(together) < 0.15


@pytest.mark.parametrize("rank_correlation", [-0.9, -0.3, 0.5, 1.0])
def test_facts_that_go_together_do_so_by_the_rank_correlation_that_was_told(rank_correlation: float) -> None:
    """Spearman's coefficient of 2000 draws within three of its errors, by a library; no fact leaves its slices."""
    pair = Together("a", "c", rank_correlation)
    alone, both = (draws(FACTS, count=2000, seed=1, together=each) for each in ((), (pair,)))

    found = stats.spearmanr([row["a"] for row in both], [row["c"] for row in both]).statistic
    assert found == pytest.approx(rank_correlation, abs=3.0 / math.sqrt(2000))
    assert sorted(row["c"] for row in both) == sorted(row["c"] for row in alone)
    assert [(row["a"], row["b"]) for row in both] == [(row["a"], row["b"]) for row in alone]


def test_a_fact_goes_with_another_one_wherever_it_is_drawn() -> None:
    """With the other one beside it or not: the same world for whoever needs only one of them."""
    pair = (Together("a", "c", 0.9),)
    both, alone = (draws(facts, count=40, seed=1, together=pair) for facts in (FACTS, FACTS[2:]))

    assert [row["c"] for row in both] == [row["c"] for row in alone]
    assert [row["c"] for row in alone] != [row["c"] for row in draws(FACTS, count=40, seed=1)]
    assert {name for row in alone for name in row} == {fact.id for fact in FACTS[2:]}


def test_three_facts_go_together_as_each_pair_was_told() -> None:
    """All three of Spearman's coefficients of 2000 draws at once, within three of their errors."""
    told = {("a", "b"): 0.6, ("c", "a"): -0.5, ("b", "c"): -0.1}
    found = draws(FACTS, count=2000, seed=1, together=[Together(*pair, rank) for pair, rank in told.items()])
    columns = {name: [row[name] for row in found] for name in "abc"}

    for (one, other), rank in told.items():
        seen = stats.spearmanr(columns[one], columns[other]).statistic
        assert seen == pytest.approx(rank, abs=3.0 / math.sqrt(2000)), (one, other)


def test_ranks_that_no_figures_can_have_are_our_own_error_in_the_draws() -> None:
    """The reader of an inquiry says so before."""
    pairs = (Together("a", "b", 0.9), Together("b", "c", 0.9))

    with pytest.raises(ToolError, match="no figures can have at once"):
        draws(FACTS, count=9, seed=1, together=pairs)


def test_no_draw_and_no_fact() -> None:
    """Nothing uncertain: so many empty worlds."""
    assert draws((), count=3, seed=1) == [{}, {}, {}]


# --- the map ---


def map_of(*ranged: Fact) -> Sheet:
    """Two facts, their sum, and something else that follows from neither."""
    sheet = Sheet(ranged)
    apply(sheet, "attendant_work_s", "sum", elements_s=ranged)
    apply(sheet, "attendant_work_s", "twice", elements_s=(sheet["sum"], sheet["sum"]))
    sheet.add(fact("alone", 1.0, 0.5, 2.0))
    return sheet


def test_needed_is_what_a_figure_follows_from() -> None:
    """In the order of the map, itself included, nothing beside it; what is unknown is left out."""
    sheet = map_of(FACTS[0], FACTS[2])

    assert list(needed(sheet.facts, ["twice"])) == ["a", "c", "sum", "twice"]
    assert list(needed(sheet.facts, ["sum", "nowhere"])) == ["a", "c", "sum"]
    assert [each.id for each in uncertain(sheet.facts)] == ["a", "c", "alone"]


def test_worlds_hold_every_figure_on_the_way() -> None:
    """Each draw of the two facts, added up; a figure that is not wanted is not in it."""
    sheet = map_of(FACTS[0], FACTS[2])
    rows = list(worlds(sheet.facts, ("twice",), {}, Asked(count=20, seed=1)))
    drawn = draws((FACTS[0], FACTS[2]), count=20, seed=1)

    assert all(set(row) == {"a", "c", "sum", "twice"} for row in rows)
    assert [row["sum"] for row in rows] == pytest.approx([each["a"] + each["c"] for each in drawn])
    assert [row["twice"] for row in rows] == pytest.approx([2.0 * row["sum"] for row in rows])


def test_ranges_come_from_the_draws() -> None:
    """P10 and P90 of what was drawn; a figure that no draw moved is exact; one that may never come has no P90."""
    sheet = map_of(FACTS[0], FACTS[2])
    rows: list[Mapping[str, float]] = [
        {"sum": float(number), "twice": 5.0, "alone": math.inf if number > 80 else float(number)}
        for number in range(100)
    ]
    facts = {**sheet.facts, "alone": replace(sheet["alone"], basis="computed")}
    ranged = with_ranges(facts, rows)

    assert (ranged["sum"].low, ranged["sum"].high) == (10.0, 89.0)
    assert (ranged["twice"].low, ranged["twice"].high, ranged["twice"].shape) == (None, None, "point")
    assert (ranged["alone"].low, ranged["alone"].high) == (10.0, None)
    assert ranged["alone"].note is not None
    assert "never, in more than one draw in ten" in ranged["alone"].note
    assert ranged["a"] is sheet["a"]
    assert with_ranges(facts, []) == facts


# --- the load bound ---


def test_the_bound_follows_the_facts_behind_its_slots() -> None:
    """A shorter machining time moves it as a new cell of that time would; nothing moved, the very number."""
    inquiry = job("one_mill")
    made = plan_of(inquiry, TRAYS)
    cell = made.plan.cell
    assert cell is not None
    sheet = made.sheet
    sheet.add(fact("bound", rate_bound_per_h(cell), None, None, unit="1/h"))
    bound = bounds_of({"bound": cell}, sheet.facts)["bound"]
    time = inquiry.parts[0].operations[0].time_s

    def at(seconds: float) -> float:
        return bound(recomputed(sheet.facts, {time.id: seconds}, {}))

    assert at(time.value) == sheet.value("bound")
    for seconds in (200.0, 420.0):
        quicker = plan_of(told(inquiry, {time.id: seconds}), TRAYS).plan.cell
        assert quicker is not None
        assert at(seconds) == pytest.approx(rate_bound_per_h(quicker), rel=1e-6)
    assert at(200.0) > at(time.value) > at(420.0)


def test_a_fact_that_is_not_in_the_cell_moves_no_bound() -> None:
    """The wage."""
    made = plan_of(job("one_mill"), TRAYS)
    assert made.plan.cell is not None
    made.sheet.add(fact("bound", rate_bound_per_h(made.plan.cell), None, None, unit="1/h"))
    bound = bounds_of({"bound": made.plan.cell}, made.sheet.facts)["bound"]

    assert bound(recomputed(made.sheet.facts, {"people.wage": 1.0}, {})) == made.sheet.value("bound")


# --- drivers ---


@pytest.fixture(scope="module")
def whole() -> Walked:
    """Today and one cell of an example."""
    return walked(example("2_three_lathes"), CELL)


def test_two_concepts_see_the_same_world(whole: Walked) -> None:
    """A fact that both of them need has the same value in the same draw, whatever else each of them needs."""
    lists = [
        uncertain(needed(whole.sheet.facts, [wanted])) for wanted in (whole.case.npv, whole.performance.parts_per_y)
    ]
    first, second = (draws(each, count=10, seed=3) for each in lists)
    both = {each.id for each in lists[0]} & {each.id for each in lists[1]}

    assert both
    assert len(lists[0]) > len(lists[1])
    for one, two in zip(first, second, strict=True):
        assert {fact_id: one[fact_id] for fact_id in both} == {fact_id: two[fact_id] for fact_id in both}


def test_drivers_are_what_moves_the_answer_the_widest_first(whole: Walked) -> None:
    """Each uncertain fact alone, each with a swing above nothing, none twice, sorted, and written into the map."""
    sheet = Sheet((*whole.sheet.facts.values(), *whole.sheet.choices.values()))
    found = drivers(sheet, whole.case, {})
    swings = [sheet.value(each.swing) for each in found]

    assert len(found) > 20
    assert swings == sorted(swings, reverse=True)
    assert swings[-1] > 0.0
    assert len({each.fact for each in found}) == len(found)
    assert {each.fact for each in found} <= {each.id for each in uncertain(sheet.facts)}


def test_a_driver_says_what_becomes_of_the_answer_at_both_ends(whole: Walked) -> None:
    """The usable share at its P10 and its P90, as the map itself works it out; a higher share pays back sooner."""
    sheet = Sheet((*whole.sheet.facts.values(), *whole.sheet.choices.values()))
    share = next(each for each in drivers(sheet, whole.case, {}) if each.fact == "people.share_usable")
    usable = sheet["people.share_usable"]
    again = partial(recomputed, whole.sheet.facts, solved={})
    assert usable.low is not None
    assert usable.high is not None
    assert whole.case.payback_months is not None

    for name, end in ((share.at_low, usable.low), (share.at_high, usable.high)):
        assert name is not None
        assert sheet.value(name) == again(changes={usable.id: end})[whole.case.payback_months]
    assert share.at_low is not None
    assert share.at_high is not None
    assert sheet.value(share.at_high) < sheet.value(share.at_low)


def test_what_is_exact_is_no_driver() -> None:
    """Every fact exact: nothing moves the answer."""
    still = walked(example("2_three_lathes"), CELL)
    exact = {each.id: each for each in still.sheet if each.basis != "computed" and each.low is not None}
    sheet = Sheet(
        Fact(**{name: getattr(each, name) for name in Fact.__slots__} | {"low": None, "high": None, "shape": "point"})
        if each.id in exact
        else each
        for each in still.sheet
    )
    case: Case = still.case

    assert len(exact) > 50
    assert drivers(sheet, case, {}) == ()
