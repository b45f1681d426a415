"""What the safety person asks, of cells made by hand: figures that follow, words that apply, who brings an answer."""

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import pytest

from millhand.catalogue.components import WEIGHED, read_catalogue
from millhand.formulas.guarding import RISK_GRAPH
from millhand.model.concept import Component, Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout, Overhead, Spot, Stretch
from millhand.model.safeguarding import Distance
from millhand.model.safety import SafetyAnswers
from millhand.model.study import Result
from millhand.model.verdict import Verdict
from millhand.model.walk import facts_in
from millhand.stages.safeguarding.answers import facts_of, safety_answers
from millhand.stages.safeguarding.placed import Placed
from millhand.stages.safeguarding.post import Post
from millhand.stages.safeguarding.wider import wider_fence
from millhand.trace import Sheet
from tests.report.fixture_inquiry import inquiry
from tests.report.fixture_placed import placed
from tests.report.fixture_study import number

G = 9.80665
BOOK = read_catalogue()
CELL = "drawers-pedestal-fenced_20-parallel_single-fence"
ROUND = {"x": 1.35, "y": -0.925, "width": 4.05, "depth": 3.65}  # the fixture's fence
WORDS = {"kind": "mill", "clamping": "powered", "door": "powered", "condition": "sawn", "film": "dry"}


def fence_of(sheet: Sheet) -> tuple[Stretch, ...]:
    """A fence along the rectangle, with a gate of 1 m in the south."""
    west, east = ROUND["x"] - ROUND["width"] / 2, ROUND["x"] + ROUND["width"] / 2
    south, north = ROUND["y"] - ROUND["depth"] / 2, ROUND["y"] + ROUND["depth"] / 2
    rows = [
        ("fence", west, south, west, north), ("fence", west, north, east, north), ("fence", east, north, east, south),
        ("fence", west, south, 1.9, south), ("gate", 1.9, south, 2.9, south), ("fence", 2.9, south, east, south),
    ]  # fmt: skip
    made = []
    for at, (name, *ends) in enumerate(rows):
        ids = [number(sheet, f"test.{at}.{n}", end, "m").id for n, end in enumerate(ends)]
        made.append(Stretch(name=name, x_m=ids[0], y_m=ids[1], to_x_m=ids[2], to_y_m=ids[3]))
    return tuple(made)


def verdict(sheet: Sheet, check: str, ends: tuple[float, float], unit: str) -> Verdict:
    """A check with its demand and its limit."""
    demand, limit = (
        number(sheet, f"test.{check}.{name}", end, unit).id for name, end in zip(("demand", "limit"), ends, strict=True)
    )
    return Verdict(
        concept=CELL, check=check, holds=True, kills=False, demand=demand, limit=limit, margin=demand, words="",
        formula="margin_share",
    )  # fmt: skip


def answers(
    *,
    choices: Mapping[str, str | Component] | None = None,
    told: Inquiry | None = None,
    guard: str = "fence",
    words: Mapping[str, str] | None = None,
) -> tuple[SafetyAnswers, Sheet]:
    """The answers for one cell, and the sheet behind them."""
    asked = told or inquiry()
    own: dict[str, str | Component] = {
        "presenter": "drawers", "mount": "pedestal", "arm": "fenced_20", "gripper": "parallel_single",
    }  # fmt: skip
    own |= dict(choices or {})
    parts = {kind: BOOK.components[each] if isinstance(each, str) else each for kind, each in own.items()}
    sheet = Sheet((*facts_in(asked), *facts_in(BOOK)))
    layout = placed(sheet, CELL, number, area=number(sheet, "test.area", 12.0, "m2").id)
    assert layout.drawn is not None
    drawn = replace(layout.drawn, fence=fence_of(sheet) if guard == "fence" else ())
    layout = replace(layout, drawn=drawn)
    if "beam_depth_m" in parts["mount"].figures:
        layout = hung(sheet, layout)
    concept = Concept(id=CELL, kind="cell", title="a cell", safeguarding=BOOK.components[guard], **parts)  # type: ignore[arg-type]
    checks = (verdict(sheet, "payload", (12.0, 20.0), "kg"), verdict(sheet, "grip_force", (400.0, 800.0), "N"))
    result = Result(concept=concept, verdicts=checks, layout=layout)
    choice = next(each for each in BOOK.safeguards.choices if each.id == guard)
    post = Post(sheet=sheet, catalogue=BOOK, concept=concept, guard=choice, base=CELL)
    asks = WORDS | {"choice": guard, "arm_class": "fenced"}
    asks |= {"mount": parts["mount"].id, "presenter": parts["presenter"].id} | dict(words or {})
    return safety_answers(Placed(post=post, inquiry=asked, result=result, words=(asks,))), sheet


