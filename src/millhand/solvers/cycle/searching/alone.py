"""Where one attendant at a time can be: the visits of several attendants do not overlap."""

from itertools import combinations

from millhand.solvers.cycle.searching.program import Literal, Program, measured

End = tuple[str, int]  # 'lift' or 'set', number of the move


def add_alone(program: Program) -> None:
    """Every station that two visits at once would be too many for."""
    for station in sorted(program.view.alone):
        found = visits_at(program, station)
        for one, other in combinations(found, 2):
            for who, lit in found[one].items():
                for whom, there in found[other].items():
                    if who != whom:
                        add_apart(program, (one, other), [lit, there])


def visits_at(program: Program, station: str) -> dict[End, dict[str, Literal]]:
    """The lifts and set-downs that may be made at a station, and by whom."""
    found: dict[End, dict[str, Literal]] = {}
    for move in program.jobs.moves:
        for who in dict.fromkeys(option.who for option in move.options if option.who):
            for end, literals in (("lift", program.picks), ("set", program.places)):
                here = literals(move.number, who, station)
                if here:
                    found.setdefault((end, move.number), {})[who] = program.some(here)
    return found


def add_apart(program: Program, pair: tuple[End, End], when: list[Literal]) -> None:
    """One of two visits is over before the other begins, in this period and the next."""
    model = program.model
    starts = [program.lift[move] if end == "lift" else program.set_down[move] for end, move in pair]
    holds = [measured(program, move, end, "hold") for end, move in pair]
    first = program.flag()
    for mine, (a, b) in ((first, (0, 1)), (~first, (1, 0))):
        model.add(starts[b] >= starts[a] + holds[a]).only_enforce_if(*when, mine)
        model.add(starts[a] + program.period >= starts[b] + holds[b]).only_enforce_if(*when, mine)
        program.before.append((pair[a], pair[b], [*when, mine]))
