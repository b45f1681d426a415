"""Figures by the hour, the shift and the week, counted by hand from one output."""

import pytest

from millhand.intake.cell import cell_from
from millhand.model.performance import Figure, Output
from millhand.solvers.output.per_shift import (
    good_alone,
    interventions,
    minutes_of_people,
    parts_left,
    rates,
    scaled,
    shift_share,
)
from tests.solvers.kernel.shop import arm_cell


def exact(value: float) -> Figure:
    """A figure without spread."""
    return Figure(mean=value, low=value, high=value)


def output(*, attended: float) -> Output:
    """Ten parts an hour, nine of them good; six an hour of the horizon leave with somebody there."""
    return Output(
        cell="c",
        seed=1,
        replications=2,
        horizon_s=3600.0,
        parts_per_h=Figure(mean=10.0, low=9.0, high=11.0),
        good_per_h=exact(9.0),
        states={
            "m1": {"working": 1.0},
            "person": {"on_duty": 0.1, "handling": 0.05, "travelling": 0.02, "carrying": 0.03, "idle": 0.3, "off": 0.5},
            "nobody": {"off": 0.9, "break": 0.1},
        },
        duties={"refill": Figure(mean=0.5, low=0.25, high=0.75)},
        duty_share={"refill": exact(0.1)},
        counts={"attended": exact(6.0), "unattended": exact(4.0), "good_unattended": exact(3.0)},
        attended_share=attended,
        by_part={"flange": exact(5.0)},
    )


def test_hours_are_of_their_own_time_and_weeks_of_all() -> None:
    """Six of ten parts in a quarter of the time are 24 an hour of it; the weeks of attended and alone add up."""
    told = {rate.parts: rate for rate in rates(output(attended=0.25))}

    assert list(told) == ["parts", "good parts", "parts, attended", "parts, alone", "good parts, alone", "good, flange"]
    assert told["parts"].per_shift == Figure(mean=80.0, low=72.0, high=88.0)
    assert told["parts, attended"].per_h == exact(24.0)
    assert told["parts, attended"].per_shift == exact(192.0)
    assert told["parts, alone"].per_h.mean == pytest.approx(4.0 / 0.75)
    whole = told["parts, attended"].per_week.mean + told["parts, alone"].per_week.mean
    assert whole == told["parts"].per_week.mean == 1680.0


@pytest.mark.parametrize("attended", [0.0, 1.0])
def test_where_people_are_always_or_never_there_is_one_kind_of_time(attended: float) -> None:
    """No lines of attended and alone, which would divide by nothing."""
    assert [rate.parts for rate in rates(output(attended=attended))] == ["parts", "good parts", "good, flange"]
    assert good_alone(output(attended=attended)) is None


def test_what_leaves_alone_is_found_by_its_name() -> None:
    """Three good parts an hour of the horizon are 504 in its week."""
    found = good_alone(output(attended=0.25))

    assert found is not None
    assert found.per_week == exact(504.0)


def test_a_duty_is_told_for_eight_hours_with_somebody_there() -> None:
    """Half a call an hour of the horizon, people there in half of it: eight in a shift, 96 minutes of work."""
    (told,) = interventions(output(attended=0.5))

    assert told.times == Figure(mean=8.0, low=4.0, high=12.0)
    assert told.minutes.mean == pytest.approx(96.0)


def test_where_nobody_has_hours_a_shift_is_any_eight() -> None:
    """An arm alone answers its own calls."""
    assert shift_share(output(attended=0.0)) == 1.0


def test_a_person_is_told_by_own_hours() -> None:
    """Half of the time off: each share counts twice in 480 minutes; who is never there is left out."""
    told = minutes_of_people(output(attended=0.5), ["person", "nobody"])

    assert set(told) == {"person"}
    assert {kind: round(minutes, 9) for kind, minutes in told["person"].items()} == {
        "duties": 96.0,
        "handling": 48.0,
        "walking": 48.0,
        "free": 288.0,
    }


def test_parts_of_lots_that_are_left() -> None:
    """Ten an hour for an hour of two lots of eight: six are left; who has no lots has nothing left."""
    form = arm_cell() | {"goal": "makespan"}
    form["parts"]["part"]["lot"] = {"size": 8, "count": 2}

    assert parts_left(cell_from(form), output(attended=1.0)) == 6.0
    assert parts_left(cell_from(arm_cell()), output(attended=1.0)) == 0.0


def test_scaling_moves_the_whole_interval() -> None:
    """Mean and both ends."""
    assert scaled(Figure(mean=2.0, low=1.0, high=4.0), 3.0) == Figure(mean=6.0, low=3.0, high=12.0)
