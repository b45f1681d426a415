"""The verdict on the ways between two places."""

from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.floor import Block
from millhand.model.inquiry import Inquiry
from tests.stages.feasibility.judged import Judged, judged
from tests.stages.shop import shop
from tests.stages.test_turning_reach import pin

CELL = "trays-pedestal-fenced_20-parallel_double-fence"


def given(name: str, value: float) -> Fact:
    """A length that somebody gave."""
    return Fact(id=f"obstacles.rod.{name}", value=value, unit="m", basis="given", source="test")


def one_mill() -> Inquiry:
    """The shop with one mill."""
    of = shop()
    return replace(of, machines=(replace(of.machines[0], count=replace(of.machines[0].count, value=1.0)),))


def caged_shop(found: Judged) -> Inquiry:
    """The same with four posts round the foot, so that no arm turns there."""
    arm = next(each for each in found.layout.spots if each.name == "arm")
    x, y = found.sheet.value(arm.x_m), found.sheet.value(arm.y_m)
    posts = tuple(
        Block(
            name=f"rod {n}", x_m=replace(given("x", x + dx), id=f"obstacles.{n}.x"),
            y_m=replace(given("y", y + dy), id=f"obstacles.{n}.y"), width_m=given("width", 0.1),
            depth_m=given("depth", 0.1), height_m=given("height", 3.0),
        )
        for n, (dx, dy) in enumerate(((0.45, 0.45), (-0.45, 0.45), (0.45, -0.45), (-0.45, -0.45)))
    )  # fmt: skip
    return replace(one_mill(), obstacles=posts, pinned=(pin("arm", x, y),))


def test_a_free_way_holds_and_says_what_is_nearest() -> None:
    """With what is kept, and beside what."""
    found = judged(CELL, one_mill())

    assert found.verdicts["way_gap"].holds
    assert found.sentence("way_gap").startswith("Between the presenter and the first machine the arm keeps at least ")


def test_posts_round_the_foot_turn_it_but_do_not_end_the_concept() -> None:
    """No way is found between them, and the sentence says what was tried."""
    free = judged(CELL, one_mill())
    caged = judged(CELL, caged_shop(free))

    assert (caged.verdicts["way_gap"].holds, caged.verdicts["way_gap"].kills) == (False, False)
    assert "were tried" in caged.sentence("way_gap")
    assert caged.sheet.value(caged.verdicts["way_gap"].margin) < free.sheet.value(free.verdicts["way_gap"].margin)
