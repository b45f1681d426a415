"""What one attendant may do in a period: each lift, set-down, carry and duty as a node of its round, and its times."""

from millhand.solvers.cycle.searching.jobs import NOBODY, Option
from millhand.solvers.cycle.searching.program import Literal, Node, Program, Whole, measured, visit_time
from millhand.solvers.cycle.tours.tour import Stay, hold_steps, process_steps, way_steps
from millhand.solvers.cycle.view import Steady


def add_carry(program: Program, number: int) -> None:
    """From the lift to the set-down: exact in an only hand, at least the hold with a second one, at once by itself.

    On a shared track one hand may wait with its part on the way: how long is `waits` of the move.
    """
    model, view = program.model, program.view
    lift, down, over = program.lift[number], program.set_down[number], program.over[number]
    alone = [lit for o, lit in program.chosen[number].items() if o.who == NOBODY]
    rigid = {o: lit for o, lit in program.chosen[number].items() if o.who and view.movers[o.who].hands == 1}
    free = [lit for o, lit in program.chosen[number].items() if o.who and o not in rigid]
    for lit in alone:
        model.add(down == lift).only_enforce_if(lit)
        model.add_implication(lit, ~over)
    if rigid:
        takes = sum(lit * carry_steps(program, number, option) for option, lit in rigid.items())
        takes += waits_on_the_way(program, number, list(rigid))
        one = program.some(list(rigid.values()))
        model.add(down == lift + takes).only_enforce_if(one, ~over)
        model.add(down == lift + takes - program.period).only_enforce_if(one, over)
    for lit in free:
        hold = measured(program, number, "lift", "hold")
        model.add(down >= lift + hold).only_enforce_if(lit, ~over)
        model.add(down <= lift).only_enforce_if(lit, over)


def waits_on_the_way(program: Program, number: int, options: list[Option]) -> Whole:
    """How long one hand waits with its part between lift and set-down: not at all but on a shared track, and there only
    where the stays before and behind are not limited."""
    move = program.jobs.moves[number]
    railed = any(option.who in program.view.railed for option in options)
    if not railed or program.view.goes_at_once(move.part, move.step):
        return 0
    waits = program.waits[number] = program.model.new_int_var(0, program.longest, "")
    for option in (each for each in options if each.who not in program.view.railed):
        program.model.add(waits == 0).only_enforce_if(program.chosen[number][option])
    return waits


def carry_steps(program: Program, number: int, option: Option) -> int:
    """From the beginning of a lift to the beginning of its set-down, in one hand."""
    move = program.jobs.moves[number]
    pick, place = move.pick(option.who, option.start), move.place(option.who, option.goal)
    return hold_steps(program.view, pick) + way_steps(program.view, pick, place, loaded=True)


def stays_for(view: Steady, place: Stay) -> int:
    """How long the attendant stays after a set-down: the tail and the process of an attended station; after that of a
    part of a load it depends on the others."""
    works = process_steps(view, place)
    if place.station not in view.attended or works is None or place.station in view.loads:
        return 0
    return visit_time(view, place, "tail") + works


def stays_with_load(program: Program, move: int, station: str) -> Whole:
    """How long somebody stays after setting a part of a load down; `batches.py` says for whom it is how long."""
    if station not in program.view.attended or station not in program.view.loads:
        return 0
    name = f"stays with the load {station} {move}"
    if name not in program.terms:
        program.terms[name] = program.model.new_int_var(0, program.longest, name)
    return program.terms[name]


def carries(program: Program, who: str) -> list[Node]:
    """What one hand may do: lift, carry and set down in one go."""
    found = []
    for move in program.jobs.moves:
        for option, made in program.chosen[move.number].items():
            if option.who == who:
                pick, place = move.pick(who, option.start), move.place(who, option.goal)
                takes = carry_steps(program, move.number, option) + hold_steps(program.view, place)
                found.append(
                    Node(
                        arrives=pick,
                        leaves=place,
                        move=move.number,
                        starts=program.lift[move.number],
                        from_start=takes + stays_for(program.view, place),
                        made=made,
                        waits=program.waits.get(move.number, 0) + stays_with_load(program, move.number, option.goal),
                    )
                )
    return found


def duties_done(program: Program, who: str) -> list[Node]:
    """The duties that an attendant may do; with one hand only while it is empty."""
    found = []
    for number, (starts, choices) in enumerate(program.duties):
        name = program.jobs.duties[number]
        if who in choices:
            stay = Stay(who=who, kind="duty", station=name, part=name, step=0)
            takes = visit_time(program.view, stay, "hold")
            found.append(
                Node(arrives=stay, leaves=stay, move=number, starts=starts, from_start=takes, made=choices[who])
            )
    return found


def visits(program: Program, who: str) -> list[Node]:
    """What several hands may do: each lift and each set-down on its own."""
    found = []
    for move in program.jobs.moves:
        mine = [option for option in move.options if option.who == who]
        for station in dict.fromkeys(option.start for option in mine):
            made = program.some(program.picks(move.number, who, station))
            stay = move.pick(who, station)
            found.append(node_of(program, stay, move.number, program.lift[move.number], made))
        for station in dict.fromkeys(option.goal for option in mine):
            made = program.some(program.places(move.number, who, station))
            stay = move.place(who, station)
            found.append(node_of(program, stay, move.number, program.set_down[move.number], made))
    return found


def node_of(program: Program, stay: Stay, move: int, starts: Whole, made: Literal) -> Node:
    """One visit as a node."""
    takes, waits = visit_time(program.view, stay, "hold"), 0
    if stay.kind == "place":
        takes += stays_for(program.view, stay)
        waits = stays_with_load(program, move, stay.station)
    return Node(arrives=stay, leaves=stay, move=move, starts=starts, from_start=takes, made=made, waits=waits)
