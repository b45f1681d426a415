"""Rectangles on a tray in up to five blocks: four round the rim like the sails of a pinwheel, one in the middle.

With some of the blocks empty the same cuts give every guillotine pattern of up to four blocks. In each block all parts
lie the same way.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from millhand.formulas.limits import NOT_NEGATIVE
from millhand.formulas.packing import RECTANGLE, fits
from millhand.formulas.register import formula

if TYPE_CHECKING:
    from numpy.typing import NDArray

PATTERNS_MOST = (
    40_000_000  # beyond, two blocks alone are tried: a thousand parts and more, where a strip matters little
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """Where five blocks meet, from the lower left corner of the tray; the middle lies between the two of each pair."""

    upper_left_m: float  # right edge of the upper left block
    lower_left_m: float  # right edge of the lower left block
    left_m: float  # upper edge of the lower left block
    right_m: float  # upper edge of the lower right block


def rows_of_parts(
    length_m: float, *, width_m: float, part_length_m: float, part_width_m: float
) -> tuple[int, int, bool]:
    """Columns and rows of a block whose parts all lie the same way, the better of the two; True: turned."""
    straight = fits(length_m, part_length_m), fits(width_m, part_width_m), False
    turned = fits(length_m, part_width_m), fits(width_m, part_length_m), True
    return turned if turned[0] * turned[1] > straight[0] * straight[1] else straight


def five_blocks(length_m: float, *, width_m: float, part_length_m: float, part_width_m: float) -> tuple[int, Cuts]:
    """The most parts in up to five blocks, and the first cuts that give it.

    A block may be pushed to the left and down until it meets the rim or another block, so edges of the blocks lie at
    whole parts from the rim, and those of the middle at whole parts from an edge: no other cuts have to be tried.
    """
    import numpy as np

    sizes = (part_length_m, part_width_m)
    bound = fits(length_m * width_m, part_length_m * part_width_m)
    best, place = 0, Cuts(upper_left_m=length_m, lower_left_m=length_m, left_m=width_m, right_m=width_m)
    for (upper, lower), across in _pairs(length_m, width_m, sizes):
        totals = _parts(length_m, width_m, (upper, lower), across, sizes)
        at = int(np.argmax(totals))
        if totals[at] > best:
            best = int(totals[at])
            left, right = float(across[0, at]), float(across[1, at])
            place = Cuts(upper_left_m=upper, lower_left_m=lower, left_m=left, right_m=right)
        if best >= bound:
            break
    return best, place


@formula(source="bischoff1982, five blocks; cuts by own computation", unit="1", valid=RECTANGLE)
def rectangle_places_five_blocks(length_m: float, *, width_m: float, part_length_m: float, part_width_m: float) -> int:
    """Rectangles on a tray in up to five blocks, guillotine or pinwheel, the best of all cuts [places].

    Never fewer than in two blocks. Beyond about a thousand parts two blocks alone are tried.
    Source: bischoff1982.  Valid for part sizes above zero; rectangle_places_nested_blocks may find one more.

    >>> rectangle_places_five_blocks(0.7, width_m=0.7, part_length_m=0.4, part_width_m=0.3)
    4
    """
    return five_blocks(length_m, width_m=width_m, part_length_m=part_length_m, part_width_m=part_width_m)[0]


@formula(
    source="bischoff1982, five blocks; cuts by own computation",
    unit="1",
    valid=RECTANGLE | {"grip_gap_m": NOT_NEGATIVE, "other_gap_m": NOT_NEGATIVE},
)
def tray_places_five_blocks(
    length_m: float,
    *,
    width_m: float,
    part_length_m: float,
    part_width_m: float,
    grip_gap_m: float,
    other_gap_m: float,
) -> int:
    """Parts on a tray in up to five blocks whose fingers need room on the grip sides [places].

    Each part takes its gaps along; at the rim the wider of the two gaps stands on all sides, as parts lie both ways.
    So where all lie one way tray_places may hold more: take the greater.
    Source: bischoff1982.  Valid for part sizes above zero, and for fingers that turn with the part.
    """
    rim_m = max(grip_gap_m, other_gap_m)
    return rectangle_places_five_blocks(
        max(length_m - rim_m, 0.0),
        width_m=max(width_m - rim_m, 0.0),
        part_length_m=part_length_m + grip_gap_m,
        part_width_m=part_width_m + other_gap_m,
    )


def _pairs(
    length_m: float, width_m: float, sizes: tuple[float, float]
) -> Iterator[tuple[tuple[float, float], "NDArray[Any]"]]:
    """Pairs of cuts along the length, each with the pairs of cuts along the width that are tried with it."""
    import numpy as np

    along, across = _edges(length_m, sizes), _edges(width_m, sizes)
    if len(along) * len(across) <= PATTERNS_MOST:
        both = np.array(across).T
        yield from ((pair, both) for pair in along)
        return
    whole = np.array([[width_m], [width_m]])
    yield from (((edge, edge), whole) for edge in _multiples(length_m, sizes))
    yield (length_m, length_m), np.array([_multiples(width_m, sizes)] * 2)


def _multiples(room_m: float, sizes: tuple[float, float]) -> list[float]:
    """Edges at whole parts from the rim, either way round."""
    return sorted({count * size for size in sizes for count in range(fits(room_m, size) + 1)})


def _edges(room_m: float, sizes: tuple[float, float]) -> list[tuple[float, float]]:
    """Pairs of edges: the first at whole parts from the rim, the second there too or at whole parts from the first."""
    first = _multiples(room_m, sizes)
    found = []
    for edge in first:
        beyond = {*(other for other in first if other >= edge), *(edge + other for other in first)}
        found += [(edge, min(other, room_m)) for other in sorted(beyond) if other <= room_m * (1.0 + 1e-12)]
    return found


def _parts(
    length_m: float, width_m: float, along: tuple[float, float], across: "NDArray[Any]", sizes: tuple[float, float]
) -> "NDArray[Any]":
    """Parts in all five blocks, for one pair of cuts along the length and many along the width."""
    (upper, lower), (left, right) = along, across
    parts: NDArray[Any] = (
        _block(lower, left, sizes)
        + _block(length_m - lower, right, sizes)
        + _block(length_m - upper, width_m - right, sizes)
        + _block(upper, width_m - left, sizes)
        + _block(lower - upper, right - left, sizes)
    )
    return parts


def _block(room_m: float, across_m: "NDArray[Any]", sizes: tuple[float, float]) -> "NDArray[Any]":
    """Parts in blocks of one length and many widths, each block in the better of the two ways."""
    import numpy as np

    of_length, of_width = sizes
    straight = fits(room_m, of_length) * np.floor(across_m / of_width + 1e-9)
    turned = fits(room_m, of_width) * np.floor(across_m / of_length + 1e-9)
    most: NDArray[Any] = np.maximum(np.maximum(straight, turned), 0.0)
    return most
