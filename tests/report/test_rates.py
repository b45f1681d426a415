"""Load bound, best cycle and simulated output of each concept in one picture."""

import re
from dataclasses import replace

import pytest

from millhand.model.performance import Figure, Output
from millhand.model.study import Study
from millhand.report.charts import axis
from millhand.report.html import report_html
from millhand.report.marks import marks_of
from millhand.report.rates import (
    CYCLE,
    SIMULATED,
    Rates,
    above_bound,
    above_cycle,
    interval,
    rate_chart,
    rate_picture,
    rates,
    values_of,
)
from tests.report.fixture_study import ARM, study


def output(mean: float, half: float) -> Output:
    """What a simulation counted: parts an hour, all of them with somebody there."""
    figure = Figure(mean=mean, low=mean - half, high=mean + half)
    return Output(
        cell="0123456789abcdef", seed=1, replications=10, horizon_s=3600.0, parts_per_h=figure, good_per_h=figure,
        counts={"attended": figure},
    )  # fmt: skip


def simulated_study(value: float, *, mean: float = 10.0, half: float = 0.5) -> Study:
    """The fixture study with a simulated rate for its cell."""
    made = study()
    result = next(each for each in made.results if each.concept.id == ARM)
    assert result.performance is not None
    name = f"concepts.{ARM}.performance.simulated_parts_per_h"
    bound = made.facts[result.performance.bound_per_h]
    fact = replace(bound, id=name, value=value)
    with_output = replace(result, performance=replace(result.performance, output=output(mean, half)))
    results = tuple(with_output if each is result else each for each in made.results)
    return replace(made, facts={**made.facts, name: fact}, results=results)


def of_cell(value: float, **counted: float) -> Rates:
    """The rates of the cell."""
    made = simulated_study(value, **counted)
    return next(each for each in rates(made, marks_of(made)) if each.row.concept == ARM)


def test_every_concept_in_sight_has_its_bound_and_its_cycle() -> None:
    """Three live in the fixture, today among them; the one that fell is in no picture."""
    made = study()
    found = rates(made, marks_of(made))

    assert {each.row.kind for each in found} == {"cell", "by hand", "as today"}
    assert all(each.cycle is not None and each.simulated is None for each in found)


def test_the_interval_is_the_simulations_own_on_the_scale_of_the_figure() -> None:
    """Counted 10 give or take 0.5 a calendar hour, shown as 20: 19 to 21."""
    found = of_cell(20.0)

    assert (found.low, found.high) == (pytest.approx(19.0), pytest.approx(21.0))
    assert min(found.known) == pytest.approx(19.0)


def test_a_figure_that_nobody_simulated_has_no_dot() -> None:
    """Without an output the fact of that name is the load bound itself, and is left out."""
    made = simulated_study(20.0)
    result = next(each for each in made.results if each.concept.id == ARM)
    assert result.performance is not None
    bare = replace(result, performance=replace(result.performance, output=None))

    assert interval(bare, made.facts[f"concepts.{ARM}.performance.simulated_parts_per_h"]) == (None, None)
    without = replace(made, results=tuple(bare if each is result else each for each in made.results))
    found = next(each for each in rates(without, marks_of(without)) if each.row.concept == ARM)
    assert found.simulated is None
    assert SIMULATED not in values_of(0, found, marks_of(without))


def test_a_simulation_above_the_best_cycle_is_named_with_its_reason() -> None:
    """The whole interval has to lie above it: 20.5 is the cycle, 21.45 the bound."""
    near, above = of_cell(20.6), of_cell(21.2, half=0.05)

    assert above_cycle([near]) == ()
    assert above_cycle([above]) == (above.row.title,)
    page = report_html(simulated_study(21.2, half=0.05))
    assert "makes more in the simulation than in the best cycle of the means" in page
    assert "a cycle of more parts than the one found" in page


def test_the_page_says_that_the_bound_holds_only_where_it_does() -> None:
    """A simulation beyond the load bound by more than its interval is told as an error."""
    never = "The load bound is never below the simulated rate"
    assert never in report_html(simulated_study(20.0))
    page = report_html(simulated_study(30.0))

    assert never not in page
    assert "makes more in the simulation than its load bound allows: one of the two is wrong" in page
    assert above_bound([of_cell(30.0)]) != ()
    assert of_cell(22.0).within_bound  # 20.9 to 23.1 around a bound of 21.45


def test_marks_differ_in_shape_and_all_share_one_axis() -> None:
    """An upright line, a diamond, a dot and a bar for its interval; wide and narrow from the same values."""
    found = [of_cell(20.0)]
    rows = [values_of(0, found[0], marks_of(study()))]
    spec = rate_chart(rows, axis(found[0].known, wanted=4), title="x", width=340)
    shapes = [layer["mark"].get("shape", layer["mark"]["type"]) for layer in spec["layer"]]
    domains = {str(layer["encoding"]["x"]["scale"]) for layer in spec["layer"] if "scale" in layer["encoding"]["x"]}

    assert shapes == ["rule", "tick", "diamond", "point", "text", "text"]
    assert len(domains) == 1
    assert spec["data"]["values"][0][CYCLE] == 20.475


def test_every_figure_of_the_picture_is_a_fact() -> None:
    """The facts behind it are those of bound, cycle and simulation, each once."""
    made = simulated_study(20.0)
    marks = marks_of(made)
    drawn = rate_picture(rates(made, marks), marks)

    assert drawn is not None
    ids = drawn.facts.split()
    assert f"concepts.{ARM}.performance.simulated_parts_per_h" in ids
    assert len(ids) == len(set(ids)) == 7
    assert re.search(r"<svg", drawn.wide)


def test_without_a_living_concept_there_is_no_picture() -> None:
    """Nothing to draw."""
    assert rate_picture([], marks_of(study())) is None
