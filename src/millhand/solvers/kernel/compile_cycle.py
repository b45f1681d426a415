"""What attendants do in turn under the rule `cycle`, out of a schedule, and what of others each thing waits for."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.errors import ToolError
from millhand.model.cell import Cell
from millhand.model.schedule import Arc, Event, Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import STUDY
from millhand.solvers.cycle.steady import steady
from millhand.solvers.cycle.unrolled import Handled, handled, later_laps, number_of, turns
from millhand.solvers.kernel.codes import OP_DUTY, OP_GO, OP_LIFT, OP_SET, OP_SWAP
from millhand.solvers.kernel.compile_behind_duties import behind_duties
from millhand.solvers.kernel.compile_entries import entries_of
from millhand.solvers.kernel.compile_held import held_back
from millhand.solvers.kernel.compile_lines import Mate, Taken, mates_of, taken_in_turn
from millhand.solvers.kernel.compile_steps import Steps, steps_of
from millhand.solvers.kernel.expanded import Expanded
from millhand.solvers.kernel.layout import Entries, Op, Wait

KINDS = {"pick": OP_LIFT, "place": OP_SET, "swap": OP_SWAP, "motion": OP_GO, "duty": OP_DUTY}
NOTHING = Op(
    what=OP_SET,
    at=(),
    place=-1,
    duty=-1,
    part=-1,
    lap=0,
    lies_at=-1,
    brings=-1,
    brings_step=-1,
    brings_lap=0,
    lies=-1,
    came=-1,
    brings_came=-1,
    gap=0,
    waits=(),
)
"""The turn of an attendant to which the schedule gives nothing: a part that is never there to be set down."""
BRIEF = STUDY  # whoever wants a longer search gives the schedule
Ops = tuple[tuple[Op, ...], ...]
Owner = tuple[int, int, int]  # attendant, place in its turn, periods by which an event comes later than its beginning


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns:
    """What a schedule says: what each attendant does in turn, which loads each station takes out of its buffer, and in
    which order parts enter stations to which some come by themselves."""

    ops: Ops
    taken: tuple[tuple[Taken, ...], ...]
    entries: tuple[Entries, ...] = ()
    comings: int = 0
    mates: tuple[tuple[Mate, ...], ...] = ()
    most_calls: tuple[int, ...] = ()
    comes: tuple[tuple[int, ...], ...] = ()


def cycle_turns(cell: Cell, whole: Expanded, given: Schedule | None) -> tuple[Turns, list[str]]:
    """What each attendant under the rule `cycle` does in turn, from the best cycle of the means; and who has none."""
    nothing = Turns(ops=tuple(() for _ in cell.attendants), taken=tuple(() for _ in whole.cell.stations))
    wants = [name for name, dispatch in cell.dispatch.items() if dispatch.rule == "cycle"]
    if not wants or cell.goal != "rate":
        return nothing, wants
    try:
        best = best_cycle(cell, effort=BRIEF) if given is None else given
    except ToolError:  # none is known, or the one that was found does not pass the validator
        return nothing, wants
    free = duties_only(cell, best)
    wants = [who for who in wants if who not in free]
    if not wants:  # who only answers calls is in no turn
        return nothing, []
    steps = steps_of(whole, best)
    mine = turn_of_each(whole, best, wants)
    owners = {number_of(each.begins): (a, i) for a, its in enumerate(mine) for i, each in enumerate(its)}
    found = Turns(
        ops=ops_of(whole, best, mine, wants, steps),
        taken=taken_in_turn(whole, best, steps),
        entries=entries_of(whole, best, owners, steps),
        comings=steps.came.each_period,
        mates=mates_of(whole, best, steps),
        most_calls=most_calls(cell, best),
        comes=tuple(steps.came.by_itself.get(name, ()) for name in whole.cell.parts),
    )
    return found, []


def duties_only(cell: Cell, best: Schedule) -> set[str]:
    """Who carries no parts and does duties in the schedule: these answer calls, and the others do not run ahead of
    them."""
    carriers = {who for transfer in steady(cell, left_out=()).transfers for who in transfer.who}
    return {event.attendant for event in best.events if event.what == "duty" and event.attendant} - carriers


def most_calls(cell: Cell, best: Schedule) -> tuple[int, ...]:
    """Of each duty that one of these does how many calls may wait before nobody lifts what makes one more: those of a
    period, and one. 0: any number."""
    free = duties_only(cell, best)
    done = [event for event in best.events if event.what == "duty"]
    theirs = {event.part for event in done if event.attendant in free}
    return tuple(1 + sum(event.part == name for event in done) if name in theirs else 0 for name in cell.duties)


def turn_of_each(whole: Expanded, best: Schedule, wants: list[str]) -> list[list[Handled]]:
    """What each attendant that follows the schedule does in a period, in the order of the file."""
    ordered = [turn.visit for turn in turns(best, handled(best)[0], 1) if turn.visit.kind in KINDS]
    return [[each for each in ordered if each.who == name and name in wants] for name in whole.cell.attendants]


def ops_of(whole: Expanded, best: Schedule, mine: list[list[Handled]], wants: list[str], steps: Steps) -> Ops:
    """The turn of each attendant that follows the schedule, with what it waits for."""
    reading = Reading(whole=whole, best=best, mine=mine, owner=_owners(mine), into=_into(best), steps=steps)
    names = list(whole.cell.attendants)
    turn = [tuple(reading.op(a, i) for i in range(len(each))) for a, each in enumerate(mine)]
    turn = behind_duties(turn, mine, best.period_steps)
    return tuple(ops or (NOTHING,) if name in wants else () for name, ops in zip(names, turn, strict=True))


def _owners(mine: list[list[Handled]]) -> dict[str, Owner]:
    """Who does what an event belongs to."""
    return {
        event.id: (a, i, later_laps(each, event))
        for a, its in enumerate(mine)
        for i, each in enumerate(its)
        for event in _events(each)
    }


def _events(each: Handled) -> list[Event]:
    """The events of one thing done, its beginning first."""
    return [event for event in (each.first, each.last, each.sets, each.placed) if event is not None]


def _into(best: Schedule) -> dict[str, list[Arc]]:
    """The arcs into each event."""
    found: dict[str, list[Arc]] = {}
    for arc in best.arcs:
        found.setdefault(arc.after, []).append(arc)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A schedule while it is read."""

    whole: Expanded
    best: Schedule
    mine: list[list[Handled]]
    owner: dict[str, Owner]
    into: dict[str, list[Arc]]
    steps: Steps

    def op(self, a: int, i: int) -> Op:
        """One thing done in its turn."""
        each, parts = self.mine[a][i], list(self.whole.cell.parts)
        handles = each.kind not in ("motion", "duty")
        lifts, sets = each.first, each.begins
        return Op(
            what=KINDS[each.kind],
            at=self.whole.served(each.station, sets=each.kind == "place") if handles else (),
            place=-1 if handles else list(self.whole.cell.places).index(each.last.place or ""),
            duty=list(self.whole.cell.duties).index(lifts.part) if each.kind == "duty" else -1,
            part=parts.index(lifts.part) if handles else -1,
            brings=parts.index(sets.part) if handles else -1,
            lap=lifts.lap,
            lies_at=-1 if each.kind not in ("pick", "swap") else self.lies_at(lifts),
            brings_step=self.steps.comes_for.get(number_of(sets), -1) if handles else -1,
            brings_lap=sets.lap,
            lies=self.steps.lies_at.get(number_of(lifts), -1) if each.kind in ("pick", "swap") else -1,
            came=self.steps.came.lifted.get(number_of(lifts), -1) if each.kind in ("pick", "swap") else -1,
            brings_came=self.steps.came.placed.get(number_of(sets), -1) if each.kind in ("place", "swap") else -1,
            gap=self.gap(a, i),
            waits=tuple(self.waits(a, i)),
        )

    def lies_at(self, lifts: Event) -> int:
        """The step that a part lifted has come to, where parts of its type lie there at several; otherwise -1."""
        known = self.steps.lies_at
        alike = [
            event
            for event in self.best.events
            if (event.what, event.station, event.part) == (lifts.what, lifts.station, lifts.part)
        ]
        several = len({known.get(number_of(event), -1) for event in alike}) > 1
        return known.get(number_of(lifts), -1) if several else -1

    def gap(self, a: int, i: int) -> int:
        """Steps since the last visit before began; a whole period where there is no other visit."""
        its, period = self.mine[a], self.best.period_steps
        for back in range(1, len(its) + 1):
            before = its[i - back]
            if before.kind != "motion":
                return (its[i].first.at_steps - before.first.at_steps) % period or period * (back == len(its))
        return 0

    def waits(self, a: int, i: int) -> Iterator[Wait]:
        """What of others has to be over before; of each other attendant the last such thing, of motions every one."""
        last: dict[int, tuple[tuple[int, bool], Wait]] = {}
        for each in self.all_waits(a, i):
            if KINDS[self.mine[each.who][each.op].kind] == OP_GO:
                yield each
                continue
            rank = each.op - each.laps * len(self.mine[each.who])
            if each.who not in last or (rank, not each.begun) > last[each.who][0]:
                last[each.who] = (rank, not each.begun), each
        yield from (each for _, each in last.values())
        if self.mine[a][i].kind == "pick":
            yield from held_back(self.best, self.mine, self.owner, self.into, (a, i))

    def all_waits(self, a: int, i: int) -> Iterator[Wait]:
        """Every other attendant's deed that an arc leads from, through what stations do by themselves."""
        for event in _events(self.mine[a][i]):
            own = self.owner[event.id][2]
            for arc, laps in self.behind(event.id):
                who, op, late = self.owner[arc.before]
                if who != a:
                    goes = KINDS[self.mine[who][op].kind] == OP_GO
                    lag, begun = arc.lag_steps if goes else 0, not goes and self.to_begin(arc, event)
                    yield Wait(who=who, op=op, laps=laps + late - own, lag=lag, begun=begun)

    def to_begin(self, arc: Arc, event: Event) -> bool:
        """True where one thing only has to begin no sooner than another: who comes first at a station."""
        who, op, _ = self.owner[arc.before]
        before = self.mine[who][op]
        begins = arc.before in (before.first.id, before.begins.id) and before.hold_steps > 0
        return begins and arc.after == event.id and arc.lag_steps == 0

    def behind(self, event: str) -> Iterator[tuple[Arc, int]]:
        """Arcs from deeds of attendants onto an event, also by way of what nobody does; how many laps in all."""
        seen: dict[str, int] = {}
        todo = [(event, 0)]
        while todo:
            name, laps = todo.pop()
            for arc in self.into.get(name, ()):
                total = laps + arc.laps
                if (arc.lag_steps < 0 and not self.of_motions(arc)) or arc.why.startswith("window "):
                    continue  # a limit to how late something may be: what is done as soon as it can be keeps it
                if arc.before in self.owner:
                    yield arc, total
                elif total < seen.get(arc.before, total + 1):
                    seen[arc.before] = total
                    todo.append((arc.before, total))

    def of_motions(self, arc: Arc) -> bool:
        """True between departures of two attendants."""
        ends = [self.owner.get(name) for name in (arc.before, arc.after)]
        if ends[0] is None or ends[1] is None or ends[0][0] == ends[1][0]:
            return False
        return all(self.mine[end[0]][end[1]].kind == "motion" for end in ends if end is not None)
