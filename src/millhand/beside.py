"""What stands beside a study that is done, all from its facts: other numbers of machines to an operator, and other ways
to tend the same ones."""

from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry
from millhand.model.study import Study
from millhand.run import Runner, Watch
from millhand.servicing import with_servicing
from millhand.tending import with_tending


def with_ways_by_hand(
    done: Study, inquiry: Inquiry, catalogue: Catalogue, *, runner: Runner | None = None, watch: Watch | None = None
) -> Study:
    """The study with better ways by hand, and the facts of that in its map."""
    found = with_servicing(done, inquiry, catalogue, runner=runner, watch=watch)
    return with_tending(found, inquiry, catalogue, runner=runner, watch=watch)
