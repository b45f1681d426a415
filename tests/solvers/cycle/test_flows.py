"""Mean flows through a route."""

from dataclasses import replace

import pytest

from millhand.model.cell import Cell, Step
from millhand.model.station import Station
from millhand.solvers.cycle.loads.flows import flows, good_share, paths
from tests.solvers.cycle.rows import Row, row_cell, span


def gauged(every: int, good: float) -> Cell:
    """One machine and a gauge for samples that throws out what is bad."""
    cell = row_cell(Row(times_s=(50,)))
    start, machine, end = cell.parts["part"].route
    gauge = Step(at=("gauge",), time_s=span(10), every=every, on_bad="scrap_this")
    part = replace(cell.parts["part"], route=(start, replace(machine, good=good), gauge, end))
    return replace(cell, parts={"part": part}, stations={**cell.stations, "gauge": Station(kind="process")})


def test_samples_pass_the_gauge_and_the_rest_goes_on() -> None:
    """Each fourth part is gauged; of these a tenth stays there."""
    flow = flows(gauged(4, 0.9), {"part": 1}, plain=False)

    assert flow.visits["part", 2] == pytest.approx(0.25)
    assert flow.hops["part", 1, 3] == pytest.approx(0.75)
    assert flow.hops["part", 2, 3] == pytest.approx(0.25 * 0.9)


def test_the_plain_cycle_knows_no_samples_and_no_scrap() -> None:
    """Every part goes from the machine to the end."""
    flow = flows(gauged(4, 0.9), {"part": 2}, plain=True)

    assert dict(flow.hops) == {("part", 0, 1): 2.0, ("part", 1, 3): 2.0}


def test_two_rhythms_are_counted_together() -> None:
    """Every second and every third: of six parts one sees both, two only the first, one only the second."""
    route = (Step(at=("a",)), Step(at=("b",), every=2), Step(at=("c",), every=3), Step(at=("d",)))

    assert paths(route, plain=False) == {
        (0, 3): pytest.approx(2 / 6),
        (0, 1, 3): pytest.approx(2 / 6),
        (0, 2, 3): pytest.approx(1 / 6),
        (0, 1, 2, 3): pytest.approx(1 / 6),
    }


def test_long_rhythms_are_taken_as_independent() -> None:
    """37 and 41 share no pattern worth counting through; the shares still add up to one."""
    route = (Step(at=("a",)), Step(at=("b",), every=37), Step(at=("c",), every=41))
    found = paths(route, plain=False)

    assert sum(found.values()) == pytest.approx(1.0)
    assert found[0, 1, 2] == pytest.approx(1 / (37 * 41))


def test_good_share_is_the_product_along_the_route() -> None:
    """One step with 0.9: nine in ten."""
    assert good_share(gauged(4, 0.9), {"part": 1}) == pytest.approx(0.9)
