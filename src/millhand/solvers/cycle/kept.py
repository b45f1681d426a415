"""A cycle that a search has kept, with how it was found and what is known of others apart from each other.

The words are put together at the end, for the schedule; until then nothing is read out of them.
"""

from dataclasses import dataclass, replace

from millhand.model.schedule import Schedule

LEFT_OUT = "a shorter one did not pass the validator and was left out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The cycle, how it was found, what is known of others."""

    cycle: Schedule
    found: str  # how it was found, in words
    others: tuple[str, ...] = ()  # what is known of others, a clause each
    swaps: bool = True  # whether it is one of the cell with its exchanges in one visit
    whole: bool = False  # of other cycles only those were looked at that exchange a load whole or not at all

    @property
    def told(self) -> Schedule:
        """The schedule with all the words."""
        return replace(self.cycle, how="; ".join((self.found, *self.others)))

    def knowing(self, clause: str, *, least: int, proven: bool = False) -> "Kept":
        """The same with one clause more, and what is proven with it."""
        cycle = replace(self.cycle, proven=proven, least_steps=least)
        return replace(self, cycle=cycle, others=(*self.others, clause))
