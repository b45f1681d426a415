"""What all verdicts have in common, whatever they check."""

import re

import pytest

from millhand.formulas import REGISTER
from millhand.stages.concepts import concepts
from tests.stages.feasibility.judged import judged
from tests.stages.shop import catalogue, shop

ALL = [each.id for each in concepts(shop(), catalogue())]
CAREFUL = {"payload", "grip_force", "reach", "floor_area", "capacity_night", "gauging_night", "lifting"}


@pytest.mark.parametrize("concept_id", ALL)
def test_a_verdict_can_be_followed(concept_id: str) -> None:
    """Three facts in the map, the margin that follows, a registered formula, a sentence without bare digits."""
    found = judged(concept_id)

    for verdict in found.verdicts.values():
        demand, limit = found.numbers(verdict.check)
        margin = found.sheet.value(verdict.margin)
        assert margin == pytest.approx(1.0 - demand / limit)
        assert verdict.holds == (demand <= limit)
        assert verdict.formula in REGISTER
        assert verdict.concept == concept_id
        assert not re.search(r"\d", re.sub(r"\[\[[^\]]*\]\]", "", verdict.words))
        assert found.sentence(verdict.check).endswith(".")


def test_a_caution_stands_where_somebody_could_be_hurt() -> None:
    """It defers to those who decide."""
    for check, verdict in judged().verdicts.items():
        assert bool(verdict.caution) == (check in CAREFUL)
        assert not verdict.caution or verdict.caution.startswith("An aid for concept work.")


def test_a_cell_is_checked_in_every_way_and_people_only_for_lifting() -> None:
    """What makes no sense for a concept gives no verdict."""
    assert set(judged().verdicts) == CAREFUL | {"grip_travel", "capacity_refill", "pace", "interface"}
    assert set(judged("today").verdicts) == {"lifting"}
    assert set(judged("by_hand-second_fixture").verdicts) == {"lifting"}


def test_only_these_checks_end_a_concept() -> None:
    """All others warn: the concept still works, with more attendance."""
    kills = {check for check, verdict in judged().verdicts.items() if verdict.kills}

    assert kills == {"payload", "reach", "floor_area"}
