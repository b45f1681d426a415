"""What the recommended cell has to show before it is taken over: parts in time, hours alone, parts without a fault."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.acceptance import Acceptance, AfterFaults, Standstill
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Performance
from millhand.model.study import Result
from millhand.trace import Sheet, apply, found

FAULTS = (0, 1, 2, 3)  # in the run, for which it is told what they say
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
    shown, sure = _shown(counted, sheet), trial.figure("acceptance_confidence")
    kept = apply(sheet, "lost_share", f"{TOP}.kept_share", kept_share=shown)
    run = apply(sheet, "zero_fault_runs", f"{TOP}.faultless_parts", reliability=kept, confidence=sure)
    chance = apply(sheet, "runs_without_fault", f"{TOP}.pass_chance", fault_share=counted, parts=run)
    alone = _alone(trial, inquiry)
    return Acceptance(
        concept=result.concept.id, timed_parts=parts.id, pace_per_h=pace.id, timed_most=timed.id,
        standstills=tuple(_standstills(trial, over)),
        alone_s=alone.id if alone else None,
        alone_parts=result.performance.parts_alone if alone else None,
        alone_through=_through(trial) if alone else None,
        confidence=sure.id, counted_share=counted.id, shown_share=shown.id, faultless_parts=run.id,
        pass_chance=chance.id, after=tuple(_after(run, sure, sheet)),
    )  # fmt: skip


def _shown(counted: Fact, sheet: Sheet) -> Fact:
    """The share of faults that is not to be passed: what the study counts with in its worst of ten cases."""
    worst = counted.value if counted.high is None else counted.high
    return found(
        sheet,
        Fact(
            id=f"{TOP}.shown_share", value=worst, unit="1", basis="computed",
            source="upper end of the range of the share that is counted with", inputs=(("", counted.id),),
            title="share of faults that the run shows not to be passed",
        ),
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
    """The chance that a run alone of that length needs nobody before its end."""
    top, sheet = f"concepts.{trial.result.concept.id}.performance", trial.sheet
    share, parts = f"{top}.stop_share_alone", f"{top}.alone_limit"
    if share not in sheet or parts not in sheet:
        return None
    name = f"{TOP}.alone_through"
    return apply(sheet, "runs_without_fault", name, fault_share=sheet[share], parts=sheet[parts]).id


def _after(run: Fact, sure: Fact, sheet: Sheet) -> Iterator[AfterFaults]:
    """What the run says of the share of faults, by how many came in it."""
    for number in FAULTS:
        faults = found(
            sheet,
            Fact(id=f"{TOP}.after_{number}.faults", value=float(number), unit="parts", basis="computed",
                 source="one row for each number of faults"),
        )  # fmt: skip
        low, high = (
            apply(sheet, f"fault_share_{end}", f"{TOP}.after_{number}.{end}", faults=faults, parts=run, confidence=sure)
            for end in ("lower", "upper")
        )
        yield AfterFaults(faults=faults.id, low=low.id, high=high.id)
