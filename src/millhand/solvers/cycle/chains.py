"""Where a part is at one machine, place after place: in the buffer before it, in the machine, in the buffer behind it.

Of the machines that one step of a route may use, some may have a buffer where others have none. Written out, the step
becomes as many steps as the longest of their chains has places; where a chain is shorter, its last place stands in
those that are left, and the part stays in it. Whoever lifts the part there finds it at the last of these steps.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from millhand.model.cell import Step
from millhand.model.station import Station

Chain = tuple[str, ...]
Stations = tuple[str, ...]


def chain_of(name: str, station: Station) -> Chain:
    """The places of a machine, written out; of any other station itself."""
    if station.kind != "process":
        return (name,)
    before = (f"{name} in",) if station.in_queue != 0 else ()
    behind = (f"{name} out",) if station.out_queue != 0 else ()
    return (*before, name, *behind)


def is_mixed(chains: Mapping[str, Chain]) -> bool:
    """Whether some of these stations have a buffer where others have none."""
    return len({(len(chain), chain.index(name)) for name, chain in chains.items()}) > 1


def steps_along(step: Step, chains: Mapping[str, Chain], *, following: int) -> Iterator[Step]:
    """A step place after place; `following`: how often its later places are visited. A limited stay is one over all
    places, so it stands at the last; of unlike machines what is said of the part stands there too, and its family at
    each place."""
    length, mixed = max(len(chain) for chain in chains.values()), is_mixed(chains)
    for at in range(length):
        places = {name: chain[min(at, len(chain) - 1)] for name, chain in chains.items()}
        worked = [name for name, chain in chains.items() if at < len(chain) and chain[at] == name]
        stay, every = (step.stay_max_s if at == length - 1 else None), (following if at else step.every)
        bare = Step(at=tuple(places.values()), every=every, stay_max_s=stay)
        if not mixed:
            yield replace(step, at=bare.at, every=every, stay_max_s=stay) if worked else bare
            continue
        spans = {name: (step.times_s or {}).get(name) or step.time_s for name in worked}
        times = {name: span for name, span in spans.items() if span is not None}
        told = replace(bare, times_s=times or None, family=step.family)
        last = replace(told, good=step.good, on_bad=step.on_bad, uses=step.uses)
        yield last if at == length - 1 else told


def rhythm_of(route: Sequence[Step], step: int) -> int:
    """How many parts there are to one that visits a step; where that is the rest of a step written out (0), to one that
    visits the first place of it."""
    while route[step].every == 0:
        step -= 1
    return route[step].every


def goes_on(before: Stations, here: Stations, only_to: Mapping[str, str]) -> bool:
    """Whether a step is the next place of the machines of the step before it."""
    return any(name in only_to for name in before) and here == tuple(only_to.get(name, name) for name in before)


def may_come(route: Sequence[Stations], step: int, only_to: Mapping[str, str]) -> Stations:
    """The stations to which a part comes at a step: not those in which it stays from the step before."""
    here = route[step]
    if not step or not goes_on(route[step - 1], here, only_to):
        return here
    return tuple(name for old, name in zip(route[step - 1], here, strict=True) if old != name)


def lies_at(route: Sequence[Stations], step: int, station: str, only_to: Mapping[str, str]) -> int:
    """The step at which a part lies that came to a station for a step: where its machine has no further place, the last
    of those that other machines of the step have."""
    while station not in only_to and step + 1 < len(route) and goes_on(route[step], route[step + 1], only_to):
        step += 1
    return step


def first_of(route: Sequence[Stations], step: int, only_to: Mapping[str, str]) -> int:
    """The first place of the machines that a step belongs to."""
    while step and goes_on(route[step - 1], route[step], only_to):
        step -= 1
    return step
