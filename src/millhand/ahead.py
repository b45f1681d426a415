"""What a study would refuse of an inquiry that can be read, told before it is begun: the same checks, run alone."""

from collections.abc import Callable, Iterator

from millhand.catalogue.components import read_catalogue
from millhand.catalogue.wished import refuse_unknown_names
from millhand.errors import InputError, InputErrors, NotYet
from millhand.intake.inquiry_sums import place_of
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry
from millhand.model.walk import facts_in
from millhand.road import planned_alone
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.records import shape_of
from millhand.stages.spread.draws import told_together
from millhand.trace import Sheet

MANY = 6.0  # machines: fewer always find room in the simulation


def refusals(inquiry: Inquiry, catalogue: Catalogue | None = None) -> tuple[InputError, ...]:
    """Each thing that the study would refuse, at its place in the file, with what to write instead.

    catalogue: the one of the study; left out, the usual one is read where a name of the inquiry asks for it.
    """
    named = inquiry.only or inquiry.concepts or inquiry.correlations
    if not (named or is_large(inquiry)):
        return ()
    known = catalogue or read_catalogue()
    return (
        *(not_simulated(inquiry, known) if is_large(inquiry) else ()),
        *errors_of(lambda: refuse_unknown_names(inquiry, known.components)),
        *errors_of(lambda: told_together(inquiry.correlations, Sheet((*facts_in(inquiry), *facts_in(known))).facts)),
    )


def is_large(inquiry: Inquiry) -> bool:
    """Whether there are so many machines that their simulation may be refused."""
    return sum(machine.count.value for machine in inquiry.machines) >= MANY


def not_simulated(inquiry: Inquiry, catalogue: Catalogue) -> Iterator[InputError]:
    """What the simulation refuses of today's cell, which every study begins with; asked without a run."""
    today = planned_alone(inquiry, catalogue, "today")[0].cell
    if today is None:
        return
    try:
        shape_of(compiled(today))
    except NotYet as refused:
        used = {operation.machine for part in inquiry.parts for operation in part.operations}
        counts = [machine.count for machine in inquiry.machines if machine.name in used]
        most = max(counts, key=lambda count: count.value)
        there = f"{sum(count.value for count in counts):g} machines and {len(today.attendants)} people"
        large = refused.thing.startswith("so large a cell")
        read = f"{there}, {'more than the simulation of one cell holds' if large else refused.thing}"
        write = "an inquiry for each group of machines that the same people tend"
        yield InputError(place_of(most), read, write, "not_simulated")


def errors_of(check: Callable[[], object]) -> Iterator[InputError]:
    """What a check says."""
    try:
        check()
    except InputErrors as trouble:
        yield from trouble.errors
