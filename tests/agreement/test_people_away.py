"""Absence, handover, calls away and helping each other: by a second way, and by the simulation of today's cell."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import pytest

from millhand.formulas.finite_source import machines_running
from millhand.model.cell import Cell
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Figure, Output
from millhand.model.span import Span
from millhand.solvers.kernel.replications import simulate
from tests.checks import OWN, Check, assert_holds
from tests.stages.jobs import Planned, plan_of, told
from tests.stages.short_road import example

WEEK_H = 168.0
RUN_S, SERVICE_S = 300.0, 100.0


def check(formula: str, expected: float, **inputs: object) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


CHECKS = [
    check("absent_share", 5 / 250, absence=25 / 250, unreplaced=5 / 25),  # days of a year, counted
    check("missed_s", 8.5 * 3600.0 * 2 / 100, absent_share=0.02, length_s=8.5 * 3600.0),  # two of a hundred shifts
    check("present_h", 98 * 8.5, hours_h=100 * 8.5, absent_share=0.02),
    check("lost_parts", 7.5, without_parts=120.0, made_parts=112.5),
    check(
        "lost_in_turn_parts", 120.0 - 6.0 - (120.0 - 6.0) * 0.9, made_parts=120.0, before_shares=(0.05,), lost_share=0.1
    ),
    check("lost_share", 3 / 200, kept_share=197 / 200),
    check("share_h", 15.5 * 60.0 / 900.0, hours_h=15.5, share=60.0 / 900.0),
    check(
        "stood_h", 2 * 0.5 + 3 * 0.8,
        hours_h=80.0, shifts=10.0, machines=(2.0, 3.0), every_s=(15.0, 9.0), takes_s=(1.0, 1.0),
    ),
    check("set_up_h", 3 * 0.75, parts=180.0, lot=60.0, set_up_s=45 * 60.0),
    check("between_calls_s", 4 * 3600.0 - 900.0, away_share=900.0 / (4 * 3600.0), takes_s=900.0),  # once in 4 h
]  # fmt: skip


@pytest.mark.parametrize("each", CHECKS, ids=str)
def test_a_second_way_gives_the_same(each: Check) -> None:
    """Days, shifts and hours counted by hand."""
    assert_holds(each)


# --- a pool against zones ---


def shop(values: Mapping[str, float | str]) -> Inquiry:
    """Four mills and two operators, who are always there, walk nowhere, do nothing beside, and are never called."""
    plain: dict[str, float | str] = {
        "machines.mill.count": 4.0, "people.operators": 2.0, "people.machines_per_operator": 2.0, "today.walk": 0.0,
        "people.unreplaced": 0.0, "people.handover": 0.0, "machines.mill.stops.short_every": 1e9,
        "machines.mill.chip_limit": 1e9, "parts.bracket.milling.tool_life": 1e9, "people.allowance": 0.0,
    }  # fmt: skip
    made = told(example("1_two_mills"), plain | dict(values))
    elements = tuple(each for each in made.today.elements if each.side.value == "outside")
    shifts = tuple(replace(each, breaks=()) for each in made.shifts)
    return replace(made, today=replace(made.today, elements=elements), shifts=shifts)


def today(values: Mapping[str, float | str]) -> Planned:
    """Today's process of that shop."""
    return plan_of(shop(values), "today")


@cache
def by_chance(tend: str) -> Output:
    """Its cell with exponential times, open at all hours, simulated."""
    cell = today({"people.tend": tend}).plan.cell
    assert cell is not None
    run, service = (Span(dist="exponential", mean_s=each) for each in (RUN_S, SERVICE_S))
    rows = tuple(
        replace(row, swap=replace(row.swap, hold_s=service)) if row.swap is not None else row for row in cell.handling
    )
    parts = {
        name: replace(part, route=tuple(replace(step, time_s=run) if step.time_s else step for step in part.route))
        for name, part in cell.parts.items()
    }
    hours = {name: replace(each, on=((0.0, each.period_s),)) for name, each in cell.calendars.items()}
    still = replace(cell, handling=rows, parts=parts, calendars=hours, origins={})
    return simulate(still, hours=WEEK_H, replications=40, seed=1)


