"""A tool changer beside finger sets: looked at where it is named and families follow each other within a shift."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.inquiry import Inquiry, Named, Only
from millhand.stages.concepts import concepts, dropped
from millhand.stages.concepts.words import within_a_shift
from tests.stages.jobs import told
from tests.stages.short_road import Walked, catalogue, example, walked

SINGLE = "trays-pedestal-force_limited_25-parallel_single-scanner"
CHANGER = SINGLE.replace("single", "changer")


def naming(*grippers: str, of: Inquiry | None = None) -> Inquiry:
    """The inquiry of tiny lots, kept to these grippers."""
    named = tuple(Named(name=each, where="test") for each in grippers)
    return replace(of or example("4_tiny_lots"), only=Only(gripper=named))


@cache
def road(cell: str) -> Walked:
    """A cell with either hand."""
    return walked(naming("parallel_single", "parallel_changer"), cell)


def grippers(of: Inquiry) -> set[str]:
    """The grippers of the cells that are looked at."""
    return {each.gripper.id for each in concepts(of, catalogue()) if each.gripper is not None}


def test_it_is_looked_at_only_where_it_is_named() -> None:
    """Tiny lots alone do not bring it in, and the study says why; named, it stands beside the finger sets."""
    of = example("4_tiny_lots")

    assert not {each for each in grippers(of) if each.endswith("_changer")}
    assert "only where an inquiry names it" in dict(dropped(of, catalogue()))["parallel_changer"]
    assert grippers(naming("parallel_single", "parallel_double", "parallel_changer")) == {
        "parallel_single", "parallel_double", "parallel_changer",
    }  # fmt: skip


@pytest.mark.parametrize(("lot", "often"), [(12.0, True), (26.0, True), (27.0, False)])
def test_families_follow_each_other_within_a_shift(lot: float, often: bool) -> None:
    """Lots no larger than the 26 parts that a shift ships; larger ones leave the hands to who sets up the machine."""
    of = example("4_tiny_lots")
    of = told(of, {f"parts.{of.parts[0].name}.lot_size": lot})

    assert within_a_shift(of) is often
    assert ("parallel_changer" in grippers(naming("parallel_changer", of=of))) is often
    if not often:
        assert (
            "less than once a shift"
            in dict(dropped(naming("parallel_changer", of=of), catalogue()))["parallel_changer"]
        )


def test_one_family_has_nothing_to_change() -> None:
    """Named or not."""
    of = example("4_tiny_lots")
    of = told(of, {f"parts.{of.parts[0].name}.families": 1.0})

    assert "nothing to change" in dict(dropped(naming("parallel_changer", of=of), catalogue()))["parallel_changer"]


def test_the_machines_stand_less_at_a_changeover_and_people_work_as_long() -> None:
    """Half of the cell's own changeover beside the set-up; fingers are fitted to hands in the dock meanwhile."""
    for name, share in (("changeover_stands", 0.5), ("changeover_work", 1.0)):
        single, changer = (road(each).value(f"concepts.{each}.performance.{name}") for each in (SINGLE, CHANGER))
        own = catalogue().figures["cell_changeover_s"].value

        assert single - changer == pytest.approx((1.0 - share) * own)


def test_it_costs_its_hands_and_hangs_heavier_and_longer() -> None:
    """Changer with one hand, three more in the dock, finger sets as ever; mass and length count in the payload."""
    lines = []
    for cell in (SINGLE, CHANGER):
        estimate = road(cell).plan.estimate
        assert estimate is not None
        factor = road(cell).value("money.price_factor")
        lines.append({each.id: each.amount.value / factor for each in estimate.lines})
    mass = [road(each).value(f"concepts.{each}.feasibility.payload.demand") for each in (SINGLE, CHANGER)]
    lever = [road(each).value(f"concepts.{each}.feasibility.payload.lever") for each in (SINGLE, CHANGER)]

    assert (lines[1]["gripper"], lines[1]["hands"]) == (pytest.approx(11_000), pytest.approx(12_000))
    assert "hands" not in lines[0]
    assert lines[1]["fingers"] == pytest.approx(lines[0]["fingers"])
    assert mass[1] - mass[0] == pytest.approx(1.4)
    assert lever[1] > lever[0]
