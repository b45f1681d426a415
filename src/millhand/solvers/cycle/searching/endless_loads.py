"""Exchanges at endless slots with loads of several parts: a load takes the place of another one, part for part.

Which slot a load is in is said nowhere, as one is always free. But an exchange is made within a slot, so the parts of a
load that is exchanged take the places of the parts of one other load, all of them and in their order.
"""

from collections.abc import Iterator, Sequence
from itertools import product

from millhand.solvers.cycle.searching.jobs import Spot
from millhand.solvers.cycle.searching.program import Literal, Program, Whole
from millhand.solvers.cycle.searching.standing_loads import leaving

Mates = tuple[
    Spot, Spot, list[Literal], int
]  # one part of a load, its next one, if all are true, so many periods later
Exchange = tuple[Spot, Spot, Literal]  # what is lifted, what is set down, whether it is made


def add_exchanges(program: Program, station: str, mates: Sequence[Mates], places: dict[Spot, Whole]) -> None:
    """Every exchange at one such station."""
    made = list(exchanges_at(program, station, list(places)))
    for old, new, swap in made:
        program.model.add(places[old] == places[new]).only_enforce_if(swap)
    known = {(old, new): swap for old, new, swap in made}
    for (old, new, swap), gone, come in product(made, mates, mates):
        pairs = ((gone[0], come[0]), (gone[1], come[1]))
        for here, there in (pairs, pairs[::-1]):
            if here == (old, new):
                also = known.get(there)
                when = [swap, *gone[2], *come[2]]
                program.model.add_bool_or(*([] if also is None else [also]), *(~lit for lit in when))
                later = periods_in(program, gone[1]) - periods_in(program, gone[0])
                program.model.add(later == come[3] - gone[3]).only_enforce_if(when)


def exchanges_at(program: Program, station: str, spots: Sequence[Spot]) -> Iterator[Exchange]:
    """The exchanges that may be made there. A part that stands in the machine for further steps of its route is lifted
    at the last of them, and still is the part that was set down at the first."""
    lifted = {leaving(program, spot, station): spot for spot in spots}
    moves = program.jobs.moves
    for (_, where, lifting, setting), lit in program.swaps.items():
        if where == station and moves[setting].goal in spots and lifting in lifted:
            yield lifted[lifting], moves[setting].goal, lit


def periods_in(program: Program, spot: Spot) -> Whole:
    """Over how many ends of periods a stay reaches."""
    return sum(periods * lit for periods, lit in enumerate(program.laps[spot]))
