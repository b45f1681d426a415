"""A part list beside a cell: lists by hand, the cell's own checks and no others, and what must hold for any list."""

import random
from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.model.part_list import BadCell
from millhand.model.part_mix import LeftPart, PartMix
from millhand.model.study import Study
from millhand.model.walk import with_facts
from millhand.part_mix import as_part, stand_of, with_part_mix
from millhand.report.view import NARROW_SPACE, sentence
from millhand.sizing import best_cell
from millhand.stages.feasibility.asked import Asked
from millhand.stages.feasibility.checks import OF_A_PART
from millhand.stages.part_mix import Beside, Grouping, needed_sets, priced, too_many
from millhand.trace import Sheet
from tests.listed_parts import asked, bare_study, catalogue, mixed, part

HOURS = 60.0  # of the plain part: 600 parts of 6 min


def mix(study: Study) -> PartMix:
    """The answer."""
    assert study.part_mix is not None
    return study.part_mix


def value(study: Study, fact_id: str | None) -> float:
    """A figure of it."""
    assert fact_id is not None
    return study.facts[fact_id].value


def words(study: Study) -> str:
    """Its sentences as a reader sees them."""
    return " ".join(sentence(each, study.facts) for each in mix(study).words).replace(NARROW_SPACE, " ")


def left(study: Study) -> LeftPart:
    """The one part that is left to people."""
    assert len(mix(study).left) == 1
    return mix(study).left[0]


# --- by hand ---


def test_three_families_by_hand() -> None:
    """Two sizes that one set of fingers takes but not one insert, and one that takes fingers of its own.

    Jaws travel 30 mm, of which 6 mm of room and 1 mm of scatter go off; an insert takes 10 mm.
    """
    study = mixed(
        part(2),
        part(3, length_m=0.125),
        part(4, length_m=0.15, width_m=0.075, height_m=0.03, orders_per_y=1200.0),
        part(5, length_m=0.2, width_m=0.14, height_m=0.05, raw_mass_kg=6.0, orders_per_y=300.0),
        part(6, raw_mass_kg=0.6, orders_per_y=100.0),  # as the first, but lighter than a third of it
    )
    found = mix(study)

    assert [(each.members, each.means) for each in found.families] == [
        ((2, 3), ("fingers_A", "insert_A")),
        ((4,), ("fingers_A", "insert_B")),
        ((5,), ("fingers_B", "insert_C")),
        ((6,), ("fingers_A", "insert_A")),
    ]
    assert [value(study, each.hours) for each in found.families] == pytest.approx([120.0, 120.0, 30.0, 10.0])
    assert [value(study, each.share) for each in found.families] == pytest.approx([12 / 28, 12 / 28, 3 / 28, 1 / 28])
    assert [each.added for each in found.steps] == [
        ("fingers_A", "insert_A"),
        ("insert_B",),
        ("fingers_B", "insert_C"),
    ]
    assert [value(study, each.share) for each in found.steps] == pytest.approx([13 / 28, 25 / 28, 1.0])
    assert [value(study, each.gain) for each in found.steps] == pytest.approx([13 / 28, 12 / 28, 3 / 28])
    assert value(study, found.able) == pytest.approx(1.0)


def test_lots_a_week_change_between_families_and_not_within() -> None:
    """600 parts in lots of 12 are 50 lots in a year of 48 weeks; three families of them."""
    study = mixed(part(2), part(3), part(4, raw_mass_kg=0.5), part(5, raw_mass_kg=0.1))
    found = mix(study)
    weeks = study.inquiry.shop.work_days_per_y.value / 5.0
    own = 50.0 / weeks
    each = (2 * own, own, own)

    assert value(study, found.lots) == pytest.approx(4 * own)
    came = sum(lots * (4 * own - lots) / (4 * own) for lots in each)
    assert value(study, found.changeovers) == pytest.approx(came)
    assert value(study, found.changeovers_sorted) == pytest.approx(min(sum(min(lots, 1.0) for lots in each), came))
    one = mixed(part(2), part(3))
    assert value(one, mix(one).changeovers) == value(one, mix(one).changeovers_sorted) == 0.0


