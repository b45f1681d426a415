"""One cell guarded in each way: on the study's own road, and each way costs what it must."""

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from io import StringIO
from itertools import pairwise
from unittest.mock import patch

import jsonschema
import pytest
from rich.console import Console

from millhand.model.canonical import content_hash
from millhand.model.catalogue import Catalogue
from millhand.model.cell import Cell
from millhand.model.inquiry import Inquiry
from millhand.model.safeguarding import Guarded, GuardedCell, Safeguarding
from millhand.model.study import Study
from millhand.report.html import report_html
from millhand.report.study_json import study_as_json
from millhand.report.study_schema import study_schema
from millhand.report.terminal import show, study_parts
from millhand.safeguarding import with_safeguarding
from millhand.solvers.kernel.replications import simulate
from millhand.stages.safeguarding.answers import facts_of
from millhand.stages.safeguarding.zones import PASSER, PASSING
from millhand.study import study
from tests.few_draws import FEW_DRAWS
from tests.report.test_told_in import figures
from tests.stages.jobs import told
from tests.stages.short_road import catalogue, example, with_figures
from tests.study_checks import wrong_page

pytestmark = pytest.mark.xdist_group("guarding")  # their studies are worked out once a process

ARM = "arm1"
FEW = (
    "trays", "from_mould", "back_to_tray", "out_box", "pedestal", "force_limited_12", "fenced_20", "parallel_single",
    "scanner", "fence",
)  # fmt: skip
KINDS = ("presenter", "outfeed", "mount", "arm", "gripper", "safeguarding")
NEVER = 1e12
CHOICES = ("fence", "curtain", "scanner", "force_limiting")


def few() -> Catalogue:
    """The catalogue with two cells in it: the same but for the arm's class."""
    kept = {name: each for name, each in catalogue().components.items() if each.kind not in KINDS or name in FEW}
    return replace(catalogue(), components=kept, hand_changes=())


def done(inquiry: Inquiry, book: Catalogue | None = None) -> Study:
    """The study of an inquiry at its load bounds, few draws, with its cells guarded and simulated."""
    book = book or few()
    with patch("millhand.study.simulated", return_value={}), patch("millhand.study.DRAWS", 5):
        found = study(inquiry, book, asked=FEW_DRAWS)
    return with_safeguarding(found, inquiry, book)


def looked_at(inquiry: Inquiry) -> Study:
    """The same with few weeks simulated: for what is told of the ways beside their figures."""
    with patch("millhand.road.WITH_ABSENCE", 1):
        return done(inquiry)


def undisturbed() -> Catalogue:
    """The same catalogue where people come at once, refill in no time, and no load fails: the arm's pace alone."""
    none = dict.fromkeys(("response_s", "refill_visit_s", "refill_part_s", "fault_share_per_part", "clear_s"), 1e-6)
    return with_figures(few(), none)


@cache
def two_vises() -> Study:
    """An example whose machines set the pace."""
    return done(example("5_two_vises"))


@cache
def html_of(language: str) -> str:
    """Its page."""
    return report_html(two_vises(), language=language)


def page(found: Study) -> Safeguarding:
    """The record."""
    assert found.safeguarding is not None
    return found.safeguarding


def cell(found: Study, arm_class: str) -> GuardedCell:
    """The cell with one class of arms."""
    return next(each for each in page(found).cells if each.arm_class == arm_class)


def row(found: Study, arm_class: str, choice: str) -> Guarded:
    """One row."""
    return next(each for each in cell(found, arm_class).rows if each.choice == choice)


def rate(found: Study, arm_class: str, choice: str) -> float:
    """Parts an hour of one row."""
    return found.facts[row(found, arm_class, choice).parts_per_h or ""].value


def run_of(found: Study, arm_class: str, choice: str) -> Cell:
    """The cell that a row was simulated with."""
    ending = f"{cell(found, arm_class).concept.rpartition('-')[0]}-by_{choice}"
    return next(each.cell for each in page(found).simulated if each.name == ending)


