"""A schedule rolled out: what comes first of all that begins at one moment."""

from itertools import starmap

from millhand.model.schedule import Event, Schedule
from millhand.solvers.cycle.unrolled import handled, turns


def event(id_: str, at_steps: int, attendant: str | None = None) -> Event:
    """An event at the machine; its part is called after the number in its id."""
    number, what, station = id_.split(" ")
    return Event(
        id=id_, attendant=attendant, station=station, what=what, part=f"part {number}", lap=0, at_steps=at_steps
    )


def test_works_that_begin_at_once_follow_each_other_as_their_parts_were_set_down() -> None:
    """Two arms set down at one moment into two slots: the longer work is that of the part that comes first. So loads
    have the same number when they are set down and when they begin."""
    told = [
        ("1 set m", 0, "left"),
        ("1 placed m", 6, "left"),
        ("2 set m", 0, "right"),
        ("2 placed m", 6, "right"),
        ("1 start m", 6),
        ("1 finish m", 90),
        ("2 start m", 6),
        ("2 finish m", 12),
    ]
    schedule = Schedule(
        cell="",
        grid_s=1.0,
        period_steps=100,
        parts_per_period=2,
        bounds=(),
        events=tuple(starmap(event, told)),
        arcs=(),
        critical=(),
        proven=False,
        how="",
        left_out=(),
    )
    done = turns(schedule, handled(schedule)[0], 2)

    for kind in ("place", "work"):
        assert [each.visit.first.part for each in done if each.visit.kind == kind] == ["part 1", "part 2"] * 2
