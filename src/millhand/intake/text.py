"""Quantities as people write them: one number and one unit, a sum like `6 min 20 s`, a range in brackets; to SI."""

import re
from dataclasses import dataclass
from itertools import pairwise

from millhand.errors import InputError
from millhand.intake.cell_fields import listed
from millhand.intake.units import CURRENCIES, DIMENSIONS, Dimension

LONGEST = 120
DIGITS = 15
_RANGE = re.compile(r"(?P<value>[^()]*?)\s*\(\s*(?P<low>[^()]+?)\s+to\s+(?P<high>[^()]+?)\s*\)")
_TERM = re.compile(
    r"\s*(?P<sign>-?)(?P<number>[0-9][0-9.,]*)(?:\s*(?P<unit>1/[a-z]+|[^\s0-9.,()+*^-][^\s()+*^,-]*))?(?=\s|$)"
)
_GROUPS = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{3})+")
_MONEY = re.compile(r"(?P<kilo>k?)(?P<currency>[A-Z]{3})(?:/(?P<per>[A-Za-z]+[2²]?))?")
_NOT_FINITE = re.compile(r"[+-]?(?:nan|inf|infinity|\.nan|[+-]?\.inf)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A quantity that was read, in SI; `low` and `high` are P10 and P90 where a range was written."""

    value: float
    low: float | None = None
    high: float | None = None
    unit: str = "1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How one file writes numbers: its decimal sign, and the one currency that its amounts are in."""

    comma: bool = False
    currency: str = ""


PLAIN = Manner()
OTHER_RANGE = re.compile(r"[0-9.,]+\s*((?!to\b)[A-Za-z/]+)?\s*(\(|-|\+|±|to\b)")  # `20-25 min`, `20 +- 2 s`
RANGE_EXAMPLE = "45 s (30 s to 70 s)"


def read_quantity(text: str, dimension: str, manner: Manner = PLAIN) -> Reading:
    """The quantity in SI with its range; an InputError without a place where the text cannot be used."""
    kind, text = DIMENSIONS[dimension], text.strip()
    if len(text) > LONGEST or not text:
        raise trouble(text[:40] or "nothing", example_of(kind, manner), "not_a_quantity")
    ranged = _RANGE.fullmatch(text)
    if ranged is None and OTHER_RANGE.match(text):
        raise trouble(text, f"{example_of(kind, manner)}; with a range: {RANGE_EXAMPLE}", "not_a_quantity")
    if ranged is None:
        return Reading(value=_sum(text, kind, manner, text), unit=kind.si)
    value, high = (_sum(ranged[name], kind, manner, text) for name in ("value", "high"))
    low_text = ranged["low"]
    if re.fullmatch(r"[0-9.,]+", low_text):  # `(30 to 70 s)`: the unit of the upper end holds for both
        low_text += " " + re.sub(r"^-?[0-9.,]+\s*", "", ranged["high"])
    return Reading(value=value, low=_sum(low_text, kind, manner, text), high=high, unit=kind.si)


def trouble(read: str, write: str, code: str) -> InputError:
    """An InputError whose place is filled in by who knows it."""
    return InputError("", read, write, code)


def example_of(kind: Dimension, manner: Manner) -> str:
    """What to write, in the file's own currency and with its decimal sign."""
    words = kind.example.format(currency=manner.currency or "USD")
    return re.sub(r"(?<=[0-9])\.(?=[0-9])", ",", words) if manner.comma else words


def duration(seconds: float) -> str:
    """Seconds in the unit that a person would use, short.

    >>> duration(90), duration(5400), duration(28800), duration(604800)
    ('90 s', '90 min', '8 h', '7 days')
    """
    for least, size, unit in ((4 * 86400.0, 86400.0, "days"), (7200.0, 3600.0, "h"), (120.0, 60.0, "min")):
        if seconds >= least:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds:.3g} s"


