"""Where things stand, as far as the concept stage knows it."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One rectangle on the floor plan; x, y of its middle, width and depth are fact ids."""

    name: str
    x_m: str
    y_m: str
    width_m: str
    depth_m: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Spots, the distances that the attendant covers, and the floor that the whole takes; every number a fact id."""

    concept: str
    spots: tuple[Spot, ...]
    distances: Mapping[str, str] = field(default_factory=dict)  # "from to", "base place" (foot to load): fact id [m]
    floor_area: str = ""  # fact id [m2]
    pockets: str = ""  # fact id [parts]: raw parts that fit into presenter and, finished, into the outfeed
    track: str = ""  # fact id [m]: travel of the track; "" without one
    coarse: bool = True
    words: str = ""
