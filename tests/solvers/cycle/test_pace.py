"""Who sets the pace, in words, and the lanes of one period."""

from millhand.model.schedule import Schedule
from millhand.solvers.cycle.lanes import lanes
from millhand.solvers.cycle.pace import circuit_words, gap, pace_setters
from millhand.solvers.cycle.simple import schedule
from tests.solvers.cycle.rows import Row, row_cell


def found(row: Row) -> Schedule:
    """The schedule of a row."""
    return schedule(row_cell(row))


def test_the_circuit_is_told_by_who_takes_how_long() -> None:
    """A machine of 35 s and its exchange of 2.5 s."""
    assert circuit_words(found(Row(times_s=(20, 35, 25), hands=2, turn_s=0.5))) == "m2 35 s, arm 2.5 s"


def test_the_gap_is_the_share_above_the_bound() -> None:
    """43 s where the load bound is 42 s."""
    row = Row(times_s=(1, 1, 1), step_s=4)

    assert round(gap(found(row), 1), 4) == round(43 / 42 - 1, 4)


def test_the_first_two_set_the_pace() -> None:
    """The largest load and the one after it."""
    first, second = pace_setters(found(Row(times_s=(20, 35, 34), hands=2)).bounds)

    assert second is not None
    assert (first.resource, second.resource) == ("m2", "m3")


def test_lanes_fill_the_period() -> None:
    """Whatever an attendant or a machine does, its stretches add up to the period."""
    for row in (Row(times_s=(20, 35, 25)), Row(times_s=(20, 35), hands=2), Row(times_s=(60,), machines=3)):
        plan = found(row)
        for lane in lanes(plan):
            assert sum(each.end - each.start for each in lane.stretches) == plan.period_steps, lane.name


def test_lanes_say_what_is_done() -> None:
    """By hand: 12 s round, hands on 4 s, carrying 4 s, back 4 s; the machine handled for 2 s, working 10 s."""
    arm, machine = lanes(found(Row(times_s=(10,), hands=2)))
    spent: dict[tuple[str, str], int] = {}
    for lane in (arm, machine):
        for each in lane.stretches:
            spent[lane.name, each.state] = spent.get((lane.name, each.state), 0) + each.end - each.start

    assert spent == {
        ("arm", "handling"): 4000,
        ("arm", "carrying"): 4000,
        ("arm", "travelling"): 4000,
        ("m1", "working"): 10000,
        ("m1", "handled"): 2000,
    }
