"""One known value of one formula, with where it comes from and how it was seen."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from millhand.formulas import REGISTER

Seen = Literal["seen in published text", "from memory, not re-read", "own computation"]
SEEN: Seen = "seen in published text"
MEMORY: Seen = "from memory, not re-read"
OWN: Seen = "own computation"


def itself(result: Any) -> float:
    """The result is the number."""
    return float(result)


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A value that a formula has to give: as printed, digit by digit, or as found in a second way."""

    formula: str
    inputs: Mapping[str, Any]
    key: str  # of docs/sources.toml
    seen: Seen
    printed: str | None = None  # the digits as the source has them; right to half of the last one
    exact: bool = False  # a table's own value: the formula gives it, and does not just round to it
    expected: float | Callable[[], float] | None = None  # found in a second way, right to nine digits
    pick: Callable[[Any], float] = itself  # the way from the result to the printed number
    beyond: str = ""  # why a value is known although it lies outside the valid range
    erratum: str = ""  # why the printed digits are wrong; `expected` then holds what is right

    def __str__(self) -> str:
        return f"{self.formula}-{self.key}-{self.printed or 'second way'}"


def prints_as(value: float, printed: str) -> bool:
    """True when the value rounds to the printed digits; a half may go either way, as sources differ there.

    >>> prints_as(0.3225, "0.323"), prints_as(0.3222, "0.323"), prints_as(81.08, "81")
    (True, False, True)
    """
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])
    return abs(value - float(printed)) <= half * (1.0 + 1e-9)


def second_way(check: Check) -> float:
    """The value found in a second way."""
    if check.expected is None:
        raise ValueError(f"{check} has no second way")
    return check.expected() if callable(check.expected) else check.expected


def holds(check: Check, function: Callable[..., Any]) -> bool:
    """True when the function gives what the check knows; an erratum must stay one, its printed digits not come out."""
    value = check.pick(function(**check.inputs))
    agrees = check.expected is None or math.isclose(value, second_way(check), rel_tol=1e-9, abs_tol=1e-12)
    if check.printed is None or not agrees:
        return agrees and check.expected is not None
    if check.erratum:
        return check.expected is not None and not prints_as(value, check.printed)
    if check.exact:
        return math.isclose(value, float(check.printed), rel_tol=1e-9)
    return prints_as(value, check.printed)


def assert_holds(check: Check) -> None:
    """Fail with both numbers when the registered formula does not give what the check knows."""
    function = REGISTER[check.formula].function
    value = check.pick(function(**check.inputs))
    known = check.printed if not check.erratum and check.printed else second_way(check)
    assert holds(check, function), f"{check.formula} of {dict(check.inputs)} gives {value!r}, known is {known}"
