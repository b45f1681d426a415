"""Plausible wrong numbers of the trade, looked for in the examples' studies: none of them gets through."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from millhand.model.cell import Cell
from millhand.model.performance import Performance
from millhand.model.slots import scaled
from millhand.model.study import Result, Study
from millhand.model.walk import with_facts
from millhand.solvers.kernel.replications import simulate
from millhand.stages.performance.shared import ABSENCE
from tests.examples.test_examples import NAMES, done
from tests.stages.short_road import changed, example, walked

LATHES = "2_three_lathes"
TRACK = "drawers-floor_track-{}-centric_double-{}"
FENCED, LIMITED = TRACK.format("fenced_20", "fence"), TRACK.format("force_limited_25", "scanner")
FAULT_OF_LOAD = f"concepts.{FENCED}.cells.fault_share"


def value(study: Study, fact_id: str | None) -> float:
    """A figure of the study."""
    assert fact_id is not None
    return study.facts[fact_id].value


def cells(study: Study) -> Iterator[tuple[Result, Performance]]:
    """Every cell that was worked out, with its performance."""
    for each in study.results:
        if each.concept.kind == "cell" and each.performance is not None:
            yield each, each.performance


# --- hours alone ---


@pytest.mark.xdist_group("examples")
def test_without_hours_alone_no_cell_pays_at_the_three_lathes() -> None:
    """They pay by unmanned hours alone: without those even a cell at its load bound misses the hurdle; every third."""
    inquiry = changed(example(LATHES), {"wishes.unattended": 0.0})
    alive = {each.concept.id for each in done(LATHES).results if each.concept.kind == "cell" and each.cell is not None}
    living = [walked(inquiry, each) for each in [each for each in sorted(alive) if "floor_track" in each][::3]]

    assert len(living) >= 4
    assert all(made.value(made.case.hurdle_balance) < 0.0 for made in living)
    with_hours = walked(example(LATHES), FENCED)
    assert with_hours.value(with_hours.case.hurdle_balance) > 0.0


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_output_alone_stays_below_faults_and_presenter(name: str) -> None:
    """At most what is there at the start until the first fault of the exchange: (1 - q)(1 - (1 - q)^n) / q."""
    study = done(name)
    for result, own in cells(study):
        if own.parts_alone is None or own.output is None:
            continue
        stock = f"concepts.{result.concept.id}.performance.alone_limit"
        count = value(study, stock) + value(study, "shifts.machines")
        fault = value(study, f"concepts.{result.concept.id}.cells.fault_share")
        most = (1.0 - fault) * (1.0 - (1.0 - fault) ** count) / fault

        assert 0.0 < value(study, own.parts_alone) <= min(most, count)


def alone(cell: Cell) -> float:
    """Loads that leave a cell an hour while nobody is there, in a few weeks."""
    return simulate(cell, hours=168.0, replications=3, seed=1).counts["unattended"].mean


@pytest.mark.xdist_group("examples")
def test_ten_times_the_faults_hurt() -> None:
    """The first jam ends the night: of the winner at the lathes more than half of the output alone goes."""
    study = done(LATHES)
    cell = next(each.cell for each in study.results if each.concept.id == study.decision.winner)
    assert cell is not None

    assert alone(scaled(cell, {FAULT_OF_LOAD: 10.0})) < 0.5 * alone(cell)


# --- the exchange ---


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", ["1_two_mills", LATHES])
def test_a_cycle_that_the_machines_set_is_machining_and_gap(name: str) -> None:
    """Not machining and the arm's whole work. With two hands exactly; with one, all wait for the furthest machine.

    Exactly but for the grid: run, door, exchange and restart of a cell stand in whole thousandths of a second.
    """
    study = done(name)
    machines, part = value(study, "shifts.machines"), study.inquiry.parts[0].operations[0]
    looked_at = [each for each, own in cells(study) if own.cycle_per_h and own.pace_setter.startswith("machine")]

    assert looked_at
    for result in looked_at:
        own, gripper = result.performance, result.concept.gripper
        assert own is not None
        assert gripper is not None
        gap = value(study, f"concepts.{result.concept.id}.timing.{part.name}.gap")
        most = machines * 3600.0 / (part.time_s.value + gap)
        least = most if gripper.figures["hands"].value == 2.0 else 0.97 * most

        grid = 4 * 0.0005 / (part.time_s.value + gap)
        assert least * (1.0 - grid) <= value(study, own.cycle_per_h) <= most * (1.0 + grid)


# --- force-limited arms ---


def loss_of_force_limited(time_s: float) -> float:
    """Share of the fenced arm's rate that the force-limited one lacks, three lathes of a machining time."""
    told = changed(example(LATHES), {"parts.flange.turning.time": time_s})
    inquiry = with_facts(told, {told.wishes.people_pass.id: replace(told.wishes.people_pass, value="yes")})
    slow, quick = (walked(inquiry, concept) for concept in (LIMITED, FENCED))
    return 1.0 - slow.value(slow.performance.bound_per_h) / quick.value(quick.performance.bound_per_h)


