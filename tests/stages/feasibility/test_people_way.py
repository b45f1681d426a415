"""The verdict on people's ways."""

from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.model.floor import Block
from tests.stages.feasibility.judged import judged
from tests.stages.shop import shop

OPEN = "drawers-pedestal-force_limited_25-parallel_double-scanner"


def test_an_open_floor_holds() -> None:
    """Nothing but the cell stands there."""
    found = judged(OPEN)

    assert found.verdicts["people_way"].holds
    assert found.sheet.value(found.verdicts["people_way"].demand) == 0.7


@pytest.mark.parametrize(("gap", "holds"), [(0.5, False), (0.9, True)])
def test_walls_round_the_shop_turn_it_by_their_gap(gap: float, holds: bool) -> None:
    """Four long walls, the southern one with an opening: the margin is what the opening says."""
    far = 8.0
    half = (2 * far - gap) / 4.0
    walls = [
        (0.0, far, 2 * far, 0.2), (-far, 0.0, 0.2, 2 * far), (far, 0.0, 0.2, 2 * far),
        (-far + half, -far, 2 * half, 0.2), (far - half, -far, 2 * half, 0.2),
    ]  # fmt: skip
    blocks = []
    for number, sides in enumerate(walls):
        names = ("x_m", "y_m", "width_m", "depth_m", "height_m")
        facts = {
            name: Fact(id=f"obstacles.{number}.{name}", value=value, unit="m", basis="given", source="test")
            for name, value in zip(names, (*sides, 3.0), strict=True)
        }
        blocks.append(Block(name=f"wall {number}", **facts))
    found = judged(OPEN, replace(shop(), obstacles=tuple(blocks)))
    verdict = found.verdicts["people_way"]

    assert (verdict.holds, verdict.kills) == (holds, False)
    assert found.sheet.value(verdict.limit) == pytest.approx(gap, abs=0.002)
