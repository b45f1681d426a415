"""Two arms, on one track or without: every state looked at second by second, against the validator and the oracle."""

from dataclasses import replace
from random import Random

import pytest

from millhand.model.cell import Cell, MoveTable, Place
from millhand.model.station import Station
from millhand.solvers.cycle.checking.validate import violations
from tests.cycle_oracle import best_one_unit
from tests.solvers.cycle.test_validate_track import two_arms
from tests.solvers.cycle.timetables import arm, cell_of, ends_at, step, timetable
from tests.track_oracle import Found, best_on_track, lines_of, rail_of

CELLS = 14  # random cells; a few thousand states each
MOST = 60  # no cycle of these cells is longer


def told(cell: Cell, found: Found) -> list[str]:
    """What the validator says of the cycle that was found state by state."""
    return violations(cell, timetable(cell, lines_of(rail_of(cell), found), period=found.period))


def random_two(number: int, *, arms: int = 2) -> Cell:
    """One or two machines on four places of a line, ways by their distance and a little more, two arms or one."""
    chance = Random(number)
    machines = ["m1", "m2"][: 2 if number % 12 == 0 else 1]
    at = sorted(chance.sample(range(5), 4))
    names = [f"p{place}" for place in at]
    spots = chance.sample(names, len(machines)) if chance.random() < 0.3 else names[1 : 1 + len(machines)]
    stations = {
        **ends_at(names[0], names[chance.choice([0, 3, 3])]),
        **{name: Station(kind="process", place=spot) for name, spot in zip(machines, spots, strict=True)},
    }
    inner = [step(name, time_s=float(time), stay_max_s=time + 4.0 if chance.random() < 0.2 else None)
             for name in machines for time in [chance.randint(0, 9 if len(machines) == 1 else 3)]]  # fmt: skip
    both = {"a1": arm(names[0]), "a2": arm(names[3])}
    cell = cell_of(stations, (step("raw"), *inner, step("done")), dict(list(both.items())[:arms]))
    slow = chance.choice([0, 1])
    ways = tuple(tuple(float(abs(a - b) + slow * (a != b)) for b in at) for a in at)
    places = {name: Place(track_m=float(place)) for name, place in zip(names, at, strict=True)}
    tracks = {name: replace(track, keep_m=chance.choice([0.0, 0.5, 1.0]), rule=chance.choice(["apart", "order"]))
              for name, track in cell.tracks.items()}  # fmt: skip
    return replace(cell, places=places, moves={"line": MoveTable(places=tuple(names), empty_s=ways)}, tracks=tracks)


def short_track(*, keep_m: float, rule: str) -> Cell:
    """The cell of the hand-made cycle with four places only."""
    cell = two_arms(keep_m=keep_m, rule=rule)
    names = ("p0", "p1", "p2", "p3")
    table = tuple(row[:4] for row in cell.moves["line"].empty_s[:4])
    places = {name: cell.places[name] for name in names}
    return replace(cell, places=places, moves={"line": MoveTable(places=names, empty_s=table)})


@pytest.mark.parametrize(("rule", "keep_m"), [("apart", 0.5), ("apart", 1.0), ("order", 0.5), ("order", 1.5)])
def test_the_cycle_made_by_hand_is_the_best(rule: str, keep_m: float) -> None:
    """Ten seconds; what was found state by state passes the validator."""
    cell = short_track(keep_m=keep_m, rule=rule)
    found = best_on_track(cell, most=MOST)

    assert found is not None
    assert found.period == 10
    assert told(cell, found) == []


def test_more_distance_than_the_places_have_room_for_leaves_no_cycle() -> None:
    """With 1.5 m between them neither arm gets past the other's place to all that it needs."""
    assert best_on_track(short_track(keep_m=1.5, rule="apart"), most=MOST) is None


@pytest.mark.parametrize("number", range(CELLS))
def test_random_cells_pass_the_validator_and_no_arm_alone_is_quicker(number: int) -> None:
    """The best cycle of two arms on a track is valid; the one without a track is valid and no slower."""
    cell = random_two(number)
    found = best_on_track(cell, most=MOST)
    free = replace(cell, tracks={})
    without = best_on_track(free, most=MOST)

    assert without is not None
    assert told(free, without) == []
    if found is not None:
        assert told(cell, found) == []
        assert without.period <= found.period


@pytest.mark.parametrize("number", range(CELLS))
def test_one_arm_alone_is_as_quick_as_the_oracle_of_orders_says(number: int) -> None:
    """Two oracles of different kinds, states and orders, give one period."""
    cell = random_two(number, arms=1)
    found = best_on_track(cell, most=MOST)

    assert (None if found is None else found.period) == best_one_unit(cell)
