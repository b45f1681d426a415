"""The plainest cycle of all: one part after the other, taken all the way before the next one is lifted."""

from collections.abc import Sequence

from millhand.solvers.cycle.searching.jobs import NOBODY, Jobs, Move, Option
from millhand.solvers.cycle.tours.tour import Cycle, Stay, cycle_of
from millhand.solvers.cycle.view import Steady


def serial_cycle(view: Steady, jobs: Jobs) -> Cycle | None:
    """One part after the other; None where the cell does not allow it."""
    tour: list[Stay] = []
    for part, job in dict.fromkeys((move.part, move.job) for move in jobs.moves):
        mine = [move for move in jobs.moves if (move.part, move.job) == (part, job)]
        ways = ways_through(view, mine, None)
        if ways is None:
            return None
        for move, option in zip(mine, ways, strict=True):
            tour += [move.pick(option.who, option.start), move.place(option.who, option.goal)]
    try:
        return cycle_of(view, tour)
    except ValueError:  # somebody cannot go from one of these visits to the next
        return None


def ways_through(view: Steady, moves: Sequence[Move], at: str | None) -> list[Option] | None:
    """A way to make each move, each from where the one before ended."""
    if not moves:
        return []
    for option in moves[0].options:
        if at in (None, option.start) and apart(view, moves[0], option):
            rest = ways_through(view, moves[1:], option.goal)
            if rest is not None:
                return [option, *rest]
    return None


def apart(view: Steady, move: Move, option: Option) -> bool:
    """Whether both ends of a move can be done without an exchange, and there is room for a part where it stays."""
    if move.step + 2 < len(view.routes[move.part]) and view.slots[option.goal] == 0:
        return False
    stays = (move.pick(option.who, option.start), move.place(option.who, option.goal))
    return option.who == NOBODY or all((s.who, s.station, s.part, s.kind) in view.phases for s in stays)
