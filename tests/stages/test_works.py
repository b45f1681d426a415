"""What the arm does with a part besides loading: looked at where it is asked for, and with all that it costs."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.starters import inquiry_of_starter
from millhand.intake.inquiry import read_inquiry
from millhand.model.concept import Concept
from millhand.model.inquiry import Inquiry, Named, Only
from millhand.model.slots import pointer_get
from millhand.model.walk import facts_in
from millhand.report.proposal.alternatives import changed
from millhand.report.proposal.records import Say
from millhand.road import BARE_FAILS, only_loading, size
from millhand.stages.concepts import concepts, dropped, how_many
from millhand.stages.feasibility.side_force import side_force
from millhand.stages.performance.kept import taken_over
from tests.stages.feasibility.judged import asked_of, judged
from tests.stages.shop import shop
from tests.stages.short_road import Walked, catalogue, example, walked
from tests.stages.test_kept import element

CELL = "trays-pedestal-fenced_20-parallel_single-fence"
TWO_HANDS = CELL.replace("single", "double")
MOULD = "from_mould-out_conveyor-pedestal-fenced_20-vacuum_single-fence"


def asking(of: Inquiry, *works: str) -> Inquiry:
    """The inquiry that asks the arm for these works."""
    return replace(of, wishes=replace(of.wishes, by_arm=works))


@cache
def done(works: str, cell: str = CELL) -> Walked:
    """The cell of the first example with works joined by '-'."""
    asked = asking(example("1_two_mills"), *works.split("-") if works else ())
    return walked(asked, f"{cell}-{works}" if works else cell)


def few(name: str) -> Inquiry:
    """An example kept to cells on a pedestal."""
    return replace(example(name), only=Only(mount=(Named(name="pedestal", where="test"),)))


def ids(of: Inquiry) -> set[str]:
    """The cells that are looked at."""
    return {each.id for each in concepts(of, catalogue()) if each.kind == "cell"}


def concept(found: Walked) -> Concept:
    """The concept of a road."""
    return found.plan.concept


def test_nothing_is_looked_at_that_nobody_asked_for() -> None:
    """Deburring and gauging stand in today's work, and no cell has a station for them."""
    plain = ids(few("1_two_mills"))

    assert not any("deburring" in each or "gauging" in each for each in plain)
    assert ids(asking(few("1_two_mills"))) == plain


def test_each_is_looked_at_without_with_each_alone_and_with_all() -> None:
    """Two works make four of each cell that takes both; three make five."""
    of = few("1_two_mills")
    plain, two, three = (
        ids(of),
        ids(asking(of, "deburring", "gauging")),
        ids(asking(of, "deburring", "gauging", "marking")),
    )

    assert {CELL, f"{CELL}-deburring", f"{CELL}-gauging", f"{CELL}-deburring-gauging"} <= two
    assert f"{CELL}-deburring-gauging-marking" in three
    assert f"{CELL}-deburring-marking" not in three
    assert plain < two
    assert plain < three


def test_every_combination_is_a_concept_or_dropped_by_a_rule() -> None:
    """What is counted goes up by the cells with works and by those that a rule drops."""
    of = few("3_moulding")
    asked = asking(of, "degating", "deburring")
    more = how_many(asked, catalogue())[0] - how_many(of, catalogue())[0]
    why = dict(dropped(asked, catalogue()))

    assert more == 3 * len(ids(of))  # degating, deburring, both
    assert len(ids(asked)) == 2 * len(ids(of))  # what a mould leaves is no burr
    assert "degating, not deburring" in why["deburring"]


@pytest.mark.parametrize(
    ("name", "work", "dropped_as", "words"),
    [
        ("1_two_mills", "degating", "degating", "only a moulding machine"),
        ("3_moulding", "blowing_clean", "blowing_clean", "neither chips nor coolant"),
        ("4_tiny_lots", "marking", "movable_stand-marking", "from machine to machine"),
        ("1_two_mills", "deburring", "adaptive_single-deburring", "slide or turn"),
    ],
)
def test_a_rule_says_why_a_work_makes_no_sense(name: str, work: str, dropped_as: str, words: str) -> None:
    """By the work alone, or by the work and the choices that do not go with it."""
    of = example(name)
    if name == "1_two_mills" and work == "deburring":  # light enough for adaptive fingers
        light = {f"parts.bracket.{each}_mass": 0.5 for each in ("raw", "finished")}
        of = shop_with(of, light)
    if dropped_as.startswith("movable"):
        of = replace(of, wishes=replace(of.wishes, must_move=replace(of.wishes.must_move, value="yes")))

    assert words in dict(dropped(asking(of, work), catalogue()))[dropped_as]


