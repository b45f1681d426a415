"""The best cycle: what is found, what is proven, and what must hold whatever the cell."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.errors import Contradiction, NotYet
from millhand.intake.cell import read_cell
from millhand.model.cell import Attendant, Cell, CellPart, Dispatch
from millhand.model.station import Station
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import cycle_bound_steps
from millhand.solvers.cycle.changed import with_machine
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.contradictions import Demand, Question, words
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.cycle.steady import steady
from tests.agreement.random_small import small_cell
from tests.solvers.cycle.rows import Row, row_cell, span

ONE, SHORT = Effort(most_sets=1), Effort(deterministic=0.3)


def with_station(cell: Cell, name: str, station: Station) -> Cell:
    """The cell with another station of this name."""
    return replace(cell, stations={**cell.stations, name: station})


def two_types(cell: Cell, times_s: tuple[float, ...]) -> Cell:
    """The cell with a second part type, half of all, that takes other times at the same stations."""
    route = cell.parts["part"].route
    inner = [replace(step, time_s=span(time)) for step, time in zip(route[1:-1], times_s, strict=True)]
    other = (route[0], *inner, route[-1])
    return replace(cell, parts={"a": CellPart(route=route, share=0.5), "b": CellPart(route=other, share=0.5)})


def two_arms(cell: Cell, second: Attendant) -> Cell:
    """The cell with a second arm that can do the same."""
    rows = tuple(replace(row, who=("arm", "arm2")) for row in cell.handling)
    return replace(cell, attendants={**cell.attendants, "arm2": second}, handling=rows)


def test_a_simple_cycle_at_the_load_bound_is_taken_as_it_is() -> None:
    """Nothing is searched where nothing can be better."""
    cell = row_cell(Row(times_s=(20, 35, 25)))

    assert best_cycle(cell) == schedule(cell)


def test_two_types_alternate_and_are_proven() -> None:
    """20 s and 30 s, then 8 s and 12 s on the same machines: 74 s a pair, and three pairs together do it in 206 s."""
    cell = two_types(row_cell(Row(times_s=(20, 30))), (8, 12))
    one, three = (
        best_cycle(cell, effort=Effort(deterministic=5.0, most_sets=1)),
        best_cycle(cell, effort=Effort(deterministic=20.0)),
    )

    assert (one.period_steps, one.parts_per_period, one.proven) == (74_000, 2, True)
    assert (three.period_steps, three.parts_per_period, three.proven) == (206_000, 6, True)
    assert {event.part for event in three.events} == {"a", "b"}


def test_two_arms_share_the_work_and_hand_parts_on() -> None:
    """One arm up to the middle machine, one from it on: quicker than one arm alone."""
    cell = row_cell(Row(times_s=(2, 3, 2)))
    arm = cell.attendants["arm"]
    first = replace(arm, take_from=("i", "m1"), put_to=("m1", "m2"))
    second = replace(arm, take_from=("m2", "m3"), put_to=("m3", "o"))
    both = replace(two_arms(cell, second), attendants={"arm": first, "arm2": second})
    found = best_cycle(both, effort=ONE)

    assert found.proven
    assert found.period_steps < best_cycle(cell, effort=ONE).period_steps
    assert {event.attendant for event in found.events if event.attendant} == {"arm", "arm2"}


def test_an_oven_holds_parts_over_several_periods() -> None:
    """Three slots, 90 s and 36 s: a pair goes in and out every 49 s, so both parts stay over the end of a period."""
    cell = two_types(row_cell(Row(times_s=(90, 20), step_s=1)), (36, 8))
    oven = with_station(cell, "m1", Station(kind="process", place="m1", capacity=3))
    found = best_cycle(oven, effort=ONE)
    laps = {(event.what, event.part): event.lap for event in found.events if event.station == "m1"}
    at = {(event.what, event.part): event.at_steps for event in found.events if event.station == "m1"}

    assert (found.period_steps, found.parts_per_period, found.proven) == (49_000, 2, True)
    assert [laps["lift", part] - laps["set", part] for part in "ab"] == [1, 1]
    assert at["set", "a"] < at["lift", "b"] < at["set", "b"] < at["lift", "a"]  # at first three lie there


def test_a_part_that_moves_by_itself_needs_nobody() -> None:
    """A machine that throws its part into the next one: the arm only loads the first and empties the last."""
    cell = row_cell(Row(times_s=(20, 30)))
    throws = with_station(cell, "m1", Station(kind="process", place="m1", self_out=True))
    found = best_cycle(throws)

    assert (found.period_steps, found.proven) == (32_000, True)
    assert {(e.station, e.what) for e in found.events if e.attendant is None} >= {("m1", "lift"), ("m2", "set")}


def test_two_finished_parts_at_once_save_ways() -> None:
    """Eight machines, 4 s between any two places: an arm with two grippers needs 32.5 s a part, and no cycle less.

    Two lifts at the supply, one set-down, one exchange, one lift, two set-downs: six ways of 4 s, eight times 5 s, one
    turn for two parts; two raw parts at once would save a way, but one hand is kept free for an exchange.
    """
    cell = row_cell(Row(times_s=(100,), machines=8, hold_s=5, step_s=4, constant=True, hands=2, turn_s=1))
    found = best_cycle(cell, effort=Effort(deterministic=8.0))

    assert found.period_steps == 32_500 * found.parts_per_period
    assert found.proven


def test_the_same_answer_each_time() -> None:
    """No clock, one worker, one seed."""
    cell = two_types(row_cell(Row(times_s=(9, 4), hands=2)), (3, 8))

    assert best_cycle(cell, effort=SHORT) == best_cycle(cell, effort=SHORT)


def test_what_is_heard_falls_towards_the_answer() -> None:
    """Whoever listens hears of better and better cycles."""
    heard: list[float] = []
    cell = two_types(row_cell(Row(times_s=(20, 30))), (8, 12))
    effort = Effort(most_sets=1, heard=lambda found, least: heard.append(found or 0.0))
    found = best_cycle(cell, effort=effort)

    assert heard[-1] == found.period_steps / found.parts_per_period
    assert min(heard) >= heard[-1] - 1e-6


def test_windows_that_cannot_be_kept_are_told_with_what_would_help() -> None:
    """The station's own 1 s before it works is longer than the part may stay, here and at those before it."""
    with pytest.raises(Contradiction) as trouble:
        best_cycle(row_cell(Row(times_s=(0, 0, 0), longest_s=(0, 0, 0), tail_s=1)), effort=ONE)

    assert str(trouble.value) == (
        "No cycle keeps all of these: m3 holds a part at most 0 s. To change that, let m3 hold a part for 1 s. "
        "Other demands contradict each other besides."
    )


