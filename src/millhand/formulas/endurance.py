"""What ends a run alone, each limit by itself: places on both sides, tools, chips, coolant."""

import math

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula
from millhand.formulas.unattended import CAUTION


@formula(
    source="own_computation, count of parts",
    unit="parts",
    valid={"infeed": NOT_NEGATIVE, "outfeed": NOT_NEGATIVE, "in_work": NOT_NEGATIVE},
    caution=CAUTION,
)
def finished_alone_parts(infeed: float, *, outfeed: float, in_work: float) -> float:
    """Parts finished alone by what infeed and outfeed hold; those in the machines at the start come on top [parts].

    With the infeed empty the machines finish what they hold; with the outfeed full the last parts stay in them.
    Source: own_computation, count of parts.  Valid for parts that are put down one for one.

    >>> finished_alone_parts(60.0, outfeed=48.0, in_work=2.0)
    50.0
    """
    return min(infeed, outfeed) + in_work


@formula(
    source="own_computation, lives of all sister tools",
    unit="parts",
    valid={"life_parts": NOT_NEGATIVE, "sisters": NOT_NEGATIVE, "used_share": SHARE},
    caution=CAUTION,
)
def tool_life_limit_parts(life_parts: float, *, sisters: float, used_share: float) -> float:
    """Parts until the tool and all its sisters are worn; the one in use is worn to a share already [parts].

    Source: own_computation.  Valid for tools that are changed by count; a broken one ends its life at once.

    >>> tool_life_limit_parts(150.0, sisters=2.0, used_share=0.5)
    375.0
    """
    return life_parts * (1.0 - used_share + sisters)


@formula(
    source="own_computation, loose volume of chips",
    unit="parts",
    valid={"box_m3": NOT_NEGATIVE, "fill_share": SHARE, "cut_m3": POSITIVE, "bulk": (1.0, 100.0)},
    caution=CAUTION,
)
def chip_box_limit_parts(box_m3: float, *, fill_share: float, cut_m3: float, bulk: float) -> float:
    """Parts until the chip box is full: each part's cut volume, loose as it lies in the box [parts].

    bulk is loose over solid volume: a handful for broken chips, many times more for long curls. A part that nothing is
    cut of never fills it: in a drawn world the finished mass may come to the raw one.
    Source: own_computation, loose volume.  Valid for chips that reach the box; a nest in the machine stops it earlier.

    >>> round(chip_box_limit_parts(0.2, fill_share=0.8, cut_m3=0.0001, bulk=8.0))
    200
    >>> chip_box_limit_parts(0.2, fill_share=0.8, cut_m3=0.0, bulk=8.0)
    inf
    """
    return box_m3 * fill_share / (cut_m3 * bulk) if cut_m3 else math.inf


@formula(
    source="own_computation, volume over loss",
    unit="s",
    valid={"usable_m3": NOT_NEGATIVE, "loss_m3_per_h": POSITIVE},
    units={"loss_m3_per_h": "m3/h"},
    caution=CAUTION,
)
def coolant_limit_s(usable_m3: float, *, loss_m3_per_h: float) -> float:
    """Time until the coolant is down to its least level, by what parts, chips and mist carry away [s].

    Source: own_computation, volume over loss.  Valid for an even loss, without a feed.
    """
    return usable_m3 / loss_m3_per_h * 3600.0


@formula(
    source="own_computation, count of parts",
    unit="parts",
    valid={"every_n": POSITIVE, "since": NOT_NEGATIVE, "waiting_places": NOT_NEGATIVE},
    caution=CAUTION,
)
def gauge_limit_parts(every_n: float, *, since: float, waiting_places: float) -> float:
    """Parts until gauging by a person holds the cell: the next gauged part, and those that may wait beside it [parts].

    Each place beside the cell lets one gauged part wait and the cell go on; parts made meanwhile are at risk.
    Source: own_computation, count of parts.  Valid for every n-th part to be gauged.

    >>> gauge_limit_parts(25.0, since=10.0, waiting_places=1.0)
    40.0
    """
    return every_n * (1.0 + waiting_places) - since
