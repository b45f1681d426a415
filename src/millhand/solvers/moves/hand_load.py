"""A hand with its parts as boxes on the flange: what a tool of usual shape puts on the wrist before it is drawn."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.solvers.moves.tool_load import Box, FlangeLoad, Triple, flange_load

BODY_SHARE = 0.6  # of the hand's length is the body, the rest are fingers (judged: the usual shape of grippers)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """One gripper, or two at right angles on a bracket, each with the same parts in it.

    A single one points away from the flange, two lie half a right angle to either side of that. Masses of gripper and
    fingers are those of all hands together, length_m is from the flange to the finger tips, where the parts lie.
    """

    hands: int
    gripper_kg: float
    fingers_kg: float
    part_kg: float
    parts: float  # in one hand: all parts of a shot out of a mould
    length_m: float
    width_m: float
    sides_m: Triple  # of a part


def hand_load(hand: Hand) -> FlangeLoad:
    """The load with a part in every hand."""
    return flange_load(list(bodies(hand, full=hand.hands)))


def greatest_moment_nm(hand: Hand) -> float:
    """Greatest static moment: with all hands full, or with one of two full, as during an exchange."""
    filled = range(1, hand.hands + 1)
    return max(flange_load(list(bodies(hand, full=count))).moment_nm for count in filled)


def greatest_inertia_kg_m2(hand: Hand) -> float:
    """Greatest inertia about any of the three axes through the flange, with a part in every hand."""
    return max(hand_load(hand).inertia_kg_m2)


def bodies(hand: Hand, *, full: int) -> Iterator[Box]:
    """Body, fingers and parts of each hand; parts in the first `full` of them."""
    turns = (0.0,) if hand.hands == 1 else (math.pi / 4.0, -math.pi / 4.0)
    body_m, fingers_m = BODY_SHARE * hand.length_m, (1.0 - BODY_SHARE) * hand.length_m
    block = Box(mass_kg=0.0, sides_m=(hand.width_m, hand.width_m, body_m), at_m=(0.0, 0.0, 0.0))
    for number, turn in enumerate(turns):
        yield replace(block, mass_kg=hand.gripper_kg / hand.hands, at_m=_out(body_m / 2.0, turn))
        yield replace(
            block, mass_kg=hand.fingers_kg / hand.hands, sides_m=(hand.width_m, hand.width_m / 2.0, fingers_m),
            at_m=_out(body_m + fingers_m / 2.0, turn),
        )  # fmt: skip
        if number < full:
            yield Box(mass_kg=hand.part_kg * hand.parts, sides_m=hand.sides_m, at_m=_out(hand.length_m, turn))


def _out(distance_m: float, turn_rad: float) -> Triple:
    """A place so far from the flange along a hand."""
    return distance_m * math.sin(turn_rad), 0.0, distance_m * math.cos(turn_rad)