def test_a_missing_way_is_told_where_nothing_else_is_to_blame() -> None:
    """A random cell in whose table no way with a part leads on from one machine."""
    with pytest.raises(Contradiction) as trouble:
        best_cycle(small_cell(410000018), effort=ONE)

    assert trouble.value.demands == ("every part is carried all the way along its route",)
    assert trouble.value.cures == ("give a time to the ways that cannot be gone with a part",)


def test_an_own_buffer_stands_only_in_the_way_of_parts_that_come_there() -> None:
    """A gauge that takes each fourth part, from its own buffer, is not on the way of the others."""
    cell = row_cell(Row(times_s=(20, 6, 30)))
    gauge = replace(cell.stations["m2"], in_queue=2)
    route = cell.parts["part"].route
    sampled = (*route[:2], replace(route[2], every=4), *route[3:])
    found = best_cycle(
        replace(with_station(cell, "m2", gauge), parts={"part": replace(cell.parts["part"], route=sampled)}), effort=ONE
    )

    assert {event.station for event in found.events} == {"i", "m1", "m3", "o"}


def test_the_fewest_demands_that_contradict_each_other_are_told() -> None:
    """Emptied by exchange only, m1 keeps its part as long as m2 takes: 30 s, and the hold of 2 s less."""
    cell = row_cell(Row(times_s=(20, 30), hands=2, longest_s=(25, None)))
    swapped = replace(cell, handling=tuple(replace(row, pick=None) if row.swap else row for row in cell.handling))
    with pytest.raises(Contradiction) as trouble:
        best_cycle(swapped, effort=ONE)

    assert trouble.value.demands == (
        "m1 is emptied by an exchange only",
        "m2 has room for 1 part",
        "m1 holds a part at most 25 s",
    )
    assert "let m1 hold a part for 30 s" in trouble.value.cures


def test_a_type_is_named_where_there_are_several() -> None:
    """An id is no word that an article goes before: 'a x', 'a housings'."""
    cell = row_cell(Row(times_s=(20,), longest_s=(25,)))
    (part,), demand = cell.parts.values(), Demand(kind="window", station="m1", part="x", step=1)
    one, two = (
        Question(view=steady(replace(cell, parts=dict.fromkeys(types, part))), sets=1, effort=ONE)
        for types in (("x",), ("x", "y"))
    )

    assert words(one, demand) == "m1 holds a part at most 25 s"
    assert words(two, demand) == "m1 holds a part of type x at most 25 s"


def test_a_route_that_comes_back_to_its_machines_is_not_called_proven_too_soon() -> None:
    """m1, m2, m1, m2: the next part comes into m1 while the last step works in m2. From there to there: work 56, out 4,
    way back 4, on to m2 4, work 1, to m1 4, work 7, to m2 4. A program of another kind has given the same."""
    cell = row_cell(Row(times_s=(32, 56)))
    start, first, last, end = cell.parts["part"].route
    short = [replace(first, at=each.at, time_s=span(time)) for each, time in ((last, 1.0), (first, 7.0))]
    route = (start, first, *short, last, end)
    found = best_cycle(replace(cell, parts={"part": replace(cell.parts["part"], route=route)}), effort=ONE)

    assert (found.period_steps, found.proven) == (84_000, True)


