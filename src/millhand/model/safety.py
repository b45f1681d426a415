"""What whoever answers for people's safety asks of one cell, and the rules that the catalogue has for it.

In the answers every figure is a fact id; in the rules the judged answers to the risk graph are facts.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict

Lasts = Literal["on", "a_while", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """A question that stays until somebody brings the answer, and who that is."""

    question: str
    who: str
    write: str = ""  # what is written down then, and where
    until: str = ""  # what the concept takes for granted until then


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRule:
    """A question that cells with these words leave open."""

    id: str
    topic: str  # with what it is told: guard, level, enter, alone; by_hand: of a change by hand
    when: Mapping[str, tuple[str, ...]]
    ask: Brought

    def fits(self, words: Mapping[str, str]) -> bool:
        """Whether each word that it asks for has one of its values."""
        return all(words.get(key) in values for key, values in self.when.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchRule:
    """A safety function that cells with these words have, as the risk graph is answered for it."""

    id: str
    title: str
    does: str
    when: Mapping[str, tuple[str, ...]]
    judged: Mapping[str, Fact]  # severity, frequency, avoidance: 1 or 2


@dataclass(frozen=True, slots=True, kw_only=True)
class GeneralRule:
    """What a general standard asks of every safety function, unless the risk assessment says otherwise."""

    level: Fact  # 1 is a, 5 is e
    standard: str  # with edition and clause
    category: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRule:
    """A step of going in that cells with these words have."""

    id: str
    words: str
    who: str
    figure: str  # which figure stands behind it; "" none
    without: str  # what is said where that figure is not known; "" nothing
    when: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldRule:
    """One way in which an end of arm holds without air or power."""

    id: str
    title: str
    lasts: Lasts
    words: str
    ask: Brought


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyRules:
    """All that the catalogue has for these answers."""

    functions: tuple[WatchRule, ...] = ()
    general: GeneralRule | None = None
    steps: tuple[StepRule, ...] = ()
    holding: Mapping[str, HoldRule] = field(default_factory=dict)
    delivery: Mapping[str, Brought] = field(default_factory=dict)
    ways: Mapping[str, Brought] = field(default_factory=dict)
    open: tuple[OpenRule, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One piece that is lifted in: its mass, and what it presses on the floor with in use."""

    title: str
    mass: str
    pressure: str | None = None  # with what lies on it, over its base; None where no base is known


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """What is lifted, and what the floor bears of it. Every figure a fact id."""

    lifts: tuple[Lift, ...]
    heaviest: str
    whole: str
    moment: str | None = None  # at the foot of an arm that stands on the floor
    anchor: str | None = None  # pull on each anchor that it lifts
    support: str | None = None  # load of a column under a beam
    pressed: str | None = None  # the greatest of the pressures
    floor: Verdict | None = None  # against the floor's bearing; None where nobody told that
    asks: tuple[Brought, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """How the end of arm holds when air or power fails."""

    title: str
    how: str
    lasts: Lasts
    words: str
    time: str | None  # fact id [s]; None where nothing is reckoned
    ask: Brought


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryStep:
    """One step of going in to clear a jam."""

    words: str
    who: str
    figure: str | None = None  # fact id


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeWay:
    """A way for people round the cell, as wide as it is at its narrowest."""

    place: str  # machine_1, presenter, outfeed, gate 1
    width: str  # fact id [m]; no more than is looked for
    holds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WaysOut:
    """Aisles, emergency stops and the way out of the fence."""

    needed: str  # fact id [m]: width that ways must keep
    ways: tuple[FreeWay, ...]
    stops: str  # fact id: emergency stop devices to begin with
    places: str  # of them at places where somebody works
    gates: str
    panels: str
    longest: str | None = None  # fact id [m]: from the farthest place inside the fence to a gate
    asks: tuple[Brought, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyFunction:
    """One safety function with its answers to the risk graph and the level that follows."""

    title: str
    does: str
    judged: Mapping[str, str]  # severity, frequency, avoidance: fact ids
    reasons: Mapping[str, str]  # of each of them, in words
    level: str  # 1 is a, 5 is e
    assumed: str = ""  # fact id: the higher of that level and what the general standard asks for; "" in older studies


@dataclass(frozen=True, slots=True, kw_only=True)
class GeneralLevel:
    """What the general standard asks of each function, and where it says so."""

    level: str
    standard: str
    category: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HazardAt:
    """A hazard of these cells at one task, and what to ask."""

    task: str
    hazard: str
    ask: str
    until: str = ""  # what the concept takes for granted until that is settled


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyAnswers:
    """What the safety person asks of one cell, as it is guarded in the study."""

    concept: str
    delivery: Delivery
    holding: Holding
    entering: tuple[EntryStep, ...]
    ways: WaysOut | None  # None where nothing was placed
    functions: tuple[SafetyFunction, ...]
    general: GeneralLevel | None = None  # None in older studies
    hazards: tuple[HazardAt, ...] = ()  # of this cell with its own guard alone
    open: Mapping[str, tuple[Brought, ...]] = field(default_factory=dict)  # what else stays open, by topic
