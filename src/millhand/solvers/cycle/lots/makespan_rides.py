"""The motions on a shared track of a plan for lots: their events, their arcs, and who waits for whom on the way."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.model.schedule import Arc, Event
from millhand.solvers.cycle.lots.makespan_plan import Mark, Plan, Visit, set_phase
from millhand.solvers.cycle.lots.makespan_stations import Named, both, waits
from millhand.solvers.cycle.lots.makespan_visits import (
    event_in,
    event_out,
    lead_in,
    place_in,
    place_out,
    to_the_other_hand,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """One way on a shared track: after which event, before which, between which places, and how long it takes."""

    who: str
    visit: Visit | None
    name: str  # 'to' the visit, 'on' with the part, 'home' after it, or aside, 'again'; no visit: before the first
    places: tuple[str | None, str | None]
    after: str | None = None
    before: str | None = None
    lead: int = 0
    steps: int = 0

    def event(self, what: str) -> str:
        """The id of its departure or arrival."""
        if self.visit is None:
            return f"r{self.who}{self.name} {what} {self.who}"
        j, h = self.visit.hop
        return f"r{self.visit.kind}{j}_{h}{self.name} {what} {self.who}"


def motions(names: Named) -> Iterator[Motion]:
    """Every motion of every attendant who shares a track, in order."""
    for who in sorted(names.lots.sharing):
        stood, last, held, before = names.lots.home[who], None, 0, None
        for aside in to_asides(names, (who, None), last, stood, loaded=False):
            yield aside
            stood, last = aside.places[1], aside.event("arrive")
        for visit in names.plan.orders.get(who, ()):
            if not is_exchange(names.plan, before, visit):
                to = to_visit(names, who, (before, visit), (stood, place_in(names, visit)))
                yield replace(to, after=last, steps=way_steps(names, to, loaded=held > 0))
            if visit.kind == "carry":
                yield carrying(names, who, visit)
            held += {"pick": 1, "place": -1}.get(visit.kind, 0)
            stood, last, before = place_out(names, visit), event_out(names, visit), visit
            for aside in to_asides(names, (who, visit), last, stood, loaded=held > 0):
                yield aside
                stood, last = aside.places[1], aside.event("arrive")


def to_asides(
    names: Named, key: tuple[str, Visit | None], after: str | None, stood: str | None, *, loaded: bool
) -> Iterator[Motion]:
    """The motions out of the way after a visit."""
    for name, places in (("home", names.plan.parks), ("again", names.plan.again)):
        if key in places:
            motion = Motion(who=key[0], visit=key[1], name=name, after=after, places=(stood, places[key]))
            yield replace(motion, steps=way_steps(names, motion, loaded=loaded))
            stood, after = places[key], motion.event("arrive")


def is_exchange(plan: Plan, before: Visit | None, visit: Visit) -> bool:
    """Whether a visit is the set-down of an exchange, whose lift came before."""
    kinds = None if before is None else (before.kind, visit.kind)
    return before is not None and kinds == ("pick", "place") and plan.swaps.get(before.hop) == visit.hop


def to_visit(
    names: Named, who: str, visits: tuple[Visit | None, Visit], places: tuple[str | None, str | None]
) -> Motion:
    """The motion to a visit; to one at the station of the lift before it also the turn to the other hand."""
    before, visit = visits
    turn = 0
    if before is not None and (who, before) not in names.plan.parks:
        turn = to_the_other_hand(names, names.lots.view.movers[who], (before, visit))
    return Motion(
        who=who, visit=visit, name="to", before=event_in(names, visit), places=places,
        lead=lead_in(names, visit) + turn,
    )  # fmt: skip


def way_steps(names: Named, motion: Motion, *, loaded: bool) -> int:
    """How long a motion takes."""
    return names.lots.view.movers[motion.who].travel_steps(*motion.places, loaded=loaded) or 0


def carrying(names: Named, who: str, visit: Visit) -> Motion:
    """The motion with the part."""
    way = names.plan.carried[visit.hop].way
    return Motion(
        who=who,
        visit=visit,
        name="on",
        after=names.event(visit.hop, "lifted"),
        before=names.event(visit.hop, "set"),
        lead=set_phase(names.lots, names.plan, visit.hop).arrival_lead_steps,
        places=(place_in(names, visit), place_out(names, visit)),
        steps=names.lots.carry_steps(way),
    )


def ride_events(names: Named) -> Iterator[Event]:
    """Departure and arrival of every motion."""
    for motion in motions(names):
        for what, place in zip(("depart", "arrive"), motion.places, strict=True):
            name, who = motion.event(what), motion.who
            yield Event(id=name, attendant=who, station="", what=what, part="", lap=0, at_steps=0, place=place)


def ride_times(names: Named) -> dict[str, int]:
    """About when each motion is: at the visit that it belongs to."""
    found: dict[str, int] = {}
    for motion in motions(names):
        if motion.visit is None:
            found |= {motion.event(what): 0 for what in ("depart", "arrive")}
            continue
        hop = motion.visit.hop
        if motion.visit.kind == "change":
            begin = end = names.plan.changes[hop[0]].start
        else:
            each = names.plan.carried[hop]
            begin = each.set if motion.visit.kind == "place" else each.lift
            end = each.lifted if motion.visit.kind == "pick" else each.placed
        for what in ("depart", "arrive"):
            found[motion.event(what)] = end if motion.name in ("home", "again") else begin
    return found


def ride_arcs(names: Named) -> Iterator[Arc]:
    """A motion comes after what was before it, takes its time, and comes before what it is for."""
    for motion in motions(names):
        depart, arrive = motion.event("depart"), motion.event("arrive")
        yield from both(depart, arrive, motion.steps, motion.who)
        if motion.after is not None and motion.name != "on":
            yield waits(motion.after, depart, 0, motion.who)
        elif motion.after is not None:
            yield from both(motion.after, depart, 0, motion.who)
        if motion.before is not None:
            yield waits(arrive, motion.before, motion.lead, motion.who)


def apart_arcs(names: Named) -> Iterator[Arc]:
    """Somebody waits until another is out of the way."""
    made = {(motion.who, motion.visit, motion.name): motion for motion in motions(names)}
    for one, other in names.plan.apart:
        yield waits(over(names, one, made), begun(names, other, made), 0, f"{one.who} and {other.who}")
    for before, after, lag in names.plan.clear:
        first, then = (made[each.who, each.visit, each.name].event(each.what) for each in (before, after))
        yield waits(first, then, lag, f"{before.who} and {after.who}")


def begun(names: Named, mark: Mark, made: dict[tuple[str, Visit | None, str], Motion]) -> str:
    """The event with which a stretch begins: setting out, the end of an exchange, or standing still."""
    assert mark.visit is not None
    to = made.get((mark.who, mark.visit, "to"))
    if mark.what == "ride":
        return event_out(names, mark.visit) if to is None else to.event("depart")
    home = made.get((mark.who, mark.visit, "home"))
    return event_out(names, mark.visit) if home is None else home.event("arrive")


def over(names: Named, mark: Mark, made: dict[tuple[str, Visit | None, str], Motion]) -> str:
    """The event with which a stretch ends: standing still, or setting out for the next visit."""
    if mark.what == "ride" and mark.visit is not None:
        return begun(names, Mark(who=mark.who, visit=mark.visit, what="rest"), made)
    order = names.plan.orders[mark.who]
    following = order[0] if mark.visit is None else order[order.index(mark.visit) + 1]
    return begun(names, Mark(who=mark.who, visit=following, what="ride"), made)
