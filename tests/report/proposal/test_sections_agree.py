"""What one section of a proposal says no other denies: distances, guards, steps, questions and money of one job."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.model.safeguarding import Distance, Guarded, GuardedCell
from millhand.report.proposal.cell import guarding
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.records import Block, Caution, Section
from millhand.report.proposal.safety import going_in
from tests.report.fixture_study import ARM
from tests.report.proposal.test_safety import NEVER, told, usual


def fact(name: str, value: float, unit: str = "m") -> Fact:
    """One more figure of the study."""
    return Fact(id=name, value=value, unit=unit, basis="computed", source="a test")


def fenced(gap_m: float) -> Ground:
    """The fixture with the distances of a fence, and an arm that comes so near to it."""
    asked = (fact("test.fence.over", 0.6), fact("test.reach_through_mesh", 0.2), fact("test.gap_body", 0.5))
    ground = usual()
    more = (*asked, fact("test.gap", gap_m), fact(f"concepts.{ARM}.feasibility.over_fence.further_out", 0.6 - gap_m))
    words = ("from a fence so high to what moves, over it", "from the mesh to what moves",
             "between what moves and what does not yield, inside")  # fmt: skip
    subject, guarded = ground.subject, ground.study.safeguarding
    assert subject is not None
    assert subject.layout is not None
    assert subject.concept.safeguarding is not None
    assert guarded is not None
    row = Guarded(
        choice="fence", title=subject.concept.safeguarding.title, function="stops",
        distances=tuple(Distance(words=text, rule="a", fact=each.id) for text, each in zip(words, asked, strict=True)),
    )  # fmt: skip
    cell = GuardedCell(concept=ARM, title="a cell", arm_class="fenced", regions=(), binding="", rows=(row,))
    return replace(
        ground, facts={**ground.facts, **{each.id: each for each in more}},
        study=replace(ground.study, safeguarding=replace(guarded, cells=(cell,))),
        subject=replace(subject, layout=replace(subject.layout, fence_gap="test.gap")),
    )  # fmt: skip


def cautions(made: Section | None) -> Iterator[Block]:
    """What is set apart after the first block."""
    assert made is not None
    yield from (each for each in made.blocks[1:] if isinstance(each, Caution))


@pytest.mark.parametrize("section", [guarding, going_in])
def test_a_distance_that_the_layout_misses_is_said_with_both_figures(section: object) -> None:
    """Where it is asked for and where the gap stands, in both languages, with what settles it and who decides."""
    assert callable(section)
    ground = fenced(0.0099)
    made = section(ground)
    block = replace(made, blocks=tuple(cautions(made)))
    words, german = told(ground, block), told(ground, block, "de")

    assert "comes within 9.9 mm of its fence" in words
    for asked in ("over it 0.6 m", "from the mesh to what moves 200 mm", "inside 0.5 m", "0.59 m further out"):
        assert asked in words
    assert "safety-rated limit" in words
    assert "risk assessment under the local codes decides" in words
    assert "auf 9,9 mm nahe" in german
    assert "Risikobeurteilung" in german
    assert not NEVER.search(words + german)


def test_only_what_is_missed_is_named_and_nothing_where_all_is_kept() -> None:
    """At 0.3 m the mesh is far enough; at the greatest of the three nothing is said."""
    some, none = fenced(0.3), fenced(0.6)
    made = guarding(some)
    assert made is not None
    words = told(some, replace(made, blocks=tuple(cautions(made))))

    assert "from the mesh" not in words
    assert "over it 0.6 m" in words
    assert list(cautions(guarding(none))) == []
