"""The standard's key figures from state shares."""

import pytest

from millhand.solvers.kernel.codes import STATION_STATES
from millhand.solvers.output.oee import STATES, station_effectiveness

HOUR = 3600.0
WEEK = {
    "working": 0.40,
    "handled": 0.08,
    "waiting_attendant": 0.05,
    "starved": 0.03,
    "blocked": 0.01,
    "failed": 0.02,
    "in_repair": 0.03,
    "worn": 0.01,
    "setup": 0.04,
    "warming": 0.03,
    "off": 0.30,
}


def test_every_state_of_a_station_has_its_place() -> None:
    """None is forgotten and none stands twice: times add up to the horizon."""
    assert sorted(STATES) == sorted(STATION_STATES)

    found = station_effectiveness(WEEK, horizon_s=100 * HOUR, ideal_s=380.0, made=350, good=343)

    assert found.planned_busy_s == pytest.approx(70 * HOUR)
    assert found.production_s == pytest.approx(48 * HOUR)
    assert found.delay_s == pytest.approx(15 * HOUR)
    assert found.set_up_s == pytest.approx(7 * HOUR)


@pytest.mark.parametrize(("made", "good", "ideal_s"), [(350, 343, 380.0), (1, 1, 10.0), (500, 0, 60.0)])
def test_the_product_is_good_parts_times_ideal_time_over_planned_time(made: int, good: int, ideal_s: float) -> None:
    """Availability x effectiveness x quality = GQ x PRI / PBT, however the losses are named."""
    found = station_effectiveness(WEEK, horizon_s=100 * HOUR, ideal_s=ideal_s, made=made, good=good)

    assert found.availability is not None
    assert found.effectiveness is not None
    assert found.quality is not None
    assert found.oee == pytest.approx(found.availability * found.effectiveness * found.quality)
    assert found.oee == pytest.approx(good * ideal_s / (70 * HOUR))


def test_a_station_that_made_nothing_has_no_quality_and_no_effectiveness_to_show() -> None:
    """Planned and idle is an OEE of nothing; never planned is no OEE at all."""
    idle = station_effectiveness({"starved": 1.0}, horizon_s=HOUR, ideal_s=60.0, made=0, good=0)
    assert (idle.availability, idle.effectiveness, idle.quality, idle.oee) == (0.0, None, None, 0.0)
    off = station_effectiveness({"off": 1.0}, horizon_s=HOUR, ideal_s=60.0, made=0, good=0)
    assert (off.availability, off.oee) == (None, None)


def test_a_state_that_no_station_has_is_refused() -> None:
    """A misspelt state would be lost from the planned time."""
    with pytest.raises(ValueError, match="no states of a station: idle, resting"):
        station_effectiveness({"resting": 0.5, "idle": 0.5}, horizon_s=HOUR, ideal_s=60.0, made=1, good=1)
