"""The mix in whole parts, whatever decimals it is written with."""

import pytest

from millhand.model.cell import CellPart
from millhand.model.mix import is_near_only, part_set


def parts(*shares: float) -> dict[str, CellPart]:
    """Parts with these shares and no route."""
    return {f"p{number}": CellPart(route=(), share=share) for number, share in enumerate(shares)}


@pytest.mark.parametrize(
    ("shares", "counts"),
    [
        ((0.25, 0.75), (1, 3)),
        ((0.333, 0.333, 0.334), (1, 1, 1)),
        ((0.34, 0.33, 0.33), (1, 1, 1)),
        ((0.6667, 0.3333), (2, 1)),
        ((0.35, 0.65), (7, 13)),
        ((0.2, 0.2, 0.2, 0.2, 0.2), (1, 1, 1, 1, 1)),
        ((0.999, 0.001), (64, 1)),
    ],
)
def test_the_fewest_parts_in_the_ratio_of_the_shares(shares: tuple[float, ...], counts: tuple[int, ...]) -> None:
    """Exactly where a small set has the ratio, near to it where the decimals end too soon; at least one of each."""
    assert tuple(part_set(parts(*shares)).values()) == counts


def test_a_mix_that_is_only_near_is_known_as_such() -> None:
    """Three digits of a third are a third; two digits are another mix, and so is one part in a thousand."""
    assert not is_near_only(parts(0.333, 0.333, 0.334))
    assert is_near_only(parts(0.34, 0.33, 0.33))
    assert is_near_only(parts(0.999, 0.001))
