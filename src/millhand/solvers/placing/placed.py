"""One way to put a cell down: where everything stands, and how each target is served."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from millhand.solvers.placing.around import Stood
from millhand.solvers.placing.serving import Served
from millhand.solvers.placing.site import Foot, Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Out:
    """How much further out than by its margin each side of a fence stands [m]; and floor that is not left outside where
    it is led in."""

    west_m: float = 0.0
    south_m: float = 0.0
    east_m: float = 0.0
    north_m: float = 0.0
    kept: tuple[Rect, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One way to put a cell down. `feet` and `served` by name: machines, "presenter 1" ..., "outfeed 1" ...

    travel: how far the foot turns for one round [rad], and on a track how far it goes [m]; floor_m2: the rectangle
    round all that is new and the door planes.
    """

    feet: Mapping[str, Foot]
    arm: Rect  # what the arm stands on: its foot, or the whole track
    presenter: Stood | None
    outfeed: Stood | None
    served: tuple[Served, ...]
    track_m: float
    travel: float
    floor_m2: float
    columns: tuple[Rect, ...] = ()  # in a row, of a beam
    top_m: float = 0.0  # highest point of an arm that hangs
    walk_share: float = 1.0  # the narrowest way of people as a share of what somebody needs
    out: Out = Out()  # of its fence

    @property
    def worst(self) -> Served:
        """The target that is served worst."""
        return min(self.served, key=lambda each: each.score)

    @property
    def stood(self) -> tuple[Stood, ...]:
        """Presenter and outfeed as far as something stands there."""
        return tuple(each for each in (self.presenter, self.outfeed) if each is not None)

    @property
    def span_m(self) -> float:
        """The longest span between columns; nothing without any."""
        row = [(each.x_m, each.y_m) for each in self.columns]
        return max((math.dist(a, b) for a, b in pairwise(row)), default=0.0)

    @property
    def foot_m(self) -> float:
        """How high the foot is above the floor."""
        return next(iter(self.feet.values()))[2]

    @property
    def works(self) -> bool:
        """Whether everything is reached and nothing is touched."""
        return self.worst.score >= 0.0