def hung(sheet: Sheet, layout: Layout) -> Layout:
    """The layout with a beam of 5 m on two columns in the place of a foot."""
    assert layout.drawn is not None
    lengths = {"foot": 2.6, "low": 2.9, "top": 3.2, "clear": 5.0, "span": 5.0, "deep": 0.2, "at": -0.6}
    metre = {name: number(sheet, f"test.over.{name}", value, "m").id for name, value in lengths.items()}
    over = Overhead(
        hangs="arm", foot=metre["foot"], beam_low=metre["low"], beam_top=metre["top"], arm_top=metre["top"],
        top=metre["top"], ceiling=metre["clear"], span=metre["span"],
    )  # fmt: skip

    def spot(name: str, width: str) -> Spot:
        return Spot(name=name, x_m=metre["at"], y_m=metre["at"], width_m=width, depth_m=metre["deep"])

    more = (spot("column 1", metre["deep"]), spot("column 2", metre["deep"]), spot("beam", metre["span"]))
    kept = tuple(each for each in layout.drawn.pieces if each.name != "arm")
    drawn = replace(layout.drawn, pieces=(*kept, *more), overhead=over)
    return replace(layout, drawn=drawn, overhead=over)


@cache
def usual() -> tuple[SafetyAnswers, Sheet]:
    """A fenced arm on a pedestal before drawers."""
    return answers()


def told_floor(load_pa: float) -> Inquiry:
    """The fixture inquiry with what the floor bears."""
    asked = inquiry()
    fact = Fact(id="wishes.floor_load", value=load_pa, unit="Pa", basis="given", source="a test")
    return replace(asked, wishes=replace(asked.wishes, floor_load_pa=fact))


# --- what is lifted ---


def test_the_whole_is_the_sum_and_the_heaviest_one_lift() -> None:
    """Masses of the catalogue by hand; a fence comes in panels and is no single lift."""
    made, sheet = usual()
    figures = {name: BOOK.components[name].figures for name in ("fenced_20", "pedestal", "drawers", "fence")}
    arm = figures["fenced_20"]["moving_mass_kg"].value * BOOK.figures["arm_whole_over_moving"].value
    run = 2 * (ROUND["width"] + ROUND["depth"]) - 1.0
    fence = figures["fence"]["mass_kg"].value + figures["fence"]["mass_per_m"].value * run
    rest = (
        figures["pedestal"]["mass_kg"].value + BOOK.components["parallel_single"].figures["mass_kg"].value
        + figures["fenced_20"]["control_kg"].value + BOOK.figures["cell_cabinet_kg"].value
        + figures["drawers"]["mass_kg"].value
    )  # fmt: skip

    assert sheet.value(made.delivery.whole) == pytest.approx(arm + fence + rest)
    assert sheet.value(made.delivery.heaviest) == pytest.approx(max(arm, figures["drawers"]["mass_kg"].value))
    assert fence > sheet.value(made.delivery.heaviest)


def test_masses_and_loads_have_a_range() -> None:
    """None of them is known better than its class."""
    made, sheet = usual()
    named = (made.delivery.heaviest, made.delivery.whole, made.delivery.moment, made.delivery.pressed)

    for each in named:
        assert each is not None
        assert (sheet[each].low or 0.0) < sheet[each].value < (sheet[each].high or 0.0)


def test_what_a_piece_weighs_is_asked_for() -> None:
    """Each mass of the catalogue that is lifted is assumed, without a source, and has its question."""
    made, sheet = usual()
    assumed = [sheet[each.mass] for each in made.delivery.lifts if sheet[each.mass].basis == "assumed"]
    asked = [fact for fact in assumed if "parallel_single" not in fact.id and "cell_cabinet" not in fact.id]

    assert len(asked) >= 3
    assert all(fact.question == WEIGHED and "no source" in fact.source for fact in asked)


def test_the_foot_presses_with_all_that_stands_on_it() -> None:
    """Arm, pedestal and what hangs on the flange, over the pedestal's rectangle; its moment by hand."""
    made, sheet = usual()
    arm, foot = BOOK.components["fenced_20"].figures, BOOK.components["pedestal"].figures
    mass = arm["moving_mass_kg"].value * 1.6 + foot["mass_kg"].value + 12.0
    lift = next(each for each in made.delivery.lifts if each.title == "fixed pedestal")
    moment = G * arm["reach_m"].value * (0.4 * arm["moving_mass_kg"].value + 12.0) * 2.0

    assert lift.pressure is not None
    assert sheet.value(lift.pressure) == pytest.approx(mass * G / 0.36)
    assert sheet.value(made.delivery.moment or "") == pytest.approx(moment)
    assert sheet.value(made.delivery.anchor or "") == pytest.approx(max(0.0, moment / 0.9 - mass * G / 4))
    assert made.delivery.support is None


