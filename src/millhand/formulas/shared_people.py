"""How many alike cells one person can look after, and what of his hours falls to one of them."""

import math

from millhand.formulas.finite_source import machines_waiting
from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

MOST = 30  # cells of one person: beyond, ways decide and not calls
SHARE = (0.0, 1.0)
ABOVE_0 = (math.ulp(0.0), 1.0)


@formula(
    source="own_computation, time at work over calls",
    unit="s",
    valid={"work_share": SHARE, "calls_per_h": POSITIVE},
)
def call_takes_s(work_share: float, *, calls_per_h: float) -> float:
    """Mean time that somebody works at one call [s].

    Source: own_computation.  Valid for shares and calls of the same span of time.

    >>> call_takes_s(0.1, calls_per_h=2.0)
    180.0
    """
    return work_share * 3600.0 / calls_per_h


@formula(
    source="own_computation, hours of work over hours of a post",
    unit="1",
    valid={"work_h_per_y": NOT_NEGATIVE, "post_h_per_y": POSITIVE},
)
def busy_share(work_h_per_y: float, *, post_h_per_y: float) -> float:
    """Share of the hours in which one post is filled that a cell's work takes [1].

    Source: own_computation.  Valid for work that may be done in any of these hours; above 1 it takes more posts.

    >>> busy_share(500.0, post_h_per_y=4000.0)
    0.125
    """
    return work_h_per_y / post_h_per_y


@formula(
    source="own_computation, finite source of stevenson2021, ch. 18, for one attendant and alike cells",
    unit="1",
    valid={
        "call_s": POSITIVE, "calls_per_h": POSITIVE, "there_share": ABOVE_0, "busy_share": NOT_NEGATIVE,
        "most_busy_share": SHARE, "most_waiting_share": SHARE,
    },
)  # fmt: skip
def cells_for_one(
    call_s: float,
    *,
    calls_per_h: float,
    there_share: float,
    busy_share: float,
    most_busy_share: float,
    most_waiting_share: float,
) -> float:
    """Most alike cells that one person can look after [cells]; 0 where one is too much for him.

    Each calls, by chance, calls_per_h times an hour of the whole week, all while somebody is there (there_share of it);
    what is not called for (busy_share less the calls) is done in between. No more than most_busy_share of his hours is
    work, and each cell waits for him no more than most_waiting_share of the time, besides the work at it.
    Source: own_computation, on stevenson2021, ch. 18.  Valid for exponential times, 30 cells at most.
    """
    run_s = there_share * 3600.0 / calls_per_h - call_s
    if busy_share > most_busy_share or run_s <= 0.0:
        return 0.0
    cells = 1
    while cells < MOST and (cells + 1) * busy_share <= most_busy_share:
        waiting = machines_waiting(cells + 1.0, attendants=1.0, run_s=run_s, service_s=call_s)
        if waiting / (cells + 1) > most_waiting_share:
            break
        cells += 1
    return float(cells)


@formula(
    source="own_computation, a post over the cells that share it",
    unit="h/y",
    valid=dict.fromkeys(("post_h_per_y", "busy_share", "cells", "other_cells"), NOT_NEGATIVE),
)
def shared_post_h_per_y(post_h_per_y: float, *, busy_share: float, cells: float, other_cells: float) -> float:
    """Hours a year of one post that fall to one cell, waiting shared with the other cells that are there [h/y].

    Never less than the work at it; shared by no more cells than one person can look after.
    Source: own_computation.  Valid for other cells that call as often as this one.
    """
    return post_h_per_y * max(busy_share, 1.0 / max(1.0, min(cells, other_cells + 1.0)))
