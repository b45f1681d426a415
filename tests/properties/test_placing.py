"""What must hold for the search of places on any floor: less in the way, more reach, pins, mirrors, wider aisles."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from millhand.catalogue.arms import arms
from millhand.model.arm import Linkage
from millhand.solvers.moves.between import limits_of
from millhand.solvers.placing.around import GOOD
from millhand.solvers.placing.floor import Placed, placed, rank
from millhand.solvers.placing.site import Kit, Pin, Rect, Site
from millhand.solvers.placing.stands import reached
from millhand.solvers.placing.ways import free_plan
from tests.solvers.placing.test_ways import kit, site

ARMS = ("fenced_60", "fenced_20", "force_limited_25")
SEEDS = range(9)
STEP = 0.2  # what the next place of a stand is worth in turn and floor: 0.1 m at 0.7 m from the foot, and 0.1 m of 4 m
FAR_M = 30.0


def arm_of(seed: int) -> Kit:
    """One of three arms."""
    return kit(ARMS[seed % len(ARMS)])


@cache
def floor_of(seed: int) -> Site:
    """One or two machines with openings of many sizes, and up to three columns before them."""
    rng, base = np.random.default_rng(seed), site()
    xs = [0.0, float(rng.uniform(2.1, 2.8))][: int(rng.integers(1, 3))]
    return Site(
        doorways=tuple(
            replace(door, x_m=x, width_m=float(rng.uniform(0.7, 1.1)), depth_m=float(rng.uniform(0.3, 0.55)))
            for door, x in zip(base.doorways, xs, strict=False)
        ),
        machines=tuple(replace(rect, x_m=x) for rect, x in zip(base.machines, xs, strict=False)),
        obstacles=tuple(
            Rect(
                name=f"column {n}", x_m=float(rng.uniform(-2, 4)), y_m=float(rng.uniform(-2.6, -0.3)), width_m=0.3,
                depth_m=0.3, height_m=2.5,
            )
            for n in range(int(rng.integers(1, 4)))
        ),
    )  # fmt: skip


def best(seed: int) -> Placed:
    """The plan that is taken on one floor."""
    return placed(arm_of(seed), floor_of(seed))[0]


def counted(plan: Placed) -> float:
    """Its score as far as more of it counts."""
    return min(plan.worst.score, GOOD)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_column_further_off_is_never_worse(seed: int) -> None:
    """One by one, so far off that no arm gets there."""
    before = counted(best(seed))
    columns = list(floor_of(seed).obstacles)
    for number, column in enumerate(columns):
        columns[number] = replace(column, y_m=column.y_m - FAR_M)
        after = counted(placed(arm_of(seed), replace(floor_of(seed), obstacles=tuple(columns)))[0])
        assert after >= before - 1e-9
        before = after


@pytest.mark.parametrize("seed", SEEDS)
def test_what_was_found_and_is_pinned_comes_out_again(seed: int) -> None:
    """Foot and presenter where they stood, turned as they were: the same cell."""
    found = best(seed)
    assert found.presenter is not None
    rect, foot = found.presenter.rect, found.feet["machine_1"]
    pins = (
        ("arm", Pin(x_m=foot[0], y_m=foot[1])),
        ("presenter", Pin(x_m=rect.x_m, y_m=rect.y_m, quarter=found.presenter.quarter)),
    )
    again = placed(replace(arm_of(seed), pinned=pins), floor_of(seed))[0]

    assert again.presenter is not None
    assert (again.presenter.rect, again.feet) == (rect, found.feet)
    assert again.worst.score == found.worst.score
    assert rank(again) == rank(found)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_mirrored_floor_has_a_mirrored_answer(seed: int) -> None:
    """East for west: as good, as far as it counts; ways and floor as short but for what one step of the search is."""
    where = floor_of(seed)
    mirrored = Site(
        doorways=tuple(replace(each, x_m=-each.x_m) for each in where.doorways),
        machines=tuple(replace(each, x_m=-each.x_m) for each in where.machines),
        obstacles=tuple(replace(each, x_m=-each.x_m) for each in where.obstacles),
    )
    other = placed(arm_of(seed), mirrored)[0]

    assert counted(other) == pytest.approx(counted(best(seed)), abs=1e-6)
    assert rank(other)[1] == pytest.approx(rank(best(seed))[1], abs=STEP)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_wider_aisle_is_never_better(seed: int) -> None:
    """Room for somebody with a pallet truck, and a metre before each opening."""
    wide = placed(arm_of(seed), replace(floor_of(seed), aisle_m=1.2))[0]

    assert counted(wide) <= counted(best(seed)) + 1e-9


@pytest.mark.parametrize("seed", range(0, 9, 3))
def test_a_wider_clearance_on_the_ways_is_never_quicker(seed: int) -> None:
    """On the same plan, with all ways free both times: each takes as long, or longer; what is not free stays so."""
    limits = limits_of(arm_of(seed).arm, ramp_s=0.3, jerk_ramp_s=0.1)
    near, far = (free_plan(arm_of(seed), floor_of(seed), limits, enough, 1.0) for enough in (0.02, 0.08))

    if near.gap_m < 0.02:
        assert far.gap_m < 0.08
    if near.gap_m >= 0.02 and far.gap_m >= 0.08 and near.number == far.number:
        assert sum(each.time_s for each in near.ways.values()) <= sum(each.time_s for each in far.ways.values()) + 1e-9


def longer(arm: Linkage, by_m: float) -> Linkage:
    """The same arm with both its long links longer by so much."""
    longest = sorted(range(len(arm.joints)), key=lambda n: -max(abs(arm.joints[n].a_m), abs(arm.joints[n].d_m)))[:2]
    joints = list(arm.joints)
    for number in longest:
        row = joints[number]
        name = "a_m" if abs(row.a_m) >= abs(row.d_m) else "d_m"
        value = getattr(row, name)
        joints[number] = replace(row, **{name: value + (by_m if value > 0.0 else -by_m)})
    return replace(arm, joints=tuple(joints))


@pytest.mark.parametrize("name", ["fenced_60", "fenced_20"])
def test_longer_links_reach_no_less(name: str) -> None:
    """From every place before the doors, a wrist in one point: what is left of reach grows, and nothing is lost."""
    arm = arms([])[name]
    feet = np.array([(x, y, 0.7, 1.57) for x in np.arange(-1.0, 1.6, 0.2) for y in np.arange(-1.8, -0.5, 0.2)])
    target = site().doorways[0].target
    short = reached(arm, feet, targets=(target,), tool_m=0.2)
    long = reached(longer(arm, 0.1), feet, targets=(target,), tool_m=0.2)

    assert (short.slack_m >= 0.0).any()
    assert (long.slack_m >= short.slack_m - 1e-9).all()
