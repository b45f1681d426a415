"""Duties of attendants that share a track: they go along it like everybody, and keep their distance on the way."""

from random import Random
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.log import log_of
from tests.solvers.kernel.shop import Form, attendant_s, books_of, counts_of, in_cell, run_of, times_s
from tests.solvers.kernel.test_tracks import KEEP_M, least_distance_m, two_arms

SEEDS = range(6)  # range(100) by hand


def alone(form: Form) -> Form:
    """The same cell with one arm only, on no track: nobody can be in its way."""
    attendants = {"left": form["attendants"]["left"]}
    places = {name: {} for name in form["places"]}
    at = form["places"]
    ways = form["moves"]["ways"]["axis"]
    handling = [row | {"who": ["left"]} for row in form["handling"]]
    table = cell_from(form).moves["ways"]
    assert list(at) == ways["places"]
    moves = {"ways": {"places": list(table.places), "empty_s": [list(row) for row in table.empty_s]}}
    duties = {name: duty | {"who": ["left"]} for name, duty in form["duties"].items()}
    found: Form = {key: value for key, value in form.items() if key != "tracks"}
    dispatch = {"left": form["dispatch"]["left"]}
    return found | {
        "attendants": attendants, "places": places, "handling": handling, "moves": moves, "duties": duties,
        "dispatch": dispatch,
    }  # fmt: skip


def called(form: Form, dice: Random, who: list[str]) -> None:
    """Stops of machines, a gauge after so many parts, a call by the clock: for the arms to answer."""
    stop = {
        "id": "stop",
        "on": "busy",
        "every": {"dist": "exponential", "mean_s": dice.randint(100, 600)},
        "duty": "clear",
    }
    form["stations"][dice.choice(["m1", "m3"])]["faults"] = [stop]
    trigger: dict[str, Any] = {"kind": "parts", "at": ["m1", "m2"], "every": dice.randint(2, 6)}
    form["duties"] = {
        "clear": {
            "trigger": {"kind": "fault"},
            "who": who,
            "takes": dice.randint(3, 30),
            "priority": dice.choice([1, 2]),
        },
        "gauge": {"trigger": trigger, "who": who, "takes": 12, "place": dice.choice(["in", "m2", "park1"])},
        "look": {"trigger": {"kind": "clock", "every": 300}, "who": who, "takes": 20, "place": "m4", "response_s": 15},
    }


@pytest.mark.parametrize("seed", SEEDS)
def test_with_the_other_arm_out_of_the_way_it_is_as_if_alone(seed: int) -> None:
    """The other arm stands at the far end and may do nothing: all happens when it happens without track and arm."""
    dice = Random(f"duties alone {seed}")
    form = two_arms(hands=dice.choice([1, 2]), right={"take_from": [], "put_to": []})
    called(form, dice, ["left"])
    one, other = run_of(form, 2.0), run_of(alone(form), 2.0)

    assert counts_of(one) == counts_of(other)
    assert all(
        times_s(one, what) == times_s(other, what) for what in ("pick", "place", "out", "call", "begins", "ends")
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_two_arms_with_duties_keep_their_distance(seed: int) -> None:
    """Both load and both answer calls; nobody comes too near, no part is lost, every state has its time."""
    dice = Random(f"duties of two {seed}")
    form = two_arms(speed_m_s=dice.choice([0.5, 1.0, 2.0]), hands=dice.choice([1, 2]))
    called(form, dice, ["left", "right"])
    run = run_of(form, 2.0)
    counts = counts_of(run)

    assert least_distance_m(run) >= KEEP_M - 1e-6
    assert counts["picked"] == counts["parts"] + in_cell(run)
    assert all(sum(book) == 7_200_000 and min(book) >= 0 for book in books_of(run))
    assert min(run.k.d_ended[:3].tolist()) > 0
    assert counts["parts"] > 50


def test_the_other_arm_makes_way_for_a_duty() -> None:
    """The right arm has brought the only part to the outfeed and stands there. The left one is called there at 300 s:
    it goes to its end of the rail first."""
    form = two_arms(left={"take_from": [], "put_to": []})
    form["stations"]["raw"] |= {"capacity": 1, "start": 1}
    form["duties"] = {
        "look": {"trigger": {"kind": "clock", "every": 300}, "who": ["left"], "takes": 20, "place": "out"}
    }
    run = run_of(form, 0.1)
    goes = [(line["who"], line["where"]) for line in log_of(run) if line["what"] == "goes" and line["t_s"] >= 300]

    assert goes == [("right", "park2"), ("left", "out")]
    assert attendant_s(run, "left")["on_duty"] == 20
    assert counts_of(run)["parts"] == 1