# --- what is left to people, and why ---


@pytest.mark.parametrize(
    ("other", "check", "demand", "limit", "unit"),
    [
        ({"raw_mass_kg": 30.0}, "payload", 32.7, 20.0, "kg"),
        ({"machines": ("saw",)}, "route", None, None, ""),
        ({"machines": ("Mill 3", "saw")}, "route", None, None, ""),
        ({"grip": "inside", "bore_m": 0.04}, "grip", None, None, ""),
        ({"shape": "round", "length_m": 0.05, "width_m": 0.06, "height_m": 0.06}, "rule", None, None, ""),
        ({"length_m": 1.2, "width_m": 0.1, "height_m": 0.005}, "pockets", 1.212, 0.8, "m"),
    ],
)
def test_a_part_that_the_cell_cannot_load_is_left_with_the_limit_that_it_misses(
    other: dict[str, object], check: str, demand: float | None, limit: float | None, unit: str
) -> None:
    """Beside one that it can, whose share is then half of the hours."""
    study = mixed(part(2), part(3, **other))
    found = left(study)

    assert (found.row, found.name, found.check, found.unit) == (3, "PL-3", check, unit)
    assert (found.demand, found.limit) == (pytest.approx(demand) if demand else None, limit)
    assert bool(found.words) == (demand is None)
    assert found.hours_h_per_y == pytest.approx(HOURS)
    assert value(study, mix(study).able) == pytest.approx(0.5)


def test_a_wide_part_is_left_at_a_narrow_door() -> None:
    """A door of 300 mm that somebody measured: 330 mm and clearance on both sides do not pass; all three are facts."""
    inquiry = asked(part(2), part(3, length_m=0.35, width_m=0.33, height_m=0.02, raw_mass_kg=3.0))
    door = replace(inquiry.machines[0].inside.door_width_m, value=0.3, low=None, high=None, basis="measured")
    narrow = with_facts(inquiry, {door.id: door})
    done = replace(bare_study(), inquiry=narrow, facts={**bare_study().facts, door.id: door})

    study = with_part_mix(done, narrow, catalogue())

    found = left(study)
    assert (found.row, found.check, found.limit, found.unit) == (3, "door_opening", 0.3, "m")
    assert found.demand == pytest.approx(0.33 + 2.0 * catalogue().figures["door_clearance_m"].value)
    assert found.figures[2] == door.id
    assert [value(study, name) for name in found.figures[1:]] == pytest.approx(
        [found.demand, 0.3, (0.3 - found.demand) / 0.3]
    )
    assert study.facts[found.figures[1]].formula == "passage_m"


@pytest.mark.parametrize(("length", "left_out"), [(0.7879, False), (0.7881, True)])
def test_a_part_just_fits_into_a_drawer_or_just_not(length: float, left_out: bool) -> None:
    """Drawers of 0.8 m with a gap of 6 mm at either end: at 788 mm it turns, as the count of places does."""
    study = mixed(part(2), part(3, length_m=length, width_m=0.05, height_m=0.05))

    assert bool(mix(study).left) == left_out
    if left_out:
        demand, limit = (study.facts[name] for name in left(study).figures[1:3])
        assert (demand.formula, limit.id) == ("sum_of_lengths_m", "catalogue.drawers.tray_length_m")


@pytest.mark.parametrize("other", [{}, {"raw_mass_kg": 30.0}, {"length_m": 0.5, "width_m": 0.4, "raw_mass_kg": 12.0}])
def test_the_checks_are_those_of_the_study_with_the_same_figures(other: dict[str, object]) -> None:
    """The inquiry's own family replaced by the row, and every check of a part run as for a concept: the first one that
    ends it is the one that is told, with its demand and its limit; none: the part is covered."""
    row = part(3, **other)
    study = mixed(row)
    best = best_cell(study)
    assert best is not None
    stand = stand_of(replace(study.inquiry, part_list=None), best, catalogue())
    inquiry = replace(study.inquiry, parts=(as_part(row, stand.template),), part_list=None)
    question = Asked(inquiry=inquiry, concept=best.concept, layout=stand.layout, timing=stand.timing, sheet=Sheet())
    verdicts = [found for check in OF_A_PART if (found := check(question)) is not None]
    ended = [each for each in verdicts if not each.holds and (each.kills or each.check == "grip_travel")]

    if not ended:
        assert mix(study).left == ()
        return
    assert left(study).check == ended[0].check
    assert left(study).demand == question.sheet.value(ended[0].demand)
    assert left(study).limit == question.sheet.value(ended[0].limit)


