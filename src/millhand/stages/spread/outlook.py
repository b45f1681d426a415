"""How sure the choice is: every simulated concept in every draw, how often each is the best, what knowing is worth."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from millhand.model.case import Case
from millhand.model.decision import Known, Outlook, Sureness
from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.solvers.cashflow.draws import Floats, Measures
from millhand.solvers.knowing.worth import chances, of_each, of_everything, regrets
from millhand.stages.spread.draws import uncertain
from millhand.stages.spread.lines import measures_of
from millhand.stages.spread.resimulated import Followed
from millhand.trace import Sheet, found, needed

Worlds = Sequence[Mapping[str, float]]
RANGE = {"p10": "P10", "p50": "P50", "p90": "P90"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The cases that can be chosen from, with the measures of each in every draw."""

    cases: tuple[Case, ...]
    measures: tuple[Measures, ...]
    worlds: Worlds

    @property
    def worths(self) -> Floats:
        """Present worth, draws by cases."""
        return np.column_stack([each.npv_money for each in self.measures])


def drawn_cases(results: Sequence[Result], worlds: Worlds, sheet: Sheet) -> Drawn:
    """Today and every concept that was simulated, in their order."""
    cases = tuple(each.case for each in results if each.case and each.performance and each.performance.output)
    return Drawn(cases=cases, measures=tuple(measures_of(case, worlds, sheet) for case in cases), worlds=worlds)


def sureness(results: Sequence[Result], worlds: Worlds, sheet: Sheet, follows: Followed) -> Sureness | None:
    """How sure the choice is; None where nothing was drawn or nothing is to be chosen from."""
    drawn = drawn_cases(results, worlds, sheet) if worlds else None
    if drawn is None or len(drawn.cases) < 2:
        return None
    known = _known(drawn, sheet)
    whole = of_everything(drawn.worths)
    behind = tuple(("", case.npv) for case in drawn.cases)
    words = f"mean of {len(worlds)} draws of all uncertain facts: the best concept of each, less the best on the mean"
    note = _Noting(sheet=sheet, source=words, inputs=behind)
    count = _Noting(sheet=sheet, source="number of draws of all uncertain facts", inputs=behind)
    return Sureness(
        draws=count.of("decision.draws", float(len(worlds)), "1"),
        outlooks=_outlooks(drawn, sheet),
        everything=note.of("decision.knowing.everything", whole.value, "money"),
        error=note.of("decision.knowing.everything_error", whole.error, "money"),
        short_runs=count.of("decision.short_runs", float(follows.runs), "1") if follows.runs else None,
        response_error=_response_error(follows, sheet, behind),
        shares=(),
        known=known,
    )


def _response_error(follows: Followed, sheet: Sheet, behind: tuple[tuple[str, str], ...]) -> str | None:
    """The error of the fitted output, where it was fitted."""
    if follows.error is None:
        return None
    words = f"regression over {follows.runs} draws of all uncertain facts, each cell simulated again in them"
    note = _Noting(sheet=sheet, source=words, inputs=behind)
    return note.of("decision.response_error_share", follows.error, "1")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Noting:
    """Figures from the same draws, written into the sheet with their source and what they rest on."""

    sheet: Sheet
    source: str
    inputs: tuple[tuple[str, str], ...]

    def of(self, fact_id: str, value: float, unit: str) -> str:
        """The id of a figure, once it is written."""
        record = Fact(id=fact_id, value=value, unit=unit, basis="computed", source=self.source, inputs=self.inputs)
        return found(self.sheet, record).id

    def finite(self, fact_id: str, value: float, unit: str) -> str | None:
        """The same, None for a time that never comes."""
        return self.of(fact_id, value, unit) if math.isfinite(value) else None


def _outlooks(drawn: Drawn, sheet: Sheet) -> tuple[Outlook, ...]:
    """Every concept's own."""
    shares, losses = chances(drawn.worths), regrets(drawn.worths)
    return tuple(
        _outlook(case, measures, sheet, (float(share), float(loss)))
        for case, measures, share, loss in zip(drawn.cases, drawn.measures, shares, losses, strict=True)
    )


def _outlook(case: Case, measures: Measures, sheet: Sheet, best: tuple[float, float]) -> Outlook:
    """One concept's; best: how often it is the best, and what it is expected to bring less than that."""
    at, count = f"concepts.{case.concept}.sure", len(measures.npv_money)
    worth = tuple(("", fact_id) for fact_id in (case.npv,))
    paybacks, npvs = np.sort(measures.payback_months), np.sort(measures.npv_money)
    place = {"p10": count // 10, "p50": count // 2, "p90": count - 1 - count // 10}
    times: dict[str, str | None] = {}
    amounts: dict[str, str] = {}
    for end, words in RANGE.items():
        note = _Noting(sheet=sheet, source=f"{words} of {count} draws of all uncertain facts", inputs=worth)
        months = float(paybacks[place[end]]) if case.concept != case.against else math.inf
        times[end] = note.finite(f"{at}.payback_{end}", months, "months")
        amounts[end] = note.of(f"{at}.npv_{end}", float(npvs[place[end]]), "money")
    share = _Noting(sheet=sheet, source=f"share of {count} draws of all uncertain facts", inputs=worth)
    mean = _Noting(sheet=sheet, source=f"mean of {count} draws of all uncertain facts", inputs=worth)
    return Outlook(
        concept=case.concept,
        payback_p10=times["p10"], payback_p50=times["p50"], payback_p90=times["p90"],
        npv_p10=amounts["p10"], npv_p50=amounts["p50"], npv_p90=amounts["p90"],
        best_chance=share.of(f"{at}.best_chance", best[0], "1"),
        regret=mean.of(f"{at}.regret", best[1], "money"),
    )  # fmt: skip


def _known(drawn: Drawn, sheet: Sheet) -> tuple[Known, ...]:
    """Each uncertain fact that is worth more to know than the error of that figure, the most first."""
    facts = uncertain(needed(sheet.facts, [case.npv for case in drawn.cases]))
    numbers = np.array([[world[fact.id] for fact in facts] for world in drawn.worlds])
    known = []
    for fact, worth in zip(facts, of_each(drawn.worths, numbers), strict=True):
        if worth.value > worth.error:
            words = f"regression over {len(drawn.worlds)} draws of all uncertain facts, on this one alone"
            note = _Noting(sheet=sheet, source=words, inputs=(("", fact.id),))
            ids = (
                note.of(f"decision.knowing.{fact.id}.worth", worth.value, "money"),
                note.of(f"decision.knowing.{fact.id}.error", worth.error, "money"),
            )
            known.append((worth.value, Known(fact=fact.id, worth=ids[0], error=ids[1])))
    return tuple(each for _, each in sorted(known, key=lambda pair: -pair[0]))
