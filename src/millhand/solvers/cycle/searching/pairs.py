"""Which of two things one hand does first: implied by the circuit of its round, but said of every pair.

Between two carries of one hand lies at least the shortest way from the end of one to the beginning of the other, over
whatever else is done in between. The circuit knows only what follows at once, and with limited stays the solver gropes
for its first cycle; with an order for each pair it sees at every choice which stays can still be kept. On a shared
track as well: a wait for the rail only adds to that way, and it takes a tenth of the work to prove two hoists over
eight tanks.
"""

from collections.abc import Mapping, Sequence
from itertools import combinations

from millhand.solvers.cycle.deadline import ask
from millhand.solvers.cycle.searching.hands import bare_way
from millhand.solvers.cycle.searching.jobs import Spot
from millhand.solvers.cycle.searching.program import Key, Literal, Node, Program

MOST_NODES = 96  # of one attendant: the pairs grow with its square
FAR = 1 << 60
Firsts = Mapping[tuple[Key, Key], Literal]


def add_pairs(program: Program) -> None:
    """An order for each two things that one hand may do in a period, and what it says of the stays."""
    for who, ends in program.ends.items():
        if program.view.movers[who].hands > 1:
            continue
        add_empty(program, who)
        nodes = [end.node for end in ends]
        if who not in program.view.orders and len(nodes) <= MOST_NODES:
            first = add_orders(program, nodes, apart_steps(program, who, nodes))
            for leg in program.legs[who]:
                pair = (key_of(leg.before), key_of(leg.after))
                if pair in first:
                    program.model.add_implication(leg.gone, first[pair])
            for spot in program.jobs.stays:
                add_stay(program, spot, first)


def add_empty(program: Program, who: str) -> None:
    """A period begins with a lift: whose only hand makes it has nothing in that hand over the end of the period."""
    moves = program.jobs.moves
    mine = [move for move in moves if all(option.who == who for option in move.options)]
    if mine and mine[0] is moves[0]:
        for move in mine:
            program.model.add(program.over[move.number] == 0)


def key_of(node: Node) -> Key:
    """What a node does, whatever way was chosen for it."""
    return ("duty" if node.arrives.kind == "duty" else "lift", node.move)


def apart_steps(program: Program, who: str, nodes: Sequence[Node]) -> list[list[int]]:
    """The least time from the beginning of each node to that of each other one, whatever is done in between."""
    numbers = {id(node): number for number, node in enumerate(nodes)}
    apart = [[FAR] * len(nodes) for _ in nodes]
    for leg in program.legs[who]:
        way = bare_way(program.view, leg.before.leaves, leg.after.arrives, loaded=False)
        apart[numbers[id(leg.before)]][numbers[id(leg.after)]] = leg.before.from_start + way
    for c in range(len(nodes)):
        for a in range(len(nodes)):
            upto = apart[a][c]
            if upto < FAR:
                apart[a] = [min(known, upto + more) for known, more in zip(apart[a], apart[c], strict=True)]
    return apart


def add_orders(program: Program, nodes: Sequence[Node], apart: Sequence[Sequence[int]]) -> Firsts:
    """A literal for each two things: the first comes before the second in the period."""
    first: dict[tuple[Key, Key], Literal] = {}
    for a, b in combinations(range(len(nodes)), 2):
        ask(program.deadline)
        one, other = key_of(nodes[a]), key_of(nodes[b])
        if one == other:
            continue
        if (one, other) not in first:
            lit = program.flag()
            first[one, other], first[other, one] = lit, ~lit
        add_order(program, (nodes[a], nodes[b]), (apart[a][b], apart[b][a]), first[one, other])
        add_order(program, (nodes[b], nodes[a]), (apart[b][a], apart[a][b]), first[other, one])
    return first


def add_order(program: Program, pair: tuple[Node, Node], steps: tuple[int, int], when: Literal) -> None:
    """If `when` and both are made, the second begins so long after the first, and the first again after the second."""
    one, other = pair
    made = [when, one.made, other.made]
    if max(steps) >= FAR:
        program.model.add_bool_or([~each for each in made])
        return
    program.model.add(other.starts >= one.starts + steps[0]).only_enforce_if(*made)
    program.model.add(one.starts + program.period >= other.starts + steps[1]).only_enforce_if(*made)


def add_stay(program: Program, spot: Spot, first: Firsts) -> None:
    """A stay within the period has its set-down before its lift; one over its end in a single slot the other way."""
    coming, going = program.jobs.stays[spot]
    view, lit = program.view, first.get((("lift", coming), ("lift", going)))
    if lit is None:
        return
    within, over = program.laps[spot][0], program.over[coming]
    program.model.add_bool_or(~within, lit, over)
    goals = {option.goal for option in program.jobs.moves[coming].options}
    if all(view.slots[goal] == 1 and goal not in view.loads for goal in goals):
        program.model.add_bool_or(~lit, within, over)
