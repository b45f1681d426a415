"""What happens at one station as arcs: stays, room for the next part, loads of several parts, gates, who waits."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from millhand.model.schedule import Arc
from millhand.solvers.cycle.tours.stay import Group, Stay, first_event, name_of, phase_of
from millhand.solvers.cycle.view import Steady


def gate_arcs(view: Steady, lifts: Sequence[tuple[int, Stay]], drops: Sequence[tuple[int, Stay]]) -> Iterator[Arc]:
    """A gate gives and takes endlessly, but each lift keeps its turnaround after the last part set down before it."""
    for index, visit in lifts:
        before = [each for each in drops if each[0] < index]
        drop = before[-1] if before else drops[-1]
        least = max(view.turnaround_steps.get(visit.station, 0), phase_of(view, drop[1]).tail_steps)
        yield Arc(
            before=name_of(*drop, "placed"),
            after=name_of(index, visit, "lift"),
            lag_steps=least + phase_of(view, visit).lead_steps,
            laps=0 if before else 1,
            why=visit.station,
        )
    yield from gate_order(lifts, drops)


def gate_order(lifts: Sequence[tuple[int, Stay]], drops: Sequence[tuple[int, Stay]]) -> Iterator[Arc]:
    """What is set down after a lift stays after it, so that the lift keeps no turnaround for it: where no attendant
    does both, or parts come by themselves."""
    for index, visit in drops:
        before = [each for each in lifts if each[0] < index]
        lift = before[-1] if before else lifts[-1]
        if not visit.who or lift[1].who != visit.who:
            names = name_of(*lift, "lift"), name_of(index, visit, "set")
            yield Arc(before=names[0], after=names[1], lag_steps=0, laps=0 if before else 1, why=visit.station)


def arcs_in_turn(view: Steady, own: Sequence[tuple[int, Stay]]) -> Iterator[Arc]:
    """Several attendants at several slots keep their order: the part that came first is the first to be lifted. Where
    room is limited parts of all kinds keep it, because each one set down waits for its own lift to have made room."""
    limited = view.slots[own[0][1].station] is not None
    if view.slots[own[0][1].station] == 1 or (len({visit.who for _, visit in own}) == 1 and own[0][1].who):
        return
    for what, other in (("lift", "place"), ("set", "pick")):
        groups: dict[Group | None, list[tuple[int, Stay]]] = {}
        for index, visit in own:
            if visit.kind != other:
                kind = visit.lifted if what == "lift" else visit.set_down
                groups.setdefault(None if limited else kind, []).append((index, visit))
        for mine in groups.values():
            for one, following in pairwise([*mine, mine[0]]):
                if (one[1].who != following[1].who or not one[1].who) and len(mine) > 1:
                    before, after = name_of(*one, what), name_of(*following, what)
                    laps = 1 if following[0] <= one[0] else 0
                    yield Arc(before=before, after=after, lag_steps=0, laps=laps, why=one[1].station)


def room_arc(view: Steady, lift: tuple[int, Stay], drop: tuple[int, Stay], laps: int) -> Arc:
    """A slot is empty, and the station ready, before the next part is set down."""
    return Arc(
        before=name_of(*lift, "lifted"),
        after=name_of(*drop, "set"),
        lag_steps=phase_of(view, lift[1]).tail_steps + phase_of(view, drop[1]).lead_steps,
        laps=laps,
        why=drop[1].station,
    )


def stay_arcs(view: Steady, first: tuple[int, Stay], last: tuple[int, Stay], laps: int) -> Iterator[Arc]:
    """A part's stay from the visit that sets it down to the visit that lifts it."""
    placed, lift = name_of(*first, "placed"), name_of(*last, "lift")
    visit, lead = first[1], phase_of(view, last[1]).lead_steps
    yield Arc(before=name_of(*first, "finish"), after=lift, lag_steps=lead, laps=laps, why=visit.station)
    part, step = visit.set_down
    stop = view.routes[part][step]
    if stop.stay_max_steps is not None and not stop.stay_since:
        why = f"window {visit.station}"
        yield Arc(before=lift, after=placed, lag_steps=-stop.stay_max_steps, laps=-laps, why=why)


