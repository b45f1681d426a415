"""The winner's payback rebuilt on paper: price, hours, wage, freed, usable, and the named lines beside them.

The price, the hours and the wage come from the inquiry's own numbers and a price list of this file, not from the code
and not from its catalogue; only what a simulation has to say (hours still needed, parts made) is taken from the study.
"""

from dataclasses import dataclass

import pytest

from millhand.model.study import Result, Study
from tests.examples.test_examples import NAMES, done

WITHIN = 0.15
KUSD = {
    "force_limited_12": 42.0, "force_limited_25": 52.0, "fenced_20": 38.0, "fenced_60": 54.0,
    "parallel_single": 5.0, "parallel_double": 12.0, "centric_single": 5.0, "centric_double": 12.0,
    "trays": 5.0, "drawers": 16.0, "step_feeder": 30.0, "infeed_conveyor": 9.0, "out_conveyor": 9.0,
    "back_to_tray": 0.0, "pedestal": 2.0, "movable_stand": 5.0, "fence": 14.0, "scanner": 6.0,
}  # fmt: skip
RAMP_UP = (0.40, 0.65, 0.85, 0.95)  # of a first cell, month by month
LATER, CONTINGENCY, UPKEEP = 1.03, 0.15, 0.04  # a year's rise of prices; shares of the price
NEW_FAMILIES, PROGRAMMING_H, STANDS, FINGERS_KUSD = 2.0, 8.0, 0.5, 0.6  # a year; a family
OWN_H, STANDS_D = 120.0, 3.0  # the shop's own hours; days that the machines stand
GATE_KUSD = 2.5  # a further gate in a fence
TRIALS, KG_USD, SITE_KUSD = 200.0, 4.0, 2.5  # parts; a kilogram of raw parts; air, power, network, anchors
INSURANCE, KW, KWH_USD, M2_USD = 0.006, 1.1, 0.16, 80.0  # share of the price; power and its price; floor a year
UNREPLACED = 0.20  # of the days on which somebody is away nobody stands in


@dataclass(frozen=True)
class Paper:
    """What the inquiry of an example says, and what follows with a pencil."""

    hours: float  # a year, worked by those at the machines
    wage: float  # of an hour worked, on-cost in it
    usable: float
    rate: float  # currency for one USD
    families: float
    around_kusd: float  # interfaces, doors, vises, seat sensing and spring plates of all machines
    engineering_kusd: float
    a_day_h: float  # heads times hours from coming to going
    contribution: float
    orders: float
    today: float  # parts a year
    raw_kg: float
    more_gates: int = 0  # as the drawing of the winner has them
    track_m: float = 0.0


PAPER = {
    "1_two_mills": Paper(
        hours=2 * 7.75 * 250 * (1 - 0.09 * UNREPLACED),
        wage=29 * (1 + 0.08 / 2) * 1.31 * (8.0 / 7.75) / 0.91, usable=0.90, rate=1.0,
        families=4, around_kusd=2 * (6 + 7 + 4 + 1.0), engineering_kusd=45, a_day_h=2 * 8.5,
        contribution=3.2, orders=60_000, today=105 * 500, raw_kg=2.4, more_gates=1,
    ),
    "2_three_lathes": Paper(
        hours=(7.25 + 7.5) * 225 * (1 - 0.10 * UNREPLACED),
        wage=21 * (1 + 0.10 / 2) * 1.24 * (15.0 / 14.75) / 0.90, usable=0.15, rate=0.92,
        families=2, around_kusd=3 * (6 + 1.0 + 1.2), engineering_kusd=75, a_day_h=2 * 8.0,
        contribution=3.4, orders=190_000, today=225 * 450, raw_kg=2.1, track_m=2 * 2.6,
    ),
    "5_two_vises": Paper(
        hours=2 * 7.5 * 250 * (1 - 0.10 * UNREPLACED),
        wage=28 * (1 + 0.10 / 2) * 1.30 / 0.90, usable=0.85, rate=1.0,
        families=2, around_kusd=6 + 1.0, engineering_kusd=32, a_day_h=2 * 8.0,
        contribution=4.0, orders=42_000, today=62 * 500, raw_kg=2.9,
    ),
}  # fmt: skip
CELLS = [name for name in NAMES if name in PAPER]


def winner(study: Study) -> Result:
    """The concept that won."""
    return next(each for each in study.results if each.concept.id == study.decision.winner)


def value(study: Study, fact_id: str | None) -> float:
    """A figure of the study."""
    assert fact_id is not None
    return study.facts[fact_id].value


def installed(paper: Paper, result: Result) -> float:
    """Installed price: every piece, a year's rise, contingency."""
    concept = result.concept
    built = (concept.arm, concept.gripper, concept.presenter, concept.outfeed, concept.safeguarding)
    kusd = sum(KUSD[each.id] for each in built if each is not None)
    assert concept.mount is not None
    kusd += 32.0 + 5.0 * (paper.track_m - 3.5) if concept.mount.id == "floor_track" else KUSD[concept.mount.id]
    kusd += paper.more_gates * GATE_KUSD
    kusd += paper.families * FINGERS_KUSD + paper.around_kusd + paper.engineering_kusd + 7.0
    return kusd * 1000.0 * LATER * (1.0 + CONTINGENCY) * paper.rate


