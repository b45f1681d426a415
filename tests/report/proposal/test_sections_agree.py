"""What one section of a proposal says no other denies: distances, guards, steps, questions and money of one job."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from millhand.model.estimate import PriceLine
from millhand.model.fact import Fact
from millhand.model.safeguarding import Distance, Guarded, GuardedCell
from millhand.report.citations import listed_sources
from millhand.report.proposal.appendix import standards
from millhand.report.proposal.as_drawn import at_plan, in_short
from millhand.report.proposal.ask import ask_rows
from millhand.report.proposal.cell import floor_of, guarding
from millhand.report.proposal.ground import Ground, ground
from millhand.report.proposal.money import measures
from millhand.report.proposal.near_fence import ends as ends_of
from millhand.report.proposal.near_fence import near_fence
from millhand.report.proposal.records import Block, Caution, Paragraph, Section
from millhand.report.proposal.safety import going_in
from millhand.report.proposal.short import answer
from tests.report.fixture_study import ARM
from tests.report.proposal.test_by_hand import advising, plain, sections
from tests.report.proposal.test_safety import NEVER, told, usual


def fact(name: str, value: float, unit: str = "m") -> Fact:
    """One more figure of the study."""
    return Fact(id=name, value=value, unit=unit, basis="computed", source="a test")


def fenced(gap_m: float) -> Ground:
    """The fixture with the distances of a fence, and an arm that comes so near to it."""
    asked = (fact("test.fence.over", 0.6), fact("test.reach_through_mesh", 0.2), fact("test.gap_body", 0.5))
    base = usual()
    more = (*asked, fact("test.gap", gap_m), fact(f"concepts.{ARM}.feasibility.over_fence.further_out", 0.6 - gap_m))
    words = ("from a fence so high to what moves, over it", "from the mesh to what moves",
             "between what moves and what does not yield, inside")  # fmt: skip
    subject, guarded = base.subject, base.study.safeguarding
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
        base, facts={**base.facts, **{each.id: each for each in more}},
        study=replace(base.study, safeguarding=replace(guarded, cells=(cell,))),
        subject=replace(subject, layout=replace(subject.layout, fence_gap="test.gap")),
    )  # fmt: skip


def cautions(made: Section | None) -> Iterator[Block]:
    """What is set apart after the first block."""
    assert made is not None
    yield from (each for each in made.blocks[1:] if isinstance(each, Caution))


def test_a_distance_that_the_layout_misses_is_said_with_both_figures() -> None:
    """Where it is asked for and where the gap stands, in both languages, with what settles it and who decides."""
    base = fenced(0.0099)
    made = guarding(base)
    assert made is not None
    block = replace(made, blocks=tuple(cautions(made)))
    words, german = told(base, block), told(base, block, "de")

    assert "9.9 mm is left between its fence and what moves" in words
    for asked in ("over it 0.6 m", "from the mesh to what moves 200 mm", "inside 0.5 m", "0.6 m further out"):
        assert asked in words
    assert "safety-rated limit" in words
    assert "risk assessment under the local codes decides" in words
    assert "und mit dem Teil in der Hand 9,9 mm" in german
    assert "Risikobeurteilung" in german
    assert not NEVER.search(words + german)


def test_the_first_page_the_plan_and_going_in_refer_to_it_and_tell_it_once() -> None:
    """A line on the first page, a few words at the plan, a reference where somebody goes in; nothing of it where all
    is kept."""
    base, kept = fenced(0.0099), fenced(0.6)
    for language, page, plan, inside, through, way in (
        (
            "en",
            "price and floor are of that layout",
            "between what moves and its fence 9.9 mm is left, a held part counted",
            "count as reached",
            "200 mm asked for behind it, 9.9 mm left with a part in the hand",
            "the narrowest way for people, to ",
        ),
        (
            "de",
            "Preis und Fläche gelten dafür",
            "bleiben 9,9 mm, ein gehaltenes Teil mitgezählt",
            "gelten als erreicht",
            "200 mm sind dahinter verlangt, 9,9 mm bleiben mit einem Teil in der Hand",
            "der engste Weg für Menschen, zu ",
        ),
    ):
        assert page in told(base, answer(base), language)
        assert through in told(base, answer(base), language)
        assert through not in told(kept, answer(kept), language)
        drawn = told(base, Section(key="concept", blocks=tuple(at_plan(base))), language)
        assert plan in drawn
        assert way in drawn
        words = told(base, going_in(base), language)
        assert inside in words
        assert "9.9" not in words
        assert "9,9" not in words
        assert plan not in told(kept, Section(key="concept", blocks=tuple(at_plan(kept))), language)
        assert inside not in told(kept, going_in(kept), language)


def test_the_first_page_says_nothing_where_the_drawn_plan_keeps_all() -> None:
    """No fence too near, no way too narrow."""
    kept = fenced(0.6)
    guarded = kept.study.safeguarding
    assert guarded is not None
    assert guarded.answers is not None
    assert guarded.answers.ways is not None
    assert list(in_short(kept))
    wide = replace(guarded.answers.ways, ways=tuple(replace(each, holds=True) for each in guarded.answers.ways.ways))
    study = replace(kept.study, safeguarding=replace(guarded, answers=replace(guarded.answers, ways=wide)))

    assert list(in_short(replace(kept, study=study))) == []
    assert list(at_plan(replace(kept, study=study))) == []


def test_where_the_fence_keeps_all_but_at_a_filled_stand_that_alone_is_open() -> None:
    """The plan says what is kept and by how much; the ends of the fence at such a stand have their gap there and in the
    box of the guard; a fence further out is not offered for them."""
    base = fenced(0.61)
    more = (fact(f"concepts.{ARM}.layout.fence.ends.held", -0.065), fact(f"concepts.{ARM}.layout.fence.asked", 0.6))
    ended = replace(base, facts={**base.facts, **{each.id: each for each in more}})
    for language, kept, ends, closed in (
        (
            "en",
            "0.61 m is left, a held part counted, and 0.6 m asked for",
            "empties −65 mm is left",
            "without openings",
        ),
        ("de", "0,61 m bleiben, ein gehaltenes Teil mitgezählt", "leert, bleiben −65 mm", "ohne Öffnungen"),
    ):
        drawn = told(ended, Section(key="concept", blocks=tuple(at_plan(ended))), language).replace("\u202f", " ")
        guard = told(ended, guarding(ended), language).replace("\u202f", " ")

        assert kept in drawn
        assert ends in drawn
        assert closed in guard
    assert ends_of(base) is None
    assert ends_of(ended) is not None
    assert list(near_fence(ended)) == []


def test_a_distance_that_rests_on_a_stop_is_asked_for_at_its_far_end() -> None:
    """The likely one stands beside it; lengths alone stay as they are, and each standard is listed."""
    base = fenced(0.6)
    far = Fact(id="far", value=1.83, unit="m", basis="computed", source="test", low=1.6, high=2.24,
               inputs=(("stopping_s", "test.stop"),))  # fmt: skip
    known = replace(far, id="known", inputs=(("fence_m", "test.height"),))
    made = base.study.safeguarding
    assert made is not None
    row = replace(made.cells[0].rows[0], distances=(
        Distance(words="a field", rule="ISO 13855:2024", fact="far", end="high"),
        Distance(words="over it", rule="ISO 13857:2019", fact="known"),
    ))  # fmt: skip
    study = replace(base.study, safeguarding=replace(made, cells=(replace(made.cells[0], rows=(row,)),)))
    ground = replace(base, study=study, facts={**base.facts, "far": far, "known": known})
    words = told(ground, guarding(ground))

    assert "a field ISO 13855:2024 1.83 m 2.24 m" in words
    assert "over it ISO 13857:2019 1.83 m 1.83 m" in words
    assert {each.words for each in standards((guarding(ground),))} == {
        listed_sources()[key].words for key in ("iso13855_2010", "iso13855_2024", "iso13857")
    }


@pytest.mark.parametrize(
    ("speed", "said"), [(None, "the light curtain stands up to 2.24 m out"), ("test.gap", "the fields that slow")]
)
def test_what_is_not_drawn_of_a_cell_without_a_fence_is_called_by_its_name(speed: str | None, said: str) -> None:
    """A curtain is no field: nobody passes it, and it stands where the far end of its distance lies."""
    base = fenced(0.6)
    made, subject = base.study.safeguarding, base.subject
    assert made is not None
    assert subject is not None
    assert subject.layout is not None
    assert subject.layout.drawn is not None
    far = Fact(id="far", value=1.83, unit="m", basis="computed", source="test", low=1.6, high=2.24)
    timed = Distance(words="to what moves", rule="a", fact="far", end="high")
    row = replace(made.cells[0].rows[0], distances=(timed,), speed=speed)
    drawn = replace(subject.layout.drawn, pieces=())
    ground = replace(
        base, study=replace(base.study, safeguarding=replace(made, cells=(replace(made.cells[0], rows=(row,)),))),
        subject=replace(subject, layout=replace(subject.layout, drawn=drawn)), facts={**base.facts, "far": far},
    )  # fmt: skip

    assert said in told(ground, Section(key="concept", blocks=tuple(at_plan(ground))))


def test_a_floor_says_what_it_is_the_floor_of() -> None:
    """Without a fence that of the pieces, by which money is counted; no field is in it."""
    base = usual()
    assert base.subject is not None
    assert base.subject.layout is not None
    area, counted = fact("test.area", 6.6, "m²"), fact("test.counted", 3.1, "m²")
    layout = replace(base.subject.layout, floor_area=counted.id, drawn=None)
    ground = replace(base, facts={**base.facts, area.id: area, counted.id: counted},
                     subject=replace(base.subject, layout=layout))  # fmt: skip
    words = told(ground, Section(key="guard", blocks=(Paragraph(item=floor_of(ground, area.id)),)))

    assert "by which the money counts: 3.1 m²" in words
    assert "The fields are not in it" in words


def test_only_what_is_missed_is_named_and_nothing_where_all_is_kept() -> None:
    """At 0.3 m the mesh is far enough; at the greatest of the three nothing is said."""
    some, none = fenced(0.3), fenced(0.6)
    made = guarding(some)
    assert made is not None
    words = told(some, replace(made, blocks=tuple(cautions(made))))

    assert "from the mesh" not in words
    assert "over it 0.6 m" in words
    assert list(cautions(guarding(none))) == []


MOVED = "drop_and_boxes"


def test_a_change_by_hand_is_assessed_and_guarded_before_it_is_tried() -> None:
    """The same order in the section of its time and in the next steps; an arrangement orders nothing."""
    for change, ordered in ((MOVED, True), ("staggered_breaks", False)):
        made = sections(change)
        steps, following = made["How it comes into your shop"], made["Next steps"]

        assert steps.index("assessed") < steps.index("for a week")
        assert following.index("Risk assessment") < following.index("week")
        assert ("order for one machine" in following) is ordered


def test_guards_of_the_machine_are_left_unless_room_is_missing() -> None:
    """What the concept counts with, and the risk that it does not hold, say the same."""
    made = sections(MOVED)

    assert "leaves the machine's own guards as they are" in made["What moves, and how people are kept from it"]
    assert "has to be opened or moved after all" in made["Risks that remain, who owns them, and the answer"]
    assert "what we give as a rule" in made["Terms"]


def test_no_running_cost_is_said_to_be_nothing_where_a_drive_runs() -> None:
    """Not counted, with whom to ask, and no word that most of it stays; a change without a drive costs nothing."""
    done = advising(MOVED)
    base = ground(done, long=True)
    assert base.subject is not None
    assert base.subject.case is not None
    running = base.subject.case.year.running
    for value, told_so in ((0.0, True), (900.0, False)):
        seen = replace(base, facts={**base.facts, running: replace(base.facts[running], value=value)})
        rows = {name: item for name, item, _ in measures(seen)}

        assert ("running_open" in rows) is told_so
        assert ("running" in rows) is not told_so
    none = replace(base, facts={**base.facts, running: replace(base.facts[running], value=0.0)})
    assert plain(none, {name: item for name, item, _ in measures(none)}["running_open"]) == "not counted"


def test_a_question_whose_figure_is_a_factor_says_of_what() -> None:
    """A yes or no is not answered by “2”: the factor, its range and what it multiplies stand beside it."""
    base, name = ground(advising(MOVED), long=True), f"catalogue.{MOVED}.machines_per_operator"
    words, title = "May parts fall and touch each other?", "drop and boxes: machines per operator"
    factor = replace(fact(name, 2.0, "1"), low=1.5, high=4.0, basis="assumed", question=words, title=title)
    base = replace(base, facts={**base.facts, name: factor})
    (row,) = ask_rows(base, name, words)

    assert plain(base, row[0]).startswith(
        f"{words} Counted as yes until it is answered, and then as so many times today's"
    )
    assert plain(base, row[0]).endswith("machines per operator.")
    assert (plain(base, row[1]), plain(base, row[2])) == ("× 2", "× 1.5 to × 4")
    assert "als Ja gezählt" in plain(base, row[0], language="de")


def test_a_price_that_is_counted_for_each_machine_says_so() -> None:
    """Where its line counts more than one; a single one needs no word."""
    base, name = ground(advising(MOVED), long=True), f"catalogue.{MOVED}.price"
    assert base.subject is not None
    assert base.subject.estimate is not None
    for count, said in ((2.0, True), (1.0, False)):
        amount = replace(
            fact("test.line", 28_840.0, "money"), inputs=(("amount_money", name), ("counts[]", "test.machines"))
        )
        line = PriceLine(id="change", words="the change", group="equipment", amount=amount)
        estimate = replace(base.subject.estimate, lines=(line,))
        price, machines = fact(name, 14_000.0, "money"), fact("test.machines", count, "1")
        seen = replace(
            base, subject=replace(base.subject, estimate=estimate),
            facts={**base.facts, name: price, machines.id: machines},
        )  # fmt: skip
        (row,) = ask_rows(seen, name, "What does a supplier really ask?")

        assert ("price for one; the line of the price counts 2." in plain(seen, row[0])) is said
