"""What must hold for any move: order in load, way and cap, the slowest axis, the bounds of blending; beams and gaps."""

import math
from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from millhand.formulas.beam import column_spacing_by_share_m, column_spacing_m
from millhand.formulas.derating import load_use_share, payload_accel_factor, payload_speed_factor
from millhand.formulas.track import buffer_zone_m, carriage_stopping_m
from millhand.solvers.moves.axes import AxisLimits, ToolLimits
from millhand.solvers.moves.blend import blended, via_path
from millhand.solvers.moves.burden import Burden, Rating, kept_under
from millhand.solvers.moves.joint import joint_moves
from millhand.solvers.moves.straight import straight_move, tool_path
from tests.solvers.moves.two_links import AXES, TOOL, line

SHARES = st.floats(0.0, 1.0)
LIMITS = st.builds(
    lambda v, a, j: AxisLimits(speeds=tuple(v), accels=tuple(a), jerks=tuple(j)),
    *(
        st.lists(st.floats(low, high), min_size=3, max_size=3)
        for low, high in ((0.1, 5.0), (0.5, 40.0), (5.0, 1_000.0))
    ),
)
TOOLS = st.builds(
    lambda v, a, j: ToolLimits(speed_m_s=v, accel_m_s2=a, jerk_m_s3=j),
    st.floats(0.1, 3.0),
    st.floats(0.5, 20.0),
    st.floats(5.0, 1_000.0),
)
JOINTS = st.lists(st.floats(-3.0, 3.0), min_size=3, max_size=3)
POINTS = st.lists(
    st.tuples(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0)), min_size=3, max_size=6
).filter(lambda points: all(math.dist(a, b) > 1e-3 for a, b in pairwise(points)))
ROOM = 1.0 + 1e-9


@given(LIMITS, JOINTS, JOINTS)
def test_the_time_of_a_move_is_the_longest_of_its_axes(
    limits: AxisLimits, start: list[float], end: list[float]
) -> None:
    """Nobody waits for nothing: the whole takes as long as the slowest axis alone, and that one is named."""
    moves = joint_moves(start, end, limits=limits)
    times = moves.axis_times_s.tolist()

    assert moves.times_s == max(times)
    assert times[int(moves.slowest)] == max(times)


@given(LIMITS, JOINTS, JOINTS, st.floats(1.0, 4.0))
def test_a_longer_way_is_never_shorter_in_time(
    limits: AxisLimits, start: list[float], end: list[float], further: float
) -> None:
    """Carried on beyond the end in the same direction, no move is quicker."""
    one, other = np.array(start), np.array(end)
    near = joint_moves(one, other, limits=limits).times_s
    far = joint_moves(one, one + further * (other - one), limits=limits).times_s

    assert far >= near / ROOM


@given(st.floats(0.0, 12.0), st.floats(0.0, 4.0), st.floats(0.0, 0.2), st.floats(0.0, 0.05), st.floats(0.0, 3.0))
def test_more_load_is_never_faster(mass: float, more: float, lever: float, further: float, ratio: float) -> None:
    """Mass and lever up: no share of speed or acceleration grows, and no joint or straight move gets quicker."""
    rating = Rating(rated_kg=20.0, rated_lever_m=0.25, inertia_ratio=ratio, speed_loss=0.2)
    light = kept_under(Burden(mass_kg=mass, lever_m=lever), rating)
    heavy = kept_under(Burden(mass_kg=mass + more, lever_m=lever + further), rating)

    assert heavy.speed <= light.speed <= 1.0
    assert heavy.accel <= light.accel <= 1.0
    path = line((0.3, 0.5), (0.75, 0.1), 41)
    times = [
        (
            float(joint_moves([0.0, 0.0], [1.0, -0.7], limits=AXES.kept(speed=kept.speed, accel=kept.accel)).times_s),
            straight_move(
                path,
                limits=AXES.kept(speed=kept.speed, accel=kept.accel),
                tool=TOOL.kept(speed=kept.speed, accel=kept.accel),
            ).time_s,
        )
        for kept in (light, heavy)
    ]
    assert times[1][0] >= times[0][0] / ROOM
    assert times[1][1] >= times[0][1] / ROOM


@given(SHARES, SHARES, st.floats(0.0, 0.5), st.floats(0.0, 3.0))
def test_the_law_of_derating_falls_with_the_load(one: float, other: float, loss: float, ratio: float) -> None:
    """From 1 without a load downwards, never to nothing, also between masses on one lever."""
    low, high = sorted((one, other))

    for factor in (
        [payload_speed_factor(use, loss_at_full=loss) for use in (0.0, low, high, 1.0)],
        [payload_accel_factor(use, inertia_ratio=ratio) for use in (0.0, low, high, 1.0)],
    ):
        assert 1.0 == factor[0] >= factor[1] >= factor[2] >= factor[3] > 0.0
    uses = [load_use_share(mass, rated_kg=1.0, lever_m=0.3, rated_lever_m=0.2) for mass in (low, high)]
    assert uses[0] <= uses[1]


