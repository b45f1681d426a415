"""One operator with fewer or more machines: the scheduler's cycles against the printed ones and the closed forms."""

import math
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.formulas.finite_source import (
    ashcroft_machines_running,
    machines_running,
    machines_waiting,
    waiting_time_s,
)
from millhand.formulas.unlike_machines import unlike_running
from millhand.formulas.worker_machine import (
    cost_per_part_money,
    operator_idle_share,
    servicing_cycle_s,
    wright_interference,
)
from millhand.intake.inquiry import read_inquiry
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.servicing import Serviced, Servicing, Side
from millhand.model.study import Study
from millhand.model.walk import facts_in, with_facts
from millhand.servicing import with_servicing
from millhand.stages.servicing import MOST
from millhand.study import study
from tests.checks import prints_as
from tests.few_draws import FEW_DRAWS

pytestmark = pytest.mark.xdist_group("servicing")  # their studies are worked out once a process

TOP = Path(__file__).resolve().parents[1]
MONEY = 10.0


@cache
def by_hand() -> Catalogue:
    """The catalogue without components and changes: today alone."""
    return replace(read_catalogue(), components={}, hand_changes=())


@cache
def read(path: str) -> Inquiry:
    """An inquiry of the checkout."""
    return read_inquiry(TOP / path, assumptions())


@cache
def done(path: str) -> Study:
    """Today of an inquiry, with the page on servicing."""
    return with_servicing(study(read(path), by_hand(), seed=1, asked=FEW_DRAWS), read(path), by_hand())


def shop(*, load_s: float, machining_s: float, walk_s: float) -> Inquiry:
    """Two mills at which load, machining and what the operator does alone are these, and nothing else takes time."""
    inquiry = read("examples/1_two_mills/inquiry.yaml")
    times = {element.time_s.id: 0.0 for element in inquiry.today.elements}
    outside = next(each for each in inquiry.today.elements if each.side.value == "outside")
    inside = next(each for each in inquiry.today.elements if each.side.value == "inside")
    new = times | {
        outside.time_s.id: load_s,
        inside.time_s.id: walk_s,
        inquiry.today.walk_s.id: 0.0,
        inquiry.people.allowance.id: 0.0,
        inquiry.parts[0].operations[0].time_s.id: machining_s,
    }
    facts = {fact.id: fact for fact in facts_in(inquiry) if isinstance(fact, Fact)}
    return with_facts(
        inquiry, {key: replace(facts[key], value=value, low=None, high=None) for key, value in new.items()}
    )


@cache
def two_mills() -> Study:
    """Today of the first example, of which the wage is taken."""
    return study(read("examples/1_two_mills/inquiry.yaml"), by_hand(), seed=1, asked=FEW_DRAWS)


@cache
def serviced(load_s: float, machining_s: float, walk_s: float, rate: float | None = None) -> Study:
    """The page of such a shop beside a study that holds nothing but a wage."""
    whole = two_mills()
    cost = next(f for f in whole.facts.values() if f.formula == "labour_money_per_part" and ".today." in f.id)
    wage = dict(cost.inputs)["money_per_h"]
    facts = {wage: replace(whole.facts[wage], value=MONEY, low=None, high=None), cost.id: cost}
    inquiry = shop(load_s=load_s, machining_s=machining_s, walk_s=walk_s)
    if rate is not None:
        priced = Fact(id="machines.mill.rate", value=rate, unit="money/h", basis="given", source="test")
        inquiry = replace(inquiry, machines=(replace(inquiry.machines[0], rate_per_h=priced),))
    return with_servicing(replace(whole, facts=facts, inquiry=inquiry), inquiry, by_hand())


def page(of: Study) -> Servicing:
    """The page itself."""
    assert of.servicing is not None
    return of.servicing


def row(of: Study, count: int) -> Serviced:
    """The row of one number of machines."""
    return next(each for each in page(of).rows if of.facts[each.machines].value == count)


def chart(of: Study, count: int) -> Side:
    """Its side in step."""
    found = row(of, count).chart
    assert found is not None
    return found


def value(of: Study, fact_id: str | None) -> float:
    """The number of a fact."""
    assert fact_id is not None
    return of.facts[fact_id].value


@pytest.mark.parametrize(("count", "cycle", "cost"), [(2, "180", "1.25"), (3, "198", "1.2833333")])
def test_the_scheduler_gives_the_printed_cycle_and_cost(count: int, cycle: str, cost: str) -> None:
    """niebel2014, ch. 2, from memory: load 1.0, machine 2.0, walk 0.1 min; 10 and 20 an hour; two are cheapest."""
    found = serviced(60.0, 120.0, 6.0, 20.0)

    period_s, loads = (value(found, f"servicing.{count}.{name}") for name in ("cycle", "loads"))

    assert prints_as(period_s * count / loads, cycle)
    assert prints_as(value(found, chart(found, count).money_per_part), cost)
    assert value(found, page(found).cheapest) == 2.0
    assert prints_as(value(found, page(found).ideal), "2.7272727")