@pytest.mark.parametrize(("share", "holds"), [(1.0, True), (0.999, False), (1.5, True)])
def test_the_floor_is_judged_where_its_bearing_is_told(share: float, holds: bool) -> None:
    """At the limit it holds, a little below it does not; it never ends the concept."""
    pressed = usual()[1].value(usual()[0].delivery.pressed or "")

    made, _ = answers(told=told_floor(pressed * share))

    assert made.delivery.floor is not None
    assert made.delivery.floor.holds is holds
    assert not made.delivery.floor.kills
    assert ("structural engineer" in made.delivery.floor.words) is not holds
    assert "building's papers" not in " ".join(each.question for each in made.delivery.asks)


def test_a_floor_of_which_nobody_spoke_is_a_question() -> None:
    """No verdict, and the name of who brings the answer."""
    made, _ = usual()
    asked = [each for each in made.delivery.asks if "building's papers" in each.question]

    assert made.delivery.floor is None
    assert [each.who for each in asked] == ["the shop, by a licensed structural engineer"]


def test_a_column_carries_what_rides_above_it() -> None:
    """Of an arm under a beam: carriage, arm and load with jolts, a span of beam, the column; no moment at a foot."""
    made, sheet = answers(choices={"mount": "overhead_track"})
    beam, arm = BOOK.components["overhead_track"].figures, BOOK.components["fenced_20"].figures
    riding = beam["carriage_kg"].value + arm["moving_mass_kg"].value * 1.6 + 12.0
    load = G * (riding * 1.2 + beam["mass_per_m"].value * 5.0 + beam["column_kg"].value)

    assert made.delivery.moment is None
    assert made.delivery.anchor is None
    assert sheet.value(made.delivery.support or "") == pytest.approx(load)
    assert sum(each.title == "column of the beam" for each in made.delivery.lifts) == 2
    assert any("column" in each.question for each in made.delivery.asks)


@pytest.mark.parametrize(
    ("kind", "name"),
    [("mount", "overhead_track"), ("mount", "floor_track"), ("mount", "pedestal"), ("presenter", "drawers"),
     ("arm", "fenced_20")],
)  # fmt: skip
def test_a_shops_own_component_without_masses_is_left_out(kind: str, name: str) -> None:
    """No piece of it, no pressure below it, and the question of its maker stays."""
    whole = BOOK.components[name]
    weightless = ("mass_kg", "mass_per_m", "column_kg", "foot_plate_m", "control_kg", "stand_kg")
    bare = replace(whole, figures={key: each for key, each in whole.figures.items() if key not in weightless})

    made, sheet = answers(choices={kind: bare})

    told = [each.title for each in made.delivery.lifts]
    assert (whole.title in told) is (kind == "arm")
    assert "column of the beam" not in told
    assert "control cabinet of the arm" not in told or kind != "arm"
    assert sheet.value(made.delivery.whole) > sheet.value(made.delivery.heaviest)
    assert (made.delivery.moment is None) is (name == "overhead_track")
    assert made.delivery.asks


# --- how the part is held ---


@pytest.mark.parametrize(
    ("gripper", "lasts", "reckoned"),
    [("parallel_single", "a_while", True), ("vacuum_single", "a_while", True), ("magnet_single", "on", False),
     ("adaptive_single", "on", False)],
)  # fmt: skip
def test_each_end_of_arm_says_how_it_holds(gripper: str, lasts: str, reckoned: bool) -> None:
    """With a time where one can be reckoned, and always with a question and who answers it."""
    made, sheet = answers(choices={"gripper": gripper})

    assert made.holding.lasts == lasts
    assert (made.holding.time is not None) is reckoned
    assert made.holding.ask.question.endswith("?")
    assert made.holding.ask.who == "supplier of the gripper"
    assert made.holding.time is None or sheet.value(made.holding.time) > 0.0


def test_half_of_the_pressure_may_be_lost_where_half_of_the_force_is_asked_for() -> None:
    """Shut air: 1 600 N over 30 mm take 40 cm3 at 6 bar; 3 bar of them may leak away."""
    made, sheet = usual()

    lost_m3 = 40e-6 * 300_000.0 / 101_325.0
    assert sheet.value(made.holding.time or "") == pytest.approx(lost_m3 / 3e-8)


