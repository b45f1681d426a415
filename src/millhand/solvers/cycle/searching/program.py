"""The best cycle as a constraint program: whole grid steps, one period, each lift and set-down at its time within it.

`hands.py` adds the order in which each attendant works, `stays.py` what happens at the stations. What attendants on one
track keep between them is a module more: it finds every way that may be gone in `Program.legs`, with the times of both
visits, and is called at the end of `search.built`; `scope.py` refuses such cells until then. A part under way when
the period ends is a literal ('over'); a stay that reaches over the end of periods counts them ('laps').
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from millhand.solvers.cycle.deadline import Deadline, ask
from millhand.solvers.cycle.searching.jobs import NOBODY, Jobs, Move, Option, Spot
from millhand.solvers.cycle.tours.tour import Stay, hold_steps, phase_of
from millhand.solvers.cycle.view import Phase, Steady

Literal = Any  # a variable of the solver that is 0 or 1
Whole = Any  # a variable or a linear expression of the solver
Key = tuple[str, int]  # 'lift' or 'set' and the number of the move, or 'duty' and its number
KEYS = {"pick": "lift", "place": "set", "duty": "duty"}  # the kind of a visit in its key
SwapKey = tuple[str, str, int, int]  # who, station, the move that lifts, the move that sets down


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A visit, or a lift and its set-down in one hand, that an attendant may make in its turn.

    `arrives` and `leaves` are what it begins and ends with; `from_start` the time from its beginning to the moment at
    which the attendant may go, apart from what an exchange changes and from waiting on the way.
    """

    arrives: Stay
    leaves: Stay
    move: int
    starts: Whole
    from_start: int
    made: Literal
    waits: Whole = 0  # with a part in hand, on a shared track

    @property
    def takes(self) -> Whole:
        """From its beginning to the moment at which the attendant may go."""
        return self.from_start + self.waits


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """The way of an attendant from one visit to its next, if `gone`: it may depart once `before` is over and has to
    arrive before `after` begins. What attendants on one track keep between them is a matter of these ways."""

    before: Node
    after: Node
    gone: Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """Whether a visit is the first of its attendant's round in the period, and whether it is the last."""

    node: Node
    first: Literal
    last: Literal


@dataclass(slots=True, kw_only=True)
class Program:
    """The variables of one program. All times lie in [0, period)."""

    view: Steady
    jobs: Jobs
    model: Any
    span: tuple[int, int]  # of the period
    period: Whole
    unit: int = 1  # grid steps in one step of this program
    lift: list[Whole] = field(default_factory=list)
    set_down: list[Whole] = field(default_factory=list)
    over: list[Literal] = field(default_factory=list)  # the part is in hand when the period ends
    chosen: list[dict[Option, Literal]] = field(default_factory=list)
    swaps: dict[SwapKey, Literal] = field(default_factory=dict)
    laps: dict[Spot, list[Literal]] = field(default_factory=dict)  # one of them: so many ends of periods in the stay
    legs: dict[str, list[Leg]] = field(default_factory=dict)
    ends: dict[str, list[End]] = field(default_factory=dict)
    follows: dict[tuple[str, str], list[tuple[Spot, Spot, Literal]]] = field(default_factory=dict)
    waits: dict[int, Whole] = field(default_factory=dict)  # by move: how long one hand waits with it on the way
    terms: dict[str, Whole] = field(default_factory=dict)
    duties: list[tuple[Whole, dict[str, Literal]]] = field(default_factory=list)  # when, and who
    deadline: Deadline | None = None
    before: list[tuple[Key, Key, list[Literal]]] = field(default_factory=list)  # of two at one moment, if all are true

    @property
    def least(self) -> int:
        """No shorter period is looked at."""
        return self.span[0]

    @property
    def longest(self) -> int:
        """No longer period is looked at."""
        return self.span[1]

    def flag(self) -> Literal:
        """A new literal, while there is time."""
        ask(self.deadline)
        return self.model.new_bool_var("")

    def no(self) -> Literal:
        """A literal that is false."""
        if "no" not in self.terms:
            self.terms["no"] = self.model.new_constant(0)
        return self.terms["no"]

    def some(self, literals: list[Literal]) -> Literal:
        """A literal that is true where one of these is; of them one at most is true."""
        if len(literals) == 1:
            return literals[0]
        if not literals:
            return self.no()
        found = self.flag()
        self.model.add(sum(literals) == found)
        return found

    def picks(self, move: int, who: str | None = None, station: str | None = None) -> list[Literal]:
        """The options of a move that lift there, by this attendant."""
        return [
            lit
            for option, lit in self.chosen[move].items()
            if who in (None, option.who) and station in (None, option.start)
        ]

    def places(self, move: int, who: str | None = None, station: str | None = None) -> list[Literal]:
        """The options of a move that set down there, by this attendant."""
        return [
            lit
            for option, lit in self.chosen[move].items()
            if who in (None, option.who) and station in (None, option.goal)
        ]


