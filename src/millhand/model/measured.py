"""What the stopwatch readings of an element come to, as fact ids."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One element that was timed: how many readings its precision needs, its allowance, its standard time."""

    element: str
    needed: str
    allowance: str
    standard: str
