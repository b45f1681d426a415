"""What a study would refuse of an inquiry that can be read, told before it is begun: the same checks, run alone."""

from collections.abc import Callable, Iterator

from millhand.catalogue.components import read_catalogue
from millhand.catalogue.wished import refuse_unknown_names
from millhand.errors import InputError, InputErrors, NotYet
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry
from millhand.model.walk import facts_in
from millhand.road import visited
from millhand.stages.spread.draws import told_together
from millhand.stages.timing.shared import refused
from millhand.trace import Sheet


def refusals(inquiry: Inquiry, catalogue: Catalogue | None = None) -> tuple[InputError, ...]:
    """Each thing that the study would refuse, at its place in the file, with what can be worked out in its stead.

    catalogue: the one of the study; left out, the usual one is read where a name of the inquiry asks for it.
    """
    checks: list[Callable[[], object]] = [lambda: refused(visited(inquiry))]
    if inquiry.only or inquiry.concepts or inquiry.correlations:
        known = catalogue or read_catalogue()
        checks.append(lambda: refuse_unknown_names(inquiry, known.components))
        checks.append(lambda: told_together(inquiry.correlations, Sheet((*facts_in(inquiry), *facts_in(known))).facts))
    return tuple(error for each in checks for error in errors_of(each))


def errors_of(check: Callable[[], object]) -> Iterator[InputError]:
    """What a check says."""
    try:
        check()
    except InputErrors as trouble:
        yield from trouble.errors
    except NotYet as trouble:
        write = trouble.cure or "the part without the operation named there: what is left can be worked out"
        yield InputError(trouble.where.partition(",")[0], trouble.thing, write, trouble.code)
