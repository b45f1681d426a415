"""A verdict: what one check demands of a concept, what the concept offers, and the margin between."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A measure of a machine that, alone and within its range, turns a check at one target, the place found held."""

    check: str  # reach, joint_room, arm_gap
    target: str  # machine_1
    fact: str  # id of the measure
    at: str  # fact id [m]: up to there the check says what it says at the likely value


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """demand, limit and margin are fact ids; margin = (limit - demand) / limit, below 0 the check fails.

    `kills` is True where a failed check ends the concept, False where it only warns. `coarse` marks rough geometry.
    """

    concept: str
    check: str  # payload, grip_force, reach, capacity_night, capacity_refill, floor_area, pace, ...
    holds: bool
    kills: bool
    demand: str
    limit: str
    margin: str
    words: str  # one sentence with [[fact id|format]] marks where figures stand
    formula: str
    coarse: bool = False
    caution: str = ""
    depends: tuple[str, ...] = ()  # ids of the facts that turn it within their range: to be asked first
