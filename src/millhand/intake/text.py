"""Quantities as people write them: one number and one unit, a sum like `6 min 20 s`, a range in brackets; to SI."""

import re
from dataclasses import dataclass, replace
from itertools import pairwise

from millhand.errors import InputError
from millhand.intake.cell_fields import listed
from millhand.intake.digits import NUMERAL, number_in
from millhand.intake.units import CURRENCIES, DIMENSIONS, DOLLARS, SYMBOLS, Dimension

LONGEST = 120
_RANGE = re.compile(r"(?P<value>[^()]*?)\s*\(\s*(?P<low>[^()]+?)\s+to\s+(?P<high>[^()]+?)\s*\)")
_TERM = re.compile(
    rf"\s*(?P<sign>-?)(?P<number>{NUMERAL})(?:\s*(?P<unit>1/[a-z]+|[^\s0-9.,()+*^-][^\s()+*^,-]*))?(?=\s|$)"
)
_MONEY = re.compile(r"(?P<kilo>k?)(?P<currency>[A-Za-z]{3})(?:/(?P<per>[A-Za-z]+[2²]?))?")
_BEFORE = re.compile(rf"(?P<currency>[A-Za-z]{{3}})\s*(?P<number>{NUMERAL})\s*(?P<rest>k?)(?=/|$)")
_FOOTPRINT = re.compile(r"(?P<one>[^x×]+?)\s*(?:[x×]|\bby\b)\s*(?P<other>[^x×]+)")
_ANY_CURRENCY = re.compile(r"[A-Z]{3}")
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
    told: bool = False  # the file says which sign is the decimal one


PLAIN = Manner()
OTHER_RANGE = re.compile(rf"(?:{NUMERAL})\s*((?!to\b)[A-Za-z/€£$]+)?\s*(\(|-|\+|±|to\b)")  # `20-25 min`, `20 +- 2 s`
RANGE_EXAMPLE = "45 s (30 s to 70 s)"