def inside(expected: float, figure: Figure) -> bool:
    """Whether a value lies in the 95 % interval, widened to one chance in a thousand."""
    return abs(figure.mean - expected) <= 1.7 * (figure.high - figure.low) / 2.0


@pytest.mark.parametrize(("tend", "groups", "heads"), [("own", 2, 1), ("together", 1, 2)])
def test_today_s_cell_makes_what_the_finite_source_gives(tend: str, groups: int, heads: int) -> None:
    """M/M/1//2 twice for zones, M/M/2//4 for operators who help each other."""
    running = groups * machines_running(4 / groups, attendants=heads, run_s=RUN_S, service_s=SERVICE_S)

    assert inside(3600.0 * running / RUN_S, by_chance(tend).parts_per_h)


def test_helping_each_other_makes_more_and_leaves_machines_waiting_for_less() -> None:
    """Nobody is idle while a machine of the other waits."""
    own, together = by_chance("own"), by_chance("together")

    assert together.parts_per_h.low > own.parts_per_h.high
    assert waiting(together) < 0.8 * waiting(own)


def waiting(output: Output) -> float:
    """Share of the time in which a machine waits for somebody, over all machines."""
    return sum(states.get("waiting_attendant", 0.0) for name, states in output.states.items() if "machine" in name)


# --- people who are not there ---


def counted(values: Mapping[str, float | str], *, weeks: int = 400) -> tuple[Planned, Output]:
    """Today's process with people away, its plan and its simulation."""
    made = today(values)
    assert made.plan.cell is not None
    return made, simulate(made.plan.cell, hours=WEEK_H, replications=weeks, seed=1)


def people_h(output: Output, beginning: str) -> float:
    """Hours a week that people spend on duties that begin so."""
    return WEEK_H * sum(each.mean for name, each in output.duty_share.items() if name.startswith(beginning))


def test_absence_takes_whole_shifts_on_its_share_of_them() -> None:
    """A tenth of 20 man-shifts of 8.5 h: 17 h a week of nobody there; both operators are away as often."""
    made, output = counted({"people.absence": 0.2, "people.unreplaced": 0.5})
    spread = 3.3 * 8.5 * (20 * 0.1 * 0.9 / 400) ** 0.5  # of a binomial count, one chance in a thousand

    assert made.value("shifts.absent_share") == pytest.approx(0.1)
    assert people_h(output, "absence_") == pytest.approx(0.1 * 20 * 8.5, abs=spread)
    assert people_h(output, "absence_1") == pytest.approx(people_h(output, "absence_2"), abs=2.0 * spread)


def test_a_handover_takes_its_minutes_of_each_shift_where_somebody_came() -> None:
    """Ten minutes in 20 man-shifts a week. Where nobody comes to half of them: in half of the early ones, and in the
    late ones where somebody comes or nobody came before: then the word that waited is given at the change."""
    _, always = counted({"people.handover": 600.0}, weeks=20)
    _, seldom = counted({"people.handover": 600.0, "people.absence": 0.5, "people.unreplaced": 1.0})

    assert people_h(always, "handover_") == pytest.approx(20 * 600.0 / 3600.0, rel=0.01)
    assert people_h(seldom, "handover_") == pytest.approx((0.5 + 0.75) / 2.0 * people_h(always, "handover_"), rel=0.03)


def test_a_call_away_takes_its_share_of_the_time() -> None:
    """A quarter of all time by the clock, so that no backlog of calls waits in the morning."""
    made, output = counted({"people.away": 0.25, "people.away_takes": 900.0}, weeks=100)
    cell = made.plan.cell
    assert isinstance(cell, Cell)

    assert cell.attendants["operator1"].faults[0].every == Span(dist="exponential", mean_s=2700.0)
    assert output.states["operator1"]["failed"] == pytest.approx(0.25, abs=0.01)
    assert output.parts_per_h.high < counted({}, weeks=100)[1].parts_per_h.low
