"""A concept of the invented shop with its verdicts, timed by hand."""

from dataclasses import dataclass

from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.verdict import Verdict
from millhand.model.walk import facts_in
from millhand.report.view import sentence_parts
from millhand.stages.feasibility import verdicts
from millhand.stages.feasibility.asked import Asked
from millhand.stages.layout import layout
from millhand.trace import Sheet
from tests.stages.shop import catalogue, concept, shop, timed

TRACK = "drawers-floor_track-fenced_20-parallel_double-fence"


@dataclass(frozen=True)
class Judged:
    """Verdicts by check, and the sheet behind them."""

    verdicts: dict[str, Verdict]
    sheet: Sheet
    layout: Layout

    def numbers(self, check: str) -> tuple[float, float]:
        """Demand and limit of one check."""
        found = self.verdicts[check]
        return self.sheet.value(found.demand), self.sheet.value(found.limit)

    def sentence(self, check: str) -> str:
        """The sentence of one check as a reader sees it, thin spaces made plain."""
        pieces = sentence_parts(self.verdicts[check].words, self.sheet.facts)
        return "".join(piece.text for piece in pieces).replace("\u202f", " ")


def asked_of(concept_id: str = TRACK, of: Inquiry | None = None) -> Asked:
    """What every check gets, for one concept."""
    of, sheet = of or shop(), Sheet()
    way = concept(concept_id, of)
    plan = layout(of, way, catalogue(), sheet)
    times = timed(of, way, sheet)
    sheet.extend((*facts_in(of), *facts_in(way)))
    return Asked(inquiry=of, concept=way, layout=plan, timing=times, sheet=sheet)


def judged(concept_id: str = TRACK, of: Inquiry | None = None, **times: float) -> Judged:
    """The verdicts of one concept; the times are those of the hand-made timing."""
    of, sheet = of or shop(), Sheet()
    way = concept(concept_id, of)
    plan = layout(of, way, catalogue(), sheet)
    found = verdicts(of, way, plan, timed(of, way, sheet, **times), sheet)
    return Judged(verdicts={each.check: each for each in found}, sheet=sheet, layout=plan)
