"""Two hoists over tanks with windows: the best cycle against a program over whole moves; no part is held in the air."""

from random import Random
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.cycle.rails.rail_hunt import track_searched
from millhand.solvers.cycle.rails.rail_view import shared_rail, with_shortest_ways
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.jobs import jobs_of
from millhand.solvers.cycle.searching.search import Span
from tests.agreement.hoist_moves import least_period

ONE = Effort(most_sets=1)
LINE = ((24, 30), (11, 13), (51, 62))  # 67 s where a hoist may hold a part in the air


def line(tanks: tuple[tuple[int, int | None], ...], keep_m: float = 0.5) -> dict[str, Any]:
    """Tanks a metre apart with their windows, 3 s from each to the next, 17 s with a part; hoists park at both ends."""
    places = ["begin", *(f"s{number}" for number in range(len(tanks) + 2)), "end"]
    machines = {f"t{number}": {"kind": "process", "place": f"s{number}"} for number in range(1, len(tanks) + 1)}
    hoist = {"kind": "arm", "moves": "rail"}
    steps = [
        {"at": [f"t{number}"], "time_s": least, "stay_max_s": most} for number, (least, most) in enumerate(tanks, 1)
    ]
    return {
        "format": "millhand-cell/1",
        "name": "two hoists",
        "grid_s": 1,
        "places": {place: {"track_m": number} for number, place in enumerate(places)},
        "tracks": {"rail": {"attendants": ["left", "right"], "keep_m": keep_m}},
        "stations": {
            "load": {"kind": "supply", "place": "s0", "capacity": None},
            **machines,
            "unload": {"kind": "sink", "place": places[-2], "capacity": None},
        },
        "attendants": {"left": {**hoist, "home": "begin"}, "right": {**hoist, "home": "end"}},
        "moves": {
            "rail": {
                "places": places,
                "empty_s": [[3 * abs(a - b) for b in range(len(places))] for a in range(len(places))],
                "loaded_s": {f"s{number} s{number + 1}": 17 for number in range(len(tanks) + 1)},
            }
        },
        "parts": {"frame": {"route": [{"at": ["load"]}, *steps, {"at": ["unload"]}]}},
    }


def random_line(number: int) -> dict[str, Any]:
    """Two or three tanks, most of them with a window."""
    dice = Random(f"hoists {number}")
    times = [dice.randint(5, 60) for _ in range(dice.choice([2, 3]))]
    return line(
        tuple((time, time + dice.randint(2, 25) if dice.random() < 0.8 else None) for time in times),
        keep_m=dice.choice([0.5, 0.9]),
    )


def test_no_part_is_held_in_the_air_to_meet_a_window() -> None:
    """A hoist that waits with a part gets round every window; what is proven is the best without."""
    form = line(LINE)
    found = best_cycle(cell_from(form), effort=ONE)

    assert least_period(form) == found.period_steps == 91
    assert found.proven


def test_eight_tanks_are_proven_with_a_small_effort() -> None:
    """Nine moves of two hoists: it takes an order for each two moves of one hoist. 140 s is what the program over moves
    gives, too."""
    spare = (20, 15, 25, 15, 30, 20, 25)
    tanks = [(time, time + more) for time, more in zip((40, 25, 50, 20, 60, 30, 45), spare, strict=True)]
    cell = cell_from(line((*tanks, (30, None)), keep_m=0.9))
    view = scope(cell)
    rail = shared_rail(cell, view)
    assert rail is not None
    jobs = jobs_of(with_shortest_ways(view, rail), 1)
    answer = track_searched(view, rail, jobs, Span(least=1, longest=400), Effort(deterministic=3.0))

    assert answer.cycle is not None
    assert (answer.cycle.period_steps, answer.complete) == (140, True)


@pytest.mark.parametrize("number", range(3))
def test_random_lines_agree_with_the_program_over_moves(number: int) -> None:
    """Never quicker, and as quick where it is proven."""
    form = random_line(number)
    least, found = least_period(form), best_cycle(cell_from(form), effort=ONE)

    assert least is not None
    assert least <= found.period_steps
    assert found.period_steps == least or not found.proven


def test_a_hoist_does_not_come_where_a_part_still_lies() -> None:
    """Two frames, no time for handling: the first one leaves the first tank at 3 + 17 + 29 = 49 s, the second one
    follows it half a metre behind and is there 9 s later: 49 + 9 + 29 + 17 + 5 + 17 s."""
    form = line(((29, 42), (5, 28)))
    form["goal"], form["parts"]["frame"]["lot"] = "makespan", {"size": 2}
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=0.5, workers=1, seed=1)

    assert "validator" not in found.how
    assert (found.period_steps, found.proven) == (126, True)
