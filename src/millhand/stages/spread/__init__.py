"""How far the uncertain facts move the answer: draws of all of them together, and each alone from low to high.

The map of facts is a calculation graph (trace.recomputed): a draw changes the facts that were given, measured, judged
or assumed with a range, and everything that follows from them is worked out again; cells are scaled, never rebuilt.
"""

from millhand.stages.spread.bounds import bounds_of, shares_of
from millhand.stages.spread.draws import Together, draws, quantile, told_together, uncertain
from millhand.stages.spread.drivers import drivers
from millhand.stages.spread.fewer import beside, fewer_drawn, with_fewer
from millhand.stages.spread.middles import with_rates
from millhand.stages.spread.outlook import sureness
from millhand.stages.spread.resimulated import Followed, elsewhere, factors, followed, origins, variants
from millhand.stages.spread.shares import spread_shares
from millhand.stages.spread.unalone import unalone_drawn
from millhand.stages.spread.worlds import Asked, to_draw, with_chances, with_ranges, worlds

__all__ = [
    "Asked", "Followed", "Together", "beside", "bounds_of", "draws", "drivers", "elsewhere", "factors", "fewer_drawn",
    "followed", "origins", "quantile", "shares_of", "spread_shares", "sureness", "to_draw", "told_together",
    "unalone_drawn", "uncertain", "variants", "with_chances", "with_fewer", "with_ranges", "with_rates", "worlds",
]  # fmt: skip
