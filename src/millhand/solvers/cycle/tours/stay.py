"""One visit of a tour, and what it takes."""

from collections.abc import Mapping
from dataclasses import dataclass

from millhand.solvers.cycle.view import Phase, Steady, VisitKind

Group = tuple[str, int]  # part type, step of its route
Inside = Mapping[str, Mapping[Group, int]]  # station: how many of each lie there when the period begins


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One visit of a tour: who lifts, sets down or exchanges a part at a station, in which of its slots.

    `step` is the step of the route that the station does for the part. An exchange lifts this part; `sets` says what it
    sets down where that is another part type or another step.
    """

    who: str
    kind: VisitKind
    station: str
    part: str
    step: int
    slot: int = 0
    sets: Group | None = None

    @property
    def lifted(self) -> Group:
        """Part type and step of what is lifted."""
        return (self.part, self.step)

    @property
    def set_down(self) -> Group:
        """Part type and step of what is set down."""
        return self.sets or (self.part, self.step)


def name_of(index: int, visit: Stay, what: str) -> str:
    """The id of an event: number of the visit, what happens, and where."""
    return f"{index + 1:02d} {what} {visit.station}"


def process_steps(view: Steady, visit: Stay) -> int | None:
    """How long the station works on a part set down by this visit; None at the end of the route and for a duty."""
    if visit.kind == "duty":
        return None
    part, step = visit.set_down
    route = view.routes[part]
    if step == len(route) - 1:
        return None
    return route[step].time_steps(visit.station)


def phase_of(view: Steady, visit: Stay) -> Phase:
    """The phase of a visit; a part that moves by itself takes no time."""
    if not visit.who:
        return Phase()
    return view.phases[visit.who, visit.station, visit.part, visit.kind]


def hold_steps(view: Steady, visit: Stay) -> int:
    """How long a visit binds attendant and station; an exchange also turns from one hand to the other."""
    hold = phase_of(view, visit).hold_steps
    return hold + view.movers[visit.who].turn_steps if visit.kind == "swap" else hold


def turn_between(view: Steady, visit: Stay, following: Stay) -> int:
    """The turn to the other hand between taking out and putting in at one station; own buffers lie apart from it."""
    turns = visit.station == following.station and (visit.kind, following.kind) == ("pick", "place")
    return view.movers[visit.who].turn_steps if turns else 0


def first_event(visit: Stay) -> str:
    """What a visit begins with."""
    return {"place": "set", "duty": "duty"}.get(visit.kind, "lift")


def last_event(view: Steady, visit: Stay) -> str:
    """What has to have happened before the attendant may leave; it stays through the process of an attended one, of a
    load of several parts with the last of them."""
    if visit.kind in ("pick", "duty"):
        return {"pick": "lifted", "duty": "duty_done"}[visit.kind]
    attended = visit.station in view.attended and process_steps(view, visit) is not None
    complete = visit.slot == view.loads.get(visit.station, 1) - 1 or visit.station not in view.loads
    return "finish" if attended and complete else "placed"
