"""Which parts run in the cell and which are left to people; the limits that a next part is held against."""

from dataclasses import replace

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.fact import Fact
from millhand.part_mix import NO_PLACE, part_rules
from millhand.report.proposal.fit import fit
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.records import Paragraph, Table
from millhand.report.proposal.telling import Teller
from millhand.report.tongue import tongue
from tests.listed_parts import mixed, part
from tests.report.fixture_study import ARM
from tests.report.proposal.told_proposal import base


def told(ground: Ground, language: str = "en") -> str:
    """The section as plain text, a row of a table as its cells."""
    section = fit(ground)
    if section is None:
        return ""
    says = Teller(tongue=tongue(language), facts=ground.facts, currency="USD", pictures={})
    lines = []
    for block in section.blocks:
        if isinstance(block, Paragraph):
            lines.append(says.plain(block.item))
        if isinstance(block, Table):
            lines += [" | ".join(says.plain(cell) for cell in row) for row in block.rows]
    return "\n".join(lines).replace("\u202f", " ")


def with_list() -> Ground:
    """The fixture's cell beside a list with parts that it loads, one that is too heavy, and one for another machine."""
    study = mixed(part(2), part(3, orders_per_y=900.0), part(6, raw_mass_kg=30.0), part(7, machines=("saw 12",)))
    assert study.part_mix is not None
    ground = base("long")
    beside = replace(ground.study, part_mix=replace(study.part_mix, concept=ARM))
    return replace(ground, study=beside, facts={**study.facts, **ground.facts})


def test_the_limits_stand_in_a_table_with_what_sets_them() -> None:
    """Mass by the arm, the largest size by the door, the smallest by the room for fingers."""
    words = told(base("long"))

    assert "Mass of a part | Payload | 1.2 kg | 6.4 kg" in words
    assert "Largest part of the same proportions, its mass within the rows above | Door opening | " in words
    assert "Smallest part of the same proportions | Finger room | " in words
    assert words.count(" × ") >= 4


def test_more_sets_of_fingers_in_the_price_than_the_list_asks_for_are_told() -> None:
    """Both numbers; nothing where the price holds as many as are needed."""
    ground = with_list()
    mix = ground.study.part_mix
    assert mix is not None
    assert mix.needed_sets is not None
    sets = replace(ground.facts[mix.needed_sets], id="part_mix.priced_sets", value=60.0)
    ground = replace(ground, facts={**ground.facts, sets.id: sets})
    over = replace(ground, study=replace(ground.study, part_mix=replace(mix, priced_sets=sets.id)))
    even = replace(ground, study=replace(ground.study, part_mix=replace(mix, priced_sets=mix.needed_sets)))

    assert "The price holds 60 sets of fingers" in told(over)
    assert "By the sizes that a set grips, 1 would do for all parts of the list that the cell can load" in told(over)
    assert "sets of fingers, one for each family" not in told(even)


def test_german_has_the_same_figures() -> None:
    """Words of the checks in German."""
    assert "Masse eines Teils | Traglast | 1,2 kg | 6,4 kg" in told(base("long"), "de")
    assert "Öffnung der Tür" in told(base("long"), "de")


def test_a_list_names_families_that_run_and_parts_that_are_left_with_the_reason() -> None:
    """The part that is too heavy with what it asks for and the limit; the one for another machine without figures."""
    words = told(with_list())

    assert "Of the 4 parts of your list the cell can load these families" in words
    assert "A | prismatic, from outside | 2 | 2.4 kg | 120 mm | " in words
    assert "Payload |  |  | \nPL-6 | 32.7 kg | 20 kg | 60" in words
    assert "it needs a machine that the cell does not serve |  |  | \nPL-7 | – | – | 60" in words


def test_every_rule_that_may_leave_a_part_has_german_words() -> None:
    """Rules of the catalogue, and what is said of the grip and of places."""
    words = [rule.words for rule in part_rules(read_catalogue())]
    assert len(words) > 10
    assert [each for each in (*words, NO_PLACE) if tongue("de").found(each) is None] == []


