"""The catalogue: generic components and default ranges, read from data files, as the stages get them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from millhand.model.arm import Linkage
from millhand.model.concept import Component
from millhand.model.fact import Assumption, Fact
from millhand.model.safety import SafetyRules

Takes = Literal["arrangement", "kit", "attachment", "rebuild"]
Fills = Literal["", "boxes", "stock"]
HandHours = Literal["", "together", "staggered", "relief", "lighter"]
AT_THE_MACHINE = (
    "chuck", "vise", "jaw", "jaws", "fixture", "table", "mould", "nest", "machine", "door", "spindle", "in", "out",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MovingThing:
    """Something that moves by power and comes with a change by hand: what it can do, and how it is guarded."""

    id: str
    hazard: str
    guard: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandChange:
    """A cheap change of the manual process: where it applies, what it changes, what it costs, what to ask about it."""

    id: str
    title: str
    kinds: tuple[str, ...]  # machine kinds
    when: str  # words: when it fits; where nobody has said so it is assumed
    question: str = ""  # whose answer would replace what is assumed
    effects: Mapping[str, Fact] = field(default_factory=dict)  # docs/catalogue.md says what each changes
    hours: HandHours = ""  # what becomes of the people's hours: docs/catalogue.md says what each means
    steps: tuple[str, ...] = ()  # words in the names of steps that could be done while the machine runs
    price: Fact  # money
    per: Literal["machine", "family", "once"] = "machine"
    takes: Takes = "arrangement"  # how it comes into the shop: by_hand_<takes>_... are its figures
    fills: Fills = ""  # what fills up or empties by itself until somebody comes
    moving: tuple[MovingThing, ...] = ()


def share_of_steps(name: str, words: tuple[str, ...]) -> float:
    """Share of the steps in an element's name, joined by 'and', that hold one of the words and stay off the machine.

    >>> share_of_steps("unload_and_wipe", ("wipe", "gauge")), share_of_steps("wipe_chuck", ("wipe",))
    (0.5, 0.0)
    """
    steps = [step.split("_") for step in name.split("_and_")]
    able = [step for step in steps if set(step) & set(words) and not set(step) & set(AT_THE_MACHINE)]
    return len(able) / len(steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Why a combination of choices makes no sense: the first rule that fits a concept drops it, in words."""

    id: str
    when: Mapping[str, tuple[str, ...]]  # choice or inquiry word: values for which the rule fits
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionRule:
    """Where a cell needs something besides its choices: the component of the same id."""

    id: str
    per: Literal["machine", "cell"]
    when: Mapping[str, tuple[str, ...]]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """One way to keep people and an arm apart, or their contact harmless, and how its function is judged."""

    id: str
    component: str  # whose price it is
    title: str
    moves: Literal["own", "contact"]  # the arm's speed while nobody is near
    inside: Literal["stop", "contact", "none"]  # what the arm does while somebody works where it moves
    passing: bool  # people walk through its field
    function: str  # words: what the safety function does
    judged: Mapping[str, Fact]  # severity, frequency, avoidance: 1 or 2
    reasons: Mapping[str, str]  # of each of them, in words


@dataclass(frozen=True, slots=True, kw_only=True)
class GuardRule:
    """Words that hold where every word of `when` has one of its values: a misfit, a hazard of contact, a flag."""

    id: str
    when: Mapping[str, tuple[str, ...]]
    words: str
    kills: bool = False
    question: str = ""
    until: str = ""  # of a flag: what a concept takes for granted until its question is answered


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """What can happen to somebody at a task, and what to ask about it: a start for a risk assessment."""

    id: str
    task: str
    when: Mapping[str, tuple[str, ...]]
    hazard: str
    ask: str
    until: str = ""  # what a concept takes for granted until that is settled


@dataclass(frozen=True, slots=True, kw_only=True)
class Safeguards:
    """All that the catalogue knows about safeguarding."""

    choices: tuple[Guard, ...] = ()
    misfits: tuple[GuardRule, ...] = ()
    contact: tuple[GuardRule, ...] = ()
    machine: tuple[GuardRule, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    safety: SafetyRules = field(default_factory=SafetyRules)


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """All of it. Money in `currency` of `price_year`; `figures` are times, rates and shares by name, as Facts."""

    currency: str
    price_year: int
    components: Mapping[str, Component]
    figures: Mapping[str, Fact]  # catalogue.<name>: exchange times, fault rates, ramp-up, contingency ...
    assumptions: Mapping[str, Assumption]  # what intake fills gaps with
    hand_changes: tuple[HandChange, ...]
    rules: tuple[Rule, ...]
    arms: Mapping[str, Linkage] = field(default_factory=dict)  # links and joints of arms, by the component's id
    safeguards: Safeguards = field(default_factory=Safeguards)
    options: tuple[OptionRule, ...] = ()
    past: tuple[Fact, ...] = ()  # what was paid over what was quoted, of a company's own past jobs
