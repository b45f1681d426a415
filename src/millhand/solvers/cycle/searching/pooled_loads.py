"""A tour with pooled stations that take loads of several parts, dealt out: the next load goes to the next station.

One period brings one load to each pool, so the load of a period is at the station of its number, and as many periods as
the pools have stations bring everything back to where it was.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import lcm

from millhand.solvers.cycle.tours.tour import Group, Inside, Stay

Pools = Mapping[str, tuple[str, ...]]  # the station that stands for all, and all of them


@dataclass(frozen=True, slots=True, kw_only=True)
class Dealt:
    """A tour at real stations, how many times as long it is, and what lies where when it begins."""

    tour: tuple[Stay, ...]
    times: int
    inside: Inside


def dealt_loads(tour: Sequence[Stay], inside: Inside, pools: Pools) -> Dealt:
    """The tour once for each station of the pools."""
    times = lcm(*(len(names) for names in pools.values()))
    lying: dict[str, dict[Group, int]] = {name: dict(here) for name, here in inside.items() if name not in pools}
    real: list[list[Stay]] = [list(tour) for _ in range(times)]
    for first, names in pools.items():
        own = [(index, visit) for index, visit in enumerate(tour) if visit.station == first]
        drops = [visit for _, visit in own if visit.kind != "pick"]
        opens = next(number for number, visit in enumerate(drops) if visit.slot == 0)

        def station(part: int, names: tuple[str, ...] = names, size: int = len(drops), opens: int = opens) -> str:
            period, number = divmod(part, size)
            return names[(period - (number < opens)) % len(names)]

        begins = sum(inside.get(first, {}).values())
        for period in range(times):
            down, lift = period * len(drops), period * len(drops) - begins
            for index, visit in own:
                part = down if visit.kind != "pick" else lift
                real[period][index] = replace(visit, station=station(part))
                down, lift = down + (visit.kind != "pick"), lift + (visit.kind != "place")
        for part in range(-begins, 0):
            here = lying.setdefault(station(part), {})
            group = drops[0].set_down
            here[group] = here.get(group, 0) + 1
    return Dealt(tour=tuple(visit for turn in real for visit in turn), times=times, inside=lying)
