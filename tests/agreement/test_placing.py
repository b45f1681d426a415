"""Chains of errors against what is caught, by trying both ends of every link; several lifts by adding one at a time."""

import itertools
import math
from collections.abc import Mapping
from typing import Any

import pytest

from millhand.formulas.lifting import lifting_index, recommended_weight_limit_kg
from millhand.formulas.lifting_frequency import frequency_multiplier
from millhand.formulas.lifting_tasks import composite_lifting_index, single_task_limit_kg
from millhand.solvers.placing.chain import Link, chain_of
from tests.checks import OWN, Check, assert_holds

LINKS = (0.0004, 0.00005, 0.0001, 0.0002)


def own(formula: str, inputs: Mapping[str, Any], expected: float) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


CHECKS = [
    own("worst_case_m", {"links_m": LINKS}, max(sum(ends) for ends in itertools.product(*((-x, x) for x in LINKS)))),
    own("root_sum_square_m", {"links_m": LINKS}, math.sqrt(math.fsum(x * x for x in LINKS))),
    own("pocket_play_m", {"pocket_m": 0.0405, "part_m": 0.04, "tolerance_m": 0.0001}, 0.0003),
    own("pocket_play_m", {"pocket_m": 0.04, "part_m": 0.0405, "tolerance_m": 0.0001}, 0.0),
    own(
        "tilt_error_m",
        {"angle_rad": math.radians(1.0), "lever_m": 0.1},
        0.1 * math.sin(math.pi / 180.0) / math.cos(math.pi / 180.0),
    ),
    own("jaw_catch_m", {"opening_m": 0.046, "part_m": 0.04, "tolerance_m": 0.001}, 0.0025),
    own("jaw_catch_m", {"opening_m": 0.04, "part_m": 0.04, "tolerance_m": 0.001}, 0.0),
    own("nest_catch_m", {"nest_chamfer_m": 0.001, "part_chamfer_m": 0.0005, "play_m": 0.00005, "usable": 0.5}, 0.0008),
    own("placing_margin_m", {"catch_m": 0.0025, "error_m": 0.00075}, 0.00175),
    own("placing_margin_m", {"catch_m": 0.0005, "error_m": 0.00075}, -0.00025),
    own("single_task_limit_kg", {"limit_kg": 15.0, "frequency": 0.84}, 12.6),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """Both ways give the same number."""
    assert_holds(check)


def test_a_chain_names_its_greatest_link_and_its_margins() -> None:
    """What the jaws' centring takes out does not count; the rest is added both ways."""
    links = [
        Link(name="pocket", half_range_m=0.0009, taken_out=True),
        Link(name="arm", half_range_m=0.00003),
        Link(name="grip", half_range_m=0.00004),
    ]
    chain = chain_of(links, catch_m=0.0001)

    assert chain.greatest == "grip"
    assert chain.worst_m == pytest.approx(0.00007)
    assert chain.likely_m == pytest.approx(0.00005)
    assert chain.worst_margin_m == pytest.approx(0.00003)
    assert chain.likely_margin_m == pytest.approx(0.00005)


def test_a_chain_without_links_leaves_the_whole_catch() -> None:
    """Nothing is off, nothing is greatest."""
    chain = chain_of([], catch_m=0.001)

    assert (chain.worst_m, chain.likely_m, chain.worst_margin_m, chain.greatest) == (0.0, 0.0, 0.001, "")


def test_one_task_alone_has_its_own_index() -> None:
    """The composite index of one task is its lifting index; of one task cut in two it is the same again."""
    free_kg = recommended_weight_limit_kg(
        0.4, vertical_m=0.8, travel_m=0.4, twist_rad=0.0, frequency=1.0, coupling=0.95
    )
    rate = frequency_multiplier(4.0, vertical_m=0.8, duration_h=2.0)
    alone = lifting_index(9.0, limit_kg=single_task_limit_kg(free_kg, frequency=rate))
    half = frequency_multiplier(2.0, vertical_m=0.8, duration_h=2.0)
    each = lifting_index(9.0, limit_kg=single_task_limit_kg(free_kg, frequency=half))
    independent = lifting_index(9.0, limit_kg=free_kg)

    one = composite_lifting_index(
        [alone], frequency_independent=[independent], lifts_per_min=[4.0], verticals_m=[0.8], duration_h=2.0
    )
    two = composite_lifting_index(
        [each] * 2, frequency_independent=[independent] * 2, lifts_per_min=[2.0] * 2, verticals_m=[0.8] * 2,
        duration_h=2.0,
    )  # fmt: skip

    assert one == alone
    assert two == pytest.approx(alone, rel=1e-12)


def test_more_lifts_than_the_table_knows_have_no_index() -> None:
    """Ten and six lifts a minute are beyond the table for eight hours: nothing may be lifted so often."""
    index = composite_lifting_index(
        [1.0, 0.5], frequency_independent=[0.8, 0.4], lifts_per_min=[10.0, 6.0], verticals_m=[0.8, 0.8], duration_h=8.0
    )

    assert index == math.inf
