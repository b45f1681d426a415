"""How many equal parts lie on a flat tray: round parts standing or lying, rectangles one way and two ways; gaps."""

import math

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

ROUND = {"length_m": POSITIVE, "width_m": POSITIVE, "diameter_m": POSITIVE}
RECTANGLE = {"length_m": POSITIVE, "width_m": POSITIVE, "part_length_m": POSITIVE, "part_width_m": POSITIVE}


def fits(room_m: float, size_m: float) -> int:
    """How often a size goes into a room; a billionth of a piece is forgiven, so 0.6 m holds three of 0.2 m."""
    return max(math.floor(room_m / size_m + 1e-9), 0)


def hexagonal_rows(length_m: float, *, width_m: float, diameter_m: float) -> int:
    """Places when the rows lie along the length and every other row is shifted by half a diameter."""
    if width_m < diameter_m * (1.0 - 1e-9):
        return 0
    rows = 1 + fits(width_m - diameter_m, diameter_m * math.sqrt(3.0) / 2.0)
    straight = fits(length_m, diameter_m)
    shifted = fits(length_m - diameter_m / 2.0, diameter_m)
    return (rows + 1) // 2 * straight + rows // 2 * shifted


@formula(source="own_computation, rows and columns", unit="1", valid=ROUND)
def grid_places(length_m: float, *, width_m: float, diameter_m: float) -> int:
    """Round parts on a tray in a square pattern [places]; give the diameter with its gap.

    Source: own_computation, rows and columns.  Valid for a diameter above zero.

    >>> grid_places(0.6, width_m=0.4, diameter_m=0.04)
    150
    """
    return fits(length_m, diameter_m) * fits(width_m, diameter_m)


@formula(source="own_computation, shifted rows", unit="1", valid=ROUND)
def hexagonal_places(length_m: float, *, width_m: float, diameter_m: float) -> int:
    """Round parts on a tray in shifted rows, the better of the two directions [places].

    Source: own_computation, shifted rows.  Valid for a diameter above zero; a square grid may still hold more.

    >>> hexagonal_places(0.6, width_m=0.4, diameter_m=0.04)
    162
    """
    along = hexagonal_rows(length_m, width_m=width_m, diameter_m=diameter_m)
    return max(along, hexagonal_rows(width_m, width_m=length_m, diameter_m=diameter_m))


@formula(source="own_computation, rows and columns", unit="1", valid=RECTANGLE)
def rectangle_places(length_m: float, *, width_m: float, part_length_m: float, part_width_m: float) -> int:
    """Rectangles on a tray, all lying the same way, the better of the two ways [places].

    Source: own_computation, rows and columns.  Valid for part sizes above zero.
    """
    return max(
        fits(length_m, part_length_m) * fits(width_m, part_width_m),
        fits(length_m, part_width_m) * fits(width_m, part_length_m),
    )


@formula(source="own_computation, two blocks beside each other", unit="1", valid=RECTANGLE)
def rectangle_places_two_ways(length_m: float, *, width_m: float, part_length_m: float, part_width_m: float) -> int:
    """Rectangles on a tray in two blocks, the second turned by a quarter, the best cut of either side [places].

    Source: own_computation, two blocks.  Valid for part sizes above zero; patterns of more blocks can hold more.
    """
    most = 0
    for room_m, across_m in ((length_m, width_m), (width_m, length_m)):
        for along_m, side_m in ((part_length_m, part_width_m), (part_width_m, part_length_m)):
            for columns in range(fits(room_m, along_m) + 1):
                rest_m = room_m - columns * along_m
                block = columns * fits(across_m, side_m)
                most = max(most, block + fits(rest_m, side_m) * fits(across_m, along_m))
    return most


@formula(
    source="own_computation, rows and columns with gaps",
    unit="1",
    valid=RECTANGLE | {"grip_gap_m": NOT_NEGATIVE, "other_gap_m": NOT_NEGATIVE},
)
def tray_places(
    length_m: float,
    *,
    width_m: float,
    part_length_m: float,
    part_width_m: float,
    grip_gap_m: float,
    other_gap_m: float,
) -> int:
    """Parts on a tray whose fingers need room on the grip sides, the better of the two ways to lay them [places].

    The jaws close along the part's length: grip_gap_m stands between neighbours and at the rim in that direction,
    other_gap_m in the other. Round parts: give the diameter twice.
    Source: own_computation, rows and columns with gaps.  Valid for part sizes above zero.
    """
    along_m, across_m = part_length_m + grip_gap_m, part_width_m + other_gap_m
    return max(
        fits(length_m - grip_gap_m, along_m) * fits(width_m - other_gap_m, across_m),
        fits(length_m - other_gap_m, across_m) * fits(width_m - grip_gap_m, along_m),
    )


@formula(
    source="own_computation, rows and columns with gaps",
    unit="1",
    valid=ROUND | {"part_length_m": POSITIVE, "side_gap_m": NOT_NEGATIVE, "end_gap_m": NOT_NEGATIVE},
)
def lying_places(
    length_m: float,
    *,
    width_m: float,
    part_length_m: float,
    diameter_m: float,
    side_gap_m: float,
    end_gap_m: float,
) -> int:
    """Round parts that lie in rows on prisms or in grooves, the better of the two directions [places].

    side_gap_m stands between neighbours across their axes and at the rim there, end_gap_m between and beyond the ends.
    Source: own_computation, rows and columns with gaps.  Valid for diameter and length above zero.

    >>> lying_places(0.6, width_m=0.4, part_length_m=0.12, diameter_m=0.03, side_gap_m=0.02, end_gap_m=0.01)
    33
    """
    return tray_places(
        length_m,
        width_m=width_m,
        part_length_m=diameter_m,
        part_width_m=part_length_m,
        grip_gap_m=side_gap_m,
        other_gap_m=end_gap_m,
    )


@formula(
    source="own_computation, shifted rows",
    unit="1",
    valid=ROUND | {"height_m": POSITIVE, "part_length_m": POSITIVE, "end_gap_m": NOT_NEGATIVE},
)
def bundle_places(
    length_m: float, *, width_m: float, height_m: float, part_length_m: float, diameter_m: float, end_gap_m: float
) -> int:
    """Round parts that lie in a box one on the other, each layer in the hollows of the one below [places].

    The axes lie along the length; the upper layer of each two is shifted by half a diameter.
    Source: own_computation, shifted rows.  Valid for parts that may touch, and for walls that hold the bundle.
    """
    ends = fits(length_m + end_gap_m, part_length_m + end_gap_m)
    return ends * hexagonal_rows(width_m, width_m=height_m, diameter_m=diameter_m)
