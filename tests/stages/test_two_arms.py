"""Two arms on one track: where they are looked at, where they stand, what they cost, draw and make."""

from dataclasses import replace

import pytest

from millhand.intake.cell_check import check_cell
from millhand.model.cell import Cell
from millhand.model.layout import Overhead
from millhand.model.slots import pointer_get
from millhand.model.walk import facts_in
from millhand.report.drawing import Line, Words
from millhand.report.marks import Marks
from millhand.report.plan_view import Plan, plan_things
from millhand.report.solids import Post, solids
from millhand.road import ALONE, KEEPS_UP, bare, second_arm_idle, stands_in
from millhand.solvers.cycle.best import Hunt
from millhand.solvers.cycle.bounds import calendar_rate_bound_per_h, cycle_bound_steps
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.rails.rail_beside import beside
from millhand.solvers.cycle.rails.rail_view import shared_rail
from millhand.solvers.cycle.scope import scope
from millhand.solvers.kernel.replications import simulate
from millhand.stages.cells.arms import shares
from millhand.stages.concepts import dropped
from millhand.stages.feasibility.asked import Asked
from millhand.stages.feasibility.overhead import beam_deflection
from millhand.stages.feasibility.track import two_apart
from millhand.trace import Sheet
from tests.stages.jobs import Planned, ids, job, plan_of, told
from tests.stages.short_road import catalogue

ROW = "quick_lathes"
ONE = "infeed_conveyor-out_conveyor-floor_track-fenced_20-centric_double-fence"
OWN = ONE.replace("-fenced", "-own_machines-fenced")
FEED = ONE.replace("-fenced", "-feed_and_take-fenced").replace("double", "single")
HANGING = OWN.replace("floor_track", "overhead_track")
KEEP = "layout.own_machines.keep"
KEEP_M = 1.2 + 2.0 * (1.2 * 0.1 + 1.2**2 / (2.0 * 2.5))  # both at 1.2 m/s, braked at 2.5 m/s² after 0.1 s


@pytest.fixture(scope="module")
def plans() -> dict[str, Planned]:
    """The cell with one arm and two ways to share its work, on a sheet each."""
    return {name: plan_of(job(ROW), name) for name in (ONE, OWN, FEED)}


def cell_of(made: Planned) -> Cell:
    """Its cell."""
    assert made.plan.cell is not None
    return made.plan.cell


def without_arms(lines: dict[str, float]) -> dict[str, float]:
    """Price lines but those that a second arm changes, the share that is put by, and metres of a fence: each layout has
    its own."""
    own = ("arm", "gripper", "fingers", "mount", "contingency", "second_carriage", "work_second_arm", "dress_pack",
           "more_fence")  # fmt: skip
    return {name: amount for name, amount in lines.items() if name not in own}


def priced(made: Planned) -> dict[str, float]:
    """The price lines."""
    assert made.plan.estimate is not None
    return {line.id: line.amount.value for line in made.plan.estimate.lines}


def test_two_arms_are_looked_at_where_one_is_too_slow_for_a_row() -> None:
    """Three lathes that ask for a part every 13 s; not where they ask every minute, nor two of them, nor moulds."""
    quick = job(ROW)
    pairs = ids(quick, "-own_machines-")
    slow = told(quick, {"parts.ring.turning.time": 300.0})
    two = told(quick, {"machines.lathe.count": 2.0})

    assert {OWN, HANGING} <= set(pairs)
    assert all("-fenced_" in each for each in pairs)
    assert not any("double" in each for each in ids(quick, "-feed_and_take-"))
    for shop, words in ((slow, "so seldom"), (two, "keep out of each other's way")):
        why = dict(dropped(shop, catalogue()))
        assert not ids(shop, "-own_machines-")
        assert all(words in why[way] for way in ("own_machines", "feed_and_take", "both_free"))


