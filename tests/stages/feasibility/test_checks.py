"""What all verdicts have in common, whatever they check."""

import math
import re

import pytest

from millhand.formulas import REGISTER
from millhand.stages.concepts import concepts
from millhand.trace import recomputed
from tests.stages.feasibility.judged import TRACK, judged
from tests.stages.shop import catalogue, shop

ALL = [each.id for each in concepts(shop(), catalogue())]
CAREFUL = {
    "payload", "moment", "inertia", "door_opening", "grip_force", "reach", "floor_area", "capacity_night",
    "gauging_night", "lifting", "lifting_tray", "placing", "fire", "door", "joint_room", "arm_gap", "way_gap",
    "people_way", "over_fence", "track_travel", "track_drive", "track_duty",
}  # fmt: skip


@pytest.mark.parametrize("concept_id", ALL)
def test_a_verdict_can_be_followed(concept_id: str) -> None:
    """Three facts in the map, the margin that follows, a registered formula, a sentence without bare digits."""
    found = judged(concept_id)

    for verdict in found.verdicts.values():
        demand, limit = found.numbers(verdict.check)
        margin = found.sheet.value(verdict.margin)
        assert margin == pytest.approx(1.0 - demand / limit if limit > 0.0 else -1.0)
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
    assert set(judged().verdicts) == CAREFUL | {"grip_travel", "finger_room", "capacity_refill", "pace", "interface"}
    assert set(judged("today").verdicts) == {"lifting"}
    assert set(judged("by_hand-second_fixture").verdicts) == {"lifting"}


def test_the_map_works_itself_out_again() -> None:
    """As a sheet does: unchanged it gives the same numbers; a heavier part eats into payload, grip and pockets."""
    found = judged()
    facts = found.sheet.facts

    again = recomputed(facts, {}, {})
    assert again == {name: pytest.approx(fact.value) for name, fact in facts.items()}
    heavy = recomputed(facts, {"parts.bracket.raw_mass": 4.0}, {})
    for check in ("payload", "grip_force", "lifting"):
        margin = found.verdicts[check].margin
        assert heavy[margin] < again[margin], check
    assert heavy[f"concepts.{TRACK}.feasibility.pockets"] == 11 * 14


@pytest.mark.parametrize("end", ["low", "high"])
def test_the_map_stays_defined_when_inputs_move_in_their_ranges(end: str) -> None:
    """Each uncertain fact at its P10 or P90, one by one: every number stays a number."""
    for concept_id in (TRACK, "trays-pedestal-fenced_20-parallel_single-fence"):
        facts = judged(concept_id).sheet.facts
        for name, fact in facts.items():
            value = getattr(fact, end)
            if fact.formula is None and value is not None:
                moved = recomputed(facts, {name: value}, {})
                assert all(math.isfinite(number) for number in moved.values()), name


def test_only_these_checks_end_a_concept() -> None:
    """All others warn: the concept still works, with more attendance."""
    kills = {check for check, verdict in judged().verdicts.items() if verdict.kills}

    assert kills == {"payload", "reach", "floor_area"}
