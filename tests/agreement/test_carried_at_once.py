"""Hoists that carry at once, since stays are limited: both ends of such a way are known, and bind whoever is there.

The visits then know more of the motions between them; that it is not too much is held against a search state by state.
"""

from dataclasses import replace
from random import Random
from typing import Any

import pytest

from millhand.errors import Contradiction, ToolError
from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.rails.rail import rail_of
from millhand.solvers.cycle.rails.rail_gaps import Hand, gap_steps
from millhand.solvers.cycle.steady import steady
from tests.agreement.test_two_arms import MOST, random_two, told
from tests.track_oracle import best_on_track

CELLS = range(18)  # by hand range(0, 400)
TANKS = (7, 2, 5, 1, 8, 3, 6, 4)  # in the order of the route; tank i stands i metres along the rail


def with_short_stays(number: int) -> Cell:
    """A random cell of two arms on a track in which no part may stay long."""
    cell, chance = random_two(number), Random(number)
    parts = {}
    for name, part in cell.parts.items():
        route = tuple(
            step if step.time_s is None else replace(step, stay_max_s=step.time_s.mean_s + chance.choice([0, 1, 3, 6]))
            for step in part.route
        )
        parts[name] = replace(part, route=route)
    return replace(cell, parts=parts)


@pytest.mark.parametrize("number", CELLS)
def test_no_bound_lies_above_the_best_cycle(number: int) -> None:
    """And where the cycle is proven, it is the one that the search state by state finds."""
    cell = with_short_stays(number)
    found = best_on_track(cell, most=MOST)
    try:
        best = best_cycle(cell, effort=Effort(deterministic=1.0, most_sets=1))
    except Contradiction:
        assert found is None
        return
    except ToolError:  # none was found, which is no proof
        return
    assert found is not None
    assert told(cell, found) == []
    assert best.least_steps <= found.period * best.parts_per_period
    if best.proven:
        assert best.period_steps == found.period * best.parts_per_period


def line(rule: str) -> Cell:
    """Two hoists over eight tanks, the route up and down the line; a lift and a set-down take 20 s of each way."""
    places = [f"s{place}" for place in range(10)]
    steps = [{"at": [f"t{tank}"], "time_s": 40 + 10 * tank, "stay_max_s": 70 + 10 * tank} for tank in TANKS]
    form: dict[str, Any] = {
        "format": "millhand-cell/1", "name": "two hoists over eight tanks", "grid_s": 1, "goal": "rate",
        "places": {place: {"track_m": at} for at, place in enumerate(places)},
        "tracks": {"rail": {"attendants": ["first", "second"], "rule": rule, "keep_m": 0 if rule == "order" else 1}},
        "stations": {
            "load": {"kind": "supply", "place": "s0", "capacity": None},
            **{f"t{tank}": {"kind": "process", "place": f"s{tank}"} for tank in range(1, 9)},
            "unload": {"kind": "sink", "place": "s9", "capacity": None},
        },
        "attendants": {
            "first": {"kind": "arm", "hands": 1, "home": "s0", "moves": "rail"},
            "second": {"kind": "arm", "hands": 1, "home": "s9", "moves": "rail"},
        },
        "moves": {"rail": {
            "places": places, "empty_s": [[3 * abs(a - b) for b in range(10)] for a in range(10)],
            "loaded_s": {f"s{a} s{b}": 20 + 3 * abs(a - b) for a in range(10) for b in range(10) if a != b},
        }},
        "parts": {"panel": {"route": [{"at": ["load"]}, *steps, {"at": ["unload"]}]}},
    }  # fmt: skip
    return cell_from(form)


@pytest.mark.parametrize("rule", ["order", "apart"])
def test_eight_tanks_up_and_down_the_line_are_proven(rule: str) -> None:
    """Without the ends of the ways neither a good cycle nor a proof was found here under the rule `order`."""
    assert best_cycle(line(rule), effort=Effort(deterministic=12.0, most_sets=1)).proven


def test_a_way_with_known_ends_asks_for_more() -> None:
    """Under the rule `order` who carries from s1 to s5 may set out only when nobody stands at s3 any more.

    Of a way from wherever it may be only the shortest one was known.
    """
    cell = line("order")
    movers = steady(cell).movers
    rail = rail_of(cell, movers, movers)
    assert rail is not None
    stands, comes = ("second", "s3"), ("first", "s5")

    assert gap_steps(rail, stands, comes, Hand(coming=True)) == 26  # it may come from s3: 20 and 2 times 3
    assert gap_steps(rail, stands, comes, Hand(coming=True, comes_from="s1")) == 32
    assert gap_steps(rail, ("first", "s5"), ("second", "s7"), Hand(leaving=True, goes_to="s1")) == 0
