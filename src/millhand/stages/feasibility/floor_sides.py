"""Does the cell fit into the strip of floor that the shop can give, either way round?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.stages.feasibility.floor_area import CAUTION


def floor_sides(asked: Asked) -> Verdict | None:
    """The longer reach of all that is new against the long side, the shorter one against the short side: whichever
    leaves less. None where nobody told the sides; an assumed floor only warns."""
    strip = asked.inquiry.wishes.floor_sides
    if strip is None or not asked.layout.outline:
        return None
    short, long = sorted((asked.sheet[each] for each in asked.layout.outline), key=lambda each: each.value)
    demand, limit = min(
        ((long, strip.long_m), (short, strip.short_m)), key=lambda pair: (pair[1].value - pair[0].value) / pair[1].value
    )
    words = (
        f"From the door planes on, the cell reaches {shown(long, 'metres')} by {shown(short, 'metres')}; free are "
        f"{shown(strip.long_m, 'metres')} by {shown(strip.short_m, 'metres')}"
    )
    return verdict(
        asked,
        Finding(
            check="floor_sides",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: it does not fit, either way round. Drawers instead of tables or belts, no track, other "
            "places for presenter and outfeed, or more floor.",
            formula="outline_m",
            kills=limit.basis != "assumed",
            coarse=True,
            caution=CAUTION,
        ),
    )
