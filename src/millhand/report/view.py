"""The one place that rounds and turns SI into the reader's units. Numbers before it are exact, after it they are text.

Rounded once, to what is known: a computed or assumed figure has three digits, one that somebody gave keeps its own; on
top of that each format has a least step. Half up, but where people stay clear by it: a distance that is asked for is
rounded up, a gap that is there down.
"""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction

from millhand.errors import ToolError
from millhand.model.fact import Fact
from millhand.report.shares import is_share

NARROW_SPACE = "\u202f"  # between thousands, and between a number and its unit: never a line break, never a comma
MINUS = "\u2212"
KNOWN_DIGITS = {"computed": 3, "assumed": 3}
GIVEN_DIGITS = 6
MARK = re.compile(r"\[\[([^|\[\]]+)\|(\w+)\]\]")

# Seconds in a unit of time; a rate a year or an hour is shown by its own format and counted as the time alone.
SECONDS = {"s": 1.0, "h": 3600.0, "h/y": 3600.0, "d": 86400.0, "d/y": 86400.0}
PER_HOUR = {"1/s": 3600.0, "1/min": 60.0}
MONTHS = {"y": 12.0, "months": 1.0, "s": 12.0 / (365.25 * 86400.0)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of a sentence: plain words, or the text of one figure with the fact behind it."""

    text: str
    fact: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """How one format shows a number: factor from the fact's unit, least step, digits, and what follows."""

    unit: str = ""
    factor: Callable[[Fact], float] = lambda fact: 1.0
    step: str = "0.01"
    fine_below: float = 0.0  # below this a step ten times as fine
    digits: int = 99
    one: str = ""  # the unit after exactly 1
    rounding: str = ROUND_HALF_UP  # up what is asked for, down what is there: never to the side that is less careful
    decided: bool = False  # a place that was chosen, not estimated: its digits do not stop at what is known


def time_in(seconds: float) -> Callable[[Fact], float]:
    """From the unit of a fact to a unit of time that has so many seconds."""
    return lambda fact: SECONDS.get(fact.unit, 1.0) / seconds


FORMS: Mapping[str, Form] = {
    "number": Form(step="0.001"),
    "count": Form(step="1"),
    "tally": Form(step="1", decided=True),  # counted, not estimated
    "parts": Form(step="1"),  # three digits where it is worked out, as told where somebody told it
    "few_parts": Form(step="1", fine_below=10.0),
    "money": Form(step="1", digits=GIVEN_DIGITS),
    "money_whole": Form(step="1", decided=True),  # amounts that a reader adds up
    "money_2": Form(step="0.01", digits=2),
    "months": Form(unit="months", one="month", step="1", factor=lambda fact: MONTHS.get(fact.unit, 1.0)),
    "months_moved": Form(unit="months", step="0.1", factor=lambda fact: MONTHS.get(fact.unit, 1.0)),
    "years": Form(unit="years", one="year", step="1", fine_below=10.0,
                  factor=lambda fact: 1.0 / 12.0 if fact.unit == "months" else 1.0),
    "seconds": Form(unit="s", step="1", fine_below=10.0, factor=time_in(1.0)),
    "whole_seconds": Form(unit="s", step="1", factor=time_in(1.0)),
    "timed": Form(unit="s", step="0.1", fine_below=10.0, digits=4, factor=time_in(1.0)),
    "stop_time": Form(unit="s", step="0.01", digits=2, factor=time_in(1.0), rounding=ROUND_CEILING),
    "minutes": Form(unit="min", step="1", fine_below=10.0, factor=time_in(60.0)),
    "days": Form(unit="days", one="day", step="1", fine_below=10.0, factor=time_in(86400.0)),
    "weeks": Form(unit="weeks", one="week", step="1", factor=time_in(604800.0)),
    "hours": Form(unit="h", step="1", fine_below=10.0, factor=time_in(3600.0)),
    "metres": Form(unit="m", step="0.01"),
    "mm": Form(unit="mm", step="1", fine_below=10.0, factor=lambda fact: 1000.0),
    "asked_m": Form(unit="m", step="0.01", rounding=ROUND_CEILING),
    "asked_mm": Form(unit="mm", step="1", fine_below=10.0, factor=lambda fact: 1000.0, rounding=ROUND_CEILING),
    "left_m": Form(unit="m", step="0.01", rounding=ROUND_FLOOR),
    "left_mm": Form(unit="mm", step="1", fine_below=10.0, factor=lambda fact: 1000.0, rounding=ROUND_FLOOR),
    "place": Form(unit="mm", step="1", factor=lambda fact: 1000.0, decided=True),
    "degrees": Form(unit="°", step="1", factor=lambda fact: 180.0 / math.pi),
    "area": Form(unit="m²", step="1", fine_below=10.0),
    "mass": Form(unit="kg", step="0.1", fine_below=1.0),
    "grams": Form(unit="g", step="1", fine_below=10.0, factor=lambda fact: 1000.0),
    "force": Form(unit="N", step="1"),
    "lift": Form(unit="kg", step="1", digits=2),
    "floor_load": Form(unit="kN/m²", step="0.1", digits=2, factor=lambda fact: 0.001),
    "kilonewtons": Form(unit="kN", step="0.1", digits=2, factor=lambda fact: 0.001),
    "tipping": Form(unit="kN·m", step="0.1", digits=2, factor=lambda fact: 0.001),
    "moment": Form(unit="N·m", step="0.1"),
    "inertia": Form(unit="kg·m²", step="0.01"),
    "turning": Form(unit="turns a minute", step="10", factor=lambda fact: 30.0 / math.pi),
    "percent": Form(unit="%", step="1", fine_below=10.0, factor=lambda fact: 100.0),
    "share": Form(unit="%", step="0.01", digits=3, factor=lambda fact: 100.0),
    "ratio": Form(step="0.01"),
    "per_hour": Form(unit="per hour", step="1", fine_below=100.0, factor=lambda fact: PER_HOUR.get(fact.unit, 1.0)),
    "chance": Form(),
}  # fmt: skip
RUNNING = ("_every", "_every_s")  # running time of a machine: 800 h of it are not five weeks of the calendar
UNDER_ONE = "less than 1"  # a payback of 0 months would read as a slip
BY_SIZE = ("asked", "left")  # in mm or in m, as such a length is said: a distance that people keep, a gap that is there
WITH_RANGE = frozenset({"months"})  # a payback never stands without its range

TIME_FORMS = ((600.0, "seconds"), (7200.0, "minutes"), (259_200.0, "hours"), (1_814_400.0, "days"), (math.inf, "weeks"))

# The format of a unit where nobody names one: lists of facts.
FORM_OF_UNIT = {
    "s": "seconds", "m": "metres", "m2": "area", "kg": "mass", "N": "force",
    "N.m": "moment", "kg.m2": "inertia", "months": "months", "y": "years",
    "parts": "parts", "parts/h": "per_hour", "1/h": "per_hour", "parts/y": "parts", "h": "hours", "h/y": "hours",
    "money": "money", "money/h": "money", "money/y": "money", "money/part": "money",
}  # fmt: skip
TAIL_OF_UNIT = {
    "money/h": "an hour", "money/y": "a year", "money/part": "a part", "parts/y": "a year", "h/y": "a year",
    "parts/h": "", "parts": "parts", "d/y": "days a year", "d": "days", "m/s": "m/s", "m/s2": "m/s²", "Pa": "Pa",
    "1/y": "a year", "rad": "rad", "1/min": "per minute", "m3": "m³", "W": "W", "J": "J",
}  # fmt: skip


def shown(fact: Fact, form: str, *, currency: str = "") -> str:
    """The fact as the reader sees it: rounded, in the reader's unit; months with their range.

    >>> shown(Fact(id="a", value=0.0042, unit="m", basis="given", source="x"), "mm")
    '4.2\\u202fmm'
    """
    text = middle(fact, form, currency=currency)
    if form not in WITH_RANGE:
        return text
    ends = span(fact, form)
    return f"{text} ({ends})" if ends else text


def middle(fact: Fact, form: str, *, currency: str = "") -> str:
    """The value alone, with its unit."""
    return _with_unit(fact, fact.value, form, currency)


def span(fact: Fact, form: str, *, currency: str = "", unit: bool = False) -> str:
    """P10 to P90 in the format's unit; empty where the fact is exact or both ends read the same."""
    if fact.low is not None and fact.high is None and fact.unit == "months":
        return f"{rounded(fact, fact.low, form)} to never"  # a time that does not come in more than one case in ten
    if fact.low is None or fact.high is None:
        return ""
    low, high = (rounded(fact, end, form) for end in (fact.low, fact.high))
    if low == high:
        return ""
    return f"{low} to {_with_unit(fact, fact.high, form, currency) if unit else high}"


def moved(fact: Fact, form: str) -> str:
    """A difference in a format, with its sign and without its unit; nought where it rounds to nothing.

    >>> moved(Fact(id="a", value=12345.0, unit="money", basis="computed", source="x"), "money_2")
    '+12\u202f000'
    """
    text = rounded(fact, fact.value, form)
    return f"+{text}" if fact.value > 0.0 and text != "0" else text


def own_form(fact: Fact) -> str:
    """The format of a fact's own unit; a time or a length in the unit that people say it in."""
    if fact.unit == "m" and abs(fact.value) < 0.3:
        return "mm"
    if fact.unit == "s" and fact.id.endswith(RUNNING):
        return "hours"
    if fact.unit == "s":
        return next(form for limit, form in TIME_FORMS if abs(fact.value) < limit)
    return "share" if is_share(fact) else FORM_OF_UNIT.get(fact.unit, "number")


def bare(fact: Fact, form: str) -> str:
    """The value in a format, without its unit: for a column whose head says it."""
    return rounded(fact, fact.value, form)


def listed(fact: Fact, *, currency: str = "") -> str:
    """The fact in the format of its own unit, as a list of facts shows it."""
    return listed_at(fact, fact.value, currency=currency)


def listed_at(fact: Fact, value: float, *, currency: str = "") -> str:
    """Another value of the same fact (an end of its range), in the unit in which the fact itself is listed."""
    text = _with_unit(fact, value, own_form(fact), currency)
    tail = TAIL_OF_UNIT.get(fact.unit, "" if fact.unit in FORM_OF_UNIT or fact.unit == "1" else fact.unit)
    return f"{text}{NARROW_SPACE}{tail}" if tail else text


def listed_span(fact: Fact, *, currency: str = "") -> str:
    """P10 to P90 in the format of the fact's own unit, without the unit."""
    return span(fact, own_form(fact), currency=currency)


def sentence_parts(text: str, facts: Mapping[str, Fact], *, currency: str = "") -> tuple[Piece, ...]:
    """A sentence with [[fact id|format]] marks as its pieces, in order."""
    pieces, at = [], 0
    for mark in MARK.finditer(text):
        if mark.start() > at:
            pieces.append(Piece(text=text[at : mark.start()]))
        fact = facts.get(mark[1])
        if fact is None:
            raise ToolError(f"a sentence names the fact {mark[1]}, which the study does not hold.", code="no_fact")
        pieces.append(Piece(text=shown(fact, mark[2], currency=currency), fact=mark[1]))
        at = mark.end()
    if at < len(text):
        pieces.append(Piece(text=text[at:]))
    return tuple(pieces)


def sentence(text: str, facts: Mapping[str, Fact], *, currency: str = "") -> str:
    """The same sentence as plain text."""
    return "".join(piece.text for piece in sentence_parts(text, facts, currency=currency))


def rounded(fact: Fact, value: float, form: str) -> str:
    """One number of the fact (its value or an end of its range) in the format's unit and digits, without the unit."""
    if form == "chance":
        return chance(value)
    rule = rule_of(fact, form)
    number = Decimal(repr(float(f"{value * rule.factor(fact):.12g}")))
    known = rule.digits if rule.decided else min(KNOWN_DIGITS.get(fact.basis, GIVEN_DIGITS), rule.digits)
    if form == "months" and 0 < number < Decimal("0.5"):
        return UNDER_ONE
    step = Decimal(rule.step) / 10 if abs(number) < rule.fine_below else Decimal(rule.step)
    if form == "money" and abs(number) < 100:
        step = Decimal("0.01")
    text = grouped(half_up(number, step=step, digits=known, rounding=rule.rounding))
    small = form == "money" and known == 3 and 0 < abs(number) < 10
    return with_cents(text, always=small) if small or (form == "money" and known > 3) else text


def rule_of(fact: Fact, form: str) -> Form:
    """The rule of a format; of one that goes by size that of the fact's own."""
    name = f"{form}_{'mm' if own_form(fact) == 'mm' else 'm'}" if form in BY_SIZE else form
    if name not in FORMS:
        raise ToolError(f"there is no format {form}.", code="no_format")
    return FORMS[name]


def in_months(fact: Fact) -> float:
    """A time as a number of months, for its place on an axis; its text comes from `shown`."""
    return fact.value * MONTHS.get(fact.unit, 1.0)


def tick(value: float) -> str:
    """A number at an axis, in whatever unit the axis says.

    >>> tick(-2500.0), tick(0.30000000000000004)
    ('−2 500', '0.3')
    """
    return grouped(half_up(Decimal(repr(float(f"{value:.12g}"))), step=Decimal("0.001"), digits=GIVEN_DIGITS))


def clock(seconds: float) -> str:
    """A time of the day.

    >>> clock(86400.0 + 21600.0 + 61.4)
    '06:01:01'
    """
    whole = math.floor(seconds) % 86_400
    return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}"


