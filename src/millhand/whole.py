"""A whole study with all that stands beside it, as the command line and the web app give it: one call."""

from millhand.beside import with_ways_by_hand
from millhand.maps import with_maps
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry
from millhand.model.study import Study
from millhand.offering import with_offers
from millhand.part_mix import with_part_mix
from millhand.run import Runner, Watch
from millhand.safeguarding import with_safeguarding
from millhand.sizing import with_sizing
from millhand.study import study, usual
from millhand.together import with_waits_together


def answered(inquiry: Inquiry, catalogue: Catalogue, *, seed: int, draws: int, runner: Runner, watch: Watch) -> Study:
    """The study, then ways by hand, guards, other sizes, waits at once, maps of two inputs, and a part list's mix."""
    found = study(inquiry, catalogue, seed=seed, runner=runner, watch=watch, asked=usual(draws, seed))
    found = with_ways_by_hand(found, inquiry, catalogue, runner=runner, watch=watch)
    found = with_safeguarding(found, inquiry, catalogue, runner=runner, watch=watch)
    found = with_sizing(found, inquiry, catalogue, runner=runner, watch=watch)
    found = with_waits_together(found, watch=watch)
    found = with_maps(found, inquiry, catalogue, watch=watch)
    return with_offers(with_part_mix(found, inquiry, catalogue), inquiry, catalogue)