@given(st.floats(0.05, 3.0), st.floats(1.0, 4.0), st.floats(0.15, 0.6), st.floats(-0.5, 0.5))
def test_a_higher_cap_is_never_slower(cap: float, times: float, x: float, y: float) -> None:
    """Along any line of the flat arm; nor does the time fall below what nothing undercuts."""
    path = line((0.3, 0.45), (x + 0.1, y), 61)
    slow = straight_move(path, limits=AXES, tool=TOOL.capped(cap))
    fast = straight_move(path, limits=AXES, tool=TOOL.capped(cap * times))

    assert fast.time_s <= slow.time_s * ROOM
    assert slow.least_s <= slow.time_s * ROOM


@given(LIMITS, TOOLS, JOINTS, JOINTS, st.floats(0.05, 2.0))
def test_a_line_in_joint_space_takes_no_less_than_the_joint_move(
    limits: AxisLimits, tool: ToolLimits, start: list[float], end: list[float], length: float
) -> None:
    """Axes in proportion are never quicker than axes that only start and end together."""
    one, other = np.array(start), np.array(end)
    path = tool_path(one + np.linspace(0.0, 1.0, 9)[:, None] * (other - one), length_m=length)

    assert straight_move(path, limits=limits, tool=tool).time_s >= joint_moves(one, other, limits=limits).times_s / ROOM


@given(POINTS, TOOLS, st.floats(0.0, 0.5))
def test_blending_lies_between_short_cut_and_stopping(
    points: list[tuple[float, float, float]], tool: ToolLimits, radius: float
) -> None:
    """Past any via points: no quicker than the straight short cuts, no slower than a stop at each."""
    path = via_path(points, radii_m=[radius] * (len(points) - 2))
    found = blended(path, limits=tool)

    assert found.short_cut_s <= found.time_s * ROOM
    assert found.time_s <= found.stopping_s
    assert all(0.0 <= each <= tool.speed_m_s for each in found.corner_speeds_m_s)


SPEEDS = st.floats(0.0, 4.0)
BRAKING = st.floats(0.2, 20.0)


@given(SPEEDS, SPEEDS, BRAKING, BRAKING, st.floats(0.0, 1.0))
def test_a_gap_on_the_rail_is_enough_for_both(
    one: float, other: float, brake: float, other_brake: float, late: float
) -> None:
    """The zone holds both stopping ways and the gap, whichever carriage comes from where; faster never needs less."""
    rest = {"reaction_s": late, "keep_m": 0.4}
    zone = buffer_zone_m(one, other_speed_m_s=other, braking_m_s2=brake, other_braking_m_s2=other_brake, **rest)
    turned = buffer_zone_m(other, other_speed_m_s=one, braking_m_s2=other_brake, other_braking_m_s2=brake, **rest)

    assert math.isclose(zone, turned, rel_tol=1e-12)
    assert zone - carriage_stopping_m(one, braking_m_s2=brake, reaction_s=late) >= 0.4 / ROOM
    faster = buffer_zone_m(one + 0.1, other_speed_m_s=other, braking_m_s2=brake, other_braking_m_s2=other_brake, **rest)
    assert faster >= zone


@given(st.floats(100.0, 1e5), st.floats(0.0, 5e3), st.floats(1e-6, 1e-3), st.floats(1.0, 3.0))
def test_columns_come_closer_under_more_load(load: float, weight: float, moment: float, times: float) -> None:
    """More load or weight never allows a wider span, a stiffer beam never needs a narrower one."""
    beam = {"elasticity_pa": 210e9, "area_moment_m4": moment}
    stiffer = {"elasticity_pa": 210e9, "area_moment_m4": moment * times}

    for spacing, allowed in (
        (column_spacing_m, {"allowed_m": 0.003}),
        (column_spacing_by_share_m, {"allowed_share": 1e-3}),
    ):
        span = spacing(load, weight_n_m=weight, **allowed, **beam)  # type: ignore[arg-type]
        assert spacing(load * times, weight_n_m=weight, **allowed, **beam) <= span * ROOM  # type: ignore[arg-type]
        assert spacing(load, weight_n_m=weight * times, **allowed, **beam) <= span * ROOM  # type: ignore[arg-type]
        assert spacing(load, weight_n_m=weight, **allowed, **stiffer) >= span / ROOM  # type: ignore[arg-type]