def test_what_is_not_covered_is_named() -> None:
    """Each thing beyond the search by its own name."""
    cell = row_cell(Row(times_s=(20, 30)))
    with pytest.raises(NotYet, match="makespan"):
        best_cycle(replace(cell, goal="makespan"))
    with pytest.raises(NotYet, match="nothing takes any time"):
        best_cycle(row_cell(Row(times_s=(0,), hold_s=0, step_s=0)))
    itself = replace(cell.stations["m1"], self_out=True)
    route = cell.parts["part"].route
    twice = replace(cell.parts["part"], route=(*route[:2], *route[1:]))
    with pytest.raises(NotYet, match="from m1 into m1 yet; write both steps as one"):
        best_cycle(replace(cell, stations={**cell.stations, "m1": itself}, parts={"part": twice}))


@settings(max_examples=15, deadline=None)
@given(
    times=st.lists(st.integers(0, 40), min_size=1, max_size=3),
    hold=st.integers(1, 4),
    step=st.integers(0, 5),
    hands=st.integers(1, 2),
)
def test_more_never_costs_time(times: list[int], hold: int, step: int, hands: int) -> None:
    """A second set a period, a second gripper or a second arm is never worse; what is proven passes the validator."""
    cell = row_cell(Row(times_s=times, hold_s=hold, step_s=step, hands=hands))
    more = row_cell(Row(times_s=times, hold_s=hold, step_s=step, hands=2))
    one = best_cycle(cell, effort=ONE)
    two = best_cycle(cell, effort=Effort(most_sets=2))
    second = best_cycle(two_arms(cell, cell.attendants["arm"]), effort=ONE)
    gripper = best_cycle(more, effort=ONE)

    assert two.period_steps * one.parts_per_period <= one.period_steps * two.parts_per_period
    assert gripper.period_steps <= one.period_steps or not gripper.proven
    assert second.period_steps <= one.period_steps or not second.proven
    assert violations(cell, two) == []


@settings(max_examples=15, deadline=None)
@given(times=st.lists(st.integers(0, 40), min_size=1, max_size=3), longer=st.integers(0, 2), data=st.data())
def test_no_longer_time_makes_the_best_cycle_shorter(times: list[int], longer: int, data: st.DataObject) -> None:
    """Without windows a longer process never helps."""
    which = data.draw(st.integers(0, len(times) - 1))
    slower = [time + 5 * longer * (index == which) for index, time in enumerate(times)]
    quick = best_cycle(row_cell(Row(times_s=times, step_s=3)), effort=ONE)
    slow = best_cycle(row_cell(Row(times_s=slower, step_s=3)), effort=ONE)

    assert slow.period_steps >= quick.period_steps


def test_the_order_that_the_cell_gives_binds_where_nothing_simple_does() -> None:
    """A second arm clears the last machine; the first one goes round in its order, which costs time."""
    cell = row_cell(Row(times_s=(20, 30)))
    arm = cell.attendants["arm"]
    first = replace(arm, take_from=("i", "m1"), put_to=("m1", "m2"))
    both = replace(two_arms(cell, replace(arm, take_from=("m2",), put_to=("o",))), dispatch={})
    free = replace(both, attendants={**both.attendants, "arm": first})
    bound = replace(free, dispatch={"arm": Dispatch(rule="order", order=("i", "m1"))})
    other = replace(free, dispatch={"arm": Dispatch(rule="order", order=("i",))})

    assert best_cycle(bound, effort=ONE).period_steps >= best_cycle(free, effort=ONE).period_steps
    assert best_cycle(bound, effort=ONE).left_out == ()
    words = "the order that arm goes by otherwise: the cycle has its own"
    assert best_cycle(other, effort=ONE).left_out == (words,)


def test_a_cycle_that_the_validator_refuses_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was found before holds, nothing is said to be proven, and the words say why."""
    cell = row_cell(Row(times_s=(100,), machines=8, hold_s=5, step_s=4, constant=True, hands=2, turn_s=1))
    monkeypatch.setattr(
        "millhand.solvers.cycle.checking.validate.violations",
        lambda cell, found: ["made up"] if "exchange" not in found.how else violations(cell, found),
    )

    found = best_cycle(cell)

    assert (found.period_steps, found.parts_per_period, found.proven) == (264_000, 8, False)
    assert found.how.endswith("a shorter one did not pass the validator and was left out")


def test_a_search_that_found_nothing_better_than_part_after_part_begins_again() -> None:
    """Two types over a lathe, two drills and a mill, one arm: with a study's effort the first search ends with one part
    after the other, 1595 tenths of a second; the second one meets the load bound of the mill."""
    cell, _ = with_machine(read_cell(Path("examples/cells/two_part_types_two_to_one.json")), "drill")
    found = best_cycle(cell)

    assert found.proven
    assert found.period_steps / found.parts_per_period == cycle_bound_steps(cell) / 3 == pytest.approx(1990 / 3)
