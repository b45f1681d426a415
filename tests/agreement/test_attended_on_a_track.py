"""Two arms on a track and a machine that one of them stays at: when it leaves is known once its work is under way."""

from typing import Any

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from tests.agreement.kept_period import assert_keeps_period

Form = dict[str, Any]


def on_a_track(at_m: dict[str, int], stations: Form, parts: Form, handling: list[Form], rule: str) -> Form:
    """Two arms with one hand that go a metre a second, on a track with these places."""
    table = [[abs(a - b) for b in at_m.values()] for a in at_m.values()]
    arm = {"kind": "arm", "hands": 1, "moves": "line"}
    return {
        "format": "millhand-cell/1", "name": "a track with an attended machine", "grid_s": 1,
        "places": {name: {"track_m": at} for name, at in at_m.items()},
        "stations": stations,
        "attendants": {"left": arm | {"home": "low"}, "right": arm | {"home": "high"}},
        "moves": {"line": {"places": list(at_m), "empty_s": table}},
        "handling": handling,
        "parts": parts,
        "tracks": {"rail": {"attendants": ["left", "right"], "rule": rule, "keep_m": 1}},
        "dispatch": {"left": {"rule": "cycle"}, "right": {"rule": "cycle"}},
    }  # fmt: skip


def keeps_its_cycle(form: Form) -> None:
    """The run of a form keeps the period of its schedule."""
    cell = cell_from(form)
    assert_keeps_period(cell, best_cycle(cell, effort=Effort(deterministic=0.1, most_sets=2)))


def test_nobody_comes_while_another_still_stays() -> None:
    """The right arm sets down and stays for the second that the door takes; the left one came as if it left at once."""
    form = on_a_track(
        {"g": 1, "m1": 2, "low": 0, "high": 3},
        {"g": {"kind": "gate", "place": "g", "turnaround_s": 2},
         "m1": {"kind": "process", "place": "m1", "attended": True}},
        {"part": {"route": [{"at": ["g"]}, {"at": ["m1"], "time_s": 0}, {"at": ["g"]}]}},
        [
            {"who": ["left"], "at": ["g"], "pick": {"hold_s": 1}, "place": {"hold_s": 1}},
            {"who": ["left"], "at": ["m1"], "pick": {"hold_s": 1, "tail_s": 1}, "place": {"hold_s": 1, "lead_s": 1}},
            {"who": ["right"], "at": ["g"], "pick": {"hold_s": 1}, "place": {"hold_s": 1, "lead_s": 1}},
            {"who": ["right"], "at": ["m1"], "pick": {"hold_s": 2}, "place": {"hold_s": 1, "tail_s": 1}},
        ],
        "apart",
    )  # fmt: skip
    form["attendants"]["right"]["put_to"] = ["g", "m1"]
    for arm in form["attendants"].values():
        arm["turn_s"] = 2
    keeps_its_cycle(form)


def test_one_follows_while_another_lifts_where_it_stayed() -> None:
    """The left arm sets out while the right one lifts at the machine: when that is over is known."""
    holds = {"left": (1, 1), "right": (2, 1)}
    rows = [
        {"who": [who], "at": [at], "pick": {"hold_s": lift_s if at == "m1" else 1}, "place": {"hold_s": set_s}}
        for who, (lift_s, set_s) in holds.items()
        for at in ("raw", "m1", "done")
    ]
    for row in rows:
        row.pop({"raw": "place", "done": "pick"}.get(row["at"][0], ""), None)
    form = on_a_track(
        {"in": 1, "m1": 3, "out": 5, "low": 0, "high": 7},
        {"raw": {"kind": "supply", "place": "in", "capacity": None},
         "m1": {"kind": "process", "place": "m1", "attended": True},
         "done": {"kind": "sink", "place": "out", "capacity": None}},
        {name: {"route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": time_s}, {"at": ["done"]}], "share": 0.5}
         for name, time_s in (("long", 4), ("short", 3))},
        rows,
        "order",
    )  # fmt: skip
    form["duties"] = {
        "look": {"trigger": {"kind": "parts", "at": ["m1"], "every": 1}, "who": ["right"], "takes": 1, "place": "in"}
    }
    keeps_its_cycle(form)
