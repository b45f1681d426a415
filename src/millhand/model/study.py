"""A whole study: what was asked, what was found, what is advised. Format `millhand-study/2`."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from millhand.model.acceptance import Acceptance
from millhand.model.case import Case
from millhand.model.cell import Cell
from millhand.model.claims import Claimed
from millhand.model.concept import Concept
from millhand.model.decision import Decision
from millhand.model.estimate import Estimate
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.maps import Maps
from millhand.model.measured import Measured
from millhand.model.odd import Odd
from millhand.model.part_mix import PartMix
from millhand.model.performance import Performance
from millhand.model.phases import PhaseCell
from millhand.model.safeguarding import Safeguarding
from millhand.model.schedule import Schedule
from millhand.model.servicing import Servicing
from millhand.model.sizing import Sizing
from millhand.model.tending import Tending
from millhand.model.timing import Timing
from millhand.model.verdict import Verdict

STUDY_FORMAT = "millhand-study/2"


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """All that was found out about one concept. A concept that fell keeps its verdicts; the rest is None."""

    concept: Concept
    verdicts: tuple[Verdict, ...]
    layout: Layout | None = None
    timing: Timing | None = None
    cell: Cell | None = None
    schedule: Schedule | None = None
    performance: Performance | None = None
    estimate: Estimate | None = None
    case: Case | None = None
    phases: tuple[PhaseCell, ...] = ()  # of a lot that goes through the same machines several times


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropped:
    """A combination that makes no sense here, and the rule's words; nothing is left out in silence."""

    choices: str
    words: str
    wish: str = ""  # name of the inquiry's wish that leaves it out, or that a rule stands against


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """The study's one flat map of facts, its words, and the records that point into it. Results: today first."""

    format: str = STUDY_FORMAT
    version: str
    seed: int
    inquiry: Inquiry
    facts: Mapping[str, Fact]
    choices: Mapping[str, Choice]
    results: tuple[Result, ...]
    decision: Decision
    dropped: tuple[Dropped, ...] = ()
    measured: tuple[Measured, ...] = ()  # elements of today's work that were timed
    servicing: Servicing | None = None  # fewer and more machines for one operator, where that was looked at
    tending: Tending | None = None  # what people who are not there cost, and other ways to tend, where looked at
    safeguarding: Safeguarding | None = None  # its cells guarded in each way, where looked at
    sizing: Sizing | None = None  # what a larger presenter, fewer faults, longer tool life would bring, where looked at
    maps: Maps | None = None  # payback and worth with two things moved at once, where that was looked at
    claimed: tuple[Claimed, ...] = ()  # figures of somebody else's calculation beside those of the study
    acceptance: Acceptance | None = None  # what the recommended cell has to show; None where no cell is recommended
    part_mix: PartMix | None = None  # the inquiry's part list beside its best cell, where it has one
    odd: tuple[Odd, ...] = ()  # what does not go together in the inquiry, clashes first, then what is only unusual

    copy: Literal["own", "customer"] = "own"  # a customer's copy holds no cost, margin, past jobs and notes

    @property
    def clashes(self) -> tuple[Odd, ...]:
        """The figures that can hardly be right together."""
        return tuple(each for each in self.odd if each.clash)
