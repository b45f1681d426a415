"""What a study would refuse of an inquiry that can be read, told before it is begun: the same checks, run alone."""

from collections.abc import Callable, Iterator

from millhand.catalogue.components import read_catalogue
from millhand.catalogue.wished import refuse_unknown_names
from millhand.errors import InputError, InputErrors
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry
from millhand.model.walk import facts_in
from millhand.stages.spread.draws import told_together
from millhand.trace import Sheet


def refusals(inquiry: Inquiry, catalogue: Catalogue | None = None) -> tuple[InputError, ...]:
    """Each thing that the study would refuse, at its place in the file, with what to write instead.

    catalogue: the one of the study; left out, the usual one is read where a name of the inquiry asks for it.
    """
    if not (inquiry.only or inquiry.concepts or inquiry.correlations):
        return ()
    known = catalogue or read_catalogue()
    return (
        *errors_of(lambda: refuse_unknown_names(inquiry, known.components)),
        *errors_of(lambda: told_together(inquiry.correlations, Sheet((*facts_in(inquiry), *facts_in(known))).facts)),
    )


def errors_of(check: Callable[[], object]) -> Iterator[InputError]:
    """What a check says."""
    try:
        check()
    except InputErrors as trouble:
        yield from trouble.errors
