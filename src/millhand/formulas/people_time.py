"""People's time by kind: hands-on machine care, other work on the parts, waiting; and what freed hours come to."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

SHARE_ABOVE_0 = (math.ulp(0.0), 1.0)


@formula(
    source="own_computation, hours of a post over its shifts",
    valid={"heads": NOT_NEGATIVE, "worked_h": NOT_NEGATIVE, "shifts": POSITIVE},
)
def there_h(heads: float, *, worked_h: float, shifts: float) -> float:
    """Hours that all heads together are there in a mean shift, breaks taken off [h].

    worked_h: hours a week that one post is filled; shifts: manned shifts a week.
    Source: own_computation.  Valid for hours and shifts of the same week.

    >>> there_h(2.0, worked_h=75.0, shifts=10.0)
    15.0
    """
    return heads * worked_h / shifts


@formula(
    source="own_computation, work a part times parts",
    valid={"good_parts": NOT_NEGATIVE, "good_share": SHARE_ABOVE_0, "work_s_per_part": NOT_NEGATIVE},
    units={"work_s_per_part": "s"},
)
def kind_h(good_parts: float, *, good_share: float, work_s_per_part: Sequence[float]) -> float:
    """Hours of one kind of work in a shift, for the good parts and those that were not good [h].

    Source: own_computation.  Valid for work that is done on every part made.

    >>> kind_h(90.0, good_share=0.9, work_s_per_part=[30.0, 6.0])
    1.0
    """
    return good_parts / good_share * math.fsum(work_s_per_part) / 3600.0


@formula(
    source="own_computation, hours there less hours worked",
    valid={"there_h": NOT_NEGATIVE, "kinds_h": NOT_NEGATIVE},
    units={"kinds_h": "h"},
)
def waiting_h(there_h: float, *, kinds_h: Sequence[float]) -> float:
    """Hours of a shift in which people are there and neither care for a machine nor work on parts, from 0 up [h].

    Source: own_computation.  Valid for kinds that share nothing; at 0 the work was said to be more than the hours.

    >>> waiting_h(8.0, kinds_h=[3.0, 2.0]), waiting_h(8.0, kinds_h=[7.0, 2.0])
    (3.0, 0.0)
    """
    return max(0.0, there_h - math.fsum(kinds_h))


@formula(
    source="own_computation, hours over good parts",
    unit="h",
    valid={"hours_h": NOT_NEGATIVE, "good_parts": POSITIVE},
)
def a_part_h(hours_h: float, *, good_parts: float) -> float:
    """Hours of one kind for each good part of the shift [h].

    Source: own_computation.  Valid for hours and parts of the same shift.

    >>> a_part_h(5.0, good_parts=100.0)
    0.05
    """
    return hours_h / good_parts


@formula(
    source="common_practice, whole heads",
    unit="1",
    valid={"head_h_per_y": POSITIVE},
)
def whole_heads(freed_h_per_y: float, *, head_h_per_y: float) -> int:
    """Whole posts of one shift that freed hours fill: wages fall a head at a time [1, rounded DOWN].

    Source: common_practice.  Valid for hours of the same year; hours on top of today free nobody.

    >>> whole_heads(3100.0, head_h_per_y=1900.0), whole_heads(-10.0, head_h_per_y=1900.0)
    (1, 0)
    """
    return max(0, math.floor(freed_h_per_y / head_h_per_y + 1e-9))


@formula(
    source="common_practice, what is left beside whole heads",
    unit="h/y",
    valid={"heads": NOT_NEGATIVE, "head_h_per_y": POSITIVE},
)
def beside_heads_h_per_y(freed_h_per_y: float, *, heads: float, head_h_per_y: float) -> float:
    """Freed hours that fill no whole post: overtime or temporary hours less, a named use, or nothing, from 0 up [h/y].

    Source: common_practice.  Valid for hours of the same year.

    >>> beside_heads_h_per_y(3100.0, heads=1.0, head_h_per_y=1900.0)
    1200.0
    """
    return max(0.0, freed_h_per_y - heads * head_h_per_y)


@formula(
    source="common_practice, hours of a post over its shifts",
    unit="h/y",
    valid={"worked_h_per_y": NOT_NEGATIVE, "shifts": POSITIVE, "days": POSITIVE},
    units={"days": "d"},
)
def head_h_per_y(worked_h_per_y: float, *, shifts: float, days: float) -> float:
    """Hours a year of one post in one shift of the pattern, breaks taken off [h/y].

    shifts: manned shifts a week of all posts one after another; days: of the shift that works the most.
    Source: common_practice.  Valid for shifts of about the same length.

    >>> head_h_per_y(3800.0, shifts=10.0, days=5.0)
    1900.0
    """
    return worked_h_per_y * days / shifts


@formula(
    source="common_practice, no more than is ordered",
    unit="parts/y",
    valid={"capacity_parts_per_y": NOT_NEGATIVE, "today_parts_per_y": NOT_NEGATIVE},
)
def tended_parts_per_y(
    capacity_parts_per_y: float, *, orders_parts_per_y: Sequence[float], today_parts_per_y: float
) -> float:
    """Parts a year that people's hours are counted for: as ordered, as far as they can be made [parts/y].

    Of what is ordered never fewer than today: what a cell cannot make is made as it is today, and no hour is saved by
    making less. More than is ordered is made by nobody.
    Source: common_practice.  Valid for orders that may be made at any time of the year.

    >>> tended_parts_per_y(60_000.0, orders_parts_per_y=[40_000.0], today_parts_per_y=50_000.0)
    40000.0
    """
    return min(math.fsum(orders_parts_per_y), max(today_parts_per_y, capacity_parts_per_y))
