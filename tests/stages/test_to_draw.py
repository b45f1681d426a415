"""What is drawn of a way that was simulated: its parts a shift as well, so that all its outputs have one range."""

from dataclasses import replace
from typing import Any

from millhand.stages.spread.worlds import to_draw
from tests.report.fixture_study import ARM, study


def test_parts_a_shift_are_drawn_where_a_way_was_simulated() -> None:
    """And of a way that was not simulated nothing is."""
    result = next(each for each in study().results if each.concept.id == ARM)
    assert result.performance is not None
    found: Any = "what a simulation found"
    simulated = replace(result, performance=replace(result.performance, output=found))
    bound = replace(result, performance=replace(result.performance, output=None))

    assert result.performance.parts_per_shift in to_draw((simulated,))
    assert to_draw((bound,)) == ()
