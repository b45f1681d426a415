"""The longest way out of a fence, on floors where it is known."""

import math

import pytest

from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.way_out import STEP_M, longest_way_out_m

ROOM = Rect(name="fence", x_m=3.0, y_m=2.0, width_m=6.0, depth_m=4.0)
FENCE = [(0.0, 0.0, 0.0, 4.0), (0.0, 4.0, 6.0, 4.0), (6.0, 4.0, 6.0, 0.0), (0.0, 0.0, 2.5, 0.0), (3.5, 0.0, 6.0, 0.0)]
GATE = (2.5, 0.0, 3.5, 0.0)
FOOT = (3.0, 2.0)
WITHIN = 4.0 * STEP_M  # a wall is as thick as two fields, and a gate is left from the field beside it


def way(*pieces: Rect, fence: object = None, gates: object = (GATE,)) -> float | None:
    """The longest way out of the room."""
    return longest_way_out_m(ROOM, pieces, fence or FENCE, gates, foot=FOOT)  # type: ignore[arg-type]


def test_out_of_an_empty_room_it_leads_from_a_far_corner() -> None:
    """From the far corner straight to the nearer post of the gate."""
    straight = math.hypot(2.5, 4.0)

    assert way() == pytest.approx(straight, abs=WITHIN)


def test_a_wall_inside_is_walked_round() -> None:
    """A machine that leaves a passage on one side alone makes the way longer by the detour."""
    across = Rect(name="machine", x_m=3.6, y_m=2.0, width_m=4.8, depth_m=0.4)
    past = math.hypot(1.2 - 6.0, 4.0 - 2.2) + 0.4 + math.hypot(2.5 - 1.2, 1.8)

    found = way(across)

    assert found is not None
    assert found == pytest.approx(past, abs=2.0 * WITHIN)
    assert found > (way() or math.inf)


def test_a_second_gate_shortens_it() -> None:
    """Each place counts to the gate that is nearer to it."""
    back = [*FENCE[:1], (0.0, 4.0, 2.5, 4.0), (3.5, 4.0, 6.0, 4.0), *FENCE[2:]]

    found = way(fence=back, gates=(GATE, (2.5, 4.0, 3.5, 4.0)))

    assert found == pytest.approx(math.hypot(2.5, 2.0), abs=WITHIN)


def test_without_a_gate_there_is_no_way_out() -> None:
    """None, not nought: a fence without a gate is not left at all."""
    assert way(gates=()) is None


def test_what_is_shut_off_from_the_arm_does_not_count() -> None:
    """Behind a wall from side to side nobody is with the arm."""
    across = Rect(name="wall", x_m=3.0, y_m=3.2, width_m=6.0, depth_m=0.4)

    assert way(across) == pytest.approx(math.hypot(2.5, 3.0), abs=WITHIN)


@pytest.mark.parametrize("angle", [0.0, 0.3, 0.6, 0.785])
def test_a_way_in_any_direction_is_no_more_than_three_per_cent_too_long(angle: float) -> None:
    """Steps of king and knight: their longest detour over a straight way."""
    steps = [(1, 0), (1, 1), (2, 1)]
    aim = math.cos(angle), math.sin(angle)
    # the cheapest mix of the two steps on either side of the direction
    ways = [
        a * math.hypot(*one) + b * math.hypot(*two)
        for one in steps for two in steps
        if (cross := one[0] * two[1] - one[1] * two[0])
        and (a := (aim[0] * two[1] - aim[1] * two[0]) / cross) >= -1e-9
        and (b := (one[0] * aim[1] - one[1] * aim[0]) / cross) >= -1e-9
    ]  # fmt: skip

    assert min(ways) < 1.03
