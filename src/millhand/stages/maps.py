"""Two things moved at once: the values that each takes, the pattern of shifts of each pair, and what comes of it."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.formulas import REGISTER
from millhand.model.case import Case, steady_lines
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.maps import MapCell, Moved, TwoWay
from millhand.model.shop import Break, Shift
from millhand.trace import Sheet, found

DAY_S = 86_400.0
SIZES = (0.25, 0.5, 1.0, 2.0, 4.0)  # times as many pockets
LENGTHS = (0.75, 0.875, 1.0, 1.125, 1.25)  # times as long a shift
SIMULATED = "follows from the facts with both moved, the cell simulated again"
TENTHS = (0.8, 0.9, 1.0, 1.1, 1.2)  # times a figure that has no range
SHIFTS = 3  # most in a day
PREMIUMS = ("none", "late", "night")  # of a first, second and third shift that the shop does not have today
HELD: Mapping[Moved, str] = {
    "money": "Hours and parts are those of the study.",
    "shifts": "Cell and today are simulated again in each of them, shifts of equal length one after the other; orders, "
    "the heads of a shift, its breaks and the share that is lost today are held.",
    "presenter": "The cell is simulated again in each of them; its price is held.",
}  # fmt: skip
PAIRS: Mapping[Moved, str] = {
    "money": "pairs of wage and price",
    "shifts": "patterns of shifts",
    "presenter": "pairs of presenter and faults",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The values that one thing takes, from small to large, in the unit of the fact that is moved."""

    fact: Fact
    values: tuple[float, ...]
    here: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """What one pair comes to; infinite where the money never comes back."""

    payback_months: float
    npv_money: float


Grid = Sequence[Sequence[Point | None]]  # None: no such pair


def over_range(fact: Fact) -> Axis:
    """The two ends of a fact's range, the value, and half way to it; a fifth down and up where it has no range."""
    here, low, high = fact.value, fact.low, fact.high
    if low is None or high is None or not low < here < high:
        return Axis(fact=fact, values=tuple(here * factor for factor in TENTHS), here=TENTHS.index(1.0))
    return Axis(fact=fact, values=(low, (low + here) / 2.0, here, (here + high) / 2.0, high), here=2)


def over_sizes(fact: Fact) -> Axis:
    """Parts in a presenter a quarter to four times as large; whole ones, and each size once."""
    values = sorted({fact.value if factor == 1.0 else max(1.0, round(fact.value * factor)) for factor in SIZES})
    return Axis(fact=fact, values=tuple(values), here=values.index(fact.value))


def over_shifts(inquiry: Inquiry) -> tuple[Axis, Axis] | None:
    """How many shifts, and how long; None where machines are meant to run through a shift with nobody there."""
    if any(shift.manned.value != "yes" for shift in inquiry.shifts) or len(inquiry.shifts) > SHIFTS:
        return None
    length = inquiry.shifts[0].length_s
    mean = math.fsum(shift.length_s.value for shift in inquiry.shifts) / len(inquiry.shifts)
    values = tuple(mean * factor for factor in LENGTHS)
    count = replace(length, id="shifts.per_week", value=float(len(inquiry.shifts)), unit="1")
    numbers = tuple(float(number) for number in range(1, SHIFTS + 1))
    return (
        Axis(fact=count, values=numbers, here=len(inquiry.shifts) - 1),
        Axis(fact=length, values=values, here=LENGTHS.index(1.0)),
    )


def pattern(inquiry: Inquiry, count: int, length_s: float) -> Inquiry | None:
    """The inquiry with so many shifts of a day, each as long, one after the other; None where a day is too short.

    Hours alone that do not fit behind them any more are left out.
    """
    left = DAY_S - count * length_s
    if left < 0.0:
        return None
    alone = inquiry.wishes.unattended_s
    wishes = replace(inquiry.wishes, unattended_s=replace(alone, value=min(alone.value, left)))
    first = inquiry.shifts[0].start_s.value
    shifts = tuple(_shift(inquiry, number, length_s, first + number * length_s) for number in range(count))
    return replace(inquiry, shifts=shifts, wishes=wishes)