def lines(study: Study, paper: Paper, result: Result) -> dict[str, float]:
    """The yearly lines: what labour and output bring, what the cell costs to run."""
    own = result.performance
    assert own is not None
    made = min(paper.orders, value(study, own.parts_per_y))
    return {
        "labour": (paper.hours - value(study, own.operator_h_per_y)) * paper.wage * paper.usable,
        "output": max(0.0, made - paper.today) * paper.contribution,
        "upkeep": -UPKEEP * installed(paper, result),
        "programming": -NEW_FAMILIES * PROGRAMMING_H * (1.0 + STANDS) * paper.wage,
        "fingers": -NEW_FAMILIES * FINGERS_KUSD * 1000.0 * LATER * paper.rate,
        "insurance": -INSURANCE * installed(paper, result),
        "power": -KW
        * KWH_USD
        * (value(study, own.attended_h_per_y) + value(study, own.unattended_h_per_y))
        * LATER
        * paper.rate,
        "floor": -M2_USD * value(study, result.layout.floor_area if result.layout else None) * LATER * paper.rate,
    }


def rebuilt_months(study: Study, paper: Paper, result: Result) -> float:
    """Months: price, own work and what ramp-up withholds, over a year's lines."""
    yearly = lines(study, paper, result)
    own_work = (OWN_H + STANDS_D * paper.a_day_h) * paper.wage
    own_work += (TRIALS * paper.raw_kg * KG_USD + SITE_KUSD * 1000.0) * LATER * paper.rate
    withheld = (yearly["labour"] + yearly["output"]) / 12.0 * sum(1.0 - share for share in RAMP_UP)
    return 12.0 * (installed(paper, result) + own_work + withheld) / sum(yearly.values())


@pytest.mark.xdist_group("examples")
def test_every_cell_that_wins_is_rebuilt() -> None:
    """No example's winning cell is left out."""
    assert [name for name in NAMES if winner(done(name)).concept.kind == "cell"] == CELLS


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", CELLS)
def test_the_payback_is_rebuilt_from_five_numbers_and_named_lines(name: str) -> None:
    """Within 15 %: growth of wages within the payback is what a pencil leaves out."""
    study = done(name)
    result = winner(study)
    assert result.case is not None
    months = rebuilt_months(study, PAPER[name], result)

    assert value(study, result.case.payback_months) == pytest.approx(months, rel=WITHIN)


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", CELLS)
def test_price_hours_and_wage_are_those_on_paper(name: str) -> None:
    """Installed price, hours of today, cost of an hour worked: to a thousandth."""
    study, paper = done(name), PAPER[name]
    result = winner(study)
    assert result.estimate is not None
    today = next(each.performance for each in study.results if each.concept.kind == "today")
    assert today is not None

    assert value(study, result.estimate.installed) == pytest.approx(installed(paper, result), rel=1e-3)
    assert value(study, result.estimate.worked_hour) == pytest.approx(paper.wage, rel=1e-3)
    assert value(study, today.operator_h_per_y) == pytest.approx(paper.hours, rel=1e-3)
    assert value(study, today.parts_per_y) == pytest.approx(paper.today, rel=1e-3)


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", CELLS)
def test_each_yearly_line_is_that_on_paper(name: str) -> None:
    """No line is missing, counted twice or has the wrong sign: labour, output, and what the cell costs to run."""
    study, paper = done(name), PAPER[name]
    result = winner(study)
    assert result.case is not None
    labour = value(study, f"concepts.{result.concept.id}.case.labour")
    output, running = value(study, result.case.year.output), value(study, result.case.year.running)
    written = lines(study, paper, result)
    costs = ("upkeep", "programming", "fingers", "insurance", "power", "floor")

    assert labour == pytest.approx(written["labour"], rel=1e-3)
    assert output == pytest.approx(written["output"], rel=1e-3)
    assert -running == pytest.approx(sum(written[name] for name in costs), rel=1e-3)


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", CELLS)
def test_two_plausible_slips_would_be_seen(name: str) -> None:
    """A whole wage saved, or equipment for installed price: each rebuild misses by more than the rebuild may."""
    study, paper = done(name), PAPER[name]
    result = winner(study)
    assert result.case is not None
    assert result.estimate is not None
    months, yearly = value(study, result.case.payback_months), lines(study, paper, result)
    whole_wage = sum(yearly.values()) - yearly["labour"] + paper.hours * paper.wage
    equipment = 12.0 * value(study, result.estimate.equipment) / sum(yearly.values())

    assert 12.0 * installed(paper, result) / whole_wage < (1.0 - WITHIN) * months
    assert equipment < (1.0 - WITHIN) * months