def one_mill(seconds: float, more: Mapping[str, float | str] | None = None) -> Inquiry:
    """Two machines side by side, nothing that stops or wears, one part a load, a cycle of so many seconds."""
    inquiry = example("5_two_vises")
    part, machine = inquiry.parts[0], inquiry.machines[0]
    operation = part.operations[0]
    calm = {
        operation.time_s.id: seconds, operation.sides.id: "one", operation.parts_per_cycle.id: 1.0,
        operation.tool_life_parts.id: NEVER, machine.chip_limit_parts.id: NEVER, part.orders_per_y.id: 1e6,
        machine.stops.short_every_s.id: NEVER, part.families.id: 1.0,
    }  # fmt: skip
    return told(inquiry, calm | dict(more or {}))


# --- what is there ---


@pytest.mark.parametrize("arm_class", ["fenced", "force_limited"])
def test_every_way_has_a_row_with_its_figures_or_its_words(arm_class: str) -> None:
    """All four, in the catalogue's order; a way that does not fit has words in the place of figures."""
    rows = cell(two_vises(), arm_class).rows

    assert tuple(each.choice for each in rows) == CHOICES
    for each in rows:
        figures = (each.parts_per_h, each.floor, each.price, each.near_h, each.level)
        assert all(figures) != bool(each.misfit)
        assert bool(each.distances) != bool(each.misfit)


def test_an_arm_that_does_not_limit_its_force_may_not_touch() -> None:
    """Force limiting does not fit it, and no contact speed is told of it."""
    assert "does not limit its force" in row(two_vises(), "fenced", "force_limiting").misfit
    assert cell(two_vises(), "fenced").regions == ()


def test_a_fenced_cell_is_the_cell_of_the_study() -> None:
    """It is the very cell that the study works out: moves, handling, duties, hours, and where people stop the arm."""
    found = two_vises()
    own = next(each for each in found.results if each.concept.id == cell(found, "fenced").concept)
    assert own.cell is not None

    made = run_of(found, "fenced", "fence")
    assert made.zones["inside"].slows == {ARM: "stop"}
    assert replace(made, origins={}) == replace(own.cell, origins={})
    assert own.estimate is not None
    assert found.facts[row(found, "fenced", "fence").price or ""].value == found.facts[own.estimate.installed].value


def test_the_page_and_the_file_hold_it() -> None:
    """Every digit of the page leads to a fact, and the file fits its schema."""
    text = study_as_json(two_vises())
    written = json.loads(text)

    jsonschema.Draft202012Validator(study_schema()).validate(written)
    html = html_of("en")
    assert wrong_page(html, written) == []
    assert "Heaviest single lift" in html


def test_a_german_page_has_no_english_but_in_the_lists_of_facts() -> None:
    """Checks, safeguarding, money and all sentences of a whole study are told, with the figures of the English page."""
    german, lists = html_of("de"), '<section id="assumptions">'

    assert re.findall('<span lang="en">(.*?)</span>', german.partition(lists)[0]) == []
    assert lists in german
    assert figures(german) == figures(html_of("en"))


def test_the_safety_person_is_answered_for_the_cell_that_is_recommended() -> None:
    """Guarded as it is in the study, with every figure in its map, and the level of its own way to be guarded."""
    found = two_vises()
    made = page(found).answers

    assert made is not None
    assert made.concept == found.decision.winner
    assert set(facts_of(made)) <= set(found.facts)
    assert made.ways is not None
    own = next(row for row in page(found).cells[0].rows if row.title == made.functions[0].title)
    assert found.facts[made.functions[0].level].value == found.facts[own.level or ""].value


def test_the_terminal_shows_the_first_cell_with_its_caution() -> None:
    """Each way by its name, what does not fit as such, and who decides."""
    out = Console(file=StringIO(), width=80)
    show(study_parts(two_vises()), out)
    text = out.file.getvalue()  # type: ignore[attr-defined]
    first = page(two_vises()).cells[0]

    assert "Safeguarding compared" in text
    for each in first.rows:
        assert each.title[1:20] in text
    assert "competent" in text