def percent_of(share: float) -> str:
    """A counted share of the time.

    >>> percent_of(0.4567), percent_of(0.002)
    ('46\u202f%', '<1\u202f%')
    """
    if 0.0 < share < 0.005:
        return f"<1{NARROW_SPACE}%"
    return f"{half_up(Decimal(repr(share * 100.0)), step=Decimal(1), digits=GIVEN_DIGITS)}{NARROW_SPACE}%"


def tenths(value: float) -> str:
    """A moment of a round, to a tenth.

    >>> tenths(12.25), tenths(40.0)
    ('12.3', '40')
    """
    return grouped(half_up(Decimal(repr(float(f"{value:.12g}"))), step=Decimal("0.1"), digits=GIVEN_DIGITS))


def half_up(number: Decimal, *, step: Decimal, digits: int, rounding: str = ROUND_HALF_UP) -> Decimal:
    """The number rounded once, half up unless told otherwise, to the step or to so many digits, the coarser of both.

    >>> half_up(Decimal("184500"), step=Decimal("0.01"), digits=2), half_up(Decimal("2.5"), step=Decimal(1), digits=3)
    (Decimal('1.8E+5'), Decimal('3'))
    """
    last_digit = number.adjusted() - digits + 1 if number else 0
    place = max(step.adjusted(), last_digit) if number else step.adjusted()
    return number.quantize(Decimal((0, (1,), place)), rounding)


