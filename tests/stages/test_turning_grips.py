"""Grips for some parts only: one figure changed turns exactly one verdict; and nobody pays for them where none fits."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.front import load
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.verdict import Verdict
from millhand.model.walk import facts_in
from millhand.stages.concepts import CHOICES, Choices, cell_concept, concepts
from millhand.stages.estimate import estimate
from millhand.stages.feasibility import verdicts
from millhand.stages.layout import layout
from millhand.stages.timing.build import timing
from millhand.trace import Sheet
from tests.stages.test_turning_verdicts import (
    LATHES,
    MILLS,
    MIXED,
    RINGS,
    VISES,
    G,
    example,
    fallen,
    figures,
    judged,
    told,
)

SPECIAL = ("inside", "magnet", "adaptive")


def ring(bore_m: float) -> Inquiry:
    """The flanges of the lathes as rings."""
    of = example(RINGS)
    bore = Fact(id="parts.flange.bore", value=bore_m, unit="m", basis="given", source="test")
    return replace(of, parts=(replace(of.parts[0], raw=replace(of.parts[0].raw, bore_m=bore)), *of.parts[1:]))


@cache
def pressed() -> Inquiry:
    """Oily steel blanks of 2 mm and 110 g at a press."""
    of = load("examples/kinds/press.yaml")
    film = replace(of.parts[0].film, value="oily")
    return replace(of, parts=(replace(of.parts[0], film=film),))


def at_the_press(of: Inquiry, catalogue: Catalogue | None = None) -> tuple[dict[str, Verdict], Sheet]:
    """All verdicts of the cell with magnets at the press, and the sheet."""
    whole, sheet = catalogue or read_catalogue(), Sheet()
    names = ("trays", "out_box", "pedestal", "fenced_20", "magnet_single", "fence")
    picked = dict(zip(CHOICES, (whole.components[each] for each in names), strict=True))
    concept = cell_concept(Choices(**picked), of, whole)
    sheet.extend((*facts_in(of), *facts_in(whole)))
    stands = layout(of, concept, whole, sheet)
    found = verdicts(of, concept, stands, timing(of, concept, stands, whole, sheet), sheet)
    return {each.check: each for each in found}, sheet


def test_a_bore_that_is_too_small_turns_its_room_alone() -> None:
    """Closed fingers of 40 mm, 6 mm to let go and 1.5 mm of scatter: 47.5 mm get into 60 mm and not into 44 mm."""
    before, sheet = judged(RINGS, ring(0.06), read_catalogue())
    needs_m = 0.04 + 0.006 + 0.0015

    assert sheet.value(before["bore_room"].margin) == pytest.approx(1.0 - needs_m / 0.06)
    assert fallen(before, *judged(RINGS, ring(0.044), read_catalogue())) == {
        "bore_room": (False, pytest.approx(1.0 - needs_m / 0.044))
    }


def test_a_bore_that_no_fingers_get_into_ends_the_cell() -> None:
    """The smallest of the class are 25 mm, closed: 32.5 mm with room and scatter."""
    before, _ = judged(RINGS, ring(0.06), read_catalogue())
    least_m = 0.025 + 0.006 + 0.0015

    assert fallen(before, *judged(RINGS, ring(least_m - 1e-6), read_catalogue()))["bore_room"][0]
    assert not fallen(before, *judged(RINGS, ring(least_m), read_catalogue()))["bore_room"][0]


def test_jaws_in_a_bore_that_press_too_little_turn_the_grip_alone() -> None:
    """2.1 kg in three jaws at 15 m/s2 in a dry bore: 232 N each, of 300 N and of 200 N."""
    before, _ = judged(RINGS, ring(0.06), read_catalogue())
    asked_n = 2.1 * (G + 15.0) * 2.0 / 0.15 / 3.0

    assert fallen(before, *judged(RINGS, ring(0.06), figures("inside_double", force_n=900.0))) == {}
    assert fallen(before, *judged(RINGS, ring(0.06), figures("inside_double", force_n=600.0))) == {
        "grip_force": (True, pytest.approx(1.0 - asked_n / 200.0))
    }


def test_the_travel_of_jaws_in_a_bore_is_that_of_the_bore() -> None:
    """One bore, raw and finished: scatter and room to let go, 7.5 mm; 7 mm of stroke turn the travel alone."""
    before, _ = judged(RINGS, ring(0.06), read_catalogue())

    assert fallen(before, *judged(RINGS, ring(0.06), figures("inside_double", stroke_m=0.007))) == {
        "grip_travel": (False, pytest.approx(1.0 - 0.0075 / 0.007))
    }


def test_a_blank_too_thin_for_its_magnet_turns_the_grip_alone() -> None:
    """0.15 mm of oil and scale leave 1 / 1.3 squared of the pull; 2 mm of 5 carry a sixth of it, 0.8 mm a fortieth."""
    before, sheet = at_the_press(pressed())
    thin, later = at_the_press(told(pressed(), raw__height=0.0008))
    asked_n = 0.11 * (G + 15.0 / 0.10) * 2.0
    left_n = 900.0 / (1.0 + 0.15 / 0.5) ** 2

    assert sheet.value(before["grip_force"].margin) == pytest.approx(1.0 - asked_n / (left_n * (2.0 / 5.0) ** 2))
    assert fallen(before, thin, later) == {
        "grip_force": (False, pytest.approx(1.0 - asked_n / (left_n * (0.8 / 5.0) ** 2)))
    }
    assert "two blanks may come at once" in before["grip_force"].words
    assert "holds when air and power fail, and parts stay slightly magnetic" in before["grip_force"].words


def test_a_scaled_blank_turns_the_grip_alone() -> None:
    """1 mm under the magnet leaves a ninth of the pull."""
    before, _ = at_the_press(pressed())
    whole = read_catalogue()
    gap = replace(whole.figures["magnet_gap_m"], value=0.001, low=None, high=None, shape="point")
    after, sheet = at_the_press(pressed(), replace(whole, figures={**whole.figures, "magnet_gap_m": gap}))
    asked_n, left_n = 0.11 * (G + 15.0 / 0.10) * 2.0, 900.0 / 3.0**2 * (2.0 / 5.0) ** 2

    assert fallen(before, after, sheet) == {"grip_force": (False, pytest.approx(1.0 - asked_n / left_n))}


def test_adaptive_fingers_that_are_too_weak_turn_the_grip_alone() -> None:
    """Bodies of 300 g: 74 N of each finger at a hard stop, of 110 N and of 60 N."""
    of = told(example(MIXED), raw_mass=0.3, finished_mass=0.2)
    before, _ = judged(MIXED, of, read_catalogue())
    asked_n = 0.3 * (G + 15.0) * 2.0 / 0.10 / 2.0

    assert before["grip_force"].holds
    assert fallen(before, *judged(MIXED, of, figures("adaptive_single", force_n=120.0))) == {
        "grip_force": (True, pytest.approx(1.0 - asked_n / 60.0))
    }


def test_adaptive_fingers_take_longer_and_need_no_sets() -> None:
    """1 s in the place of 0.5 s each way, and the wait for its signal; one gripper for all families."""
    of, whole, sheet = example(MIXED), read_catalogue(), Sheet()
    _, slow = judged(MIXED, of, whole)
    _, quick = judged(VISES, of, whole)
    (own,) = (fact for fact in slow if fact.id.endswith("adaptive_single-fence.timing.element.jaws"))
    (usual,) = (fact for fact in quick if fact.id.endswith("parallel_single-fence.timing.element.jaws"))
    names = ("drawers", "back_to_tray", "pedestal", "fenced_20", "adaptive_single", "fence")
    picked = dict(zip(CHOICES, (whole.components[each] for each in names), strict=True))
    priced = estimate(of, cell_concept(Choices(**picked), of, whole), whole, sheet)

    assert (own.value, usual.value) == (pytest.approx(1.0 + 0.4), pytest.approx(0.5 + 0.4))
    assert "fingers" not in {line.id for line in priced.lines}


@pytest.mark.parametrize("name", [MILLS, LATHES, VISES, "3_moulding", "4_tiny_lots"])
def test_no_example_gets_a_concept_more(name: str) -> None:
    """None of them has a bore told, oily steel sheet or light parts of several families."""
    grippers = {each.gripper.id for each in concepts(example(name), read_catalogue()) if each.gripper is not None}

    assert not {each for each in grippers if each.startswith(SPECIAL)}


def test_each_comes_where_it_is_called_for() -> None:
    """A bore that is told; oily blanks at a press; light parts of several families."""
    light = told(example(VISES), raw_mass=0.3, finished_mass=0.2)

    for of, word in ((ring(0.06), "inside"), (pressed(), "magnet"), (light, "adaptive")):
        grippers = {each.gripper.id for each in concepts(of, read_catalogue()) if each.gripper is not None}
        assert {each for each in grippers if each.startswith(SPECIAL)} == {f"{word}_single", f"{word}_double"}, word