def test_a_force_limited_arm_costs_little_where_machines_set_the_pace() -> None:
    """A few per cent at four minutes of machining; a quarter to a half where the arm sets the pace."""
    assert 0.01 < loss_of_force_limited(250.0) < 0.07
    assert 0.25 < loss_of_force_limited(20.0) < 0.5


# --- people ---


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_hours_still_needed_are_the_simulated_minutes(name: str) -> None:
    """Duties as simulated, inside work that stays, set-ups and changeovers: once each, above nothing in every cell."""
    study = done(name)
    good = 1.0
    for operation in study.inquiry.parts[0].operations:
        good *= operation.good.value
    for result, own in cells(study):
        at = f"concepts.{result.concept.id}.performance."
        hours = value(study, own.operator_h_per_y)
        assert hours > 0.0
        if own.output is None:
            continue
        duties = (each.mean for name, each in own.output.duty_share.items() if not name.startswith(ABSENCE))
        duties_h = sum(duties) * own.output.horizon_s / 3600.0
        loads = own.output.parts_per_h.mean * own.output.horizon_s / 3600.0
        parts = value(study, f"{at}tended_parts_per_y") / good
        a_load = study.inquiry.parts[0].operations[-1].parts_per_cycle.value
        inside_h = parts * value(study, f"{at}inside_s") / 3600.0
        counted = parts / a_load * duties_h / loads + inside_h + value(study, f"{at}changeovers_h")

        assert hours == pytest.approx(min(counted, value(study, "shifts.assigned_h_per_y")))


# --- the price ---


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize(
    ("name", "track", "between"),
    [
        ("1_two_mills", False, (110_000.0, 215_000.0)),
        ("1_two_mills", True, (220_000.0, 500_000.0)),
        (LATHES, True, (220_000.0, 500_000.0)),
        ("5_two_vises", False, (110_000.0, 215_000.0)),
    ],
)
def test_installed_prices_lie_where_the_trade_sees_them(name: str, track: bool, between: tuple[float, float]) -> None:
    """One-arm cells 110 to 215 kUSD; track cells 280 to 500, less where doors and chucks are powered already."""
    study = done(name)
    factor = value(study, "money.price_factor") / 1.03
    prices = [
        value(study, each.estimate.installed) / factor
        for each, _ in cells(study)
        if each.estimate is not None and ("track" in each.concept.id) == track
    ]

    assert prices
    assert between[0] < min(prices)
    assert max(prices) < between[1]


def test_own_integration_is_cheaper_to_buy_and_not_for_nothing() -> None:
    """Installed 30 to 45 % less; the hours that the integrator would have worked are the shop's own, and are paid."""
    turnkey = example("1_two_mills")
    own = replace(turnkey, wishes=replace(turnkey.wishes, integrator=replace(turnkey.wishes.integrator, value="own")))
    bought, built = (walked(inquiry, "trays-pedestal-fenced_20-parallel_single-fence") for inquiry in (turnkey, own))
    prices = [made.value(made.plan.estimate.installed) for made in (bought, built) if made.plan.estimate]
    works = [made.value(made.plan.estimate.own) for made in (bought, built) if made.plan.estimate]

    assert 0.55 < prices[1] / prices[0] < 0.70
    assert works[1] - works[0] == pytest.approx(450.0 * built.sheet.value("wage.worked_hour"))