def started(view: Steady, jobs: Jobs, *, least: int, longest: int, deadline: Deadline | None = None) -> Program:
    """A program with the times and choices of every move, and nothing that joins them."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    period = model.new_int_var(least, longest, "period")
    program = Program(view=view, jobs=jobs, model=model, span=(least, longest), period=period, deadline=deadline)
    for move in jobs.moves:
        add_move(program, move)
    for name in jobs.duties:
        add_duty(program, name)
    first = jobs.moves[0]
    model.add(program.lift[first.number] == 0)
    return program


def add_move(program: Program, move: Move) -> None:
    """The two times of a move inside the period, and one of its options."""
    model = program.model
    lift, down = (model.new_int_var(0, program.longest - 1, f"{what}{move.number}") for what in ("lift", "set"))
    model.add(lift < program.period)
    model.add(down < program.period)
    program.lift.append(lift)
    program.set_down.append(down)
    program.over.append(program.flag())
    program.chosen.append({option: program.flag() for option in move.options})
    model.add_exactly_one(program.chosen[-1].values())


def add_duty(program: Program, name: str) -> None:
    """When a duty is done, and who does it; alike ones in turn."""
    model, number = program.model, len(program.duties)
    starts = model.new_int_var(0, program.longest - 1, f"duty{number}")
    model.add(starts < program.period)
    who = {each: program.flag() for each, _, part, kind in program.view.phases if (part, kind) == (name, "duty")}
    model.add_exactly_one(who.values())
    if number and program.jobs.duties[number - 1] == name:
        model.add(program.duties[-1][0] <= starts)
    program.duties.append((starts, who))


def measured(program: Program, move: int, end: str, what: str) -> Whole:
    """A time of a lift or a set-down ('hold', 'lead', 'tail'), whoever does it and by exchange or not."""
    each = program.jobs.moves[move]
    lifts = end == "lift"
    total: Whole = 0
    for option, lit in program.chosen[move].items():
        stay = each.pick(option.who, option.start) if lifts else each.place(option.who, option.goal)
        total += lit * visit_time(program.view, stay, what)
    for (who, station, lift, down), lit in program.swaps.items():
        if move == (lift if lifts else down):
            moved = program.jobs.moves[lift]
            alone = each.pick(who, station) if lifts else each.place(who, station)
            by_swap = visit_time(program.view, moved.pick(who, station, "swap"), what)
            total += lit * (by_swap - visit_time(program.view, alone, what))
    return total


def visit_time(view: Steady, stay: Stay, what: str) -> int:
    """A time of one kind of visit; none where that visit is never made."""
    if (stay.who, stay.station, stay.part, stay.kind) not in view.phases:
        return 0
    if what == "hold":
        return hold_steps(view, stay)
    phase: Phase = phase_of(view, stay)
    return phase.lead_steps if what == "lead" else phase.tail_steps


def add_swaps(program: Program) -> None:
    """The exchanges that are possible: one attendant, one station, one part lifted and another set down."""
    model, moves = program.model, program.jobs.moves
    for lifting, setting, who, station in exchanges(program):
        made = program.flag()
        model.add_implication(made, program.some(program.picks(lifting, who, station)))
        model.add_implication(made, program.some(program.places(setting, who, station)))
        model.add(program.set_down[setting] == program.lift[lifting]).only_enforce_if(made)
        program.swaps[who, station, lifting, setting] = made
    for move in moves:
        for lifts in (True, False):
            add_swap_limits(program, move, lifts=lifts)


def exchanges(program: Program) -> list[tuple[int, int, str, str]]:
    """Every pair of moves that may meet in an exchange: what lifts, what sets down, who, where."""
    found = []
    for lifting in program.jobs.moves:
        for setting in program.jobs.moves:
            spots = (lifting.start, setting.goal)
            if any(spot not in program.jobs.stays for spot in spots):
                continue
            for who, station in {(o.who, o.start) for o in lifting.options} & {
                (o.who, o.goal) for o in setting.options
            }:
                if (who, station, lifting.part, "swap") in program.view.phases:
                    found.append((lifting.number, setting.number, who, station))
    return sorted(found)


def add_swap_limits(program: Program, move: Move, *, lifts: bool) -> None:
    """Each lift or set-down is in one exchange at most, and in one where nothing else can do it."""
    mine = {key: lit for key, lit in program.swaps.items() if move.number == (key[2] if lifts else key[3])}
    if mine:
        program.model.add_at_most_one(mine.values())
    for who, station in dict.fromkeys((o.who, o.start if lifts else o.goal) for o in move.options if o.who != NOBODY):
        if (who, station, move.part, "pick" if lifts else "place") in program.view.phases:
            continue
        here = [lit for key, lit in mine.items() if key[:2] == (who, station)]
        done = (program.picks if lifts else program.places)(move.number, who, station)
        program.model.add(sum(here) >= sum(done))


def values_of(solver: Any, literals: Mapping[Any, Literal]) -> list[Any]:
    """The keys whose literals are true in the solution."""
    return [key for key, lit in literals.items() if solver.boolean_value(lit)]