def read_quantity(text: str, dimension: str, manner: Manner = PLAIN, *, bare: str = "") -> Reading:
    """The quantity in SI with its range; an InputError without a place where the text cannot be used.

    bare: the unit of a number without one, where its entry says that; else that of the dimension, if it has such a one.
    """
    kind, text = DIMENSIONS[dimension], text.strip()
    kind = replace(kind, bare=bare) if bare else kind
    if len(text) > LONGEST or not text:
        raise trouble(text[:40] or "nothing", example_of(kind, manner), "not_a_quantity")
    ranged = _RANGE.fullmatch(text)
    if ranged is None and OTHER_RANGE.match(text):
        raise trouble(text, f"{example_of(kind, manner)}; with a range: {RANGE_EXAMPLE}", "not_a_quantity")
    if ranged is None:
        return Reading(value=_sum(text, kind, manner, text), unit=kind.si)
    value, high = (_sum(ranged[name], kind, manner, text) for name in ("value", "high"))
    low_text = ranged["low"]
    if re.fullmatch(NUMERAL, low_text):  # `(30 to 70 s)`: the unit of the upper end holds for both
        low_text += " " + re.sub(rf"^-?(?:{NUMERAL})\s*", "", ranged["high"])
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
    """One number and one unit, or a sum of them, each unit smaller than the one before; of an area also two lengths."""
    sides = _FOOTPRINT.fullmatch(text) if kind.name == "area" else None
    if sides is not None:
        return _footprint(sides["one"], sides["other"], manner, whole)
    text = _spelled(text, kind, manner, whole)
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
    point, doubt = "," if manner.comma else ".", kind.whole and not manner.told
    total = sum(number_in(term["number"], whole, point=point, doubt=doubt) * factor + add
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


def _footprint(one: str, other: str, manner: Manner, whole: str) -> float:
    """Two lengths as an area; a unit that only the second one has holds for both."""
    length = DIMENSIONS["length"]
    if not re.sub(rf"^(?:{NUMERAL})\s*", "", other):
        raise trouble(whole, _either(whole, [" m", " ft"]), "unit_missing")
    first, second = with_shared_unit([one, other], whole)
    return _sum(first, length, manner, whole) * _sum(second, length, manner, whole)


def sides_in(text: str) -> str:
    """The two sides of an area as they were written; '' where it was told as an area alone.

    >>> sides_in("9 m x 3 m"), sides_in("9 by 3 m (8 by 3 m to 10 by 3 m)"), sides_in("27 m2")
    ('9 m x 3 m', '9 by 3 m', '')
    """
    middle = text.partition("(")[0].strip()
    return middle if _FOOTPRINT.fullmatch(middle) else ""


def sides_m(text: str, manner: Manner) -> tuple[float, float] | None:
    """The two sides of an area that was told by them [m], the longer one first; None of any other.

    >>> sides_m("3 x 9 m (3 x 8 m to 3 x 10 m)", PLAIN), sides_m("27 m2", PLAIN)
    ((9.0, 3.0), None)
    """
    told = _FOOTPRINT.fullmatch(sides_in(text))
    if told is None:
        return None
    sides = with_shared_unit([*told.group("one", "other")], text)
    short, long = sorted(_sum(each, DIMENSIONS["length"], manner, text) for each in sides)
    return long, short


def with_shared_unit(lengths: list[str], whole: str) -> list[str]:
    """Lengths of which the last one's unit holds for those without; InputError, without a place, where that has two.

    >>> with_shared_unit(["9", "3 m"], "9 x 3 m")
    ['9 m', '3 m']
    """
    units = re.findall(r"[^\W\d]+", lengths[-1])
    are_bare = [not re.search(r"[^\W\d]", each) for each in lengths]
    one_by_one = [
        [f"{each} {unit}" if bare else each for each, bare in zip(lengths, are_bare, strict=True)]
        for unit in dict.fromkeys(units)
    ]
    if any(are_bare) and len(one_by_one) > 1:
        raise trouble(whole, _both(" or ".join(" x ".join(each) for each in one_by_one), whole), "unit_missing")
    return one_by_one[0] if one_by_one else lengths


def _spelled(text: str, kind: Dimension, manner: Manner, whole: str) -> str:
    """The same with a stroke for 'per'; of money with the code of the currency behind its number."""
    text = re.sub(r"\s+per\s+", "/", text)
    if not kind.money:
        return text
    for sign, code in SYMBOLS.items():
        text = text.replace(sign, code)
    if "$" in text and manner.currency not in DOLLARS:
        write = f"{_dollars(whole, 'USD')} or {_dollars(whole, 'CAD')}, whichever dollar it is"
        raise trouble(whole, write, "which_currency")
    text = re.sub(r"\s*/\s*", "/", text.replace("$", manner.currency))
    text = re.sub(r"(?<=[0-9])\s*k\s+(?=[A-Za-z]{3}\b)", " k", text)
    before = _BEFORE.match(text)
    if before is None or before["currency"].upper() not in CURRENCIES:
        return text
    return f"{before['number']} {before['rest']}{before['currency']}{text[before.end() :]}"


def _dollars(text: str, code: str) -> str:
    """The same with the code of a currency behind each number instead of a sign before or behind it."""
    text = re.sub(rf"\$\s*({NUMERAL})(?:\s*(k)(?![A-Za-z]))?", rf"\1 \2{code}", text)
    return re.sub(r"\s*(k?)\$", rf" \1{code}", text)


def currency_in(text: str) -> str:
    """The currency that an amount is written in, wherever its code or sign stands; '' where it names none.

    >>> currency_in("24 EUR/h"), currency_in("€24"), currency_in("USD30/h"), currency_in("24Eur/h"), currency_in("24")
    ('EUR', 'EUR', 'USD', 'EUR', '')
    """
    for sign, code in SYMBOLS.items():
        text = text.replace(sign, f" {code} ")
    words = [re.sub(r"^k(?=[A-Za-z]{3}$)", "", word) for word in re.findall(r"[A-Za-z]+", text)]
    known = [word.upper() for word in words if word.upper() in CURRENCIES]
    return (known or [word for word in words if _ANY_CURRENCY.fullmatch(word)] or [""])[0]


def _unit(name: str, kind: Dimension, manner: Manner, whole: str) -> tuple[float, float]:
    """Factor and offset of a unit's name to SI."""
    if kind.money:
        return _money_unit(name, kind, manner, whole), 0.0
    name = name if name or "" in kind.units else kind.bare
    if name in kind.units:
        return kind.units[name], kind.offsets.get(name, 0.0)
    if not name and kind.plain and re.fullmatch(NUMERAL, whole):
        raise trouble(whole, _either(whole, [f" {unit}" for unit in kind.plain]), "unit_missing")
    code = "unit_missing" if not name else "unit_of_another_kind" if _known(name) else "unknown_unit"
    names = [unit for unit in kind.units if unit]
    known = f" (units here: {listed(names)})" if code == "unknown_unit" and names else ""
    raise trouble(whole, example_of(kind, manner) + known, code)


def _either(whole: str, endings: list[str]) -> str:
    """What to write for the one and for the other reading."""
    return _both(" or ".join(whole + each for each in endings), whole)


def _both(readings: str, whole: str) -> str:
    """What to write where a text has several readings."""
    return f"{readings}: {whole!r} can be read both ways"


def _money_unit(name: str, kind: Dimension, manner: Manner, whole: str) -> float:
    """The factor of an amount's unit: thousands, and per what."""
    money = _MONEY.fullmatch(name or manner.currency)
    if money is None or money["currency"].upper() not in CURRENCIES:
        raise trouble(whole, example_of(kind, manner), "unknown_unit" if name else "unit_missing")
    per = (money["per"] or "") if (money["per"] or "") in kind.units else money["per"] or kind.bare
    if not per and kind.plain and "(" not in whole:
        currency = "" if name else f" {manner.currency}"
        raise trouble(whole, _either(whole, [f"{currency}/{unit}" for unit in kind.plain]), "unit_missing")
    if per not in kind.units:
        raise trouble(whole, example_of(kind, manner), "unknown_unit")
    if manner.currency and money["currency"].upper() != manner.currency:
        raise trouble(whole, f"an amount in {manner.currency}, the currency of this inquiry", "other_currency")
    return (1000.0 if money["kilo"] else 1.0) * kind.units[per]


def _known(name: str) -> bool:
    """Whether a unit belongs to some other kind of quantity."""
    money = _MONEY.fullmatch(name)
    amount = money is not None and money["currency"].upper() in CURRENCIES
    return amount or any(name in each.units for each in DIMENSIONS.values())