def shop_with(of: Inquiry, values: dict[str, float]) -> Inquiry:
    """The inquiry with some numbers."""
    from_ids = {each.id: each for each in facts_in(of)}
    assert set(values) <= set(from_ids)
    part = of.parts[0]
    masses = {
        "raw_mass_kg": replace(part.raw_mass_kg, value=values["parts.bracket.raw_mass"]),
        "finished_mass_kg": replace(part.finished_mass_kg, value=values["parts.bracket.finished_mass"]),
    }
    return replace(of, parts=(replace(part, **masses),))


def test_with_one_hand_the_machine_stands_for_it_and_with_two_the_arm_alone_works() -> None:
    """20 s a part are in the gap of a single gripper, and beside it with a double one."""
    for cell, gap in ((CELL, 20.0), (TWO_HANDS, 0.0)):
        plain, station = done("", cell), done("deburring", cell)
        was, now = (each.plan.timing.operations[0] for each in (plain, station))

        assert station.value(now.gap) - plain.value(was.gap) == pytest.approx(gap)
        assert station.value(now.work) - plain.value(was.work) == pytest.approx(20.0)
        for side, whole in (("machine stands", (now.gap,)), ("arm alone", (now.other, now.travel))):
            own = [station.value(each.time) for each in now.elements if each.side == side]
            assert sum(own) == pytest.approx(sum(station.value(each) for each in whole)) or not own


def test_the_cell_holds_the_arm_for_it_before_the_part_is_put_down() -> None:
    """Its visit to the outfeed takes longer by the station, and the number leads back to both."""
    plain, station = (done(each).plan.cell for each in ("", "deburring"))
    assert plain is not None
    assert station is not None
    pointer = "/handling/2/place/hold_s"

    assert pointer_get(station, f"{pointer}/mean_s") - pointer_get(plain, f"{pointer}/mean_s") == pytest.approx(20.0)
    inputs = done("deburring").sheet[station.origins[pointer].fact].inputs
    assert ("elements_s[]", "catalogue.deburring.time_a_part_s") in inputs


def test_gauging_takes_its_time_at_each_part_that_is_gauged() -> None:
    """15 s at each twentieth: 0.75 s of every part; nothing waits for people to gauge it at night."""
    plain, station = done(""), done("gauging")
    times = {each.name: station.value(each.time) for each in station.plan.timing.operations[0].elements}
    was, now = ({each.check for each in found.plan.verdicts} for found in (plain, station))

    assert times["finished part is gauged, spread over all parts"] == pytest.approx(15.0 / 20.0)
    assert was - now == {"gauging_night"}
    assert any("gauge_each" in each for each in plain.sheet.facts)
    assert not any("gauge_each" in each for each in station.sheet.facts)


def test_people_keep_a_share_of_what_the_arm_takes_over() -> None:
    """Of 35 s of deburring a quarter, all of the 90 s of gauging at each twentieth; then the other way round."""
    top = f"concepts.{CELL}"

    assert done("deburring").value(f"{top}-deburring.performance.inside_s") == pytest.approx(
        1.12 * (0.25 * 35.0 + 90.0 / 20.0)
    )
    assert done("gauging").value(f"{top}-gauging.performance.inside_s") == pytest.approx(
        1.12 * (35.0 + 0.15 * 90.0 / 20.0)
    )
    hours = [done(each).value(done(each).performance.operator_h_per_y) for each in ("", "gauging", "deburring")]
    assert hours[0] > hours[1] > hours[2]


@pytest.mark.parametrize(
    ("name", "taken"),
    [
        ("deburr", True),
        ("deburr_by_hand", True),
        ("deburr_and_break_edges", True),
        ("deburr_and_gauge", False),
        ("deburr_in_vise", False),
        ("put_away", False),
    ],
)
def test_an_element_is_taken_over_where_its_name_says_nothing_else(name: str, taken: bool) -> None:
    """Two works in one element stay with people until they are told apart; so does what is done in the machine."""
    assert taken_over(element(name, "inside"), catalogue().components["deburring"]) is taken


