"""Pieces that were given a place: what overlaps is told with by how much, by hand from their middles and sides."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.floor import Block
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked
from millhand.stages.feasibility.standing_clear import Pair, standing_clear, worst_of
from tests.stages.feasibility.judged import asked_of
from tests.stages.test_turning_reach import ARM_Y, CELL, given, one_mill, pin


@cache
def asked() -> Asked:
    """The cell whose arm and trays were given their places, well apart."""
    return asked_of(CELL, replace(one_mill(), pinned=(pin("arm", 0.0, ARM_Y), pin("presenter", 0.0, -2.4, "east"))))


def trays_at(x: float, y: float, of: Asked | None = None) -> tuple[Verdict, Asked]:
    """The verdict with the trays there, whatever the search would say."""
    own = of or asked()
    name = f"moved.{x}.{y}"
    own.sheet.extend((given(f"{name}.x", x), given(f"{name}.y", y)))
    spots = tuple(
        replace(each, x_m=f"{name}.x", y_m=f"{name}.y") if each.name == "presenter" else each
        for each in own.layout.spots
    )
    now = replace(own, layout=replace(own.layout, spots=spots), concept=replace(own.concept, id=name))
    found = standing_clear(now)
    assert found is not None
    return found, now


def sides(name: str) -> tuple[float, float]:
    """Width and depth of a piece."""
    spot = next(each for each in asked().layout.spots if each.name == name)
    return asked().sheet.value(spot.width_m), asked().sheet.value(spot.depth_m)


def test_trays_under_the_arm_end_it_by_how_far_they_overlap() -> None:
    """Moved 50 mm too near to the north; along the line where least parts them."""
    wanted = (sides("arm")[1] + sides("presenter")[1]) / 2.0
    found, now = trays_at(0.0, ARM_Y - wanted + 0.05)

    assert (found.holds, found.kills) == (False, True)
    assert now.sheet.value(now.id("standing_clear.overlap")) == pytest.approx(0.05)
    assert now.sheet.value(found.margin) == pytest.approx(-0.05 / (wanted - 0.05))
    assert "The presenter overlaps the foot of the arm by [[" in found.words
    assert "move one of them by as much to the north or south." in found.words
    assert found.caution.startswith("An aid for concept work.")


def test_what_stands_apart_or_touches_holds() -> None:
    """With what is left; pieces that touch do not overlap by a rounding."""
    wanted = (sides("arm")[1] + sides("presenter")[1]) / 2.0
    apart, now = trays_at(0.0, ARM_Y - wanted - 0.2)
    touching, _ = trays_at(0.0, ARM_Y - wanted + 1e-12)

    assert apart.holds
    assert now.sheet.value(now.id("standing_clear.left")) == pytest.approx(0.2)
    assert "What was given a place overlaps nothing" in apart.words
    assert touching.holds


def test_a_track_is_called_one_and_a_machine_is_to_be_measured_first() -> None:
    """The size of a machine is a usual one, so that it only warns."""
    track = replace(asked(), layout=replace(asked().layout, track="layout.walk"))
    over, _ = trays_at(0.1, ARM_Y, track)
    inside, _ = trays_at(0.0, 0.2)

    assert "overlaps the track by" in over.words
    assert (inside.holds, inside.kills) == (False, False)
    assert "first machine" in inside.words
    assert "The size of the machine is a usual one: measure it." in inside.words


def test_an_overlap_that_ends_it_is_told_before_a_deeper_one_that_only_warns() -> None:
    """Of trays deep in a machine and a little in the arm's foot, the arm's; of a touch, the machine's."""
    one, machine = (replace(asked().layout.spots[0], name=name) for name in ("arm", "machine_1"))
    deep = Pair(one=one, other=machine, along_x=True, gap_m=-0.5)
    little = Pair(one=one, other=one, along_x=True, gap_m=-0.05)

    assert worst_of((deep, little)) is little
    assert worst_of((deep, replace(little, gap_m=-1e-12))) is deep
    assert worst_of((replace(deep, gap_m=0.3), replace(little, gap_m=0.2))).gap_m == 0.2


def test_an_obstacle_counts_and_what_hangs_over_the_floor_does_not() -> None:
    """A post under the trays; an arm under a beam with trays beneath."""
    measures = {key: given(f"obstacles.post.{key}", value) for key, value in {
        "x": 0.0, "y": -2.4, "width": 0.3, "depth": 0.3, "height": 2.0}.items()}  # fmt: skip
    post = Block(name="post", **{f"{key}_m": fact for key, fact in measures.items()})
    own = asked()
    own.sheet.extend(measures.values())
    found = standing_clear(replace(own, inquiry=replace(own.inquiry, obstacles=(post,))))
    assert found is not None
    assert "overlaps the post by" in found.words
    hung = replace(own, layout=replace(own.layout, overhead=object()))  # type: ignore[arg-type]
    assert trays_at(0.3, ARM_Y, hung)[0].holds


def test_where_nobody_gave_a_place_nothing_is_said() -> None:
    """The search puts nothing into anything."""
    of = asked()
    assert standing_clear(replace(of, inquiry=replace(of.inquiry, pinned=()))) is None
