"""Several cells under common random numbers, from simulated cells and by hand."""

from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.replications import simulate
from millhand.solvers.output.contest import against_first, greatest_mean, ranked, selected
from millhand.solvers.output.runs import Run, Runs, no_runs
from tests.solvers.kernel.shop import arm_cell

WAYS_S = {"near": 4.0, "far": 9.0, "farther": 10.0}


def runs() -> dict[str, Runs]:
    """Three arms with two machines whose loads spread; only the ways differ."""
    time: Any = {"dist": "lognormal", "mean_s": 100, "cv": 0.5}
    forms = {name: arm_cell(2, way_s=way_s, time_s=time) for name, way_s in WAYS_S.items()}
    return {name: no_runs(cell_from(form), run=Run(hours=8.0)) for name, form in forms.items()}


def test_differences_are_paired() -> None:
    """By hand: 1 and 3 less 0 and 2 are one each, without any spread, though both spread."""
    told = against_first({"a": [0.0, 2.0], "b": [1.0, 3.0], "c": [1.0, 3.0, 9.0]})

    assert (told["b"].difference.low, told["b"].difference.mean, told["b"].difference.high) == (1.0, 1.0, 1.0)
    assert told["b"].gain is None
    assert told["c"].pairs == 2
    assert told["c"].difference.mean == 1.0


def test_the_ranking_names_the_arm_with_the_short_ways() -> None:
    """Short ways make more, surely; each mean is that of the cell simulated by itself."""
    each = runs()
    found = ranked(each, count=5)

    assert found.standing is not None
    assert found.standing.best == "near"
    assert found.standing.may_be_best == ("near",)
    assert found.selection is None
    assert all(against.difference.high < 0.0 for against in found.against_first.values())
    alone = simulate(cell_from(arm_cell(2, way_s=4.0, time_s={"dist": "lognormal", "mean_s": 100, "cv": 0.5})),  # type: ignore[arg-type]
                     hours=8.0, replications=5)  # fmt: skip
    assert sum(counts.counted[1] for counts in each["near"].each) / 40.0 == pytest.approx(alone.good_per_h.mean)
    assert found.indifference == pytest.approx(0.01 * alone.good_per_h.mean)


def test_the_selection_goes_on_with_those_that_are_left() -> None:
    """The same choice, with no more replications for those that fell behind than for the best."""
    each = runs()
    found = selected(each, zone=0.01, least=5, most=50)

    assert found.selection is not None
    assert found.standing is None
    assert found.selection.best == "near"
    assert len(each["farther"].each) <= len(each["near"].each)
    assert min(len(one.each) for one in each.values()) >= 5


def test_cells_that_make_nothing_have_no_best() -> None:
    """Without good parts there is no share of them that could matter."""
    form = arm_cell()
    form["parts"]["part"]["route"][1]["good"] = 0
    both = {name: no_runs(cell_from(form), run=Run(hours=1.0)) for name in ("a", "b")}
    found = selected(both, zone=0.01, least=5, most=50)

    assert found.selection is None
    assert found.indifference == 0.0


def test_the_greatest_mean() -> None:
    """Of means, not of values."""
    assert greatest_mean({"a": [0.0, 9.0], "b": [5.0, 6.0]}) == 5.5
