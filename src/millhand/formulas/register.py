"""The register: every formula by name, with its source, its units and where it is valid, as data to query."""

import inspect
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

# The unit that a name's ending stands for; the longest ending that fits counts.
SUFFIXES = {
    "_s": "s", "_m": "m", "_kg": "kg", "_n": "N", "_rad": "rad", "_m2": "m2", "_m3": "m3", "_m_s": "m/s",
    "_m_s2": "m/s2", "_m_s3": "m/s3", "_per_h": "1/h", "_per_s": "1/s", "_per_min": "1/min", "_pa": "Pa", "_w": "W",
    "_j": "J", "_nm": "N.m", "_kg_m2": "kg.m2", "_min": "min", "_h": "h", "_d": "d", "_y": "y", "_months": "months",
    "_h_per_y": "h/y",
    "_d_per_y": "d/y", "_parts": "parts", "_parts_per_h": "parts/h", "_parts_per_y": "parts/y", "_n_m": "N/m",
    "_rad_s": "rad/s", "_rad_s2": "rad/s2", "_m4": "m4", "_kg_m": "kg/m",
    "_money": "money", "_money_per_h": "money/h", "_money_per_y": "money/y", "_money_per_part": "money/part",
}  # fmt: skip


def unit_of(name: str) -> str:
    """The unit that a name ends on; '1' for a plain number or share.

    >>> unit_of("move_time_s"), unit_of("speed_m_s"), unit_of("share_usable")
    ('s', 'm/s', '1')
    """
    endings = sorted((ending for ending in SUFFIXES if name.endswith(ending)), key=len)
    return SUFFIXES[endings[-1]] if endings else "1"


def limits_words(low: float, high: float) -> str:
    """The limits of a valid range, both ends included, in words.

    >>> limits_words(0.0, 2.5), limits_words(0.0, math.inf), limits_words(math.ulp(0.0), math.inf)
    ('valid from 0 to 2.5', 'valid from 0 up', 'valid above 0')
    """
    if math.isinf(high):
        return "valid above 0" if low == math.ulp(0.0) else f"valid from {low:g} up"
    return f"valid from {low:g} to {high:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """One registered formula: what it gives, from what, where printed, and between which limits it may be used."""

    name: str
    function: Callable[..., Any]
    source: str  # "key, locator" with the key listed in docs/sources.toml
    unit: str
    units: Mapping[str, str]  # parameter: unit
    valid: Mapping[str, tuple[float, float]] = field(default_factory=dict)  # parameter: least and greatest value
    caution: str = ""  # stands beside every figure of this formula that could hurt someone

    @property
    def words(self) -> str:
        """The first line of the docstring."""
        return (inspect.getdoc(self.function) or "").partition("\n")[0]

    def outside(self, inputs: Mapping[str, Any]) -> tuple[str, ...]:
        """The parameters that lie outside the valid range, each as 'name = value, valid from a to b'."""
        return tuple(
            f"{name} = {inputs[name]:g}, {limits_words(low, high)}"
            for name, (low, high) in self.valid.items()
            if isinstance(inputs.get(name), int | float) and not low <= inputs[name] <= high
        )


SAME = "as its inputs"  # the unit of a formula that gives one of its inputs

REGISTER: dict[str, Formula] = {}


def formula(
    *,
    source: str,
    unit: str = "",
    valid: Mapping[str, tuple[float, float]] | None = None,
    units: Mapping[str, str] | None = None,
    caution: str = "",
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Put a function into the register under its own name; units come from the names unless given here."""

    def enter(function: Callable[P, R]) -> Callable[P, R]:
        name = function.__name__
        if name in REGISTER and REGISTER[name].function.__module__ != function.__module__:
            other = REGISTER[name].function.__module__
            raise ValueError(f"{function.__module__}: {name} is a formula of {other} already; call that one")
        own = {parameter: unit_of(parameter) for parameter in inspect.signature(function).parameters}
        REGISTER[name] = Formula(
            name=name,
            function=function,
            source=source,
            unit=unit or unit_of(name),
            units=own | dict(units or {}),
            valid=dict(valid or {}),
            caution=caution,
        )
        return function

    return enter