def test_a_second_arm_is_planned_only_where_the_first_one_works_and_sets_the_pace(plans: dict[str, Planned]) -> None:
    """With one arm for its pace it is; where lathes take 130 s one arm keeps up; and without the first no second."""
    pair = plans[OWN].plan.concept
    slow = plan_of(told(job(ROW), {"parts.ring.turning.time": 130.0}), ONE)

    assert stands_in(plans[ONE].plan)
    assert second_arm_idle(pair, {bare(plans[ONE].plan.concept): plans[ONE].plan}) == ""
    assert second_arm_idle(pair, {bare(slow.plan.concept): slow.plan}) == KEEPS_UP
    assert second_arm_idle(pair, {}) == ALONE
    assert second_arm_idle(plans[ONE].plan.concept, {}) == ""


@pytest.mark.parametrize("name", [OWN, FEED])
def test_the_cell_holds_two_arms_that_keep_their_distance(name: str, plans: dict[str, Planned]) -> None:
    """The file's own checks pass; each arm can wait where the other may be anywhere, and the track is as long as that;
    every origin names the number that stands there."""
    made, cell = plans[name], cell_of(plans[name])
    (track,) = cell.tracks.values()
    at = {place: each.track_m for place, each in cell.places.items() if each.track_m is not None}
    rows = {arm: set(cell.moves[arm].places) - {home} for arm, home in (("arm1", "parking_1"), ("arm2", "parking_2"))}

    assert not check_cell(cell)
    assert cell.zones["inside"].slows == {"arm1": "stop", "arm2": "stop"}
    assert track.attendants == ("arm1", "arm2")
    assert track.keep_m == pytest.approx(KEEP_M, abs=0.001)
    assert min(at[place] for place in rows["arm2"]) - at["parking_1"] >= track.keep_m
    assert at["parking_2"] - max(at[place] for place in rows["arm1"]) >= track.keep_m
    assert at["parking_2"] == pytest.approx(made.value(made.plan.layout.track), abs=0.001)
    for pointer, origin in cell.origins.items():
        if pointer.startswith("/moves/arm"):
            assert pointer_get(cell, pointer) == pytest.approx(made.value(origin.fact) * origin.factor, abs=0.001)


def test_each_arm_does_its_share(plans: dict[str, Planned]) -> None:
    """Own machines are halves of the row; one feeds and one takes out; free arms do all."""
    own, feed = (cell_of(plans[name]).attendants for name in (OWN, FEED))

    assert own["arm1"].take_from == ("presenter", "machine_1", "machine_2")
    assert own["arm2"].put_to == ("machine_3", "outfeed")
    assert feed["arm1"].take_from == ("presenter",)
    assert feed["arm2"].put_to == ("outfeed",)
    assert shares("free", {}, ("presenter", "machine_1", "outfeed")) == dict.fromkeys(("arm1", "arm2"), (None, None))


def test_two_arms_make_far_more_than_one_and_no_more_than_their_bound(plans: dict[str, Planned]) -> None:
    """A day of each, the same chance: a fifth more at least by arms with machines of their own."""
    made = {name: simulate(cell_of(plans[name]), hours=24.0, replications=2, seed=1) for name in (ONE, OWN)}

    assert made[OWN].parts_per_h.mean > 1.2 * made[ONE].parts_per_h.mean
    assert made[OWN].parts_per_h.mean <= calendar_rate_bound_per_h(cell_of(plans[OWN])) * 7.0 / 5.0


def test_tours_of_two_arms_are_fitted_past_each_other(plans: dict[str, Planned]) -> None:
    """Each arm with its own machines, one begun later: a cycle that the validator passes, quicker than one arm alone
    and no quicker than the load bound; where one hands on to the other there are no such tours."""
    cell, feed = cell_of(plans[OWN]), cell_of(plans[FEED])
    rails = {name: shared_rail(each, scope(each)) for name, each in (("own", cell), ("feed", feed))}
    assert rails["own"] is not None
    assert rails["feed"] is not None
    found = beside(cell, scope(cell), rails["own"], None, below=None)

    assert found is not None
    cycle, parts = found
    hunt = Hunt(cell=cell, view=scope(cell), left=Effort(), loads=0.0, hands=0.0, best=None)
    assert violations(cell, hunt.schedule_of(cycle, parts, "test")) == []
    assert cycle_bound_steps(cell) <= cycle.period_steps / parts < cycle_bound_steps(cell_of(plans[ONE]))
    assert beside(feed, scope(feed), rails["feed"], None, below=None) is None