def test_a_station_is_priced_with_its_work_and_its_families() -> None:
    """The spindle once, its edges for each of the four families, design and start-up among the bought work."""
    found = done("deburring")
    assert found.plan.estimate is not None
    assert done("").plan.estimate is not None
    lines = {each.id: each for each in found.plan.estimate.lines}
    factor = found.sheet.value("money.price_factor")
    own = {name: lines[name].amount.value / factor for name in ("deburring", "deburring_families", "work_deburring")}

    assert own == {name: pytest.approx(money) for name, money in zip(own, (12_000, 4 * 1000, 6000), strict=True)}
    assert lines["work_deburring"].group == "work"
    assert not any("deburring" in each.id for each in done("").plan.estimate.lines)  # type: ignore[union-attr]


def test_at_a_mould_the_gates_are_the_arms() -> None:
    """Degating is unsaid without a station, a tenth of it stays with one; the arm's time is that of a shot."""
    of = read_inquiry(inquiry_of_starter("moulding_take_out"), assumptions())
    plain, station = walked(of, MOULD), walked(of, f"{MOULD}-degating")
    was, now = plain.plan.timing.operations[0], station.plan.timing.operations[0]

    assert station.value(now.work) - plain.value(was.work) == pytest.approx(4.0)
    assert station.value(now.gap) == plain.value(was.gap)
    a_part_s = 1.12 * 4.0  # two parts of a shot, the element at each part
    assert station.value(f"concepts.{MOULD}-degating.performance.degating_left_s") == pytest.approx(0.1 * a_part_s)
    assert plain.value(f"concepts.{MOULD}.performance.inside_unsaid_s") == pytest.approx(0.6 * a_part_s)
    assert concept(station).title.endswith(", degating by the arm")


def test_the_hand_must_hold_against_the_tool() -> None:
    """(m g + F) S / mu over two jaws: 25 N at a part of 1.17 kg ask for 365 N, of 800; a heavy part is refused."""
    cell = "drawers-floor_track-fenced_20-parallel_double-fence-deburring"
    found = judged(cell, asking(shop(), "deburring"))
    demand, limit = found.numbers("side_force")

    assert demand == pytest.approx((1.17 * 9.80665 + 25.0) * 2.0 / 0.10 / 2.0)
    assert limit == 800.0
    assert found.verdicts["side_force"].holds
    assert "while a tool pulls at it with 25 N" in found.sentence("side_force")
    assert "side_force" not in judged(cell.removesuffix("-deburring")).verdicts


@pytest.mark.parametrize(("pull_n", "holds"), [(40.0, True), (80.0 - 1.17 * 9.80665, True), (69.0, False)])
def test_the_pull_that_is_just_held(pull_n: float, holds: bool) -> None:
    """800 N of each jaw at a friction of 0.1 with a factor of 2 hold 80 N, weight and pull together."""
    book, name = catalogue(), "deburring"
    part = book.components[name]
    force = replace(part.figures["side_force_n"], value=pull_n, low=None, high=None)
    way = replace(part, figures={**part.figures, "side_force_n": force})
    asked = asked_of("drawers-floor_track-fenced_20-parallel_double-fence-deburring", asking(shop(), name))
    options = tuple(
        replace(each, component=way) if each.component.id == name else each for each in asked.concept.options
    )
    verdict = side_force(replace(asked, concept=replace(asked.concept, options=options)))
    assert verdict is not None

    assert verdict.holds is holds
    assert holds or "softer tool" in verdict.words


def test_a_cell_with_a_station_waits_for_the_one_without() -> None:
    """It is looked at after it, and only where that works."""
    plain, station = done(""), done("deburring")

    assert size(concept(plain)) < size(concept(station))
    assert only_loading(concept(plain), {}) == ""
    assert only_loading(concept(station), {CELL.replace("fenced_20", "fenced"): plain.plan}) == ""
    assert only_loading(concept(station), {}) == BARE_FAILS


def test_a_proposal_offers_the_same_cell_with_and_without_a_station() -> None:
    """One work more or less is one change; another hand besides is two."""
    plain, station, other = concept(done("")), concept(done("deburring")), concept(done("deburring", TWO_HANDS))
    more, less, hand = changed(plain, station), changed(station, plain), changed(station, other)
    assert isinstance(more, Say)
    assert isinstance(less, Say)
    assert isinstance(hand, Say)

    assert (more.key, less.key, hand.key) == ("option.with", "option.without", "option.with")
    assert changed(plain, other) is None
    assert changed(plain, plain) is None