@pytest.mark.parametrize(
    ("language", "said"),
    [("en", ("holds with the fingers, trays and clamping of this job", "by grip force, families: B. They",
             "by finger room, families: A. They", "gripper, fingers and part together")),
     ("de", ("gilt mit Fingern, Tabletts und Spannung dieser Aufgabe", "durch die Greifkraft, Familien: B. Sie",
             "Platz für Finger, Familien: A. Sie", "Greifer, Finger und Teil zusammen"))],
)  # fmt: skip
def test_beside_a_list_the_limits_say_with_what_they_hold_and_which_families_lie_beyond(
    language: str, said: tuple[str, ...]
) -> None:
    """Fingers of their own move grip and finger room; what the arm carries counts gripper and fingers too."""
    ground = with_list()
    mix, limits = ground.study.part_mix, ground.study.decision.part_limits
    assert mix is not None
    heavy = replace(mix.families[0], name="B", heaviest="heavy", longest="long")
    small = replace(mix.families[0], name="A", heaviest="light", longest="short")
    size = next(each for each in limits if each.check == "finger_room")
    grip = replace(next(each for each in limits if each.check == "payload"), check="grip_force", at=("grip",))
    least = ground.value(size.at[0])
    figures = {"heavy": 5.1, "light": 4.9, "grip": 5.0, "long": least * 1.01, "short": least * 0.99}
    made = {name: Fact(id=name, value=value, unit="kg" if value > 4.0 else "m", basis="given", source="a test")
            for name, value in figures.items()}  # fmt: skip
    decision = replace(ground.study.decision, part_limits=(*limits, grip))
    study = replace(ground.study, part_mix=replace(mix, families=(heavy, small)), decision=decision)
    words = told(replace(ground, study=study, facts={**ground.facts, **made}), language)

    assert [each for each in said if each not in words] == []
    assert "families:" not in told(base("long"))


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_further_family_costs_programming_and_fingers(language: str) -> None:
    """Hours of the catalogue, the price of a set in the inquiry's money; of an insert it says that it knows nothing."""
    ground = base("long")
    hours = Fact(id="catalogue.programming_family_h", value=8.0, unit="h", basis="assumed", source="a test")
    words = told(replace(ground, facts={**ground.facts, hours.id: hours}), language)
    needs = {"en": ("about 8 h of programming", "about 640 USD", "An insert"),
             "de": ("etwa 8 h Programmieren", "etwa 640 USD", "Ein Einsatz")}  # fmt: skip

    for each in needs[language]:
        assert each in words


def test_a_set_of_fingers_a_family_is_told_only_where_they_are_bought_so() -> None:
    """Fingers that take all families come with their gripper."""
    ground = base("long")
    assert ground.subject is not None
    gripper = ground.subject.concept.gripper
    assert gripper is not None
    inquiry = ground.study.inquiry
    many = replace(inquiry.parts[0], families=replace(inquiry.parts[0].families, value=4.0))
    ground = replace(ground, study=replace(ground.study, inquiry=replace(inquiry, parts=(many,)), part_mix=None))

    def said(words: dict[str, str]) -> str:
        """With such a gripper."""
        concept = replace(ground.subject.concept, gripper=replace(gripper, words=words))  # type: ignore[union-attr]
        return told(replace(ground, subject=replace(ground.subject, concept=concept)))  # type: ignore[type-var]

    assert "A set of fingers is counted for each family." in said({})
    assert "A set of fingers is counted" not in said({"fingers": "all"})
    assert "Until then figures and price hold for the part described." in said({"fingers": "all"})


def test_a_change_by_hand_has_no_such_section() -> None:
    """Nor have limits of another concept a table."""
    ground = base("long")
    other = replace(ground.study.decision, part_limits=())

    assert fit(replace(ground, subject=ground.today)) is None
    assert "Payload" not in told(replace(ground, study=replace(ground.study, decision=other)))


def test_with_nobody_there_one_family_runs_to_the_end_of_its_lot() -> None:
    """Said where hours alone are counted, and only there."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.performance is not None
    for rate in (ground.subject.performance.attended_per_h, None):
        made = replace(ground.subject.performance, unattended_per_h=rate)
        words = told(replace(ground, subject=replace(ground.subject, performance=made)))
        assert ("goes on with the one family that is set up" in words) is (rate is not None)