def test_two_and_three_machines_cost_the_same_where_it_says() -> None:
    """Put in as the price of a machine hour, the break-even makes both parts cost the same."""
    free = serviced(60.0, 120.0, 6.0)
    price = value(free, page(free).break_even)
    priced = serviced(60.0, 120.0, 6.0, price)

    assert page(free).cheapest is None
    costs = [value(priced, chart(priced, count).money_per_part) for count in (2, 3)]
    assert costs[0] == pytest.approx(costs[1], rel=1e-12)


GROOVER = (21.0, 114.0, 9.0)  # groover2007, ch. 2: load 0.35, machine 1.9, walk 0.15 min; from memory


@pytest.mark.parametrize("times", [(60.0, 120.0, 6.0), GROOVER], ids=["niebel2014", "groover2007"])
def test_the_cycle_is_the_one_of_the_closed_form(times: tuple[float, float, float]) -> None:
    """For alike machines the scheduler's cycle, idle share and cost are those of the formulas, for every number."""
    load_s, machining_s, walk_s = times
    found = serviced(load_s, machining_s, walk_s, 20.0)
    given = {"machining_s": machining_s, "walk_s": walk_s}
    rows = page(found).rows

    assert len(rows) >= 3
    for count in (round(value(found, each.machines)) for each in rows):
        cycle_s = servicing_cycle_s(load_s, **given, machines=count)
        idle = operator_idle_share(load_s, **given, machines=count)
        money = cost_per_part_money(
            cycle_s, machines=count, parts_per_load=1, operator_money_per_h=MONEY, machine_money_per_h=20.0
        )
        side = chart(found, count)
        assert value(found, side.parts_per_h) == pytest.approx(3600.0 * count / cycle_s, rel=1e-9)
        assert value(found, side.operator_share) == pytest.approx(1.0 - idle, rel=1e-9)
        assert value(found, side.money_per_part) == pytest.approx(money, rel=1e-9)
        assert value(found, side.waiting_share) == pytest.approx(1.0 - (load_s + machining_s) / cycle_s, abs=1e-9)


def test_one_machine_by_chance_is_one_machine_in_step() -> None:
    """Nobody queues: all three ways give the same rate, and no machine waits."""
    found = serviced(60.0, 120.0, 6.0)
    one = row(found, 1)
    assert one.chance is not None

    rates = [chart(found, 1).parts_per_h, one.chance.parts_per_h, one.constant_parts_per_h]
    assert [value(found, rate) for rate in rates] == pytest.approx([20.0] * 3, rel=1e-9)
    assert value(found, one.chance.waiting_share) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_by_chance_is_the_finite_source_model(count: int) -> None:
    """Free run 114 s, service 66 s: rate, busy operator and waiting machines follow from the states."""
    found = serviced(60.0, 120.0, 6.0)
    side = row(found, count).chance
    assert side is not None
    given = {"attendants": 1, "run_s": 114.0, "service_s": 66.0}
    rate = machines_running(count, **given) * 3600.0 / 114.0

    assert value(found, side.parts_per_h) == pytest.approx(rate, rel=1e-9)
    assert value(found, side.operator_share) == pytest.approx(rate * 66.0 / 3600.0, rel=1e-9)
    assert value(found, side.waiting_share) == pytest.approx(machines_waiting(count, **given) / count, abs=1e-12)


def test_chance_costs_output_and_constant_service_less_of_it() -> None:
    """In step is the most; exponential service the least; constant service lies between."""
    found = serviced(60.0, 120.0, 6.0)
    for each in page(found).rows[1:]:
        assert each.chart is not None
        assert each.chance is not None
        rates = [value(found, rate) for rate in (each.chance.parts_per_h, each.constant_parts_per_h,
                                                 each.chart.parts_per_h)]  # fmt: skip
        assert rates == sorted(rates)


def test_shortcuts_of_handbooks_are_flagged_outside_their_range() -> None:
    """Wright's formula is for seven machines and more."""
    found = done("examples/2_three_lathes/inquiry.yaml")

    assert found.facts[page(found).wright or ""].outside == ("machines = 3, valid from 7 up",)
    assert found.facts[page(found).binomial or ""].outside == ()


def test_more_inside_work_than_machining_has_no_model_by_chance() -> None:
    """The operator is still at work on a load when its machine calls again: no source that runs free."""
    found = serviced(10.0, 20.0, 30.0)

    assert all(each.chance is None and each.constant_parts_per_h is None for each in page(found).rows)
    assert page(found).binomial is None
    assert chart(found, 1) is not None


