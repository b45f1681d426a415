"""Deflections of beams by another way: cut into pieces whose stiffness is put together and solved as one system."""

import math
from dataclasses import dataclass

import numpy as np
import pytest

from millhand.formulas.beam import (
    column_spacing_by_share_m,
    column_spacing_m,
    supported_point_deflection_m,
    supported_spread_deflection_m,
)
from tests.checks import OWN, Check, assert_holds

ELASTICITY, MOMENT = 210e9, 2.3e-5
STIFF = {"elasticity_pa": ELASTICITY, "area_moment_m4": MOMENT}
POINT = STIFF | {"load_n": 7_300.0, "span_m": 5.2}
SPREAD = STIFF | {"weight_n_m": 640.0, "span_m": 5.2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """A beam whose nodes lie at these places; `held` are the movements 2 x node (down) and 2 x node + 1 (turn)."""

    nodes: tuple[float, ...]
    held: tuple[int, ...]
    load_n: float = 0.0
    at: int = 0  # the node under the load
    weight_n_m: float = 0.0

    def deflections_m(self) -> list[float]:
        """How far each node goes down."""
        stiffness = np.zeros((2 * len(self.nodes), 2 * len(self.nodes)))
        force = np.zeros(2 * len(self.nodes))
        force[2 * self.at] = self.load_n
        for number, (start, end) in enumerate(zip(self.nodes, self.nodes[1:], strict=False)):
            h, own = end - start, slice(2 * number, 2 * number + 4)
            rows = [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h**2, -6 * h, 2 * h**2]]
            rows += [[-12, -6 * h, 12, -6 * h], [6 * h, 2 * h**2, -6 * h, 4 * h**2]]
            stiffness[own, own] += ELASTICITY * MOMENT / h**3 * np.array(rows)
            force[own] += self.weight_n_m * h / 2.0 * np.array([1.0, h / 6.0, 1.0, -h / 6.0])
        free = [each for each in range(2 * len(self.nodes)) if each not in self.held]
        moved = np.zeros(2 * len(self.nodes))
        moved[free] = np.linalg.solve(stiffness[np.ix_(free, free)], force[free])
        return [float(each) for each in moved[::2]]


HALVES = (0.0, 2.6, 5.2)
FROM_M = 1.3
WORST_M = 5.2 - math.sqrt((5.2**2 - FROM_M**2) / 3.0)  # where the line of an off-centre load is level
SUPPORTED, FIXED, ROOT = (0, 4), (0, 1, 4, 5), (0, 1)
BY_PIECES = {
    "supported_point_deflection_m": (POINT, Beam(nodes=HALVES, held=SUPPORTED, load_n=7_300.0, at=1), 1),
    "supported_spread_deflection_m": (SPREAD, Beam(nodes=HALVES, held=SUPPORTED, weight_n_m=640.0), 1),
    "fixed_point_deflection_m": (POINT, Beam(nodes=HALVES, held=FIXED, load_n=7_300.0, at=1), 1),
    "fixed_spread_deflection_m": (SPREAD, Beam(nodes=HALVES, held=FIXED, weight_n_m=640.0), 1),
    "cantilever_point_deflection_m": (POINT, Beam(nodes=HALVES, held=ROOT, load_n=7_300.0, at=2), 2),
    "cantilever_spread_deflection_m": (SPREAD, Beam(nodes=HALVES, held=ROOT, weight_n_m=640.0), 2),
    "supported_off_point_deflection_m": (
        POINT | {"from_support_m": FROM_M},
        Beam(nodes=(0.0, FROM_M, WORST_M, 5.2), held=(0, 6), load_n=7_300.0, at=1),
        2,
    ),
}

CHECKS = [
    Check(formula=name, inputs=inputs, expected=beam.deflections_m()[node], key="young2002", seen=OWN)
    for name, (inputs, beam, node) in BY_PIECES.items()
] + [
    Check(  # half of both loads up at a support times its lever, less what lies on that lever
        formula="supported_moment_nm",
        inputs={"load_n": 7_300.0, "weight_n_m": 640.0, "span_m": 5.2},
        expected=(7_300.0 + 640.0 * 5.2) / 2.0 * 2.6 - 640.0 * 2.6 * 1.3,
        key="young2002",
        seen=OWN,
    ),
    Check(
        formula="moving_load_n",
        inputs={"mass_kg": 850.0, "dynamic_factor": 1.25},
        expected=850.0 * (9.80665 + 0.25 * 9.80665),  # a quarter of gravity as acceleration upwards
        key="own_computation",
        seen=OWN,
    ),
    Check(  # without a weight of its own the span is a root in closed form
        formula="column_spacing_m",
        inputs=STIFF | {"load_n": 7_300.0, "weight_n_m": 0.0, "allowed_m": 0.004},
        expected=math.exp(math.log(48.0 * 0.004 * ELASTICITY * MOMENT / 7_300.0) / 3.0),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="column_spacing_by_share_m",
        inputs=STIFF | {"load_n": 7_300.0, "weight_n_m": 0.0, "allowed_share": 0.001},
        expected=math.exp(math.log(48.0 * 0.001 * ELASTICITY * MOMENT / 7_300.0) / 2.0),
        key="own_computation",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_beams_by_pieces(check: Check) -> None:
    """The closed form gives what the pieces put together give."""
    assert_holds(check)


def test_nowhere_else_does_an_off_centre_load_bend_further() -> None:
    """Every other place of the beam goes down less than the greatest deflection, on either side of the middle."""
    nodes = tuple(sorted({*np.linspace(0.0, 5.2, 53).tolist(), FROM_M, WORST_M}))
    moved = Beam(nodes=nodes, held=(0, 2 * len(nodes) - 2), load_n=7_300.0, at=nodes.index(FROM_M)).deflections_m()

    assert max(moved) == pytest.approx(moved[nodes.index(WORST_M)], rel=1e-9)


@pytest.mark.parametrize("weight", [0.0, 50.0, 640.0, 9_000.0])
def test_columns_stand_where_the_deflection_is_the_allowed_one(weight: float) -> None:
    """At the spacing found, both deflections together are the allowed one; a heavier beam needs more columns."""

    def deflection_m(span_m: float) -> float:
        return supported_point_deflection_m(7_300.0, span_m=span_m, **STIFF) + supported_spread_deflection_m(
            weight, span_m=span_m, **STIFF
        )

    by_length = column_spacing_m(7_300.0, weight_n_m=weight, allowed_m=0.004, **STIFF)
    by_share = column_spacing_by_share_m(7_300.0, weight_n_m=weight, allowed_share=0.001, **STIFF)

    assert deflection_m(by_length) == pytest.approx(0.004, rel=1e-12)
    assert deflection_m(by_share) == pytest.approx(0.001 * by_share, rel=1e-12)
    assert column_spacing_m(7_300.0, weight_n_m=weight + 10.0, allowed_m=0.004, **STIFF) < by_length
