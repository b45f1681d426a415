"""The visits of lots on a shared track with what they need of each other whatever the motions between them are: a
bound for every plan, and orders of visits to try motions for.

An attendant is where it lifts and sets down while it does, and with one hand goes straight from one to the other.
Between two such stands of two attendants too near each other lies at least the time in which the one gets out of the
way and the other comes. Empty ways are the shortest over any stops.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import combinations

from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_model import Draft
from millhand.solvers.cycle.lots.makespan_passing import Known, Piece, pairs_of, ways_out
from millhand.solvers.cycle.lots.makespan_plan import Moment
from millhand.solvers.cycle.lots.makespan_tours import Call, calls_of
from millhand.solvers.cycle.rails.rail import Rail, shortest_way_steps
from millhand.solvers.cycle.rails.rail_gaps import Hand, gap_steps
from millhand.solvers.cycle.rails.rail_view import going
from millhand.solvers.cycle.view import Mover


def without_motions(lots: Lots, rail: Rail) -> Lots:
    """The lots as if nobody were in another's way, over the shortest ways; one hand carries straight on."""
    movers = {who: free_mover(rail, mover) if who in rail.arms else mover for who, mover in lots.view.movers.items()}
    return replace(lots, sharing=frozenset(), view=replace(lots.view, movers=movers))


def free_mover(rail: Rail, mover: Mover) -> Mover:
    """An attendant who may stop anywhere on its way while nothing is in its only hand."""
    free = going(rail, mover, partial(shortest_way_steps, rail))
    return replace(free, loaded_steps=mover.loaded_steps) if mover.hands == 1 else free


def add_visiting(draft: Draft, rail: Rail, hand: Hand) -> None:
    """What the visits of any two attendants of one track ask of each other; with `in_motion` a bound for every plan."""
    calls = {who: calls_of(draft, draft.lots.view.movers[who]) for who in rail.arms if who in draft.lots.view.movers}
    own = {who: [piece for call in each for piece in pieces_of(draft, who, call)] for who, each in calls.items()}
    known = Known()
    for pair in pairs_of(rail, own):
        add_turns(draft, (rail, hand), pair, known)
    for track in rail.tracks:
        for low, high in combinations(track.arms, 2):
            for who, stands in ((low, high), (high, low)):
                add_first_come(draft, (rail, hand), calls.get(who, []), (who, stands))


def pieces_of(draft: Draft, who: str, call: Call) -> Iterator[Piece]:
    """Where an attendant surely is during one visit."""
    begins, here, gone = call.begins - call.lead, call.place_in or "", call.place_out or ""
    mark = Moment(who=who, visit=call.visit, name="to", what="arrive")
    if call.visit.kind != "carry":
        yield Piece(who=who, places=(here, here), begins=begins, ends=call.ends, made=(call.made,), first=mark)
        return
    hop = call.visit.hop
    lifted, way = draft.time[hop, "lifted"], next(way for way, lit in ways_with(draft, call) if lit is call.made)
    carried = draft.lots.carry_steps(way)
    yield Piece(who=who, places=(here, here), begins=begins, ends=lifted, made=(call.made,), first=mark)
    yield Piece(who=who, places=(here, gone), begins=lifted, steps=carried, made=(call.made,), first=mark)
    arrives = lifted + carried
    yield Piece(who=who, places=(gone, gone), begins=arrives, ends=call.ends, made=(call.made,), first=mark)


def ways_with(draft: Draft, call: Call) -> "list[tuple]":  # type: ignore[type-arg]
    """The ways of the transfer of a visit, with their questions."""
    return [(way, draft.way[call.visit.hop, way]) for way in draft.lots.ways_of(call.visit.hop)]


def add_turns(draft: Draft, on: tuple[Rail, Hand], pair: tuple[Piece, Piece], known: Known) -> None:
    """Of two pieces of two visits one comes first, with the time that lies between them at least."""
    (one, other), (rail, hand) = pair, on
    if rail.track(one.who).rule == "order" and not one.steps is other.steps is None:
        return  # where only places count a motion may pass what stands
    out = ways_out(rail, one, other, known)
    if out is None:
        return
    lits = []
    for way, (first, then) in zip(out, ((one, other), (other, one)), strict=True):
        lag = way.lag
        if one.steps is other.steps is None:
            gap = gap_steps(rail, (first.who, first.places[0]), (then.who, then.places[0]), hand)
            if gap is None:
                continue
            lag = max(lag, gap)
        lit = draft.yes(f"{first.who} before {then.who}")
        draft.model.add(way.after >= way.before + lag).only_enforce_if(lit)
        lits.append(lit)
    draft.model.add_bool_or([*lits, *(~made for made in (*one.made, *other.made))])


def add_first_come(draft: Draft, on: tuple[Rail, Hand], calls: list[Call], pair: tuple[str, str]) -> None:
    """At the start everybody stands at home: who comes near that comes no sooner than the other can be gone."""
    (who, stands), (rail, hand) = pair, on
    at = (stands, rail.homes[stands])
    for call in calls:
        spot = (who, call.place_in or "")
        if not rail.near(spot, at):
            continue
        gap = gap_steps(rail, at, spot, hand)
        if gap is None:
            draft.model.add(call.made == 0)
        else:
            draft.model.add(call.begins - call.lead >= gap).only_enforce_if(call.made)