def _shift(inquiry: Inquiry, number: int, length_s: float, start_s: float) -> Shift:
    """One shift of a pattern: the shop's own one of this number, or its last one over again, at a later hour."""
    own = inquiry.shifts
    like = own[min(number, len(own) - 1)]
    rests = tuple(_rest(pause, like, length_s, start_s) for pause in like.breaks)
    moved = replace(like, start_s=_exact(like.start_s, start_s % DAY_S), length_s=_exact(like.length_s, length_s))
    if number < len(own):
        return replace(moved, breaks=rests)
    premium = replace(like.premium, value=PREMIUMS[number])
    return replace(moved, name=f"{like.name}_{number + 1}", premium=premium, breaks=rests)


def _rest(pause: Break, like: Shift, length_s: float, start_s: float) -> Break:
    """A break as long as it was, as far into the shift as it was for its length."""
    into = (pause.start_s.value - like.start_s.value) % DAY_S * length_s / like.length_s.value
    return replace(pause, start_s=_exact(pause.start_s, (start_s + into) % DAY_S))


def _exact(fact: Fact, value: float) -> Fact:
    """The fact at another value, without a range."""
    return replace(fact, value=value, low=None, high=None, shape="point")


def worth_of(case: Case, numbers: Mapping[str, float]) -> Point:
    """Payback and present worth of a case once its map was worked out again."""
    lines = tuple(steady_lines(case))
    months = REGISTER["payback_months"].function(
        numbers[case.year.outlay],
        yearly_money=[numbers[line.amount] for line, _ in lines],
        growths=[numbers[growth] for _, growth in lines],
        ramp_up=[numbers[name] for name in case.year.ramp_up],
    )
    return Point(payback_months=float(months), npv_money=numbers[case.npv])


def two_way(moved: Moved, axes: tuple[Axis, Axis], grid: Grid, case: Case, sheet: Sheet) -> TwoWay:
    """One map, its figures written into the study's own map of facts."""
    base, horizon = f"maps.{moved}", 12.0 * sheet.value("money.horizon")
    down, across = (
        tuple(_values(f"{base}.{name}", axis, sheet)) for name, axis in zip(("row", "column"), axes, strict=True)
    )
    hurdle = sheet["wishes.hurdle"]
    inputs = (*(("", axis.fact.id) for axis in axes), ("", case.npv))
    words = "follows from the facts with both moved" if moved == "money" else SIMULATED

    def cell(at: str, point: Point | None) -> MapCell:
        if point is None:
            return MapCell(payback_months=None, npv=None, back="no_such")

        def noted(name: str, value: float, unit: str) -> str:
            record = Fact(id=f"{at}.{name}", value=value, unit=unit, basis="computed", source=words, inputs=inputs)
            return found(sheet, record).id

        never = not math.isfinite(point.payback_months) or point.payback_months > horizon
        return MapCell(
            payback_months=None if never else noted("payback", point.payback_months, "months"),
            npv=noted("npv", point.npv_money, "money"),
            back="never" if never else "by_hurdle" if point.payback_months <= hurdle.value else "later",
        )

    cells = tuple(
        tuple(cell(f"{base}.{row + 1}_{column + 1}", point) for column, point in enumerate(points))
        for row, points in enumerate(grid)
    )
    return TwoWay(
        moved=moved, rows=down, columns=across, cells=cells, here=(axes[0].here, axes[1].here),
        words=_words(moved, cells, hurdle, sheet),
    )  # fmt: skip


def _values(base: str, axis: Axis, sheet: Sheet) -> Iterator[str]:
    """The facts of one axis."""
    for number, value in enumerate(axis.values, start=1):
        source = f"follows from {axis.fact.id}, moved"
        record = Fact(id=f"{base}_{number}", value=value, unit=axis.fact.unit, basis="computed", source=source)
        yield found(sheet, record).id


def _words(moved: Moved, cells: Sequence[Sequence[MapCell]], hurdle: Fact, sheet: Sheet) -> str:
    """In how many of them the money is back in time, and what was held."""
    flat = [each for row in cells for each in row if each.npv]
    counts = []
    for name, number in (("within", sum(each.back == "by_hurdle" for each in flat)), ("all", len(flat))):
        source = "follows from the pairs of this map"
        record = Fact(id=f"maps.{moved}.{name}", value=float(number), unit="1", basis="computed", source=source)
        counts.append(f"[[{found(sheet, record).id}|count]]")
    return (
        f"In {counts[0]} of {counts[1]} {PAIRS[moved]} the money is back by the hurdle of [[{hurdle.id}|months]]. "
        f"{HELD[moved]}"
    )
