"""Random small cells for the oracle of one-unit cycles: machines in a row or side by side, one attendant.

Each cell is made from its number alone, so whatever is found can be made again.
"""

from random import Random

from millhand.model.cell import Attendant, Cell, CellPart, MoveTable, Place, Step
from millhand.model.handling import Handling, Visit
from millhand.model.span import Span
from millhand.model.station import Station

MOST_IN_A_ROW = {1: 4, 2: 3}  # by hands: more would be too many orders to look at
MOST_SIDE_BY_SIDE = {1: 3, 2: 2}


def small_cell(number: int) -> Cell:
    """The random cell of this number, on a grid of one second."""
    chance = Random(number)
    hands = chance.choice([1, 1, 2])
    side_by_side = chance.random() < 0.3
    most = (MOST_SIDE_BY_SIDE if side_by_side else MOST_IN_A_ROW)[hands]
    machines = [f"m{n + 1}" for n in range(chance.randint(2 if side_by_side else 1, most))]
    ends = ["g", "g"] if chance.random() < 0.25 else ["i", "o"]
    names = [*dict.fromkeys([ends[0], *machines, ends[1]])]
    return Cell(
        name=f"random small cell {number}",
        grid_s=1.0,
        places={name: Place() for name in names},
        stations={name: station(chance, name) for name in names},
        attendants={"arm": Attendant(kind="arm", hands=hands, turn_s=chance.choice([0.0, 0.0, 1.0]), home=ends[0],
                                     moves_full="ways")},
        moves={"ways": ways(chance, names)},
        handling=tuple(handling(chance, name, machines, hands) for name in names),
        parts={"part": CellPart(route=route(chance, ends, machines, side_by_side=side_by_side))},
    )  # fmt: skip


def station(chance: Random, name: str) -> Station:
    """A supply, an outfeed, a gate or a machine."""
    if name == "g":
        return Station(kind="gate", place=name, turnaround_s=float(chance.choice([0, 0, 5, 20])))
    if name in ("i", "o"):
        return Station(kind="supply" if name == "i" else "sink", place=name, capacity=None)
    return Station(kind="process", place=name, attended=chance.random() < 0.1)


def ways(chance: Random, names: list[str]) -> MoveTable:
    """A table of even ways, or one that need not be symmetric; loaded ways may take longer, or be impossible."""

    def table(longest: int, missing: float) -> tuple[tuple[float | None, ...], ...]:
        return tuple(
            tuple(
                0.0 if a == b else None if chance.random() < missing else float(chance.randint(0, longest))
                for b in range(len(names))
            )
            for a in range(len(names))
        )

    if chance.random() < 0.4:
        step = chance.randint(0, 5)
        even = tuple(tuple(float(step * abs(a - b)) for b in range(len(names))) for a in range(len(names)))
        return MoveTable(places=tuple(names), empty_s=even)
    loaded = table(9, chance.choice([0.0, 0.0, 0.15])) if chance.random() < 0.5 else None
    return MoveTable(places=tuple(names), empty_s=table(9, 0.0), loaded_s=loaded)


def visit(chance: Random, *, plain: bool) -> Visit:
    """A visit; some with a lead or a tail of the station's own."""
    beside = [0, 0, 0, 0] if plain else [0, 0, 0, chance.randint(1, 5)]
    return Visit(
        hold_s=Span(mean_s=float(chance.randint(0, 5))),
        lead_s=Span(mean_s=float(chance.choice(beside))),
        tail_s=Span(mean_s=float(chance.choice(beside))),
        lead_on=chance.choice(["arrival", "finish"]),
    )


def handling(chance: Random, name: str, machines: list[str], hands: int) -> Handling:
    """The row of one station; an exchange only where there are two hands for it, and not at each machine."""
    swaps = name in machines and hands > 1 and chance.random() < 0.8
    plain = name not in machines
    return Handling(
        who=("arm",),
        at=(name,),
        pick=visit(chance, plain=plain),
        place=visit(chance, plain=plain),
        swap=visit(chance, plain=False) if swaps else None,
    )


def route(chance: Random, ends: list[str], machines: list[str], *, side_by_side: bool) -> tuple[Step, ...]:
    """From the supply over the machines to the outfeed; a third of the cells have windows."""
    windows = chance.random() < 0.35

    def step(*at: str) -> Step:
        time = chance.choice([chance.randint(0, 12), chance.randint(0, 80)])
        most = float(time + 12 + chance.randint(0, 25)) if windows and chance.random() < 0.7 else None
        return Step(at=at, time_s=Span(mean_s=float(time)), stay_max_s=most)

    inner = [step(*machines)] if side_by_side else [step(name) for name in machines]
    return (Step(at=(ends[0],)), *inner, Step(at=(ends[1],)))
