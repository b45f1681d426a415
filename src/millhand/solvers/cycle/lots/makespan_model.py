"""The lots of a cell as a problem in whole numbers: when each part is lifted and set down, where, and by whom."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from millhand.solvers.cycle.deadline import Deadline, ask
from millhand.solvers.cycle.lots.makespan_loads import firsts
from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots, SetUp, Way
from millhand.solvers.cycle.lots.makespan_plan import Mark, Visit

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar

KINDS = ("lift", "lifted", "set", "placed")
Spot = tuple[int, int, str]  # part, step, station
End = Literal["out", "in"]  # of a transfer: the lift, the set-down


@dataclass(slots=True, kw_only=True)
class Possible:
    """A changeover that may be needed before a part is fetched for a step: by whom, and when."""

    number: int
    spot: Spot
    set_up: SetUp
    needed: "IntVar"
    who: "dict[str, IntVar]"
    start: "IntVar"


@dataclass(slots=True, kw_only=True)
class Kept:
    """Two stretches of a shared track that are kept apart: whether both are made, and which is over first."""

    pair: tuple[Mark, Mark]
    made: "list[IntVar]"
    before: "IntVar"
    after: "IntVar"


@dataclass(slots=True, kw_only=True)
class Rails:
    """On shared tracks: what is kept apart, and after which visits somebody parks; whether made, whether parked."""

    apart: "list[Kept]" = field(default_factory=list)
    parks: "list[tuple[str, Visit, IntVar, IntVar]]" = field(default_factory=list)


@dataclass(slots=True, kw_only=True)
class Loads:
    """Of loads of several parts: whether one begins with a part, here, and at attended stations whether the part
    completes one."""

    first: "dict[Spot, IntVar]" = field(default_factory=dict)
    last: "dict[Spot, IntVar]" = field(default_factory=dict)


@dataclass(slots=True, kw_only=True)
class Draft:
    """The model and its variables. `way` says which way each transfer takes, `at` where each part is at each step,
    `swap` whether the transfer named first takes a part out by exchange for the one that the second brings."""

    lots: Lots
    model: "CpModel"
    horizon: int
    margin: int
    end: "IntVar"
    deadline: Deadline | None = None
    time: "dict[tuple[Hop, str], IntVar]" = field(default_factory=dict)
    way: "dict[tuple[Hop, Way], IntVar]" = field(default_factory=dict)
    at: "dict[Spot, IntVar]" = field(default_factory=dict)
    start: "dict[tuple[int, int], IntVar]" = field(default_factory=dict)
    loads: Loads = field(default_factory=Loads)
    enters: "dict[tuple[int, int], IntVar]" = field(default_factory=dict)
    leaves: "dict[tuple[int, int], IntVar]" = field(default_factory=dict)
    swap: "dict[tuple[Hop, Hop, str, str], IntVar]" = field(default_factory=dict)  # out, in, who, station
    out_by_swap: "dict[Hop, IntVar]" = field(default_factory=dict)
    in_by_swap: "dict[Hop, IntVar]" = field(default_factory=dict)
    next: "dict[tuple[Spot, Spot], IntVar]" = field(default_factory=dict)
    changes: "list[Possible]" = field(default_factory=list)
    rails: Rails = field(default_factory=Rails)
    ranks: "dict[tuple[Hop, End], IntVar]" = field(default_factory=dict)  # what comes first at one moment, if asked

    def instant(self, name: str) -> "IntVar":
        """A new time; a station may be bound somewhat before the first set-down and after the last lift."""
        ask(self.deadline)
        return self.model.new_int_var(-self.margin, self.horizon + self.margin, name)

    def yes(self, name: str) -> "IntVar":
        """A new question, while there is time."""
        ask(self.deadline)
        return self.model.new_bool_var(name)


def draft_of(lots: Lots, horizon: int, deadline: Deadline | None = None) -> Draft:
    """All variables, and the rules that each part asks for; stations and attendants are added to it elsewhere."""
    from ortools.sat.python.cp_model import CpModel

    model = CpModel()
    margin = max((max(phase.lead_steps, phase.tail_steps) for phase in lots.view.phases.values()), default=0)
    end = model.new_int_var(0, horizon, "end")
    draft = Draft(lots=lots, model=model, horizon=horizon, margin=margin, end=end, deadline=deadline)
    for hop in lots.hops():
        add_transfer(draft, hop)
    for j in range(len(lots.pieces)):
        add_steps(draft, j)
    add_loads_begun(draft)
    add_exchanges(draft)
    for hop in lots.hops():
        add_holds(draft, hop)
    for hop in lots.hops():
        add_stay(draft, hop)
    model.minimize(draft.end)
    return draft


def add_transfer(draft: Draft, hop: Hop) -> None:
    """The four times of a transfer and the choice of its way."""
    for kind in KINDS:
        draft.time[hop, kind] = draft.model.new_int_var(0, draft.horizon, f"{kind} {hop}")
    for way in draft.lots.ways_of(hop):
        draft.way[hop, way] = draft.yes(f"{hop} {way}")
    draft.model.add_exactly_one(draft.way[hop, way] for way in draft.lots.ways_of(hop))
    draft.model.add(draft.end >= draft.time[hop, "placed"])


def add_steps(draft: Draft, j: int) -> None:
    """Where a part is at each step: the goal of the transfer before, the start of the one after."""
    route = draft.lots.route(j)
    for step, stop in enumerate(route):
        for station in stop.stations:
            here = draft.yes(f"at {j} {step} {station}")
            draft.at[j, step, station] = here
            for hop, end in (((j, step - 1), "goal"), ((j, step), "start")):
                if 0 <= hop[1] < len(route) - 1:
                    ways = [draft.way[hop, way] for way in draft.lots.ways_of(hop) if getattr(way, end) == station]
                    draft.model.add(sum(ways) == here)
        if 0 < step < len(route) - 1:
            for name, table in (("start", draft.start), ("enters", draft.enters), ("leaves", draft.leaves)):
                table[j, step] = draft.instant(f"{name} {j} {step}")


def add_loads_begun(draft: Draft) -> None:
    """With which part each load of several begins: fixed where all loads of a step have one size, else asked."""
    for spot, here in list(draft.at.items()):
        j, step, station = spot
        if draft.lots.batch(station) == 1 or (j, step) not in draft.start:
            continue
        begins = list(firsts(draft.lots, spot))
        if len(draft.lots.sizes(j, step)) == 1:
            draft.loads.first[begins[0], step, station] = draft.at[begins[0], step, station]
        elif j in begins:
            draft.loads.first[spot] = draft.yes(f"begins {spot}")
        draft.model.add(sum(draft.loads.first[each, step, station] for each in begins) == here)


def add_exchanges(draft: Draft) -> None:
    """Which part may come in by an exchange for which: one attendant with two hands and such a row, one station."""
    lots = draft.lots
    comes: dict[Hop, list[IntVar]] = {}
    goes: dict[Hop, list[IntVar]] = {}
    inner = [hop for hop in lots.hops() if 0 < hop[1] + 1 < len(lots.route(hop[0])) - 1]
    for new in inner:
        for old in inner:
            ask(draft.deadline)
            for who, station in swaps_between(lots, old, new):
                out = (old[0], old[1] + 1)
                lit = draft.swap[out, new, who, station] = draft.yes(f"swap {out} {new} {who} {station}")
                comes.setdefault(new, []).append(lit)
                goes.setdefault(out, []).append(lit)
                draft.model.add_implication(lit, carries_in(draft, new, who, station))
                draft.model.add_implication(lit, carries_out(draft, out, who, station))
                for one, other in (("lift", "set"), ("lifted", "placed")):
                    draft.model.add(draft.time[out, one] == draft.time[new, other]).only_enforce_if(lit)
    for table, found in ((draft.in_by_swap, comes), (draft.out_by_swap, goes)):
        for hop, lits in found.items():
            table[hop] = draft.yes(f"by swap {hop}")
            draft.model.add(sum(lits) == table[hop])


def swaps_between(lots: Lots, old: Hop, new: Hop) -> Iterator[tuple[str, str]]:
    """Who may exchange, and where, the part that one transfer brought for the one that another brings."""
    if old[0] == new[0]:
        return
    out = (old[0], old[1] + 1)
    for station in lots.route(new[0])[new[1] + 1].stations:
        if not lots.works(station) or lots.batch(station) > 1 or station in lots.view.attended:
            continue
        for who in lots.view.movers:
            brings = any(way.who == who and way.goal == station for way in lots.ways_of(new))
            takes = any(way.who == who and way.start == station for way in lots.ways_of(out))
            both = lots.can(who, station, new[0], "swap") and lots.can(who, station, old[0], "swap")
            both = both and lots.phase(who, station, new[0], "swap") == lots.phase(who, station, old[0], "swap")
            if brings and takes and both and not family_changes(lots, (old, new), station):
                yield who, station


def family_changes(lots: Lots, pair: tuple[Hop, Hop], station: str) -> bool:
    """Whether the second part needs a changeover after the first."""
    old, new = (lots.family(hop[0], hop[1] + 1) for hop in pair)
    return old is not None and new is not None and (station, old, new) in lots.set_ups


def carries_in(draft: Draft, hop: Hop, who: str, station: str) -> "IntVar":
    """Somebody brings this part to this station."""
    return one_of(draft, [w for w in draft.lots.ways_of(hop) if w.who == who and w.goal == station], hop)


def carries_out(draft: Draft, hop: Hop, who: str, station: str) -> "IntVar":
    """Somebody takes this part out of this station."""
    return one_of(draft, [w for w in draft.lots.ways_of(hop) if w.who == who and w.start == station], hop)


def one_of(draft: Draft, ways: Sequence[Way], hop: Hop) -> "IntVar":
    """Whether the transfer takes one of these ways."""
    if len(ways) == 1:
        return draft.way[hop, ways[0]]
    lit = draft.yes(f"some way {hop}")
    draft.model.add(sum(draft.way[hop, way] for way in ways) == lit)
    return lit


def add_holds(draft: Draft, hop: Hop) -> None:
    """How long lift and set-down take, and the loaded way between; with one hand nobody waits on it."""
    lots, model = draft.lots, draft.model
    for way in lots.ways_of(hop):
        lit, mover = draft.way[hop, way], lots.mover(way)
        plain = lots.phase(way.who, way.start, hop[0], "pick"), lots.phase(way.who, way.goal, hop[0], "place")
        add_hold(draft, hop, way, ("lift", "lifted", plain[0].hold_steps))
        add_hold(draft, hop, way, ("set", "placed", plain[1].hold_steps))
        carried = draft.time[hop, "set"] - draft.time[hop, "lifted"]
        lag = lots.carry_steps(way) + plain[1].arrival_lead_steps
        if mover is None or mover.hands == 1:
            model.add(carried == lag).only_enforce_if(lit)
            continue
        by_swap = draft.in_by_swap.get(hop)
        if by_swap is None:
            model.add(carried >= lag).only_enforce_if(lit)
        else:
            model.add(carried >= lag).only_enforce_if([lit, ~by_swap])
            lead = lots.phase(way.who, way.goal, hop[0], "swap").arrival_lead_steps
            model.add(carried >= lots.carry_steps(way) + lead).only_enforce_if([lit, by_swap])


def add_hold(draft: Draft, hop: Hop, way: Way, hold: tuple[str, str, int]) -> None:
    """One hold by one way, or the exchange in its place."""
    lots, model, lit = draft.lots, draft.model, draft.way[hop, way]
    begins, ends, steps = hold
    lifting = begins == "lift"
    took = draft.time[hop, ends] - draft.time[hop, begins]
    by_swap = (draft.out_by_swap if lifting else draft.in_by_swap).get(hop)
    station, kind = (way.start, "pick") if lifting else (way.goal, "place")
    plain_row = way.who is None or lots.can(way.who, station, hop[0], kind)
    if by_swap is None:
        model.add(took == steps).only_enforce_if(lit)
        if not plain_row:
            model.add(lit == 0)
        return
    if plain_row:
        model.add(took == steps).only_enforce_if([lit, ~by_swap])
    else:
        model.add_implication(lit, by_swap)
    mover = lots.mover(way)
    if not lifting and mover is not None:
        exchange = lots.phase(way.who, station, hop[0], "swap").hold_steps + mover.turn_steps
        model.add(took == exchange).only_enforce_if([lit, by_swap])


def add_stay(draft: Draft, hop: Hop) -> None:
    """What happens to a part between a set-down and the next lift: tail, work, lead, window, and the time it fills."""
    lots, model, (j, h) = draft.lots, draft.model, hop
    step = h + 1
    if (j, step) not in draft.start:
        return
    out = (j, step)
    set_at, placed, start = draft.time[hop, "set"], draft.time[hop, "placed"], draft.start[j, step]
    lift, lifted = draft.time[out, "lift"], draft.time[out, "lifted"]
    for way in lots.ways_of(hop):
        lit, alone = draft.way[hop, way], lots.batch(way.goal) == 1
        for kind, when in cases(draft.in_by_swap.get(hop), lit, "place"):
            phase = lots.phase(way.who, way.goal, j, kind)
            least = model.add(start == placed + phase.tail_steps if alone else start >= placed + phase.tail_steps)
            least.only_enforce_if(when)
            lead = 0 if kind == "swap" or not lots.works(way.goal) else phase.lead_steps  # a shelf is not bound by it
            model.add(draft.enters[j, step] == set_at - lead).only_enforce_if(when)
    for way in lots.ways_of(out):
        lit, work = draft.way[out, way], lots.work_steps(j, step, way.start)
        for kind, when in cases(draft.out_by_swap.get(out), lit, "pick"):
            phase = lots.phase(way.who, way.start, j, kind)
            model.add(lift >= start + work + phase.lead_steps).only_enforce_if(when)
            left = lift if kind == "swap" else lifted + phase.tail_steps
            model.add(draft.leaves[j, step] == left).only_enforce_if(when)
    longest = lots.route(j)[step].stay_max_steps
    if longest is not None:
        model.add(lift - draft.time[lots.stays_from(out), "placed"] <= longest)


def cases(by_swap: "IntVar | None", lit: "IntVar", plain: str) -> Iterator[tuple[str, list["IntVar"]]]:
    """The plain visit and the exchange, each with the conditions under which it is made."""
    if by_swap is None:
        yield plain, [lit]
    else:
        yield plain, [lit, ~by_swap]  # type: ignore[list-item]
        yield "swap", [lit, by_swap]
