"""Rectangles on a tray in blocks inside blocks: each of five blocks is filled again by the best five, and so on."""

from typing import TYPE_CHECKING, Any

from millhand.formulas.blocks import rectangle_places_five_blocks
from millhand.formulas.packing import RECTANGLE, fits, rectangle_places
from millhand.formulas.register import formula

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Table = NDArray[Any]

CUTS_MOST = 50_000_000  # a few seconds; beyond, five blocks alone are tried


@formula(source="martins2008, five blocks filled again by five; the search is an own one", unit="1", valid=RECTANGLE)
def rectangle_places_nested_blocks(
    length_m: float, *, width_m: float, part_length_m: float, part_width_m: float
) -> int:
    """Rectangles on a tray in five blocks, each filled again by the best five blocks, and so on [places].

    Never fewer than in five blocks; beyond some seventy parts with odd sizes five blocks alone are tried.
    Source: martins2008.  Valid for part sizes above zero; one part in a few hundred trays may still be missed.

    >>> rectangle_places_nested_blocks(2.2, width_m=1.6, part_length_m=0.5, part_width_m=0.3)
    23
    """
    sizes = (part_length_m, part_width_m)
    along, across = _sums(length_m, sizes), _sums(width_m, sizes)
    five = rectangle_places_five_blocks(
        length_m, width_m=width_m, part_length_m=part_length_m, part_width_m=part_width_m
    )
    if five >= fits(along[-1] * across[-1], part_length_m * part_width_m):
        return five
    if (len(along) * len(across)) ** 3 > 36 * CUTS_MOST:
        return five
    return max(five, _most(along, across, sizes))


def _sums(room_m: float, sizes: tuple[float, float]) -> list[float]:
    """Lengths that whole parts beside each other take, either way round, up to the room; rounding apart counts once."""
    one, other = sizes
    counts = [(n, m) for n in range(fits(room_m, one) + 1) for m in range(fits(room_m - n * one, other) + 1)]
    found: list[float] = []
    for length in sorted(min(n * one + m * other, room_m) for n, m in counts):
        if not found or length - found[-1] > 1e-9 * other:
            found.append(length)
    return found


def _rest(sums: list[float], sizes: tuple[float, float]) -> "Table":
    """Row i, column j: the place of the greatest sum within the difference of sums i and j."""
    import numpy as np

    values = np.array(sums)
    room = values[:, None] - values[None, :] + 1e-9 * min(sizes)
    places: Table = np.maximum(np.searchsorted(values, room.ravel(), side="right") - 1, 0).reshape(room.shape)
    return places


def _most(along: list[float], across: list[float], sizes: tuple[float, float]) -> int:
    """The most parts on the largest of all rooms, from the smallest room upwards."""
    import numpy as np

    table = np.array(
        [[rectangle_places(x, width_m=y, part_length_m=sizes[0], part_width_m=sizes[1]) for y in across] for x in along]
    )
    rest_x, rest_y = _rest(along, sizes), _rest(across, sizes)
    pairs_x = [np.triu_indices(place + 1) for place in range(len(along))]
    pairs_y = [np.triu_indices(place + 1) for place in range(len(across))]
    for i, x in enumerate(along):
        for j, y in enumerate(across):
            if table[i, j] < fits(x * y, sizes[0] * sizes[1]):
                table[i, j] = _best_cut(table, (rest_x, rest_y), (i, j), (pairs_x[i], pairs_y[j]))
    return int(table[-1, -1])


def _best_cut(
    table: "Table",
    rests: tuple["Table", "Table"],
    room: tuple[int, int],
    pairs: tuple[tuple["Table", "Table"], tuple["Table", "Table"]],
) -> int:
    """The most parts in one room over all pairs of cuts, each of the five blocks looked up in the table."""
    rest_x, rest_y = rests
    i, j = room
    upper, lower = (cuts[:, None] for cuts in pairs[0])
    left, right = (cuts[None, :] for cuts in pairs[1])
    parts = (
        table[lower, left]
        + table[rest_x[i, lower], right]
        + table[rest_x[i, upper], rest_y[j, right]]
        + table[upper, rest_y[j, left]]
        + table[rest_x[lower, upper], rest_y[right, left]]
    )
    return int(parts.max())