def test_a_study_without_cells_stays_as_it_is() -> None:
    """Where no cell lives there is nothing to guard."""
    inquiry, nothing = example("5_two_vises"), replace(catalogue(), components={}, hand_changes=())
    with patch("millhand.study.simulated", return_value={}), patch("millhand.study.DRAWS", 5):
        bare = study(inquiry, nothing, asked=FEW_DRAWS)

    assert with_safeguarding(bare, inquiry, nothing) is bare


# --- common practice, no source ---


@pytest.mark.parametrize("minutes", [4.0, 20.0])
def test_at_slow_machines_force_limiting_costs_a_few_per_cent(minutes: float) -> None:
    """Where the machine sets the pace the same arm makes at most a tenth less when it may touch somebody."""
    found = done(one_mill(minutes * 60.0), undisturbed())
    fence, touch = rate(found, "force_limited", "fence"), rate(found, "force_limited", "force_limiting")

    assert 0.90 * fence <= touch <= fence * 1.001  # a part more or less at the end of a week


def test_where_the_arm_sets_the_pace_force_limiting_costs_a_quarter_to_a_half() -> None:
    """Against an arm behind its fence, at machines that are always waiting for it."""
    machine = example("5_two_vises").machines[0]
    found = done(one_mill(5.0, {machine.door.id: "none"}), undisturbed())
    fence, touch = rate(found, "fenced", "fence"), rate(found, "force_limited", "force_limiting")

    assert 0.25 <= 1.0 - touch / fence <= 0.5


# --- what must hold ---


@pytest.mark.parametrize("seconds", [15.0, 400.0])
def test_a_slower_speed_near_people_never_makes_more(seconds: float) -> None:
    """The heavier the arm, the slower it may touch, the fewer parts: nothing here is left to chance."""
    rates = []
    for mass in (10.0, 50.0, 300.0):
        heavy = undisturbed().components["force_limited_12"]
        moving = replace(heavy.figures["moving_mass_kg"], value=mass, low=None, high=None, shape="point")
        arm = replace(heavy, figures={**heavy.figures, "moving_mass_kg": moving})
        book = replace(undisturbed(), components={**few().components, "force_limited_12": arm})
        found = done(one_mill(seconds), book)
        speed = row(found, "force_limited", "force_limiting").speed
        rates.append((found.facts[speed or ""].value, rate(found, "force_limited", "force_limiting")))

    assert [speed for speed, _ in rates] == sorted((speed for speed, _ in rates), reverse=True)
    assert all(slower <= faster * 1.0001 for (_, faster), (_, slower) in pairwise(rates))


def test_the_slowest_region_sets_the_speed() -> None:
    """The speed is that of the binding region, unless the arm's own is slower; skull and face have none."""
    found = two_vises()
    met = {each.name: each.speed for each in cell(found, "force_limited").regions}
    speeds = {name: found.facts[speed].value for name, speed in met.items() if speed is not None}

    assert len(met) == 12
    assert {name for name, speed in met.items() if speed is None} == {"skull_forehead", "face"}
    assert cell(found, "force_limited").binding == min(speeds, key=lambda name: speeds[name])
    assert found.facts[row(found, "force_limited", "force_limiting").speed or ""].value == min(speeds.values())


def test_slow_moves_are_no_faster_than_allowed_and_never_shorter() -> None:
    """Each move of the slow table covers its straight distance below the allowed speed."""
    found = two_vises()
    slow, fast = run_of(found, "force_limited", "force_limiting"), run_of(found, "force_limited", "fence")
    speed = found.facts[row(found, "force_limited", "force_limiting").speed or ""].value
    result = next(each for each in found.results if each.concept.id == cell(found, "force_limited").concept)
    assert result.layout is not None
    table, own = slow.moves["arm"], fast.moves["arm"]
    for i, a in enumerate(table.places):
        for j, b in enumerate(table.places):
            distance = result.layout.distances.get(f"{a} {b}") or result.layout.distances.get(f"{b} {a}")
            if a != b and distance is not None:
                assert (table.empty_s[i][j] or 0.0) >= found.facts[distance].value / speed
            assert (table.empty_s[i][j] or 0.0) >= (own.empty_s[i][j] or 0.0)