def test_a_gripper_of_which_nothing_is_known_counts_as_one_that_lets_go() -> None:
    """A shop's own gripper without the word."""
    own = BOOK.components["parallel_single"]
    plain = replace(own, words={key: each for key, each in own.words.items() if key != "holds"})

    made, _ = answers(choices={"gripper": plain})

    assert made.holding.lasts == "unknown"
    assert made.holding.time is None


def test_every_end_of_arm_of_the_catalogue_has_its_way_to_hold() -> None:
    """A word that the rules know."""
    grippers = [each for each in BOOK.components.values() if each.kind == "gripper"]

    assert grippers
    assert {each.words["holds"] for each in grippers} <= set(BOOK.safeguards.safety.holding)


# --- going in ---


def test_the_steps_end_with_a_restart_from_outside() -> None:
    """Request first, the lock before a hand goes in, restart near the end; the reduced speed stands in one of them."""
    made, sheet = usual()
    words = [each.words for each in made.entering]

    assert words[0].startswith("Press request")
    locked, freed, started = (
        next(at for at, text in enumerate(words) if start in text)
        for start in ("padlock", "Free the part", "Reset outside")
    )
    assert locked < freed < started
    slow = next(each for each in made.entering if "enabling switch" in each.words)
    assert sheet.value(slow.figure or "") == 0.25
    assert sheet[slow.figure or ""].source.endswith("iso10218_1, reduced speed")
    assert all(each.who for each in made.entering)


def test_stopping_and_the_way_walked_meanwhile_follow() -> None:
    """Switch, control and braking from the arm's own speed; 1.6 m/s in that time."""
    made, sheet = usual()
    arm = BOOK.components["fenced_20"].figures
    stop = 0.05 + 0.15 + arm["speed_m_s"].value / arm["stop_accel_m_s2"].value

    seen = {text.words.partition(" ")[0]: text.figure for text in made.entering if text.figure}
    assert sheet.value(seen["Wait"] or "") == pytest.approx(stop)
    assert sheet.value(seen["In"] or "") == pytest.approx(1.6 * stop)


def test_without_a_gate_nobody_is_told_to_lock_one() -> None:
    """A scanner's cell is stopped at its panel."""
    made, _ = answers(guard="scanner")
    told = " ".join(each.words for each in made.entering)

    assert "gate, put the own padlock" not in told
    assert "Stop the cell at its panel" in told
    assert made.ways is not None
    assert made.ways.longest is None


def words_told(made: SafetyAnswers) -> str:
    """Steps, functions, hazards and questions of one cell."""
    told = [f"{each.words} {each.who}" for each in made.entering]
    told += [f"{each.title} {each.does} {' '.join(each.reasons.values())}" for each in made.functions]
    told += [f"{each.hazard} {each.ask}" for each in made.hazards]
    return " ".join([*told, *(each.question for each in (made.ways.asks if made.ways else ()))])


@pytest.mark.parametrize(("guard", "fenced"), [("fence", True), ("scanner", False), ("force_limiting", False)])
def test_no_fence_or_gate_is_named_where_none_stands(guard: str, fenced: bool) -> None:
    """Nor what other jobs have: a press, belts, a chuck, vacuum; a holding lock only where the gate has one."""
    told = words_told(answers(guard=guard)[0])

    assert bool(re.search(r"\b(fence|gate|lock)\b(?!-out)|behind the guard", told)) is fenced
    assert not re.search(r"\b(the press|belts|chuck|vacuum)\b", told)
    assert ("where the gate has a holding lock" in told) is fenced
    assert ("whether the gate needs a lock until then" in told) is fenced


def test_a_held_part_counts_as_one_that_falls_whatever_the_guard() -> None:
    """Nobody has shown that a fence holds it back, nothing stands before a scanner: P at the higher, level d."""
    for guard, level in (("fence", 4.0), ("scanner", 4.0)):
        made, sheet = answers(guard=guard)
        held = next(each for each in made.functions if each.title == "part held without air or power")
        assert sheet.value(held.level) == level


# --- ways ---


def test_emergency_stops_are_counted() -> None:
    """Two panels, one gate, one place where somebody fills."""
    made, sheet = usual()

    assert made.ways is not None
    assert sheet.value(made.ways.stops) == 2.0 + 1.0 + 1.0
    assert made.ways.longest is not None
    assert 2.0 < sheet.value(made.ways.longest) < 6.0


