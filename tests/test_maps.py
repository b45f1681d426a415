"""Two things moved at once: each pair is what the whole road makes of it, and the study's own pair is the study's."""

import itertools
from dataclasses import replace

import pytest

from millhand.maps import FAULTS, looked_at, with_maps
from millhand.model.fact import Fact
from millhand.model.maps import MapCell, TwoWay
from millhand.model.walk import facts_in
from millhand.stages.maps import over_range, over_shifts, over_sizes, pattern
from millhand.trace import recomputed
from tests.mapped_mill import TRAYS, mapped, road
from tests.stages.jobs import catalogue, job

pytestmark = pytest.mark.xdist_group("maps")


def the(moved: str) -> TwoWay:
    """One of the maps."""
    maps = mapped().maps
    assert maps is not None
    return next(each for each in maps.maps if each.moved == moved)


def value(fact_id: str | None) -> float:
    """A figure of the study."""
    return mapped().facts[fact_id or ""].value


def own_case() -> dict[str, float]:
    """Payback and worth of the study itself."""
    case = mapped().results[1].case
    assert case is not None
    return {"payback": value(case.payback_months), "npv": value(case.npv)}


@pytest.mark.parametrize("moved", ["money", "shifts", "presenter"])
def test_the_pair_that_is_as_in_the_study_has_its_very_figures(moved: str) -> None:
    """To the last bit, payback and worth."""
    found = the(moved)
    row, column = found.here
    here = found.cells[row][column]

    assert (value(here.payback_months), value(here.npv)) == (own_case()["payback"], own_case()["npv"])


def test_wage_and_price_move_the_case_as_the_map_of_facts_does() -> None:
    """A corner is the graph with both facts changed; each row falls with the price, each column rises with the wage."""
    found, study = the("money"), mapped()
    result = study.results[1]
    assert result.case is not None
    assert result.estimate is not None
    changes = {
        study.inquiry.people.wage_per_h.id: value(found.rows[0]),
        result.estimate.installed: value(found.columns[4]),
    }
    numbers = recomputed(study.facts, changes, {})
    worths = [[value(each.npv) for each in row] for row in found.cells]

    assert worths[0][4] == numbers[result.case.npv]
    assert value(found.cells[0][4].payback_months) == numbers[result.case.payback_months or ""]
    assert all(row == sorted(row, reverse=True) for row in worths)
    assert all(list(column) == sorted(column) for column in zip(*worths, strict=True))


def test_another_presenter_and_other_faults_are_what_a_road_of_their_own_makes_of_them() -> None:
    """The cell built anew on its whole road and simulated for the same weeks comes to the same money."""
    found = the("presenter")
    pair = found.cells[0][4]
    faults = next(each for each in facts_in(catalogue()) if each.id == FAULTS)
    assert isinstance(faults, Fact)
    moved = replace(faults, value=value(found.columns[4]), low=None, high=None, shape="point")
    results, sheet = road(job("one_mill"), {FAULTS: moved}, pockets=value(found.rows[0]))
    case = results[1].case
    assert case is not None

    assert value(pair.npv) == pytest.approx(sheet.value(case.npv), rel=1e-9)
    assert value(pair.npv) < own_case()["npv"]


def test_another_pattern_of_shifts_is_what_a_road_of_its_own_makes_of_it() -> None:
    """Two shifts in the place of one, today shipping the share of what it could that it ships now."""
    found, inquiry = the("shifts"), job("one_mill")
    row = 1 if found.here[0] != 1 else 0
    asked = pattern(inquiry, round(value(found.rows[row])), value(found.columns[1]))
    assert asked is not None
    before, after = (mapped().results[0], road(asked, {})[0][0])
    made = []
    for each in (before, after):
        assert each.performance is not None
        assert each.performance.output is not None
        made.append(each.performance.output.parts_per_h.mean)
    shifts = value(found.rows[found.here[0]]) / value(found.rows[row])
    shipped = replace(inquiry.today.parts_per_shift, value=value("today.parts_per_shift") * made[1] / made[0] * shifts)
    results, sheet = road(replace(asked, today=replace(asked.today, parts_per_shift=shipped)), {})
    case = results[1].case
    assert case is not None

    assert value(found.cells[row][1].npv) == pytest.approx(sheet.value(case.npv), rel=1e-9)


def test_a_pattern_that_a_day_is_too_short_for_has_no_figures() -> None:
    """Three shifts of ten hours: none; hours alone give way to the last shift."""
    inquiry = job("one_mill")
    wishing = replace(inquiry, wishes=replace(inquiry.wishes, unattended_s=replace(
        inquiry.wishes.unattended_s, value=8 * 3600.0)))  # fmt: skip
    short = pattern(wishing, 3, 7 * 3600.0)
    assert short is not None

    assert pattern(inquiry, 3, 10 * 3600.0) is None
    assert short.wishes.unattended_s.value == 3 * 3600.0
    assert [each.premium.value for each in short.shifts][1:] == ["late", "night"]
    assert len({each.name for each in short.shifts}) == 3
    starts = [each.start_s.value for each in short.shifts]
    assert [(late - early) % 86_400.0 for early, late in itertools.pairwise(starts)] == [7 * 3600.0] * 2
    assert MapCell(payback_months=None, npv=None, back="no_such") in the("shifts").cells[2]


def test_values_lie_on_the_range_of_a_fact() -> None:
    """Its ends, the value and half way to each; a fifth to either side where there is no range; whole pockets."""
    fact = Fact(id="a", value=10.0, unit="1", basis="given", source="made up")

    assert over_range(replace(fact, low=6.0, high=18.0)).values == (6.0, 8.0, 10.0, 14.0, 18.0)
    assert over_range(fact).values == (8.0, 9.0, 10.0, 11.0, 12.0)
    assert over_sizes(replace(fact, value=2.0)).values == (1.0, 2.0, 4.0, 8.0)
    assert over_sizes(replace(fact, value=2.0)).here == 1


def test_shifts_with_nobody_there_have_no_map() -> None:
    """How machines run through a shift that nobody works is a wish for hours alone, not a pattern to be moved."""
    inquiry = job("one_mill")
    nobody = replace(inquiry.shifts[0], manned=replace(inquiry.shifts[0].manned, value="no"))

    assert over_shifts(inquiry) is not None
    assert over_shifts(replace(inquiry, shifts=(*inquiry.shifts, nobody))) is None


def test_what_is_looked_at_is_the_advice_or_what_comes_next_to_today() -> None:
    """The winner; where the advice is to go on as today, the one that comes second; else the first of the ranking."""
    done = mapped()
    stay = replace(done.decision, winner="today", second=TRAYS)
    alone = replace(stay, second=None)
    none = replace(done, results=done.results[:1])

    for decision in (done.decision, stay, alone):
        found = looked_at(replace(done, decision=decision))
        assert found is not None
        assert found.concept.id == TRAYS
    assert looked_at(none) is None
    assert with_maps(none, none.inquiry, catalogue()) is none


def test_the_words_say_how_many_are_back_in_time_and_what_was_held() -> None:
    """Counted over the pairs that there are."""
    found = the("presenter")
    flat = [each.back for row in found.cells for each in row]

    assert value("maps.presenter.within") == flat.count("by_hurdle")
    assert value("maps.presenter.all") == len(flat)
    assert found.words.endswith("The cell is simulated again in each of them; its price is held.")
    assert "Hours and parts are those of the study." in the("money").words
    assert "orders, the heads of a shift, its breaks and the share that is lost today are held" in the("shifts").words
