"""How much of the breaks is lost, as a figure with a range: its formula against cells simulated at both ends."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.study import study
from tests.agreement.test_people_time import done
from tests.checks import OWN, Check
from tests.few_draws import FEW_DRAWS
from tests.test_servicing import read

pytestmark = pytest.mark.xdist_group("by_hand")  # their studies are worked out once a process

NAME, CHANGE = "5_two_vises", "pallet_changer"
OWN_ID = f"concepts.by_hand-{CHANGE}.performance."

CHECKS = [
    Check(  # two shifts of 8.5 h on five days: 7.5 h of breaks in 85 h, of which 40 % are lost
        formula="beside_breaks_share", key="own_computation", seen=OWN, expected=82.0 / 85.0,
        inputs={"breaks_lost": 0.4, "breaks_s": (2700.0, 2700.0), "days": (5.0, 5.0), "covered_h": 85.0},
    ),
    Check(formula="achieved_with_breaks", key="own_computation", seen=OWN, expected=0.873,
          inputs={"outside_share": 0.9, "beside_share": 0.97}),
]  # fmt: skip


def lost_in(catalogue: Catalogue) -> Fact:
    """The figure of the change."""
    return next(each for each in catalogue.hand_changes if each.id == CHANGE).effects["breaks_lost"]


@cache
def at(lost: float) -> Study:
    """The example with that much of the breaks lost, for certain."""
    catalogue = replace(read_catalogue(), components={})
    exact = replace(lost_in(catalogue), value=lost, low=None, high=None)
    changes = tuple(
        replace(each, effects={**each.effects, "breaks_lost": exact})
        for each in catalogue.hand_changes
        if each.id == CHANGE  # no other way is asked for
    )
    return study(read(f"examples/{NAME}/inquiry.yaml"), replace(catalogue, hand_changes=changes), asked=FEW_DRAWS)


def test_the_figure_of_the_likely_case_is_the_simulated_one() -> None:
    """At the likely share nothing is added to what the simulation counted: the bound times it is what came out."""
    likely = lost_in(read_catalogue()).value
    facts = done(NAME).facts

    assert facts[OWN_ID + "achieved"].value == pytest.approx(at(likely).facts[OWN_ID + "achieved"].value, rel=1e-12)
    assert facts[OWN_ID + "achieved"].formula == "achieved_with_breaks"


@pytest.mark.parametrize("end", ["low", "high"])
def test_at_its_ends_the_formula_gives_what_the_simulation_counts(end: str) -> None:
    """Within half a percent of the output, while the figure itself moves it by more than one."""
    facts, lost = done(NAME).facts, lost_in(read_catalogue())
    outside, beside = (facts[OWN_ID + name].value for name in ("achieved_outside_breaks", "beside_breaks"))
    there = getattr(lost, end)
    moved = outside * (1.0 - (1.0 - beside) * there / lost.value)
    simulated = at(there).facts[OWN_ID + "achieved"].value

    assert moved == pytest.approx(simulated, rel=0.005)
    assert abs(simulated / facts[OWN_ID + "achieved"].value - 1.0) > 0.01


def test_the_draws_move_with_it() -> None:
    """The figure lies behind parts and worth of the change: every draw takes another one."""
    facts = done(NAME).facts
    share = facts[OWN_ID + "achieved"]

    assert share.low is not None
    assert share.high is not None
    assert share.low < share.value < share.high
    assert lost_in(read_catalogue()).id in {source for _, source in facts[OWN_ID + "beside_breaks"].inputs}
