"""What happens at one moment in a plan for lots, by hand: in one order it can be done, in another it cannot."""

from dataclasses import replace
from typing import TypeVar

import pytest

from millhand.model.cell import Cell, CellPart, Changeover, Lot
from millhand.model.duty import Duty, Trigger
from millhand.model.handling import Handling, Visit
from millhand.model.schedule import Schedule
from millhand.model.span import Span
from millhand.model.station import Station
from millhand.solvers.cycle.checking.filled import Buffered, Key, Slots, Stock
from millhand.solvers.cycle.checking.validate import violations
from tests.solvers.cycle.timetables import Line, arm, cell_of, step, timetable

AT_ONCE = Visit(hold_s=Span(mean_s=0.0))
S = TypeVar("S", Slots, Stock)
ONE, TWO, THREE = (("part", number) for number in (1, 2, 3))


def cell(**types: CellPart) -> Cell:
    """An arm with two grippers, a machine for two parts, all at one place; handling takes no time."""
    stations = {
        "raw": Station(kind="supply", place="p0", capacity=None),
        "m1": Station(kind="process", place="p0", capacity=1 if types else 2),
        "done": Station(kind="sink", place="p0", capacity=None),
    }
    route = (step("raw"), step("m1", time_s=5.0), step("done"))
    made = cell_of(stations, route, {"a1": arm("p0", hands=2)})
    rows = (Handling(who=("a1",), at=tuple(stations), pick=AT_ONCE, place=AT_ONCE),)
    parts = types or {"part": CellPart(route=route, lot=Lot(size=2))}
    return replace(made, goal="makespan", handling=rows, parts=parts)


def told(cell: Cell, lines: list[Line], *, period: int) -> Schedule:
    """The timetable of these lines in their order, with the number of each part in the ids of its events."""
    made = timetable(cell, lines, period=period, parts=2)
    ids = {}
    for event in made.events:
        number, what, station = event.id.split(" ")
        line = lines[int(number) - 1]
        ids[event.id] = f"{number} {what} {line.part} {line.unit + 1} {station}" if line.part else event.id
    return replace(
        made,
        events=tuple(replace(e, id=ids[e.id], place=e.place if e.part else "p0") for e in made.events),
        arcs=tuple(replace(arc, before=ids[arc.before], after=ids[arc.after]) for arc in made.arcs),
        critical=tuple(ids[each] for each in made.critical),
    )


def visit(kind: str, at: str, start: int, unit: int, **fields: object) -> Line:
    """What the arm does, in no time."""
    return Line(who="a1", kind=kind, at=at, start=start, takes=0, unit=unit, **fields)  # type: ignore[arg-type]


def test_a_part_is_lifted_before_it_is_set_down() -> None:
    """Both parts are done at one moment and lifted and set down in it: each in its own turn, or the second one out
    before it was taken."""
    begin: list[Line] = []
    for unit in (0, 1):
        begin += [visit("pick", "raw", 0, unit), visit("place", "m1", 0, unit)]
        begin.append(Line(who=None, kind="work", at="m1", start=0, takes=5, unit=unit))
    first, second = ([visit("pick", "m1", 5, unit), visit("place", "done", 5, unit)] for unit in (0, 1))

    assert violations(cell(), told(cell(), [*begin, *first, *second], period=5)) == []
    assert violations(cell(), told(cell(), [*begin, first[0], *reversed(second), first[1]], period=5)) == [
        "08 set part 2 done and 10 set part 1 done cannot happen at step 5, in whatever order"
    ]


def test_a_part_is_fetched_after_the_changeover_at_one_moment_too() -> None:
    """The old part is lifted, the machine changed over and the new part fetched, all in no time: in this order, or with
    the new part in the other gripper already."""
    route = (step("raw"), step("m1", time_s=5.0), step("done"))
    kinds = {
        name: CellPart(route=tuple(replace(each, family=name) for each in route), lot=Lot(size=1)) for name in "ab"
    }
    duty = Duty(trigger=Trigger(kind="changeover"), who=("a1",), takes=Span(mean_s=0.0))
    change = Changeover(at=("m1",), from_family="a", to_family="b", duty="set_up")
    changed = replace(cell(**kinds), duties={"set_up": duty}, changeovers=(change,))

    def visits(part: str, since: int) -> list[Line]:
        worked = Line(who=None, kind="work", at="m1", start=since, takes=5, part=part)
        ends = [visit("pick", "m1", since + 5, 0, part=part), visit("place", "done", since + 5, 0, part=part)]
        return [visit("pick", "raw", since, 0, part=part), visit("place", "m1", since, 0, part=part), worked, *ends]

    old, new, set_up = visits("a", 0), visits("b", 5), visit("work", "m1", 5, 0, part="")

    assert violations(changed, told(changed, [*old[:4], set_up, new[0], old[4], *new[1:]], period=10)) == []
    assert violations(changed, told(changed, [*old[:3], new[0], old[3], set_up, old[4], *new[1:]], period=10)) == [
        "04 lift b 1 raw and 09 start b 1 m1 cannot happen at step 5, in whatever order"
    ]


def test_what_is_done_waits_in_the_machine_until_there_is_room_behind_it() -> None:
    """One part in the buffer behind, the next one done in the machine, and the third waits before it: no other comes,
    and the machine takes the third in when the first has left."""
    station: Buffered | None = Buffered(before=1, behind=1, endless=False)
    for key in (ONE, TWO, THREE):
        for change in ("came", "starts", "finishes")[: 1 if key == THREE else 3]:
            station = getattr(station.comes(key, None) if change == "came" and station else station, change)(key)
    assert station is not None
    assert (station.out, station.inside, station.waiting) == ((ONE,), ((TWO, True),), (THREE,))
    assert station.comes(("part", 4), None) is None
    assert station.starts(THREE) is None
    assert station.goes(TWO) is None

    left = station.goes(ONE)
    assert left is not None
    assert left.starts(THREE) is None
    emptied = left.gone(ONE)
    assert emptied is not None
    assert emptied.out == (TWO,)
    assert emptied.starts(THREE) is not None


@pytest.mark.parametrize("key", [ONE, TWO])
def test_a_load_is_lifted_when_it_is_complete_and_done(key: Key) -> None:
    """Two parts in one slot: neither leaves before both are there, no third comes before both have left."""
    one = came(Slots(slots=1, batch=2, works=False), ONE)
    assert one.goes(ONE) is None
    both = came(one, TWO)
    assert both.comes(THREE, None) is None
    out = both.goes(key)
    assert out is not None
    left = out.gone(key)
    assert left is not None
    assert left.comes(THREE, None) is None


def came(station: S, key: Key) -> S:
    """The station with one part more."""
    begun = station.comes(key, None)
    assert begun is not None
    done = begun.came(key)
    assert done is not None
    return done


def test_a_shelf_is_full_until_a_lift_there_is_over() -> None:
    """Room for one part."""
    full = came(Stock(room=1, gives=False), ONE)
    assert full.comes(TWO, None) is None
    lifting = full.goes(ONE)
    assert lifting is not None
    assert lifting.comes(TWO, None) is None
    empty = lifting.gone(ONE)
    assert empty is not None
    assert empty.comes(TWO, None) is not None
