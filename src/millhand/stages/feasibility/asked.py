"""What every check gets, and how its finding becomes a verdict."""

from collections.abc import Sequence
from dataclasses import dataclass

from millhand.errors import ToolError
from millhand.formulas import REGISTER
from millhand.formulas.feasibility import margin_share
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.part import Operation, Part
from millhand.model.shop import Shift
from millhand.model.timing import OperationTiming, Timing
from millhand.model.verdict import Verdict
from millhand.trace import Sheet, apply


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One concept under question."""

    inquiry: Inquiry
    concept: Concept
    layout: Layout
    timing: Timing
    sheet: Sheet

    def id(self, name: str) -> str:
        """The fact id of one figure of these checks."""
        return f"concepts.{self.concept.id}.feasibility.{name}"

    def figure(self, name: str) -> Fact:
        """A figure that the concept carries from the catalogue."""
        for fact in self.concept.facts:
            if fact.id == f"catalogue.{name}":
                return fact
        raise ToolError(f"the concept {self.concept.id} carries no figure {name}", code="no_figure")


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What a check has found: demand against limit; `well` and `ill` are its sentence, held or not."""

    check: str
    demand: Fact
    limit: Fact
    well: str
    ill: str
    formula: str
    kills: bool = False
    coarse: bool = False
    caution: str = ""


def verdict(asked: Asked, finding: Finding) -> Verdict:
    """The finding with its margin, and the sentence that fits it."""
    margin = apply(
        asked.sheet, "margin_share", asked.id(f"{finding.check}.margin"), demand=finding.demand, limit=finding.limit
    )
    holds = margin.value >= 0.0
    return Verdict(
        concept=asked.concept.id, check=finding.check, holds=holds, kills=finding.kills, demand=finding.demand.id,
        limit=finding.limit.id, margin=margin.id, words=finding.well if holds else finding.ill,
        formula=finding.formula, coarse=finding.coarse, caution=finding.caution,
    )  # fmt: skip


def out_of_reach(demand: Fact, limit: Fact) -> bool:
    """Whether a demand is beyond the limit even at the high end of its range: a stronger one of the class, a wider door
    than the usual one would not do either. A limit that was given or measured without a range has no such end."""
    return demand.value > (limit.high if limit.high is not None else limit.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """What is asked for against what components of a class give: a weak one warns, as a stronger one of the class or
    something else `mends` it; where not even the strongest would do it ends the concept, and there is no mending.

    words: the sentence without its end; after: what is said behind it, held or not.
    """

    check: str
    demand: Fact
    limit: Fact
    words: str
    mends: str
    formula: str
    hopeless: str = ""  # in the place of `mends` where it ends the concept
    after: str = ""
    coarse: bool = False
    caution: str = ""  # that of the formula where nothing else is said


def of_class(asked: Asked, asks: Strength) -> Verdict:
    """The verdict on a demand against what components of a class give."""
    beyond = out_of_reach(asks.demand, asks.limit)
    cure = asks.hopeless if beyond and asks.hopeless else asks.mends
    return verdict(
        asked,
        Finding(
            check=asks.check, demand=asks.demand, limit=asks.limit, well=f"{asks.words}.{asks.after}",
            ill=f"{asks.words}: {cure}.{asks.after}", formula=asks.formula, kills=beyond, coarse=asks.coarse,
            caution=asks.caution or caution_of(asks.formula),
        ),
    )  # fmt: skip


def tightest(ways: Sequence[tuple[str, Fact, Fact]]) -> tuple[str, Fact, Fact]:
    """Of several ways (in words, demand, limit) the one with the least margin; the first of equal ones."""
    return min(ways, key=lambda way: margin_share(way[1].value, limit=way[2].value))


def shown(fact: Fact, form: str) -> str:
    """The mark that stands for a figure in a sentence."""
    return f"[[{fact.id}|{form}]]"


def caution_of(formula: str) -> str:
    """The caution that belongs to every figure of a formula."""
    return REGISTER[formula].caution


def part_of(asked: Asked) -> Part:
    """The family that the timing is about."""
    return next(part for part in asked.inquiry.parts if part.name == asked.timing.part)


def operations(asked: Asked) -> tuple[tuple[Operation, OperationTiming], ...]:
    """Each operation with its timing, in the order of the route."""
    timings = {each.operation: each for each in asked.timing.operations}
    return tuple((each, timings[each.name]) for each in part_of(asked).operations)


def heaviest(asked: Asked) -> Fact:
    """The mass of the heaviest part that is ever carried, raw or finished, of any family."""
    masses = [mass for part in asked.inquiry.parts for mass in (part.raw_mass_kg, part.finished_mass_kg)]
    return max(masses, key=lambda mass: mass.value)


def heaviest_part(asked: Asked) -> Part:
    """The family whose part is that heaviest one."""
    mass = heaviest(asked)
    return next(part for part in asked.inquiry.parts if mass in (part.raw_mass_kg, part.finished_mass_kg))


def longest_shift(asked: Asked) -> Shift | None:
    """The longest shift with somebody there; None where every shift is unmanned."""
    manned = [shift for shift in asked.inquiry.shifts if shift.manned.value == "yes"]
    return max(manned, key=lambda shift: shift.length_s.value) if manned else None
