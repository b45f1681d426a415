"""What the recommended cell has to show before it is taken over: parts in time, hours alone, parts without a fault."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.acceptance import Acceptance, Standstill
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Performance
from millhand.model.study import Result
from millhand.stages.acceptance.faultless import after, faultless
from millhand.trace import Sheet, apply, found

TOP = "acceptance"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What every test of one cell rests on."""

    result: Result
    performance: Performance
    catalogue: Catalogue
    sheet: Sheet

    def figure(self, name: str) -> Fact:
        """A figure of the catalogue, written into the sheet."""
        return found(self.sheet, self.catalogue.figures[name])


def acceptance(result: Result | None, inquiry: Inquiry, catalogue: Catalogue, sheet: Sheet) -> Acceptance | None:
    """The tests of a cell that was simulated; nothing for a change by hand, nor where the work stays as it is."""
    if result is None or result.concept.kind != "cell" or result.performance is None or result.timing is None:
        return None
    trial = Trial(result=result, performance=result.performance, catalogue=catalogue, sheet=sheet)
    parts, over = trial.figure("acceptance_timed_parts"), trial.figure("acceptance_over_share")
    pace = sheet[result.performance.cycle_per_h or result.performance.bound_per_h]
    timed = apply(sheet, "accepted_run_s", f"{TOP}.timed_most", parts=parts, pace_parts_per_h=pace, over_share=over)
    counted = trial.figure("fault_share_per_part")
    sure = trial.figure("acceptance_confidence")
    shown = faultless(sheet, TOP, counted, sure, "faults")
    alone = _alone(trial, inquiry)
    through = _through(trial) if alone else None
    chances = (shown.chance, sheet[through]) if through else ()
    both = apply(sheet, "all_pass_chance", f"{TOP}.both_chance", chances=chances).id if chances else None
    return Acceptance(
        concept=result.concept.id, timed_parts=parts.id, pace_per_h=pace.id, timed_most=timed.id,
        standstills=tuple(_standstills(trial, over)),
        alone_s=alone.id if alone else None,
        alone_parts=result.performance.parts_alone if alone else None,
        alone_through=through,
        confidence=sure.id, counted_share=counted.id, shown_share=shown.shown.id,
        faultless_parts=shown.run.id, pass_chance=shown.chance.id, after=tuple(after(sheet, TOP, shown.run, sure)),
        both_chance=both, shifts=trial.figure("by_hand_shifts").id,
    )  # fmt: skip


def _standstills(trial: Trial, over: Fact) -> Iterator[Standstill]:
    """The gap of each operation with its allowance."""
    assert trial.result.timing is not None
    for each in trial.result.timing.operations:
        gap = trial.sheet[each.gap]
        name = f"{TOP}.standstill.{each.operation}"
        most = apply(trial.sheet, "accepted_mean_s", name, time_s=gap, over_share=over)
        yield Standstill(operation=each.operation, counted=gap.id, most=most.id)


def _alone(trial: Trial, inquiry: Inquiry) -> Fact | None:
    """The hours of the run alone: those that are wished, but no more than what the cell has stock and room for."""
    wished = inquiry.wishes.unattended_s
    if wished.value <= 0.0 or trial.performance.unattended_per_h is None:
        return None
    longest = trial.sheet[trial.performance.autonomy_s]
    if longest.value <= 0.0:
        return None
    return apply(trial.sheet, "least", f"{TOP}.alone_s", values=(wished, longest))


def _through(trial: Trial) -> str | None:
    """The chance that a run alone of that length needs nobody before its end: no stop at any of its loads."""
    top, sheet = f"concepts.{trial.result.concept.id}.performance", trial.sheet
    share, loads = f"{top}.stop_share_alone", f"{top}.loads_alone"
    if share not in sheet or loads not in sheet:
        return None
    name = f"{TOP}.alone_through"
    return apply(sheet, "runs_without_fault", name, fault_share=sheet[share], parts=sheet[loads]).id
