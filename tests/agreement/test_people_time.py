"""People's time by kind, whole heads and the use of machines: each formula by a second way, and on real studies."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.intake.inquiry import read_inquiry
from millhand.model.performance import Performance
from millhand.model.study import Study
from millhand.stages.performance.shared import ABSENCE
from millhand.study import study
from tests.checks import OWN, Check, assert_holds
from tests.few_draws import FEW_DRAWS

pytestmark = pytest.mark.xdist_group("by_hand")  # their studies are worked out once a process

NAMES = ("1_two_mills", "2_three_lathes", "3_moulding", "4_tiny_lots", "5_two_vises")


def check(formula: str, expected: float, **inputs: object) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


CHECKS = [
    check("there_h", 1.5 * 7.75, heads=1.5, worked_h=77.5, shifts=10.0),  # ten shifts of 8.5 h with 45 min of breaks
    check("kind_h", 2.0, good_parts=95.0, good_share=0.95, work_s_per_part=(50.0, 22.0)),  # 100 parts of 72 s
    check("waiting_h", 8.0 - 2.0 - 1.5, there_h=8.0, kinds_h=(2.0, 1.5)),
    check("a_part_h", 72.0 / 3600.0, hours_h=2.0, good_parts=100.0),
    check("whole_heads", 2.0, freed_h_per_y=4100.0, head_h_per_y=1950.0),
    check("beside_heads_h_per_y", 200.0, freed_h_per_y=4100.0, heads=2.0, head_h_per_y=1950.0),
    check("head_h_per_y", 250 * 7.75, worked_h_per_y=2 * 250 * 7.75, shifts=10.0, days=5.0),
    check("production_time_s", (0.6 + 0.2 + 0.7 + 0.1) * 36000.0, state_shares=(0.6, 0.2, 0.7, 0.1), horizon_s=36000.0),
    check(  # iso22400: 320 parts of 1 min in 340 min of production, and as many again at a second machine
        "produced_parts", 640.0,
        effectiveness_shares=(320 / 340, 320 / 400), stations_s=(340 * 60.0, 400 * 60.0), planned_s_per_part=60.0,
    ),
    check("planned_busy_s", 2 * 10 * 8.5 * 3600.0, machines=2.0, covered_h=85.0),
    check(
        "availability_after_losses", 0.8 * 0.95 * 0.99 * 0.9,
        availability_share=0.8, set_up_share=0.05, available_share=0.99, loss_share=0.1,
    ),
]  # fmt: skip


@pytest.mark.parametrize("each", CHECKS, ids=str)
def test_a_second_way_gives_the_same(each: Check) -> None:
    """Sums written out by hand."""
    assert_holds(each)


@cache
def done(name: str) -> Study:
    """Today and the ways by hand of an example."""
    inquiry = read_inquiry(Path("examples", name, "inquiry.yaml"), assumptions())
    return study(inquiry, replace(read_catalogue(), components={}), asked=FEW_DRAWS)


def today(made: Study) -> Performance:
    """Today's performance."""
    own = made.results[0].performance
    assert own is not None
    return own


@pytest.mark.parametrize("name", NAMES)
def test_the_kinds_fill_the_hours_there(name: str) -> None:
    """Care, other work and waiting are all the hours that the heads are there; per part they come to the same."""
    made = done(name)
    people = today(made).people
    assert people is not None
    shift = {kind: made.facts[fact].value for kind, fact in people.a_shift.items()}
    parts = made.facts[today(made).parts_per_shift].value

    assert sum(shift.values()) == pytest.approx(made.facts[people.there or ""].value)
    assert min(shift.values()) > 0.0
    assert {kind: made.facts[fact].value * parts for kind, fact in people.a_part.items()} == pytest.approx(shift)


@pytest.mark.parametrize("name", NAMES)
def test_care_and_other_work_are_what_the_simulated_operators_did(name: str) -> None:
    """Handling, ways and duties of the simulated people over the parts they made, beside set-ups, are the two kinds.

    The duties that stand for somebody who did not come are nobody's time.
    """
    made = done(name)
    own, inquiry = today(made), made.inquiry
    assert own.people is not None
    assert own.output is not None
    people = made.results[0].cell.attendants if made.results[0].cell else {}
    busy = ("handling", "travelling", "carrying", "on_duty")
    share = sum(own.output.states[who].get(state, 0.0) for who in people for state in busy)
    share -= sum(each.mean for name, each in own.output.duty_share.items() if name.startswith(ABSENCE))
    a_load = inquiry.parts[0].operations[-1].parts_per_cycle.value
    seconds = share * 3600.0 / (own.output.parts_per_h.mean * a_load)
    good = math.prod(operation.good.value for operation in inquiry.parts[0].operations)
    set_up = made.facts.get("concepts.today.performance.people.set_up_a_part_s")
    seconds += set_up.value if set_up else 0.0
    a_part = sum(made.facts[own.people.a_part[kind]].value for kind in ("care", "other")) * 3600.0 * good

    assert a_part == pytest.approx(seconds, rel=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_the_parts_of_the_use_multiply_up_to_what_is_shipped(name: str) -> None:
    """Availability x effectiveness x quality is good parts x ideal time / planned time of the shipped parts.

    The machine's count and the shipped one differ by what was finished and not put down when the simulated week ends:
    at most a load in each machine and one in the hands of each operator.
    """
    made = done(name)
    own, part = today(made), made.inquiry.parts[0]
    shipped = made.facts["concepts.today.performance.net_parts_per_h"].value
    assert own.output is not None
    loads = own.output.parts_per_h.mean * own.output.horizon_s / 3600.0
    people = len(made.results[0].cell.attendants) if made.results[0].cell else 0
    assert len(own.uses) == len(part.operations)
    for use, operation in zip(own.uses, part.operations, strict=True):
        machine = next(each for each in made.inquiry.machines if each.name == operation.machine)
        ideal_h = made.facts[f"concepts.today.performance.{use.operation}.planned_s_per_part"].value / 3600.0
        names = (use.availability, use.effectiveness, use.quality)
        product = math.prod(made.facts[each].value for each in names)

        assert made.facts[use.oee].value == pytest.approx(product)
        assert product == pytest.approx(
            shipped * ideal_h / machine.count.value, rel=(machine.count.value + people) / loads
        )


@pytest.mark.parametrize("name", NAMES)
def test_the_loss_is_named_and_lies_in_availability(name: str) -> None:
    """Set-ups, long stops and the loss that nothing explains are all that stands between the two availabilities."""
    made = done(name)
    top = "concepts.today.performance."
    kept = 1.0 - made.facts[f"{top}unexplained_loss"].value
    set_ups = made.facts.get(f"{top}set_ups")
    stops = made.facts[f"{top}available"].value * (1.0 - (set_ups.value if set_ups else 0.0))
    for use in today(made).uses:
        ratio = made.facts[use.availability].value / made.facts[use.simulated_availability].value

        assert ratio == pytest.approx(kept * stops)
