"""An arm as links and joints: what its reach and its moves are worked out from.

Standard Denavit-Hartenberg rows: joint i turns about its axis z by its position plus `offset_rad`, or slides along it
by its position plus `d_m`; then come `d_m` along z, `a_m` along the new x, and a turn by `alpha_rad` about it. The last
row ends at the flange.
"""

from dataclasses import dataclass
from typing import Literal

Family = Literal["spherical_wrist", "parallel_axes", "scara", "gantry"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """One joint and the link behind it. Positions, speeds and accelerations are in rad of a joint that turns, in m of
    one that slides."""

    a_m: float = 0.0
    alpha_rad: float = 0.0
    d_m: float = 0.0
    offset_rad: float = 0.0
    slides: bool = False
    low: float
    high: float
    speed: float = 1.0
    accel: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Linkage:
    """All joints of an arm from the foot to the flange; the family says which axes meet or are parallel.

    One that `hangs` is bolted on upside down: its rows count from a foot that is turned over about x, every pose of it
    still from a foot whose z leads up.
    """

    id: str
    family: Family
    joints: tuple[Joint, ...]
    source: str = ""
    hangs: bool = False
