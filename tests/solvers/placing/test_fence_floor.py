"""What a fence leaves out: pockets beside a strip, strips made narrower before an arm, stretches along a stand."""

from dataclasses import replace

from millhand.solvers.placing.fence_floor import beside_stands, joined, pockets_beside, trimmed
from millhand.solvers.placing.fencing import fenced
from millhand.solvers.placing.site import Rect

FENCE = Rect(name="fence", x_m=0.0, y_m=0.0, width_m=6.0, depth_m=4.0)
LED = replace(FENCE, x_m=1.0, y_m=-1.5, width_m=2.0, depth_m=1.0)  # led south, to the edge at -2
ARM = replace(FENCE, x_m=0.0, y_m=0.5, width_m=1.0, depth_m=1.0)


def test_beside_a_strip_lie_two_pockets() -> None:
    """As deep as the strip, from its sides to those of the fence; together with it they are the whole band."""
    west, east = pockets_beside(FENCE, LED)

    assert (west.x_m, west.width_m, west.y_m, west.depth_m) == (-1.5, 3.0, -1.5, 1.0)
    assert (east.x_m, east.width_m) == (2.5, 1.0)
    assert joined(joined(LED, west), east) == replace(LED, x_m=0.0, width_m=6.0)


def test_a_strip_that_meets_no_side_has_no_pockets() -> None:
    """Nothing lies between it and an edge that it does not touch."""
    assert pockets_beside(FENCE, replace(LED, y_m=-1.0)) == ()


def test_a_fence_without_a_pocket_has_no_stretch_left_in_it() -> None:
    """With strip and one pocket cut out the fence is an L of six sides, joined where they lie on one line."""
    west, _ = pockets_beside(FENCE, LED)
    lines = fenced(FENCE, [LED, joined(LED, west)], [])

    assert len(lines) == 6
    assert (-3.0, -1.0, 2.0, -1.0) in lines


def test_a_strip_keeps_off_the_arm_as_far_as_somebody_fits() -> None:
    """Made narrower on the side of the arm; left as it was where too little would be left."""
    beside = replace(LED, x_m=1.0, y_m=0.0, width_m=2.0, depth_m=1.2)  # led east, 0.6 m of it beside the arm

    assert trimmed(beside, ARM, (1, 0), 0.6) == replace(beside, y_m=-0.3, depth_m=0.6)
    assert trimmed(beside, ARM, (1, 0), 0.7) == beside
    assert trimmed(LED, ARM, (0, -1), 0.7) == LED


def test_a_stretch_along_a_stand_is_left_out() -> None:
    """What lies along its edge or in it goes; what goes on beyond stays; a stretch further off stays whole."""
    stand = Rect(name="outfeed", x_m=0.0, y_m=0.0, width_m=2.0, depth_m=1.0)

    assert beside_stands((-3.0, 0.5, 3.0, 0.5), [stand]) == ((-3.0, 0.5, -1.0, 0.5), (1.0, 0.5, 3.0, 0.5))
    assert beside_stands((-1.0, -0.5, -1.0, 0.5), [stand]) == ()
    assert beside_stands((-3.0, 0.6, 3.0, 0.6), [stand]) == ((-3.0, 0.6, 3.0, 0.6),)
