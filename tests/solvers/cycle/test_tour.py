"""A tour as an event graph: laps follow the parts, arcs say who waits for whom."""

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.intake.cell import read_cell
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.cycle.tours.rounds import carry_rounds, exchange_rounds
from millhand.solvers.cycle.tours.shape import check_shape
from millhand.solvers.cycle.tours.tour import cycle_of, tour_steps
from tests.solvers.cycle.rows import Row, row_cell


def test_an_exchange_tour_by_hand() -> None:
    """One machine of 10 s. Pick 1, way 2, exchange 2, way 2, place 1, way back 4: 12 s for arm and machine alike."""
    view = check_shape(row_cell(Row(times_s=(10,), hands=2)))
    ((tour, parts),) = exchange_rounds(view)
    cycle = cycle_of(view, tour)

    assert parts == 1
    assert tour_steps(view, tour, most=99_000) == 12_000
    assert cycle is not None
    assert cycle.period_steps == 12_000
    assert [(event.what, event.station, event.at_steps) for event in cycle.events] == [
        ("lift", "i", 0),
        ("lifted", "i", 1000),
        ("lift", "m1", 3000),
        ("lifted", "m1", 5000),
        ("set", "m1", 3000),
        ("placed", "m1", 5000),
        ("start", "m1", 5000),
        ("finish", "m1", 3000),
        ("set", "o", 7000),
        ("placed", "o", 8000),
    ]


def test_laps_follow_the_part() -> None:
    """The part exchanged in lap 0 is lifted in lap 1, and set down at the end in the same lap."""
    view = check_shape(row_cell(Row(times_s=(10,), hands=2)))
    ((tour, _),) = exchange_rounds(view)
    cycle = cycle_of(view, tour)
    assert cycle is not None
    laps = {(event.what, event.station): event.lap for event in cycle.events}

    assert (laps["lift", "i"], laps["placed", "m1"], laps["finish", "m1"]) == (0, 0, 1)
    assert (laps["lift", "m1"], laps["set", "o"]) == (1, 1)


def test_windows_are_arcs_back() -> None:
    """The longest stay of a tank is an arc from the lift to the set-down with a negative lag."""
    found = schedule(read_cell(Path("examples/cells/phillips_unger_1976.json")))
    windows = {arc.why: arc.lag_steps for arc in found.arcs if arc.why.startswith("window")}

    assert windows["window s5"] == -40
    assert len(windows) == 10  # two tanks of twelve have no longest stay


def test_one_hand_never_waits_loaded() -> None:
    """Each way with a part is an arc there and an arc back of the same length."""
    found = schedule(row_cell(Row(times_s=(5, 7))))
    rigid = [arc for arc in found.arcs if arc.why == "arm never waits loaded"]

    assert len(rigid) == 3
    assert all(arc.lag_steps < 0 for arc in rigid)


def test_rounds_empty_the_last_step_first() -> None:
    """Two steps, the first carry brings a part in: then out of the last, on to the last."""
    carries = carry_rounds(check_shape(row_cell(Row(times_s=(5, 7))))) or []

    assert [(carry.pick.station, carry.place.station) for carry in carries] == [("i", "m1"), ("m2", "o"), ("m1", "m2")]


@settings(max_examples=40)
@given(st.lists(st.integers(0, 60), min_size=1, max_size=4), st.integers(1, 2))
def test_stays_are_the_laps_between(times: list[int], hands: int) -> None:
    """From set-down to lift, counted with laps, a part stays at least its process time, and less than two periods."""
    found = schedule(row_cell(Row(times_s=times, hands=hands)))
    at = {(event.what, event.station): event.at_steps + event.lap * found.period_steps for event in found.events}

    for number, time in enumerate(times, start=1):
        stay = at["lift", f"m{number}"] - at["placed", f"m{number}"]
        assert 1000 * time <= stay < 2 * found.period_steps