def test_a_part_like_that_of_the_inquiry_is_covered() -> None:
    """Raw as the bracket is, finished in the same proportion: as the concept itself, it passes."""
    study = mixed(part(2, height_m=0.045))

    assert mix(study).left == ()
    assert words(study).startswith(
        "The list has 1 part with 60 h of machine time a year. The cell can load parts of 100 % of these hours with 1 "
        "set of fingers and 1 insert of the presenter."
    )


def test_a_hopper_that_holds_no_such_part_says_so_in_words() -> None:
    """It has a volume and no sides that a part could be too long for."""
    tube = {"shape": "round", "width_m": 0.3, "height_m": 0.3, "raw_mass_kg": 2.0}
    study = mixed(part(2, length_m=0.8, **tube), presenter="step_feeder")

    assert (left(study).check, left(study).demand) == ("pockets", None)
    assert left(study).words.startswith("no place of the presenter")


def test_fingers_and_inserts_are_asked_for_where_the_cell_has_such_things() -> None:
    """Cups have no fingers; a belt has no inserts: then families go by shape, route and mass alone."""
    flat = {"shape": "flat", "height_m": 0.004, "raw_mass_kg": 0.3}
    cups = mixed(part(2, **flat), part(3, **flat | {"length_m": 0.3}), gripper="vacuum_single")
    belt = mixed(part(2), part(3, length_m=0.3), presenter="infeed_conveyor")

    assert {name.partition("_")[0] for each in mix(cups).families for name in each.means} <= {"insert"}
    assert {name.partition("_")[0] for each in mix(belt).families for name in each.means} == {"fingers"}


@pytest.mark.parametrize("priced", [1.0, 2.0, 60.0])
def test_more_sets_in_the_price_than_the_list_asks_for_are_told(priced: float) -> None:
    """Two sets are needed for a small and a large part; what the inquiry says of its families is what is priced."""
    study = mixed(part(2), part(5, length_m=0.2, width_m=0.14, height_m=0.05, raw_mass_kg=6.0))
    assert value(study, mix(study).needed_sets) == 2.0
    assert study.inquiry.part_list is not None
    sets = Fact(id="part_mix.priced_sets", value=priced, unit="1", basis="computed", source="a test")
    beside = Beside(
        sheet=Sheet([*study.facts.values(), sets]), part_list=study.inquiry.part_list, concept=mix(study).concept,
        grouping=Grouping(fingers_m=0.023, insert_m=None, mass_ratio=3.0), weeks_per_y=50.0,
    )  # fmt: skip
    told = too_many(beside, replace(mix(study), priced_sets=sets.id))

    assert ("no more than [[part_mix.needed_sets|count]]" in told) == (priced > 2.0)


def test_a_part_that_comes_twice_needs_its_fingers_twice() -> None:
    """Of two sets in the price then one of the list's is bought: what is needed and covered are counted alike."""
    study = mixed(part(2), part(5, length_m=0.2, width_m=0.14, height_m=0.05, raw_mass_kg=6.0))
    own = mix(study)
    assert study.inquiry.part_list is not None
    sets, twice = (Fact(id=f"test.{name}", value=2.0, unit="1", basis="given", source="a test") for name in "ab")
    drawn = ("needed_sets", "priced_share")
    known = [each for each in study.facts.values() if each.id.removeprefix("part_mix.") not in drawn]
    beside = Beside(
        sheet=Sheet([*known, sets, twice]), part_list=study.inquiry.part_list, concept=own.concept,
        grouping=Grouping(fingers_m=0.023, insert_m=None, mass_ratio=3.0), weeks_per_y=50.0, priced_sets=sets,
        passes=twice,
    )  # fmt: skip
    share = priced(beside, own.families, own.steps, study.facts[own.hours])
    needed = needed_sets(beside, own.steps)
    assert share is not None
    assert needed is not None

    assert beside.sheet.value(needed) == 4.0
    assert 0.0 < beside.sheet.value(share) < 1.0