def soft() -> Inquiry:
    """An inquiry in which nothing rules contact out: machined blocks in a nest, people pass."""
    inquiry = one_mill(60.0)
    part, machine = inquiry.parts[0], inquiry.machines[0]
    words = {
        part.condition.id: "machined", machine.clamping.id: "nest", machine.kind.id: "other",
        inquiry.wishes.people_pass.id: "yes",
    }  # fmt: skip
    return told(inquiry, words)


@cache
def calm() -> Study:
    """The study of that inquiry."""
    return done(soft())


def test_a_scanner_slows_where_contact_is_not_ruled_out_and_stops_where_it_is() -> None:
    """Sawn parts and chucks make the field stop the arm; without them it slows to the contact speed."""
    soft_ones, sharp = calm(), two_vises()

    assert row(soft_ones, "force_limited", "scanner").near == "slow"
    assert row(soft_ones, "force_limited", "force_limiting").ruled_out == ()
    assert row(sharp, "force_limited", "scanner").near == "stop"
    assert "sharp_edges" in row(sharp, "force_limited", "force_limiting").ruled_out
    assert row(soft_ones, "fenced", "scanner").near == "stop"


def test_hot_parts_and_closing_tools_rule_contact_out() -> None:
    """Whatever the arm: a hot film, a press, a powered chuck; and the words name the clamped hand."""
    inquiry = soft()
    part, machine = inquiry.parts[0], inquiry.machines[0]
    for more, obstacle in (
        ({part.film.id: "hot"}, "hot_parts"),
        ({machine.kind.id: "press"}, "closing_tool"),
        ({machine.clamping.id: "powered_chuck"}, "closing_chuck"),
    ):
        found = looked_at(told(inquiry, more))
        assert obstacle in row(found, "force_limited", "force_limiting").ruled_out
    assert "contact.hand_finger.clamped" in found.facts


def test_people_who_pass_slow_the_arm_inside_the_simulation() -> None:
    """With somebody passing every minute for half of it the arm is slowed, makes less, and more than always slow."""
    made = run_of(calm(), "force_limited", "scanner")
    assert PASSER in made.attendants
    every = made.duties[PASSING].trigger.every
    assert every is not None
    busy = replace(
        made.duties[PASSING],
        trigger=replace(made.duties[PASSING].trigger, every=replace(every, mean_s=60.0)),
        takes=replace(made.duties[PASSING].takes, mean_s=30.0),
    )
    alone = replace(made, zones={name: each for name, each in made.zones.items() if name != "beside"})
    crowded = replace(made, duties={**made.duties, PASSING: busy})
    always = replace(
        made, zones={}, moves={**made.moves, "arm": made.moves["arm_slow"]},
    )  # fmt: skip
    outputs = [simulate(each, hours=168.0, replications=6, seed=1) for each in (alone, crowded, always)]

    assert outputs[1].states[ARM]["slowed"] > outputs[0].states[ARM].get("slowed", 0.0)
    rates = [each.parts_per_h.mean for each in outputs]
    assert rates[0] > rates[1] > rates[2]


def test_nobody_passes_where_nobody_is_said_to() -> None:
    """Then the field holds those who tend alone."""
    inquiry = soft()
    quiet = looked_at(told(inquiry, {inquiry.wishes.people_pass.id: "no"}))

    assert PASSING not in run_of(quiet, "force_limited", "scanner").duties
    assert page(quiet).passing_every is None
    assert page(calm()).passing_every == "catalogue.passing_every_s"
    assert PASSING in run_of(calm(), "force_limited", "scanner").duties
    assert PASSING not in run_of(calm(), "force_limited", "fence").duties


def test_distances_name_their_edition_and_the_country_adds_its_rule() -> None:
    """A curtain has both editions everywhere, and the rule of the United States there."""
    inquiry = example("5_two_vises")
    at_home = looked_at(replace(inquiry, shop=replace(inquiry.shop, country="US")))
    abroad = looked_at(replace(inquiry, shop=replace(inquiry.shop, country="DE")))
    rules = [[each.rule for each in row(found, "fenced", "curtain").distances] for found in (at_home, abroad)]

    assert {"ISO 13855:2010", "ISO 13855:2024"} <= set(rules[0]) & set(rules[1])
    assert "ANSI B11.19" in rules[0]
    assert "ANSI B11.19" not in rules[1]


