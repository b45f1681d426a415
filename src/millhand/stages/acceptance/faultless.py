"""A run without a fault: how long it has to be, how a good one fares in it, and what faults in it say."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.acceptance import AfterFaults
from millhand.model.fact import Fact
from millhand.trace import Sheet, apply, found

FAULTS = (0, 1, 2, 3)  # in the run, for which it is told what they say


@dataclass(frozen=True, slots=True, kw_only=True)
class Faultless:
    """The run that shows that a share of faults is not passed."""

    shown: Fact
    run: Fact
    chance: Fact


def faultless(sheet: Sheet, top: str, counted: Fact, sure: Fact, words: str) -> Faultless:
    """So many in a row without a fault, and the chance of something as good as counted with; ids begin with `top`."""
    shown = _shown(sheet, top, counted, words)
    kept = apply(sheet, "lost_share", f"{top}.kept_share", kept_share=shown)
    run = apply(sheet, "zero_fault_runs", f"{top}.faultless_parts", reliability=kept, confidence=sure)
    chance = apply(sheet, "runs_without_fault", f"{top}.pass_chance", fault_share=counted, parts=run)
    return Faultless(shown=shown, run=run, chance=chance)


def _shown(sheet: Sheet, top: str, counted: Fact, words: str) -> Fact:
    """The share of faults that is not to be passed: what the study counts with in its worst of ten cases."""
    worst = counted.value if counted.high is None else counted.high
    return found(
        sheet,
        Fact(
            id=f"{top}.shown_share", value=worst, unit="1", basis="computed",
            source="upper end of the range of the share that is counted with", inputs=(("", counted.id),),
            title=f"share of {words} that the run shows not to be passed",
        ),
    )  # fmt: skip


def after(sheet: Sheet, top: str, run: Fact, sure: Fact) -> Iterator[AfterFaults]:
    """What the run says of the share of faults, by how many came in it."""
    for number in FAULTS:
        faults = found(
            sheet,
            Fact(id=f"{top}.after_{number}.faults", value=float(number), unit="parts", basis="computed",
                 source="one row for each number of faults"),
        )  # fmt: skip
        low, high = (
            apply(sheet, f"fault_share_{end}", f"{top}.after_{number}.{end}", faults=faults, parts=run, confidence=sure)
            for end in ("lower", "upper")
        )
        yield AfterFaults(faults=faults.id, low=low.id, high=high.id)