def test_without_a_cell_families_are_made_all_the_same() -> None:
    """Nothing is covered by a cell then, and it says so."""
    fallen = tuple(replace(each, place=None) for each in bare_study().decision.ranking)
    study = replace(bare_study(), decision=replace(bare_study().decision, ranking=fallen))
    inquiry = asked(part(2), part(3, raw_mass_kg=900.0))

    found = with_part_mix(replace(study, inquiry=inquiry), inquiry, catalogue())

    assert (mix(found).concept, mix(found).able, mix(found).steps, mix(found).left) == (None, None, (), ())
    assert len(mix(found).families) == 2
    assert "No cell works here" in words(found)


def test_rows_left_out_are_counted() -> None:
    """Two bad cells of one row are one row."""
    bad = tuple(BadCell(row=7, where=f"parts.csv:7:{n}", read="x", write="y") for n in (3, 4))

    assert "1 row was left out" in words(mixed(part(2), left_out=bad))


def test_an_inquiry_without_a_list_stays_as_it_is() -> None:
    """Not a fact more."""
    assert with_part_mix(bare_study(), bare_study().inquiry, catalogue()) is bare_study()


# --- for any list ---


def some(seed: int) -> Study:
    """Forty parts of all kinds, some of them far too large."""
    chance = random.Random(seed)
    rows = []
    for row in range(2, 42):
        sides = sorted((round(chance.uniform(0.02, 0.4), 3) for _ in range(3)), reverse=True)
        rows.append(
            part(
                row, length_m=sides[0], width_m=sides[1], height_m=sides[2], raw_mass_kg=chance.uniform(0.1, 25.0),
                shape=chance.choice(("prismatic", "prismatic", "round", "other")),
                orders_per_y=float(chance.randrange(0, 500)), lot_size=float(chance.randrange(1, 60)),
            )
        )  # fmt: skip
    return mixed(*rows)


@pytest.mark.parametrize("seed", range(4))
def test_a_part_is_in_one_family_or_left_and_shares_add_up(seed: int) -> None:
    """Each row once; families and what is left make up the whole; more sets never cover less, and all of them all that
    the cell can do."""
    study = some(seed)
    found = mix(study)
    rows = [row for each in found.families for row in each.members] + [each.row for each in found.left]
    whole = value(study, found.hours)
    shares = sum(value(study, each.share) for each in found.families)
    curve = [value(study, each.share) for each in found.steps]
    gains = [value(study, each.gain) for each in found.steps]

    assert sorted(rows) == list(range(2, 42))
    assert shares + sum(each.hours_h_per_y for each in found.left) / whole == pytest.approx(1.0)
    assert curve == sorted(curve)
    assert sum(gains) == pytest.approx(curve[-1]) == pytest.approx(shares)
    assert value(study, found.able) == pytest.approx(shares)
    assert sum(value(study, each.count) for each in found.families) + len(found.left) == value(study, found.count)


@pytest.mark.parametrize("seed", range(2))
def test_no_family_is_wider_than_its_fingers_its_insert_and_its_program_take(seed: int) -> None:
    """By the figures of the cell: stroke less room and scatter, the span of an insert, three times the lightest."""
    study = some(seed)
    parts = {each.row: each for each in study.inquiry.part_list.parts} if study.inquiry.part_list else {}

    for each in mix(study).means:
        limit = 0.01 if each.kind == "insert" else 0.03 - 0.006
        assert value(study, each.greatest) - value(study, each.least) <= limit + 1e-9
    for family in mix(study).families:
        masses = [parts[row].raw_mass_kg for row in family.members]
        assert max(masses) <= 3.0 * min(masses) * (1.0 + 1e-9)
