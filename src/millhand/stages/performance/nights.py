"""How the hours alone ended in the simulation: the share of all its nights that each cause ended, as facts."""

from collections.abc import Mapping
from math import ceil

from millhand.formulas.hours import WEEK_H
from millhand.model.performance import Alone
from millhand.solvers.kernel.telling import HOURS_OVER
from millhand.stages.performance.shared import Scope, simulated_words

ENDS = {
    " empty": "empty",
    " full": "full",
    " misses its pick": "arm",
    " stop": "machine",
    " tool": "tools",
    " chips": "chips",
}
OVER, OTHER = "over", "other"  # the hours wished were over before anything called; anything else that called
MORE = 0.5  # absences a week beyond the runs alone, from which breaks count among them


def runs_a_week(scope: Scope) -> int:
    """How often a week the last one leaves: on each day that has a manned shift."""
    return max(ceil(shift.days_per_week.value) for shift in scope.inquiry.shifts if shift.manned.value == "yes")


def note_nights(scope: Scope) -> None:
    """As facts `performance.nights.*`; nothing where nobody is away, or where breaks count among the absences."""
    output = scope.output
    if output is None or output.alone is None:
        return
    weeks = output.replications * output.horizon_s / (WEEK_H * 3600.0)
    if output.alone.absences > (runs_a_week(scope) + MORE) * weeks:
        return
    words = simulated_words(output)
    scope.solved("nights.count", float(output.alone.absences), "1", f"number of absences of all people in the {words}")
    for kind, share in shares_of(output.alone).items():
        scope.solved(f"nights.{kind}", share, "1", f"share of the absences of all people in the {words}")


def shares_of(alone: Alone) -> Mapping[str, float]:
    """The share of all nights by what ended them, which add up to one; a night through which the cell ran was over."""
    found: dict[str, float] = {OVER: alone.ran_through} if alone.ran_through > 0.0 else {}
    for words, share in alone.ended_by.items():
        kind = OVER if words == HOURS_OVER else next((ENDS[end] for end in ENDS if words.endswith(end)), OTHER)
        found[kind] = found.get(kind, 0.0) + share
    return found