def test_a_way_is_held_against_what_the_shop_asks_for() -> None:
    """With a limit of its own above and below the way's width the answer turns."""
    asked, ways = inquiry(), usual()[0].ways
    assert ways is not None
    width = usual()[1].value(ways.ways[0].width)
    for less, holds in ((0.01, True), (-0.01, False)):
        rule = Fact(id="wishes.aisle", value=width - less, unit="m", basis="given", source="a test")
        made, _ = answers(told=replace(asked, wishes=replace(asked.wishes, aisle_m=rule)))
        assert made.ways is not None
        assert made.ways.needed == "wishes.aisle"
        assert made.ways.ways[0].holds is holds


# --- levels ---


def test_each_function_has_the_level_of_its_branch() -> None:
    """From the facts of its three answers, the guard's own function first."""
    made, sheet = usual()

    assert made.functions[0].title == "fence with interlocked gate"
    assert len(made.functions) >= 6
    for each in made.functions:
        judged = tuple(round(sheet.value(each.judged[key])) for key in ("severity", "frequency", "avoidance"))
        assert sheet.value(each.level) == RISK_GRAPH[judged]  # type: ignore[index]
        assert all(sheet[fact].question and sheet[fact].basis == "assumed" for fact in each.judged.values())


def test_each_function_is_assumed_at_the_higher_of_the_graph_and_the_general_standard() -> None:
    """Level d of the catalogue stands where the graph asks for less, the graph's own fact where it asks for more."""
    made, sheet = usual()
    assert made.general is not None
    assert (sheet.value(made.general.level), made.general.category) == (4.0, "3")
    assumed = {each.title: (sheet.value(each.level), sheet.value(each.assumed)) for each in made.functions}

    assert assumed["emergency stop"] == (3.0, 4.0)
    assert all(taken == max(asked, 4.0) for asked, taken in assumed.values())
    assert {made.general.level, *(each.assumed for each in made.functions)} <= set(facts_of(made))


@pytest.mark.parametrize(
    ("words", "title"),
    [({"kind": "press", "clamping": "nest"}, "closing tool of press or mould"),
     ({"mount": "overhead_track"}, "arm held over people's heads")],
)  # fmt: skip
def test_functions_follow_the_machine_and_the_mount(words: dict[str, str], title: str) -> None:
    """There with these words, and not for a mill and a pedestal."""
    made, _ = answers(words=words)

    assert title in [each.title for each in made.functions]
    assert title not in [each.title for each in usual()[0].functions]


def test_every_named_fact_stands_on_the_sheet() -> None:
    """So that a study can take all of them along."""
    made, sheet = usual()
    named = list(facts_of(made))

    assert len(named) > 40
    assert all(each in sheet for each in named)


# --- a fence that keeps its distances ---


def wider(gap_m: float) -> tuple[dict[str, float], tuple[str, ...]]:
    """What is told of a fence 4.05 m by 3.65 m with so much left to the arm, where 0.2 m and 0.6 m are asked for."""
    sheet = Sheet((*facts_in(inquiry()), *facts_in(BOOK)))
    layout = placed(sheet, CELL, number, area=number(sheet, "test.area", 12.0, "m2").id)
    layout = replace(layout, fence_gap=number(sheet, "test.gap", gap_m, "m").id)
    number(sheet, "money.price_factor", 1.5, "1")
    asked = tuple(
        Distance(words="", rule="", fact=number(sheet, f"test.{name}", value, "m").id)
        for name, value in (("reach_through_mesh", 0.2), ("fence.over", 0.6), ("other", 5.0))
    )
    concept = Concept(id=CELL, title="", kind="cell", safeguarding=BOOK.components["fence"])
    post = Post(sheet=sheet, catalogue=BOOK, concept=concept, guard=BOOK.safeguards.choices[0], base=CELL)
    result = Result(concept=concept, verdicts=(), layout=layout)
    told = tuple(wider_fence(Placed(post=post, inquiry=inquiry(), result=result, words=()), asked))
    top = f"concepts.{CELL}.safeguarding.wider."
    return {each.id.removeprefix(top): each.value for each in sheet if each.id.startswith(top)}, told


def test_a_fence_that_keeps_its_distances_has_its_metres_floor_and_price() -> None:
    """0.4 m are missing of the longest that counts from a fence: out by so much on all four sides."""
    found, told = wider(0.2)
    price = BOOK.components["fence"].figures["price_per_m"].value

    assert found == pytest.approx({
        "out": 0.4, "fence": 3.2, "floor": 4.85 * 4.45 - 4.05 * 3.65, "price": 3.2 * price * 1.5,
    })  # fmt: skip
    assert len(told) == len(found)


def test_of_a_fence_that_keeps_them_nothing_is_told() -> None:
    """As far as the longest asks for, and no row."""
    assert wider(0.6) == ({}, ())