def test_the_stop_field_lies_inside_the_slow_field_and_takes_floor() -> None:
    """A slower arm needs less room to stop; a field that must stop it takes more floor than a fence."""
    found = two_vises()
    fields = {each.words: found.facts[each.fact].value for each in row(found, "fenced", "scanner").distances}

    assert fields["the stop field begins"] < fields["the slow field begins"]
    floors = [found.facts[row(found, "fenced", choice).floor or ""].value for choice in ("fence", "curtain", "scanner")]
    assert floors[0] < floors[1] < floors[2]


def test_a_function_is_judged_by_the_risk_graph() -> None:
    """Letters follow from the judged facts, which each have a question but for how often people are inside, where the
    study counts that: behind a fence they are, for more than a twentieth of the time."""
    found = two_vises()
    for each in cell(found, "force_limited").rows:
        assert each.judged is not None
        asked = {name: fact for name, fact in each.judged.items() if found.facts[fact].basis != "computed"}
        assert all(found.facts[fact].question for fact in asked.values())
        assert set(each.judged) - set(asked) == ({"frequency"} if each.choice == "fence" else set())
    levels = {each.choice: found.facts[each.level or ""].value for each in cell(found, "force_limited").rows}
    assert levels == {"fence": 5.0, "curtain": 4.0, "scanner": 4.0, "force_limiting": 3.0}


def test_ways_that_nothing_in_the_simulation_tells_apart_are_the_same() -> None:
    """A curtain holds the arm up as a gate does: the same output; price and floor are their own."""
    found = two_vises()
    fence, curtain = row(found, "fenced", "fence"), row(found, "fenced", "curtain")

    assert rate(found, "fenced", "fence") == rate(found, "fenced", "curtain")
    assert found.facts[curtain.price or ""].value > found.facts[fence.price or ""].value
    assert found.facts[curtain.near_h or ""].source.endswith(content_hash(run_of(found, "fenced", "curtain")))


def test_the_arm_stands_for_just_as_long_as_somebody_is_inside() -> None:
    """Behind a fence: the shares of all duties inside, which one person does one after another, and nothing else.

    A fault of the arm's own load is booked as its repair, not as standing for people.
    """
    made = run_of(two_vises(), "fenced", "fence")
    inside = (*made.zones["inside"].duties, *(name for name, each in made.duties.items() if each.holds == "arm"))
    output = simulate(made, hours=168.0, replications=4, seed=3)
    there = sum(output.duty_share[name].mean for name in dict.fromkeys(inside))
    faults = output.states[ARM].get("in_repair", 0.0)

    assert output.states[ARM]["stopped"] + faults == pytest.approx(there, rel=1e-9)
    assert output.states[ARM]["stopped"] > 0.01


def test_a_slow_field_slows_ways_and_nothing_else() -> None:
    """Slowed time is way time: where slow moves are as fast as full ones, the field changes no part of the output."""
    made = run_of(calm(), "force_limited", "scanner")
    same = replace(made, moves={**made.moves, "arm_slow": made.moves["arm"]})
    free = replace(same, zones={})
    outputs = [simulate(each, hours=168.0, replications=3, seed=2) for each in (same, free)]

    assert outputs[0].parts_per_h == outputs[1].parts_per_h
    assert outputs[0].states[ARM]["slowed"] > 0.0


def test_a_cell_that_takes_no_part_out_in_time_has_words_and_no_figures() -> None:
    """A window that no arm can keep leaves nothing good: no figure is made of it, and the study goes on."""
    inquiry = soft()
    operation = inquiry.parts[0].operations[0]
    window = replace(operation.time_s, id=f"{operation.time_s.id}_window", value=1e-3, low=None, high=None)
    narrow = replace(operation, take_out_within_s=window)
    part = replace(inquiry.parts[0], operations=(narrow,))
    late = done(replace(inquiry, parts=(part,)))

    for each in (row for guarded in page(late).cells for row in guarded.rows):
        assert each.misfit
        assert each.parts_per_h is None
