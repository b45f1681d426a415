"""Arms on several tracks: each track for itself, in one cycle."""

from dataclasses import replace
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort

Form = dict[str, Any]
SMALL = Effort(most_sets=1, deterministic=20.0)


def line(name: str, *, work_s: int, keep_m: float = 1.0, rule: str = "apart", from_m: float = 0.0) -> Form:
    """Two arms on a track of 8 m: one brings parts to a machine in the middle, the other takes them out."""
    places = {f"{name}{metres}": {"track_m": from_m + metres} for metres in (0, 2, 4, 6, 8)}
    machine, brings, takes = f"m_{name}", f"{name}_brings", f"{name}_takes"
    arms = {
        brings: {"home": f"{name}0", "take_from": [f"raw_{name}"], "put_to": [machine]},
        takes: {"home": f"{name}8", "take_from": [machine], "put_to": [f"done_{name}"]},
    }
    table = {"places": list(places), "empty_s": [[abs(one - other) for other in range(5)] for one in range(5)]}
    return {
        "places": places,
        "tracks": {f"track_{name}": {"attendants": [brings, takes], "keep_m": keep_m, "rule": rule}},
        "stations": {
            f"raw_{name}": {"kind": "supply", "place": f"{name}2", "capacity": None},
            machine: {"kind": "process", "place": f"{name}4"},
            f"done_{name}": {"kind": "sink", "place": f"{name}6", "capacity": None},
        },
        "attendants": {who: {"kind": "arm", "moves": name, **more} for who, more in arms.items()},
        "moves": {name: table},
        "parts": {
            f"part_{name}": {
                "route": [{"at": [f"raw_{name}"]}, {"at": [machine], "time_s": work_s}, {"at": [f"done_{name}"]}]
            }
        },
    }


def cell_of(*lines: Form) -> Form:
    """Lines beside each other, as many parts of each."""
    form: Form = {"format": "millhand-cell/1", "name": "lines on tracks of their own", "grid_s": 1}
    for each in lines:
        for key, records in each.items():
            form.setdefault(key, {}).update(records)
    stations = list(form["stations"])
    both = {"pick": {"hold_s": 2}, "place": {"hold_s": 2}}
    form["handling"] = [{"who": list(form["attendants"]), "at": stations, **both}]
    for part in form["parts"].values():
        part["share"] = 1 / len(form["parts"])
    return form


def best(form: Form) -> Schedule:
    """The best cycle with one part of each type a period."""
    return best_cycle(cell_from(form), effort=SMALL)


@pytest.mark.parametrize("rule", ["apart", "order"])
@pytest.mark.parametrize("work_s", [0, 9])
def test_lines_on_tracks_of_their_own_go_at_the_pace_of_the_slower_one(work_s: int, rule: str) -> None:
    """Neither is in the other's way, though both tracks count their metres from the same point."""
    one, other = line("a", work_s=5, keep_m=3.0), line("b", work_s=work_s, keep_m=1.0, rule=rule)
    alone = [best(cell_of(each)) for each in (one, other)]

    found = best(cell_of(one, other))

    assert all(each.proven for each in (*alone, found))
    assert found.period_steps == max(each.period_steps for each in alone)
    assert {arc.why for arc in found.arcs} >= {"track track_a", "track track_b"}


def handed_over() -> Form:
    """A part goes through the machine of one line, over a store that both tracks pass, through that of the other."""
    one, other = line("a", work_s=5, keep_m=3.0), line("b", work_s=9, from_m=4.0)
    form = cell_of(one, other)
    form["stations"]["between"] = {"kind": "store", "place": "a6", "capacity": 1}
    del form["stations"]["done_a"], form["stations"]["raw_b"]
    form["attendants"]["a_takes"]["put_to"] = ["between"]
    form["attendants"]["b_brings"]["take_from"] = ["between"]
    form["handling"][0]["at"] = list(form["stations"])
    table = form["moves"]["b"]
    table["places"] = ["b0", "a6", *table["places"][2:]]
    steps = [{"at": ["m_a"], "time_s": 5}, {"at": ["between"]}, {"at": ["m_b"], "time_s": 9}]
    form["parts"] = {"part": {"route": [{"at": ["raw_a"]}, *steps, {"at": ["done_b"]}]}}
    return form


def test_parts_are_handed_from_track_to_track() -> None:
    """Four arms on two tracks share the work on one part, and the validator finds nothing wrong."""
    found = best(handed_over())

    assert violations(cell_from(handed_over()), found) == []
    assert {event.attendant for event in found.events if event.attendant} == set(handed_over()["attendants"])


def test_arms_of_one_track_still_keep_their_distance() -> None:
    """What is kept on one track is asked of that track alone: with more on one of them the validator tells it there."""
    one, other = line("a", work_s=5, keep_m=1.0), line("b", work_s=9)
    found = best(cell_of(one, other))
    cell = cell_from(cell_of(one, other))
    wide = replace(cell.tracks["track_b"], keep_m=3.0)

    told = violations(replace(cell, tracks={**cell.tracks, "track_b": wide}), found)

    assert told
    assert all("b_brings" in words and "b_takes" in words for words in told)
