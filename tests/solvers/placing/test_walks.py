"""Ways of people: exact by the ruler, the same as a fine grid elsewhere, never wider with more in the way."""

from itertools import pairwise

import numpy as np
import pytest

from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.walks import WITHIN_M, reachable, widest_way_m

MOST = 1.5
STEP = 0.02


def rect(x: float, y: float, width: float, depth: float) -> Rect:
    """A piece without a name."""
    return Rect(name="", x_m=x, y_m=y, width_m=width, depth_m=depth)


def room(gap: float) -> list[Rect]:
    """Four walls round a place, with an opening in the southern one."""
    half = (4.0 - gap) / 4.0
    return [
        rect(0.0, 2.0, 4.2, 0.2), rect(-2.0, 0.0, 0.2, 4.0), rect(2.0, 0.0, 0.2, 4.0),
        rect(-2.0 + half, -2.0, 2 * half, 0.2), rect(2.0 - half, -2.0, 2 * half, 0.2),
    ]  # fmt: skip


PLACE = rect(0.0, 0.5, 0.4, 0.4)


@pytest.mark.parametrize("gap", [0.3, 0.6, 0.8, 1.2])
def test_a_way_is_as_wide_as_its_narrowest_place(gap: float) -> None:
    """An opening of so much, by the ruler; what is exactly as wide as somebody lets him through."""
    assert widest_way_m(room(gap), PLACE, most_m=MOST) == pytest.approx(gap, abs=2 * WITHIN_M)
    assert reachable(room(gap), [PLACE], gap) == [True]
    assert reachable(room(gap), [PLACE], gap + 1e-4) == [False]


def test_behind_walls_nobody_gets() -> None:
    """Without an opening there is no way at all; with nothing around any way is wide enough."""
    assert widest_way_m(room(0.0), PLACE, most_m=MOST) == 0.0
    assert widest_way_m([], PLACE, most_m=MOST) == MOST


def by_grid(pieces: list[Rect], width: float) -> bool:
    """The same question on a grid of two centimetres, field by field."""
    at = np.arange(-3.0, 3.0, STEP) + STEP / 2.0
    x, y = np.meshgrid(at, at, indexing="ij")
    free = np.ones_like(x, dtype=bool)
    for each in pieces:
        free &= (np.abs(x - each.x_m) >= (each.width_m + width) / 2.0) | (
            np.abs(y - each.y_m) >= (each.depth_m + width) / 2.0
        )
    seen, todo = np.zeros_like(free), [(0, 0)]
    while todo:
        i, j = todo.pop()
        if 0 <= i < len(at) and 0 <= j < len(at) and free[i, j] and not seen[i, j]:
            seen[i, j] = True
            todo += [(i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)]
    near = (np.abs(x - PLACE.x_m) < PLACE.width_m / 2.0) & (np.abs(y - PLACE.y_m) < PLACE.depth_m / 2.0)
    return bool((seen & near).any())


@pytest.mark.parametrize("seed", range(12))
def test_a_fine_grid_says_the_same(seed: int) -> None:
    """A little narrower than the widest way the grid gets there too, a little wider it does not."""
    rng = np.random.default_rng(seed)
    pieces = [rect(*rng.uniform(-2.0, 2.0, 2), *rng.uniform(0.2, 1.6, 2)) for _ in range(9)]
    wide = widest_way_m(pieces, PLACE, most_m=0.9)

    if wide > 2 * STEP:
        assert by_grid(pieces, wide - 2 * STEP)
    if wide < 0.9:
        assert not by_grid(pieces, wide + 2 * WITHIN_M)


@pytest.mark.parametrize("seed", range(12))
def test_more_in_the_way_never_widens_it(seed: int) -> None:
    """Piece by piece, anywhere."""
    rng = np.random.default_rng(100 + seed)
    pieces = [rect(*rng.uniform(-2.0, 2.0, 2), *rng.uniform(0.2, 1.2, 2)) for _ in range(8)]
    widths = [widest_way_m(pieces[:count], PLACE, most_m=MOST) for count in range(len(pieces) + 1)]

    assert all(after <= before + WITHIN_M for before, after in pairwise(widths))
