"""More of what hinders never brings more parts, more of what helps never fewer: in the mean, under the same chance.

Each replication meets the same random numbers in both cells, so a difference is the change's own. A single replication
may still turn out the other way (a queue can gain from a delay), so it is the means that are held, over a number of
replications fixed beforehand, as was the seed.
"""

import itertools
import math
from collections.abc import Callable
from typing import Any

import pytest

from tests.agreement.test_queues import Form, Size, exponential, outputs
from tests.solvers.kernel.shop import alone_row, arm_cell, with_person

QUICK = Size(replications=6, hours=24)


def busy_cell() -> Form:
    """An arm with two grippers, three machines that stop, picks that miss, a presenter; a person by day."""
    clear = {"trigger": {"kind": "fault"}, "priority": 1, "takes": {"dist": "lognormal", "mean_s": 300, "cv": 0.5}}
    refill = {"trigger": {"kind": "level", "at": ["raw"], "below": 1}, "priority": 2, "takes": 120}
    form = with_person(
        arm_cell(3, hands=2, time_s=90),
        on=[[0, 28_800], [43_200, 64_800]],
        clear=clear | {"holds": "station"},
        refill=refill | {"restores": {"raw": "full"}},
    )
    form["stations"]["raw"] |= {"capacity": 200, "start": 200, "refill": "refill"}
    for name in ("m1", "m2", "m3"):
        form["stations"][name]["faults"] = [{"id": "stop", "on": "busy", "every": exponential(9000), "duty": "clear"}]
    form["handling"][0]["miss"] = {"p": 0.05, "retries": None, "retry_s": 5}
    form["parts"]["part"]["route"][1]["good"] = 0.95
    return form


def parts_of(form: Form) -> float:
    """Mean parts per hour."""
    each = outputs(form, QUICK)
    return math.fsum(output.parts_per_h.mean for output in each) / len(each)


def machining(form: Form, time_s: float) -> None:
    """Set the machining time."""
    form["parts"]["part"]["route"][1]["time_s"] = {"dist": "lognormal", "mean_s": time_s, "cv": 0.3}


def between_stops(form: Form, mean_s: float) -> None:
    """Set the time between stops."""
    for name in ("m1", "m2", "m3"):
        form["stations"][name]["faults"][0]["every"] = exponential(mean_s)


def presenter(form: Form, pockets: int) -> None:
    """Set the size of the presenter."""
    form["stations"]["raw"] |= {"capacity": pockets, "start": pockets}


CHANGES: list[tuple[str, Callable[[Form, Any], Any], list[Any]]] = [  # from what helps most to what helps least
    ("machining time", machining, [60, 90, 120, 240]),
    ("time between stops", between_stops, [1_000_000, 20_000, 5000, 1500]),
    ("size of the presenter", presenter, [800, 400, 200, 60]),
    ("time of a repair", lambda form, time_s: form["duties"]["clear"].update(takes=time_s), [60, 300, 900, 2400]),
    ("time of a refill", lambda form, time_s: form["duties"]["refill"].update(takes=time_s), [0, 300, 1200]),
    ("chance of a miss", lambda form, p: form["handling"][0]["miss"].update(p=p), [0.0, 0.2, 0.5, 0.8]),
    ("time of one more try", lambda form, time_s: form["handling"][0]["miss"].update(retry_s=time_s), [0, 60, 300]),
    ("hours of the person", lambda form, on: form["calendars"]["day"].update(on=on), [
        [[0, 86_400]], [[0, 57_600]], [[0, 28_800]], [[0, 3600]],
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("name", "change", "values"), CHANGES, ids=[name for name, *_ in CHANGES])
def test_what_hinders_never_helps(name: str, change: Callable[[Form, Any], Any], values: list[Any]) -> None:
    """Parts per hour fall, or stay as they are, from each value to the next; and over all of them they do fall."""
    found = []
    for value in values:
        form = busy_cell()
        change(form, value)
        found.append(parts_of(form))

    assert all(after <= before for before, after in itertools.pairwise(found)), f"{name}: {found}"
    assert found[-1] < found[0], f"{name}: {found}"


def test_more_repairers_never_make_fewer_parts() -> None:
    """Eight machines that often stop: each repairer more helps less, and none harms."""
    found = []
    for repairers in (1, 2, 3, 4, 8):
        form = alone_row(8, fault_mean_s=900, repair=exponential(300), repairers=repairers)
        form["parts"]["part"]["route"][1]["time_s"] = 120
        found.append(parts_of(form))
    gains = [after - before for before, after in itertools.pairwise(found)]

    assert all(gain >= 0 for gain in gains), found
    assert gains[0] > gains[1] > gains[2] > 0, found


def test_a_larger_presenter_never_makes_fewer_parts_alone() -> None:
    """A day without people from a full presenter: the same course until the smaller one is empty, so not only the mean
    is held but each replication."""
    found = []
    for pockets in (50, 100, 200, 400, 1600):
        form = busy_cell()
        presenter(form, pockets)
        form["calendars"]["day"]["on"] = [[0, 1]]
        found.append([output.counts["unattended"].mean for output in outputs(form, QUICK)])

    for before, after in itertools.pairwise(found):
        assert all(more >= fewer for fewer, more in zip(before, after, strict=True)), found
    assert math.fsum(found[-1]) > math.fsum(found[0])
