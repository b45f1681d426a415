"""A number as people type it: decimal sign, thousands in groups; what could be two numbers is asked about.

A sign that stands once before three digits could be either; the decimal sign of the file only where the last of them
is a nought, which nobody writes behind a decimal sign without need. Two signs, a sign that stands twice, or any other
number of digits behind it leave one reading.
"""

import re

from millhand.errors import InputError

MOST_DIGITS = 15
BLANKS = " \u00a0\u2007\u2009\u202f"  # plain, no-break, as wide as a digit, thin, narrow
GROUP_SIGNS = f"{BLANKS}'\u2019"
NUMERAL = rf"[0-9]{{1,3}}(?:[{GROUP_SIGNS}][0-9]{{3}})+(?![0-9])(?:[.,][0-9]+)?|[0-9][0-9.,]*"
_EITHER = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})*")
_PLAIN = re.compile(r"[0-9]+(?:[.,][0-9]+)?")


def number_in(numeral: str, whole: str, *, point: str, doubt: bool) -> float:
    """The number of a NUMERAL out of `whole`; an InputError without a place where it could be two, or is none.

    point: the decimal sign of the file; doubt: whether that sign, too, could stand before thousands.
    """
    if sum(map(str.isdigit, numeral)) > MOST_DIGITS:
        raise InputError("", whole, f"a number of at most {MOST_DIGITS} digits", "too_many_digits")
    text = re.sub(f"[{GROUP_SIGNS}]", "", numeral)
    signs = re.findall(r"[.,]", text)
    could_group = signs[:1] != [point] or (doubt and text.endswith("0"))  # 1.785 is one and a bit, 62.000 may be both
    if text == numeral and len(signs) == 1 and _EITHER.fullmatch(text) and could_group:
        raise InputError("", whole, both_readings(text, point, doubt=doubt or signs[0] == point), "ambiguous_number")
    if len(signs) > 1:
        front, last, rest = text.rpartition(signs[-1])
        if _GROUPED.fullmatch(text):  # 1.234.567
            text = re.sub(r"[.,]", "", text)
        elif _GROUPED.fullmatch(front) and signs[0] != last:  # 1,234.5
            text = f"{re.sub('[.,]', '', front)}.{rest}"
    if not _PLAIN.fullmatch(text):
        write = f"a number with at most one decimal {'comma' if point == ',' else 'point'}"
        raise InputError("", whole, write, "not_a_number")
    return float(text.replace(",", "."))


def both_readings(text: str, point: str, *, doubt: bool) -> str:
    """What to write for the one and for the other: with thousands, or with decimals, but not three of them in doubt.

    >>> both_readings("350.000", ".", doubt=True)
    "350000 or 350: '350.000' can be read both ways"
    """
    front, rest = re.split(r"[.,]", text)
    decimals = rest if not doubt else (rest.rstrip("0") if rest.endswith("0") else f"{rest}0")
    small = f"{front}{point}{decimals}" if decimals else front
    return f"{front}{rest} or {small}: {text!r} can be read both ways"