@cache
def line() -> Study:
    """A line of two kinds of machines, with its page."""
    path = "tests/data/line.yaml"
    return with_servicing(study(read(path), by_hand(), seed=1, asked=FEW_DRAWS), read(path), by_hand())


def test_machines_that_differ_are_looked_at_too() -> None:
    """A line of two kinds: sets of machines, the scheduler's cycle, and by chance the chain of orders."""
    found = line()

    assert len(found.inquiry.parts[0].operations) > 1
    assert page(found).ideal is None
    for each in page(found).rows:
        assert each.constant_parts_per_h is None
        assert each.chart is not None
        assert 0.0 < value(found, each.chart.operator_share) <= 1.0
        assert 0.0 <= value(found, each.chart.waiting_share) < 1.0


def test_machines_that_differ_queue_by_their_own_times() -> None:
    """Free run and work of each kind go into the chain: rate of the slower kind, busy operator, waiting machines."""
    found = line()
    kinds = [each.name for each in found.inquiry.parts[0].operations]
    for each in page(found).rows:
        count, side = value(found, each.machines), each.chance
        assert side is not None
        given = {
            "run_s": [value(found, f"servicing.{kind}.free_run") for kind in kinds],
            "service_s": [value(found, f"concepts.today.timing.{kind}.work") for kind in kinds],
        }
        machines = (count,) * len(kinds)
        running = unlike_running(machines, **given)
        loads = [3600.0 * mean / run for mean, run in zip(running, given["run_s"], strict=True)]
        work = math.fsum(rate / 3600.0 * service for rate, service in zip(loads, given["service_s"], strict=True))
        assert value(found, side.parts_per_h) == pytest.approx(min(loads), rel=1e-9)
        assert value(found, side.operator_share) == pytest.approx(work, rel=1e-9)
        stands = len(kinds) * count - math.fsum(running) - work
        assert value(found, side.waiting_share) == pytest.approx(stands / len(kinds) / count, abs=1e-9)


def test_in_step_a_line_makes_no_less_than_by_chance() -> None:
    """Every row, whichever kind is the slower."""
    for each in page(line()).rows:
        assert each.chart is not None
        assert each.chance is not None
        assert value(line(), each.chance.parts_per_h) <= value(line(), each.chart.parts_per_h) * (1.0 + 1e-9)


def test_shares_in_step_are_formulas_of_the_stretches_of_the_cycle() -> None:
    """Each wait of the operator and of a machine is a fact of its own, and says from when to when it lasts."""
    found = serviced(60.0, 120.0, 6.0)
    side = chart(found, 3)
    busy, waits = found.facts[side.operator_share], found.facts[side.waiting_share]

    assert (busy.formula, waits.formula) == ("worked_share", "machines_wait_share")
    stretches = [found.facts[fact] for name, fact in waits.inputs if name == "waits_s[]"]
    assert [each.value for each in stretches] == pytest.approx([18.0] * 3)
    assert all(re.search(r", machine_\d (done|empty) from [0-9.]+ s to [0-9.]+ s$", each.source) for each in stretches)


def test_wright_lies_above_both_exact_models() -> None:
    """Sixty machines, 3 min of service in 150 min: 34.8 min of waiting by Wright, 31.0 and 28.2 min exactly."""
    given = {"run_s": 150.0, "service_s": 3.0}
    wright = wright_interference(60, run_to_service=50.0) / 100.0 * 3.0
    exponential = waiting_time_s(60, attendants=1, **given)
    constant = 60 * 150.0 / ashcroft_machines_running(60, **given) - 153.0

    assert [f"{minutes:.1f}" for minutes in (wright, exponential, constant)] == ["34.8", "31.0", "28.2"]


def test_the_page_looks_no_further_than_twelve() -> None:
    """A machine that runs for an hour could have sixty; the row of today is there, and so is the first."""
    found = serviced(60.0, 3600.0, 0.0)
    counts = [round(value(found, each.machines)) for each in page(found).rows]

    assert counts[0] == 1
    assert counts[-1] <= MOST
    assert 2 in counts
    assert counts == sorted(set(counts))


def test_every_figure_follows_from_facts_of_the_study() -> None:
    """Ids of the page stand in the map, and so do the inputs of each, before it."""
    found = done("examples/2_three_lathes/inquiry.yaml")
    order = {fact_id: place for place, fact_id in enumerate(found.facts)}

    for fact in found.facts.values():
        if fact.id.startswith("servicing."):
            assert all(order[source] < order[fact.id] for _, source in fact.inputs), fact.id
            assert math.isfinite(fact.value)
