"""Tables of all pairs: symmetric where nothing is carried, slower with a part and under a cap."""

import numpy as np
import pytest

from millhand.solvers.moves.burden import JUDGED_INERTIA_RATIO, JUDGED_SPEED_LOSS, Burden, Rating, kept_under
from millhand.solvers.moves.joint import NOBODY, joint_moves
from millhand.solvers.moves.straight import straight_move
from millhand.solvers.moves.tables import Mover, Stop, move_times
from tests.solvers.moves.two_links import AXES, TOOL, joints_at, line, places_at

RATING = Rating(rated_kg=10.0, rated_lever_m=0.2, inertia_ratio=JUDGED_INERTIA_RATIO, speed_loss=JUDGED_SPEED_LOSS)
MOVER = Mover(axes=AXES, tool=TOOL, rating=RATING, tool_places=places_at)
WAY_IN = line((0.3, 0.5), (0.2, 0.6))


def stop(name: str, place: tuple[float, float], *, inside: bool = False) -> Stop:
    """A station at a place, with or without a way in."""
    return Stop(name=name, joints=tuple(joints_at(np.array(place)).tolist()), way_in=WAY_IN if inside else None)


STOPS = [stop("mill", (0.3, 0.5), inside=True), stop("drawer", (0.6, -0.3)), stop("gauge", (0.75, 0.2))]
PART = Burden(mass_kg=8.0, lever_m=0.25)


def test_without_a_load_there_and_back_take_the_same() -> None:
    """Each time is the joint move and the straight ways at its ends; from a station to itself it is nothing."""
    times = move_times(STOPS, MOVER, burdens={}, slow_m_s=0.25)
    known = joint_moves(STOPS[0].joints, STOPS[1].joints, limits=AXES)
    way = straight_move(WAY_IN, limits=AXES, tool=TOOL)

    assert times.full_s[0, 1] == pytest.approx(float(known.times_s) + way.time_s, rel=1e-12)
    assert times.full_s == pytest.approx(times.full_s.T)
    assert times.slow_s == pytest.approx(times.slow_s.T)
    assert (np.diag(times.full_s + times.slow_s) == 0.0).all()
    assert times.slowest[0, 1] == known.slowest
    assert (np.diag(times.slowest) == NOBODY).all()


def test_a_part_slows_the_way_on_which_it_is_carried() -> None:
    """From mill to gauge with a part longer than back without; other pairs stay as they were."""
    empty = move_times(STOPS, MOVER, burdens={}, slow_m_s=0.25)
    times = move_times(STOPS, MOVER, burdens={("mill", "gauge"): PART}, slow_m_s=0.25)

    assert times.full_s[0, 2] > times.full_s[2, 0] == empty.full_s[2, 0]
    assert times.slow_s[0, 2] > times.slow_s[2, 0]
    changed = times.full_s != empty.full_s
    assert changed.sum() == 1
    kept = kept_under(PART, RATING)
    loaded = joint_moves(STOPS[0].joints, STOPS[2].joints, limits=AXES.kept(speed=kept.speed, accel=kept.accel))
    way = straight_move(
        WAY_IN,
        limits=AXES.kept(speed=kept.speed, accel=kept.accel),
        tool=TOOL.kept(speed=kept.speed, accel=kept.accel),
    )
    assert times.full_s[0, 2] == pytest.approx(float(loaded.times_s) + way.time_s, rel=1e-12)


def test_slow_is_no_quicker_than_the_way_of_the_tool_at_the_cap() -> None:
    """The tool's own way over the cap is a bound; a cap that nothing reaches leaves axes in proportion."""
    times = move_times(STOPS, MOVER, burdens={}, slow_m_s=0.25)
    joints = np.linspace(STOPS[1].joints, STOPS[2].joints, 2_001)
    way_m = float(np.linalg.norm(np.diff(places_at(joints), axis=0), axis=1).sum())

    assert times.slow_s[1, 2] >= way_m / 0.25
    assert times.slow_s[1, 2] <= 1.5 * way_m / 0.25
    assert (times.slow_s >= times.full_s).all()
    unreached = move_times(STOPS, MOVER, burdens={}, slow_m_s=1e6)
    assert (unreached.slow_s >= unreached.full_s * (1.0 - 1e-12)).all()
    assert unreached.slow_s[1, 2] <= 1.1 * unreached.full_s[1, 2]


def test_more_than_rated_is_refused_with_its_share() -> None:
    """A heavy part on a long lever: the words say how much of the rated load it uses."""
    with pytest.raises(ValueError, match=r"10 kg at 0\.3 m use 150% of the rated load"):
        kept_under(Burden(mass_kg=10.0, lever_m=0.3), RATING)


def test_nothing_is_kept_back_without_a_load() -> None:
    """No mass, all speed; the rated load keeps what was judged."""
    assert kept_under(Burden(mass_kg=0.0, lever_m=0.5), RATING).speed == 1.0
    full = kept_under(Burden(mass_kg=10.0, lever_m=0.2), RATING)
    assert (full.speed, full.accel) == pytest.approx((1.0 - JUDGED_SPEED_LOSS, 1.0 / (1.0 + JUDGED_INERTIA_RATIO)))