def test_a_second_arm_costs_arm_gripper_fingers_carriage_and_programming(plans: dict[str, Planned]) -> None:
    """The catalogue's prices by hand; the longer track beside, all else as with one arm."""
    one, two = priced(plans[ONE]), priced(plans[OWN])
    factor = plans[ONE].value("money.price_factor")

    assert {name: two[name] / one[name] for name in ("arm", "gripper", "fingers")} == pytest.approx(
        {"arm": 2.0, "gripper": 2.0, "fingers": 2.0}
    )
    assert two["second_carriage"] == pytest.approx(20000.0 * factor)
    assert two["work_second_arm"] == pytest.approx(15000.0 * factor)
    assert without_arms(two) == pytest.approx(without_arms(one))


def asked(made: Planned, sheet: Sheet) -> Asked:
    """What the checks get of a plan."""
    plan = made.plan
    return Asked(
        inquiry=made.desk.inquiry, concept=plan.concept, layout=plan.layout, timing=plan.timing, sheet=sheet
    )  # fmt: skip


def test_machines_too_close_for_two_arms_side_by_side_are_told(plans: dict[str, Planned]) -> None:
    """The arm stops 2.8 m apart: enough for what the carriages keep and for just so much, and too little for 3.5 m; it
    ends no concept, and one arm is not asked."""
    made = plans[OWN]
    for keep_m, holds in ((KEEP_M, True), (2.8, True), (3.5, False)):
        facts = [replace(each, value=keep_m) if each.id == KEEP else each for each in made.sheet.facts.values()]
        sheet = Sheet([each for each in facts if ".two_apart." not in each.id])
        verdict = two_apart(asked(made, sheet))

        assert verdict is not None
        assert sheet.value(verdict.margin) == pytest.approx(1.0 - keep_m / 2.8, abs=1e-9)
        assert (verdict.holds, verdict.kills) == (holds, False)
    assert two_apart(asked(plans[ONE], plans[ONE].sheet)) is None


def test_a_beam_carries_both(plans: dict[str, Planned]) -> None:
    """What bends it is twice what one carriage with the same arm brings, and so is how far it bends."""
    made, beam = plans[OWN], catalogue().components["overhead_track"]
    span = made.plan.layout.track
    over = Overhead(
        hangs="arm", foot=span, beam_low=span, beam_top=span, arm_top=span, top=span, ceiling=span, span=span
    )
    bent = []
    for sharing in (None, made.plan.concept.sharing):
        whole, sheet = asked(made, made.sheet), Sheet((*made.sheet.facts.values(), *facts_in(beam)))
        own = replace(whole.concept, id=f"test_{sharing is None}", mount=beam, sharing=sharing)
        found = beam_deflection(
            replace(
                whole, sheet=sheet, concept=replace(own, facts=(*own.facts, catalogue().figures["moving_load_factor"])),
                layout=replace(whole.layout, overhead=over),
            )
        )  # fmt: skip
        assert found is not None
        bent.append(sheet.value(found.demand))

    assert bent[1] == pytest.approx(2.0 * bent[0])


def test_both_arms_are_drawn(plans: dict[str, Planned]) -> None:
    """On the plan each with its number where it waits; in the model a second post, at the place further off."""
    made = plans[OWN]
    assert made.plan.layout.drawn is not None
    marks = Marks(facts=made.sheet.facts, choices=made.sheet.choices, currency="USD")
    plan = Plan(drawn=made.plan.layout.drawn, marks=marks, letters=0.15)
    things = plan_things(plan)
    named = {thing.text for thing in things if isinstance(thing, Words)}
    feet = [thing for thing in things if isinstance(thing, Line) and thing.layer == "arm" and thing.closed]
    posts = [each for each in solids(plan) if isinstance(each, Post) and each.layer == "arm"]

    assert {"arm 1", "arm 2"} <= named
    assert len(feet) == 2
    assert [each.name for each in posts] == ["arm", "second arm"]
    assert abs(posts[0].ends[0][0] - posts[1].ends[0][0]) > KEEP_M