def grouped(number: Decimal) -> str:
    """Plain digits with a narrow space between thousands, no trailing zeros behind the point, a real minus sign."""
    whole, point, part = f"{abs(number):f}".partition(".")
    part = part.rstrip("0")
    whole = f"{int(whole):,}".replace(",", NARROW_SPACE)
    sign = MINUS if number < 0 and (int(whole.replace(NARROW_SPACE, "")) or part) else ""
    return f"{sign}{whole}{point}{part}" if part else f"{sign}{whole}"


def with_cents(text: str, *, always: bool = False) -> str:
    """Money with a part of a unit shows both of its digits; `always` where the ones beside it do."""
    whole, point, part = text.partition(".")
    return f"{whole}.{part:0<2}" if point or (always and text != "0") else text


def chance(share: float) -> str:
    """A chance in words that a person can picture.

    >>> chance(0.21), chance(0.62), chance(0.96), chance(0.015)
    ('about 1 in 5', 'about 3 in 5', 'about 19 in 20', 'about 1 in 70')
    """
    if share < 0.01:
        return "less than 1 in 100"
    if share > 0.99:
        return "more than 99 in 100"
    number = Decimal(repr(share))
    if share < 0.35:
        step = 1 if share > 0.1 else 5 if share > 0.04 else 10
        return f"about 1 in {(1 / number / step).quantize(Decimal(1), ROUND_HALF_UP) * step}"
    tenths = min(int((number * 10).quantize(Decimal(1), ROUND_HALF_UP)), 10)
    fraction = Fraction(19, 20) if tenths == 10 else Fraction(tenths, 10)
    return f"about {fraction.numerator} in {fraction.denominator}"


def _with_unit(fact: Fact, value: float, form: str, currency: str) -> str:
    text, rule = rounded(fact, value, form), rule_of(fact, form)
    unit = currency if form.startswith("money") else (rule.one if text in ("1", UNDER_ONE) and rule.one else rule.unit)
    return f"{text}{NARROW_SPACE}{unit}" if unit else text
