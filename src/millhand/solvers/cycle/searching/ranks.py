"""The order of visits at one moment: where handling and ways may take no time, times alone do not tell it.

Each lift, set-down and duty gets a rank within the period, and whatever comes before something has the lower one. So
no order is found in which, at one moment, a station asks for one order of two visits and an attendant for the other.
"""

from millhand.solvers.cycle.searching.jobs import NOBODY
from millhand.solvers.cycle.searching.program import KEYS, Key, Leg, Literal, Program, Whole


def add_ranks(program: Program) -> None:
    """Ranks, where some attendant may get from one visit to another in no time, or parts move by themselves."""
    by_itself = [(move.number, alone) for move in program.jobs.moves if (alone := program.picks(move.number, NOBODY))]
    if not by_itself and not any(takes_nothing(program, leg) for legs in program.legs.values() for leg in legs):
        return
    keys: list[Key] = [(end, move.number) for move in program.jobs.moves for end in ("lift", "set")]
    keys += [("duty", number) for number in range(len(program.duties))]
    ranks = {key: program.model.new_int_var(0, len(keys), "") for key in keys}
    for (_, _, lifting, setting), lit in program.swaps.items():
        program.model.add(ranks["lift", lifting] == ranks["set", setting]).only_enforce_if(lit)
    for number, alone in by_itself:  # a part that moves by itself is at no moment between its two stations
        for lit in alone:
            program.model.add(ranks["lift", number] == ranks["set", number]).only_enforce_if(lit)
    for one, other, when in (*along(program), *inside_stays(program), *program.before):
        add_order(program, ranks, (one, other), when)


def add_order(program: Program, ranks: dict[Key, Whole], pair: tuple[Key, Key], when: list[Literal]) -> None:
    """One comes before the other, unless they are the two sides of one exchange."""
    swaps = [lit for (_, _, x, y), lit in program.swaps.items() if {("lift", x), ("set", y)} == set(pair)]
    program.model.add(ranks[pair[0]] + 1 <= ranks[pair[1]]).only_enforce_if(*when, *(~lit for lit in swaps))


def along(program: Program) -> list[tuple[Key, Key, list[Literal]]]:
    """What each attendant does one after the other."""
    found: list[tuple[Key, Key, list[Literal]]] = []
    for leg in (leg for legs in program.legs.values() for leg in legs):
        before, after = (KEYS[stay.kind] for stay in (leg.before.leaves, leg.after.arrives))
        found.append(((before, leg.before.move), (after, leg.after.move), [leg.gone]))
    for move in program.jobs.moves:
        carried = [~lit for lit in program.picks(move.number, NOBODY)]
        found.append((("lift", move.number), ("set", move.number), [~program.over[move.number], *carried]))
        for option, lit in program.chosen[move.number].items():
            if option.who and program.view.movers[option.who].hands == 1:
                found += carried_over(program, move.number, option.who, [lit, program.over[move.number]])
    return found


def carried_over(program: Program, number: int, who: str, when: list[Literal]) -> list[tuple[Key, Key, list[Literal]]]:
    """What an only hand holds when the period begins is set down before anything else is lifted."""
    others = [move.number for move in program.jobs.moves if move.number != number]
    return [(("set", number), ("lift", other), [*when, lit]) for other in others for lit in program.picks(other, who)]


def inside_stays(program: Program) -> list[tuple[Key, Key, list[Literal]]]:
    """A part is lifted after it was set down; where one fills the station, the last one before the next."""
    found: list[tuple[Key, Key, list[Literal]]] = []
    for spot, (coming, going) in program.jobs.stays.items():
        down, lift = ("set", coming), ("lift", going)
        laps = program.laps[spot]
        found.append((down, lift, [laps[0]]))
        for option, lit in program.chosen[coming].items():
            if program.view.slots[option.goal] == 1:
                found += [(lift, down, [lit, late]) for late in laps[1:]]
    return found


def takes_nothing(program: Program, leg: Leg) -> bool:
    """Whether an attendant may be at its next visit in the moment in which one begins."""
    view, stay, other = program.view, leg.before.leaves, leg.after.arrives
    mover = view.movers[stay.who]
    ways = [
        mover.travel_steps(view.places[stay.station], view.places[other.station], loaded=loaded)
        for loaded in (False, True)
    ]
    holds = [
        view.phases[stay.who, stay.station, stay.part, kind].hold_steps
        for kind in (stay.kind, "swap")
        if (stay.who, stay.station, stay.part, kind) in view.phases
    ]
    return 0 in ways and 0 in holds