def _sum(text: str, kind: Dimension, manner: Manner, whole: str) -> float:
    """One number and one unit, or a sum of them, each unit smaller than the one before."""
    terms, at = [], 0
    while at < len(text):
        term = _TERM.match(text, at)
        if term is None:
            raise _unreadable(whole, kind, manner)
        terms.append(term)
        at = term.end() + (len(text[term.end() :]) - len(text[term.end() :].lstrip()))
    if not terms:
        raise _unreadable(whole, kind, manner)
    units = [_unit(term["unit"] or "", kind, manner, whole) for term in terms]
    summed = len(terms) > 1
    falling = all(a > b for (a, _), (b, _) in pairwise(units))
    if summed and (kind.money or kind.offsets or not falling or any(not term["unit"] for term in terms)):
        raise trouble(whole, example_of(kind, manner) + "; one number and one unit", "not_one_quantity")
    total = sum(_number(term["number"], manner, whole) * factor + add
                for term, (factor, add) in zip(terms, units, strict=True))  # fmt: skip
    if any(term["sign"] for term in terms):
        if not kind.signed or summed:
            raise trouble(whole, f"{example_of(kind, manner)}, not below 0", "negative")
        total = 2 * units[0][1] - total
    return float(total)


def _unreadable(whole: str, kind: Dimension, manner: Manner) -> InputError:
    """The word for text that holds no quantity."""
    code = "not_finite" if _NOT_FINITE.match(whole) else "not_a_quantity"
    return trouble(whole, example_of(kind, manner), code)


def _number(text: str, manner: Manner, whole: str) -> float:
    """The digits as a number; a sign that could be read both ways is asked about, never guessed."""
    point, other = (",", ".") if manner.comma else (".", ",")
    if sum(map(str.isdigit, text)) > DIGITS:
        raise trouble(whole, f"a number of at most {DIGITS} digits", "too_many_digits")
    if other in text:
        plain = text.replace(other, "")
        if _GROUPS.fullmatch(text.rpartition(point)[0] or text):
            write = f"{plain} or {text.replace(other, point)}: {text!r} can be read both ways"
            raise trouble(whole, write, "ambiguous_number")
        sign = "point" if manner.comma else "comma"
        write = f"{text.replace(other, point)}, or 'decimal: {sign}' at the top of the file"
        raise trouble(whole, write, "decimal_sign")
    if not re.fullmatch(r"[0-9]+(?:[.,][0-9]+)?", text):
        raise trouble(
            whole, f"a number with at most one decimal {'comma' if manner.comma else 'point'}", "not_a_number"
        )
    return float(text.replace(point, "."))


def _unit(name: str, kind: Dimension, manner: Manner, whole: str) -> tuple[float, float]:
    """Factor and offset of a unit's name to SI."""
    if kind.money:
        return _money_unit(name, kind, manner, whole), 0.0
    if name in kind.units:
        return kind.units[name], kind.offsets.get(name, 0.0)
    code = "unit_missing" if not name else "unit_of_another_kind" if _known(name) else "unknown_unit"
    names = [unit for unit in kind.units if unit]
    known = f" (units here: {listed(names)})" if code == "unknown_unit" and names else ""
    raise trouble(whole, example_of(kind, manner) + known, code)


def _money_unit(name: str, kind: Dimension, manner: Manner, whole: str) -> float:
    """The factor of an amount's unit: thousands, and per what."""
    money = _MONEY.fullmatch(name)
    if money is None or money["currency"] not in CURRENCIES or (money["per"] or "") not in kind.units:
        raise trouble(whole, example_of(kind, manner), "unknown_unit" if name else "unit_missing")
    if manner.currency and money["currency"] != manner.currency:
        raise trouble(whole, f"an amount in {manner.currency}, the currency of this inquiry", "other_currency")
    return (1000.0 if money["kilo"] else 1.0) * kind.units[money["per"] or ""]


def _known(name: str) -> bool:
    """Whether a unit belongs to some other kind of quantity."""
    return any(name in each.units for each in DIMENSIONS.values()) or bool(_MONEY.fullmatch(name))
