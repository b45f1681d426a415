"""What a fence keeps: through its mesh and over it, by its height."""

from dataclasses import replace

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.safeguarding import Distance
from millhand.stages.concepts import CHOICES, Choices, cell_concept
from millhand.stages.safeguarding.distances import distances
from millhand.stages.safeguarding.post import Post
from millhand.trace import Sheet
from tests.stages.test_turning_verdicts import CELLS, VISES, example


def asked(catalogue: Catalogue, choice: str = "fence") -> tuple[tuple[Distance, ...], Sheet]:
    """The distances of a guard of a cell with an arm of 1.75 m on a pedestal of 0.7 m, and the sheet behind them."""
    picked = dict(zip(CHOICES, (catalogue.components[each] for each in CELLS[VISES]), strict=True))
    guard = next(each for each in catalogue.safeguards.choices if each.id == choice)
    concept, sheet = cell_concept(Choices(**picked), example(VISES), catalogue), Sheet()
    sheet.extend(catalogue.figures.values())
    sheet.extend(fact for each in picked.values() for fact in each.figures.values())
    post = Post(sheet=sheet, catalogue=catalogue, concept=concept, guard=guard, base=concept.id)
    speed = catalogue.figures["reduced_speed_m_s"]
    return distances(post, speed, "DE"), sheet


def kept(catalogue: Catalogue) -> dict[str, float]:
    """Those of the fence by their words."""
    found, sheet = asked(catalogue)
    return {each.words: sheet.value(each.fact) for each in found}


def as_high(height_m: float) -> Catalogue:
    """The catalogue with another height of the fence."""
    whole = read_catalogue()
    height = replace(whole.figures["fence_height_m"], value=height_m, low=None, high=None, shape="point")
    return replace(whole, figures={**whole.figures, "fence_height_m": height})


@pytest.mark.parametrize(("height_m", "over_m"), [(2.0, 0.6), (1.8, 0.8), (2.2, 0.4), (2.4, 0.3), (2.7, 0.0)])
def test_a_higher_fence_may_stand_closer(height_m: float, over_m: float) -> None:
    """The hand gets to 2.45 m: what lies at 1.4 to 2.2 m is reached furthest over each fence."""
    found = kept(as_high(height_m))

    assert found["height of the fence"] == height_m
    assert found["from a fence so high to what moves, over it"] == over_m
    assert found["from the mesh to what moves"] == 0.2


@pytest.mark.parametrize(("choice", "far"), [("fence", 0), ("curtain", 2), ("scanner", 4), ("force_limiting", 0)])
def test_what_rests_on_the_time_of_a_stop_is_asked_for_at_its_far_end(choice: str, far: int) -> None:
    """Every distance with a stop among its inputs and no other; its far end lies above what is likely."""
    found, sheet = asked(read_catalogue(), choice)
    timed = [each for each in found if each.end == "high"]

    assert len(timed) == far
    assert timed == [each for each in found if "stopping_s" in dict(sheet[each.fact].inputs)]
    assert all((sheet[each.fact].high or 0.0) > sheet.value(each.fact) for each in timed)


def test_a_fence_is_known_by_what_it_does_and_not_by_its_name() -> None:
    """Of the catalogue's guards the fence alone is drawn round the cell, a shop's own one under another name too."""
    known = read_catalogue().components
    own = replace(known["fence"], id="tall_fence")
    guards = (known["fence"], own, *(known[each] for each in ("light_curtain", "scanner", "force_limiting")))
    made = [Concept(id="a", kind="cell", title="a cell", safeguarding=each).is_fenced for each in guards]

    assert made == [True, True, False, False, False]
    assert not Concept(id="today", kind="today", title="as today").is_fenced
