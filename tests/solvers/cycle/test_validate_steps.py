"""The validator where one station does several steps for one part type: each has its own time."""

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.flexible_shops import Form, shop


def words(sound: Cell, other: Cell) -> list[str]:
    """What the validator says of the plan for one cell when it is told to be one for another."""
    found = shortest_makespan(sound, deadline=None, deterministic=5.0, workers=1, seed=1)
    assert violations(sound, found) == []
    return violations(other, found)


def test_each_step_at_a_machine_with_a_buffer_takes_its_own_time() -> None:
    """5 s at the first step and 9 s at the second are not 5 s at both."""
    sound, slower = (cell_from(shop([[{1: 5}, {1: second}]], 1)) for second in (5, 9))

    assert words(sound, slower) == ["m1 works 5 steps, not 9"]


def by_hand(second_s: int, way: str) -> Cell:
    """Two steps at one attended machine, by somebody who may have two parts under way."""
    form: Form = {
        "format": "millhand-cell/1",
        "name": "two steps at one attended machine",
        "grid_s": 1,
        "goal": "makespan",
        "places": {"in": {}, "at": {}},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            "m1": {"kind": "process", "place": "at", "attended": True},
            "rack": {"kind": "store", "place": "in", "capacity": 9},
            "done": {"kind": "sink", "place": "in", "capacity": None},
        },
        "attendants": {"person": {"kind": "operator", "home": "in", "moves": "ways"}},
        "moves": {"ways": {"places": ["in", "at"], "empty_s": [[0, 2], [2, 0]]}},
        "parts": {
            "part": {
                "lot": {"size": 2},
                "route": [
                    {"at": ["raw"]},
                    {"at": ["m1"], "time_s": 5},
                    {"at": [way]},
                    {"at": ["m1"], "time_s": second_s},
                    {"at": ["done"]},
                ],
            }
        },
    }
    return cell_from(form)


def test_whoever_attends_stays_as_long_as_the_step_takes() -> None:
    """5 s at the first step and 9 s at the second are not 5 s at both for the person who stays there either."""
    told = words(by_hand(5, "rack"), by_hand(9, "rack"))

    assert any("steps too late" in each for each in told)
    assert "m1 works 5 steps, not 9" in told
