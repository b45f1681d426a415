"""A placed cell that is held while what it was placed for turns out otherwise: a door, a load position, moved a little.

Nothing is placed again. The foot stands where it stood, and from there the arm takes the best way to the target as it
then is: of all about as good, the one that begins nearest to the way that was found before.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from millhand.solvers.placing.feet import door_served
from millhand.solvers.placing.floor import turned
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.serving import Served, looked
from millhand.solvers.placing.site import Doorway, Foot, Kit, Rect, Site, boxes_round

Front = tuple[float, ...]


def held(kit: Kit, site: Site, plan: Placed, door: Doorway) -> Served:
    """How a machine is served whose door is now `door`, in the place of that of the same name on the site.

    The site is the one of the plan, with the beam over it where one hangs.
    """
    changed = replace(site, doorways=tuple(door if each.name == door.name else each for each in site.doorways))
    high = tuple(each.high for each in (plan.presenter, plan.outfeed) if each is not None)
    fronts: Mapping[str, Front] = {each.name: each.front for each in plan.served}
    return _held(turned(kit, site), changed, plan.feet[door.name], door.name, high, fronts[door.name])


@lru_cache(maxsize=4096)
def _held(kit: Kit, site: Site, foot: Foot, name: str, stands: tuple[Rect, ...], near: Front) -> Served:
    """The same from a foot, past what stands high."""
    door = next(each for each in site.doorways if each.name == name)
    boxes = boxes_round(site, door, stands)
    found = looked(kit.arm, foot, target=door.target, hand=kit.hand, boxes=boxes).served(near)
    if found.there:
        return found
    quick = door_served(kit, site, foot, door)
    return found if quick.there else quick