def load_arcs(
    view: Steady, own: Sequence[tuple[int, Stay]], stays: Sequence[tuple[int, int, int]], begins: int
) -> Iterator[Arc]:
    """A load starts when it is complete, and all its parts are done together; it is followed by the next.

    The place of a part in its load is the slot of the visit that sets it down.
    """
    drops = [each for each in own if each[1].kind != "pick"]
    onward = {drop: (lift, laps) for drop, lift, laps in stays}
    visits = dict(own)
    for number, drop in enumerate(drops):
        lift, laps = onward[drop[0]]
        for mate, periods in load_of(view, drops, number):
            yield from together(view, (mate, drop), (lift, visits[lift]), (periods, laps))
        if view.slots[drop[1].station] is None and drop[1].slot < view.loads[drop[1].station] - 1:
            periods, which = divmod(number + 1, len(drops))
            mate = drops[which]
            out, more = onward[mate[0]]
            yield closing_arc(view, drop, mate, periods)
            yield closing_arc(view, (lift, visits[lift]), (out, visits[out]), periods + more - laps)
    yield from load_room(view, own, drops, begins)
    yield from closing_arcs(view, own)


def closing_arcs(view: Steady, own: Sequence[tuple[int, Stay]]) -> Iterator[Arc]:
    """Where one load fills the station a visit is over, its tail too, before the next one begins with its lead."""
    station = own[0][1].station
    if view.slots[station] != view.loads[station]:
        return
    for one, following in pairwise([*own, own[0]]):
        arc = closing_arc(view, one, following, 1 if following[0] <= one[0] else 0)
        if arc.lag_steps and one[0] != following[0]:
            yield arc


def closing_arc(view: Steady, one: tuple[int, Stay], following: tuple[int, Stay], laps: int) -> Arc:
    """A visit is over, its tail too, before another one begins with its lead."""
    return Arc(
        before=name_of(*one, "lifted" if one[1].kind == "pick" else "placed"),
        after=name_of(*following, first_event(following[1])),
        lag_steps=phase_of(view, one[1]).tail_steps + phase_of(view, following[1]).lead_steps,
        laps=laps,
        why=one[1].station,
    )


def load_of(view: Steady, drops: Sequence[tuple[int, Stay]], number: int) -> Iterator[tuple[tuple[int, Stay], int]]:
    """The set-downs of one load, each with how many periods after this one's it happens."""
    visit = drops[number][1]
    first = number - visit.slot
    for each in range(first, first + view.loads[visit.station]):
        periods, which = divmod(each, len(drops))
        yield drops[which], periods


def together(
    view: Steady,
    pair: tuple[tuple[int, Stay], tuple[int, Stay]],
    lift: tuple[int, Stay],
    when: tuple[int, int],
) -> Iterator[Arc]:
    """One part of a load waits for another one: both start together, and it is lifted when both are done."""
    (mate, drop), (periods, laps) = pair, when
    station = drop[1].station

    def arc(before: str, after: str, lag: int, ends: int) -> Arc:
        return Arc(before=before, after=after, lag_steps=lag, laps=ends, why=station)

    if mate[0] != drop[0] or periods:
        start, tail = name_of(*drop, "start"), phase_of(view, mate[1]).tail_steps
        yield arc(name_of(*mate, "placed"), start, tail, -periods)
        yield arc(name_of(*mate, "start"), start, 0, -periods)
        yield arc(name_of(*mate, "finish"), name_of(*lift, "lift"), phase_of(view, lift[1]).lead_steps, laps - periods)


def load_room(
    view: Steady, own: Sequence[tuple[int, Stay]], drops: Sequence[tuple[int, Stay]], begins: int
) -> Iterator[Arc]:
    """A part comes where the load before has gone, or by an exchange, one for one."""
    lifts = [each for each in own if each[1].kind != "place"]
    station = drops[0][1].station
    batch, room = view.loads[station], view.slots[station]
    if room is None:
        return
    for number, (index, visit) in enumerate(drops):
        swap = visit.kind == "swap"
        freed = number - room if swap else number - visit.slot - 1 - room + batch
        for each in range(freed if swap else freed - batch + 1, freed + 1):
            periods, which = divmod(each + begins, len(lifts))
            if lifts[which][0] != index or periods:
                yield room_arc(view, lifts[which], (index, visit), -periods)


def alone_arcs(view: Steady, own: Sequence[tuple[int, Stay]]) -> Iterator[Arc]:
    """Where one attendant at a time can be, others wait until its visit is over."""
    if own[0][1].station not in view.alone or len({visit.who for _, visit in own}) == 1:
        return
    for one, following in pairwise([*own, own[0]]):
        if one[1].who != following[1].who and one[1].who and following[1].who:
            before = "lifted" if one[1].kind == "pick" else "placed"
            yield Arc(
                before=name_of(*one, before),
                after=name_of(*following, first_event(following[1])),
                lag_steps=0,
                laps=1 if following[0] <= one[0] else 0,
                why=one[1].station,
            )
