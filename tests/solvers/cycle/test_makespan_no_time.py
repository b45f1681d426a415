"""Lots where handling takes no time: a way given whole, lifting and lowering in it, as papers on job shops have it."""

from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.makespan import shortest_makespan

PLACES = ("in", "one", "two", "out")


def crossing(times_s: tuple[tuple[int, int], tuple[int, int]], *, hands: int = 1) -> dict[str, Any]:
    """Two jobs over two machines without buffers, in opposite orders; a second between any two places, no handling."""
    machines = {name: {"kind": "process", "place": place} for name, place in (("m1", "one"), ("m2", "two"))}
    raw = {name: {"kind": "supply", "place": "in", "capacity": None} for name in ("raw_a", "raw_b")}
    (a, b), (c, d) = times_s
    ways = {"a": [("m1", a), ("m2", b)], "b": [("m2", c), ("m1", d)]}
    return {
        "format": "millhand-cell/1", "name": "two jobs that cross", "grid_s": 1, "goal": "makespan",
        "places": {name: {} for name in PLACES},
        "stations": {**raw, **machines, "done": {"kind": "sink", "place": "out", "capacity": None}},
        "attendants": {"arm": {"kind": "arm", "home": "in", "moves": "line", "hands": hands}},
        "moves": {"line": {"places": list(PLACES), "empty_s": [[int(a != b) for b in PLACES] for a in PLACES]}},
        "parts": {
            part: {"lot": {"size": 1}, "route": [
                {"at": [f"raw_{part}"]}, *({"at": [name], "time_s": time} for name, time in way), {"at": ["done"]},
            ]} for part, way in ways.items()
        },
    }  # fmt: skip


@pytest.mark.parametrize(("times_s", "steps"), [(((2, 5), (5, 2)), 21), (((5, 1), (5, 1)), 19), (((1, 3), (1, 3)), 15)])
def test_a_part_does_not_come_where_another_still_lies(
    times_s: tuple[tuple[int, int], tuple[int, int]], steps: int
) -> None:
    """One hand cannot bring a part to a full machine and take the old one away at the same moment: so many seconds,
    found by looking at every state of the cell, second by second."""
    found = shortest_makespan(cell_from(crossing(times_s)), deadline=None, deterministic=5.0, workers=1, seed=1)

    assert (found.period_steps, found.proven) == (steps, True)


def at_one_place(machines: dict[str, Any], parts: dict[str, Any], *, arms: int = 1) -> dict[str, Any]:
    """Machines at one place, served by arms that take no time for anything; each part type with its number and its
    steps, each a machine or several with their times, between supply and outfeed."""
    ends = {"raw": {"kind": "supply", "capacity": None}, "done": {"kind": "sink", "capacity": None}}
    return {
        "format": "millhand-cell/1", "name": "no time at all", "grid_s": 1, "goal": "makespan", "places": {"here": {}},
        "stations": {name: {"kind": "process", "place": "here", **own} for name, own in (ends | machines).items()},
        "attendants": {f"arm{each}": {"kind": "arm", "home": "here", "moves": "none"} for each in range(arms)},
        "moves": {"none": {"places": ["here"], "empty_s": [[0]]}},
        "parts": {
            part: {"lot": {"size": size}, "route": [
                {"at": list(step), "time_s": step} if isinstance(step, dict) else {"at": [step]} for step in way
            ]} for part, (size, *way) in parts.items()
        },
    }  # fmt: skip


CELLS = {
    "somebody stays at a load": (
        at_one_place(
            {"m1": {"batch": 2, "attended": True}, "m2": {"attended": True}, "m3": {}},
            {"x": (1, "raw", {"m2": 2}, "done"), "y": (2, "raw", {"m1": 4, "m3": 7}, "done")},
        ),
        6,
    ),
    "two arms, one load twice": (
        at_one_place({"m1": {"batch": 2}}, {"x": (2, "raw", {"m1": 0}, {"m1": 0}, "done")}, arms=2),
        0,
    ),
}


@pytest.mark.parametrize("name", CELLS)
def test_loads_have_an_order_where_nothing_takes_time(name: str) -> None:
    """All parts of a load are in before the work, and out before the next ones come, though it is all at one moment:
    such plans went round in a circle or did not pass the validator. So many seconds by looking at every state."""
    form, steps = CELLS[name]
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=5.0, workers=1, seed=1)

    assert (found.period_steps, found.proven) == (steps, True)


def test_what_moves_by_itself_is_never_between_two_stations() -> None:
    """A part comes back at once to a machine with own buffers, while another one goes through them: such plans ended in
    an error. One second for the one step that takes time, as a search of every state says too."""
    form = at_one_place(
        {"m1": {"in_queue": 1, "out_queue": 1}},
        {"x": (1, "raw", {"m1": 1}, {"m1": 0}, "done"), "y": (1, "raw", {"m1": 0}, "done")},
    )
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=5.0, workers=1, seed=1)

    assert (found.period_steps, found.proven) == (1, True)


def test_a_lead_before_a_buffer_is_the_attendants_own() -> None:
    """Two arms stand before a buffer for one part for 3 s each, side by side: the buffer has to be empty only when the
    second part is set down. The plan that let one lead follow the other, of 6 s, was called proven."""
    form = at_one_place({"m1": {"in_queue": 1}}, {"x": (2, "raw", {"m1": 0}, "done")}, arms=2)
    none, who = {"hold_s": 0}, list(form["attendants"])
    form["handling"] = [
        {"who": who, "at": ["raw"], "pick": none}, {"who": who, "at": ["done"], "place": none},
        {"who": who, "at": ["m1"], "pick": none, "place": {"hold_s": 0, "lead_s": 3}},
    ]  # fmt: skip
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=5.0, workers=1, seed=1)

    assert (found.period_steps, found.proven) == (3, True)


def test_a_changeover_has_its_turn_where_nothing_else_takes_time() -> None:
    """Two x and then one y lie in one supply, and only x needs no change after y. One arm lifts the second x and holds
    it until y has gone through the machine: nothing takes time. That plan was not found, and 4 s were told."""
    form = at_one_place({"m1": {}}, {"x": (2, "raw", {"m1": 0}, "done"), "y": (1, "raw", {"m1": 0}, "done")}, arms=2)
    form["attendants"]["arm1"]["hands"] = 2
    for part in ("x", "y"):
        form["parts"][part]["route"][1]["family"] = part
    form["duties"] = {"set_up": {"trigger": {"kind": "changeover"}, "who": ["arm0"], "takes": 4, "holds": "station"}}
    form["changeovers"] = [{"at": ["m1"], "from": "x", "to": "y", "duty": "set_up"}]
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=5.0, workers=1, seed=1)

    assert (found.period_steps, found.proven) == (0, True)
