"""Which tray pattern holds the most: patterns are tried with their own formulas, the first of the best is taken."""

from dataclasses import dataclass
from typing import Literal

from millhand.formulas.packing import hexagonal_places, rectangle_places_two_ways, tray_places

Pattern = Literal["tray_places", "hexagonal_places", "rectangle_places_two_ways"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Footprint:
    """What one part covers on a tray, and the gaps that the gripper asks for; jaws close along `length_m`."""

    round: bool
    length_m: float
    width_m: float
    grip_gap_m: float
    other_gap_m: float


def best_pattern(length_m: float, *, width_m: float, part: Footprint) -> Pattern:
    """The pattern that puts most parts on a tray: all alike, shifted rows, or two blocks; ties go to the simplest."""
    alike = tray_places(
        length_m,
        width_m=width_m,
        part_length_m=part.length_m,
        part_width_m=part.width_m,
        grip_gap_m=part.grip_gap_m,
        other_gap_m=part.other_gap_m,
    )
    rim_m = part.grip_gap_m
    room_m, across_m = length_m - rim_m, width_m - rim_m
    if part.round:
        other: Pattern = "hexagonal_places"
        places = hexagonal_places(room_m, width_m=across_m, diameter_m=part.length_m + part.grip_gap_m)
    else:
        other = "rectangle_places_two_ways"
        places = rectangle_places_two_ways(
            room_m,
            width_m=across_m,
            part_length_m=part.length_m + part.grip_gap_m,
            part_width_m=part.width_m + part.other_gap_m,
        )
    return other if places > alike else "tray_places"
