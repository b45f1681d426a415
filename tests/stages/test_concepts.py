"""Concepts: today first, what makes sense by hand, and every cell that no rule drops; nothing is lost silently."""

from dataclasses import replace

import pytest

from millhand.model.inquiry import Named, Only
from millhand.stages.concepts import CHOICES, combinations, concepts, dropped
from tests.stages.jobs import job
from tests.stages.shop import catalogue, concept_of, shop

Changes = dict[str, float | str]


def ids(**changes: float | str) -> list[str]:
    """The ids of all concepts of the shop with some words changed."""
    return [each.id for each in concepts(shop(**changes), catalogue())]


def reasons(**changes: float | str) -> dict[str, str]:
    """What is dropped, with its words."""
    return dict(dropped(shop(**changes), catalogue()))


def test_today_comes_first_then_hands_then_cells() -> None:
    """The order in which they are read, each id once, between ten and sixty cells."""
    found = concepts(shop(), catalogue())
    kinds = [each.kind for each in found]

    assert found[0].id == "today"
    assert kinds == sorted(kinds, key=["today", "by_hand", "cell"].index)
    assert len({each.id for each in found}) == len(found)
    assert 10 <= kinds.count("cell") <= 60
    assert kinds.count("by_hand") >= 3


def test_an_id_is_made_from_the_choices() -> None:
    """Parts that go back to their pocket are the rule and not in the id."""
    assert "drawers-floor_track-fenced_20-parallel_double-fence" in ids()
    assert "infeed_conveyor-out_conveyor-pedestal-fenced_20-parallel_double-fence" in ids()


@pytest.mark.parametrize("changes", [{}, {"shape": "round"}, {"must_move": "yes"}, {"kind": "moulding"}])
def test_every_combination_is_looked_at_or_dropped_with_words(changes: dict[str, str]) -> None:
    """A combination that is no concept holds all the choices of at least one entry of what was dropped."""
    kept, why = set(ids(**changes)), reasons(**changes)
    lost = []
    for choices in combinations(catalogue()):
        own = [getattr(choices, choice).id for choice in CHOICES]
        name = "-".join(each for each in own if each != "back_to_tray")
        said = any(set(key.split("-")) <= set(own) for key in why if not key.startswith("by_hand"))
        if (name in kept) == said:
            lost.append(name)

    assert not lost


def test_a_bin_is_for_parts_that_arrive_loose() -> None:
    """With one hand, whatever the part's shape; where they lie in order or scratches count it is not looked at."""
    found = [each for each in ids(arrives="loose") if each.startswith("loose_bin")]

    assert found
    assert all("_single-" in each for each in found)
    assert reasons()["loose_bin"] == "parts that lie in order need no camera"
    assert reasons(arrives="loose", delicate="yes")["loose_bin"].endswith("here scratches count")


def test_an_inquiry_keeps_its_study_to_named_components() -> None:
    """Today and the ways by hand stay; each other component is dropped by its name, and no combination is lost."""
    named = Only(presenter=(Named(name="drawers", where="i:1:1"),), mount=(Named(name="pedestal", where="i:2:1"),))
    narrow = replace(shop(), only=named)
    cells = [each for each in concepts(narrow, catalogue()) if each.kind == "cell"]
    why = dict(dropped(narrow, catalogue()))

    assert {(each.id.split("-")[0], each.id.split("-")[1]) for each in cells} == {("drawers", "pedestal")}
    assert why["trays"] == "the inquiry keeps its study to other components of the kind: drawers"
    assert [each for each in concepts(narrow, catalogue()) if each.kind != "cell"] == [
        each for each in concepts(shop(), catalogue()) if each.kind != "cell"
    ]
    for each in concepts(shop(), catalogue()):
        assert each.kind != "cell" or each in cells or set(each.id.split("-")) & set(why)


def test_arms_and_guards_fit_each_other() -> None:
    """Force-limited arms have a scanner, fenced ones a fence."""
    for each in concepts(shop(), catalogue()):
        if each.arm is not None and each.safeguarding is not None:
            assert (each.arm.words["class"], each.safeguarding.id) in (
                ("force_limited", "scanner"),
                ("fenced", "fence"),
            )


def test_the_part_chooses_gripper_and_presenter() -> None:
    """Blocks want parallel jaws, discs three jaws, shafts parallel ones, dry sheets cups; only round parts feed."""
    disc: Changes = {"shape": "round", "raw__length": 0.05, "raw__width": 0.08}
    shaft: Changes = {"shape": "round", "raw__length": 0.3, "raw__width": 0.04}
    cases: dict[str, tuple[Changes, str]] = {
        "block": ({}, "parallel"),
        "disc": (disc, "centric"),
        "shaft": (shaft, "parallel"),
        "dry sheet": ({"shape": "flat", "film": "dry"}, "vacuum"),
        "oily sheet": ({"shape": "flat"}, "parallel"),
    }
    for name, (changes, jaws) in cases.items():
        grippers = [each.gripper for each in concepts(shop(**changes), catalogue()) if each.gripper is not None]
        assert {gripper.words["jaws"] for gripper in grippers} == {jaws}, name
    assert not any(each.startswith("step_feeder") for each in ids())
    assert any(each.startswith("step_feeder-") for each in ids(**disc))
    assert not any(each.startswith("step_feeder") for each in ids(**disc, delicate="yes"))


def test_parts_that_do_not_come_in_order_get_no_conveyor() -> None:
    """Somebody would lay them on it as he would into a tray."""
    assert any(each.startswith("infeed_conveyor") for each in ids())
    assert not any(each.startswith("infeed_conveyor") for each in ids(arrives="loose"))
    assert "as he would into a tray" in reasons(arrives="loose")["infeed_conveyor"]


def test_a_track_wants_several_machines_and_a_stand_a_reason() -> None:
    """One machine has nowhere to travel to; a cell that must move cannot be bolted down or fenced in."""
    one, moving = ids(count=1), ids(must_move="yes")

    assert any("-floor_track-" in each for each in ids())
    assert not any("-floor_track-" in each for each in one)
    assert any("-movable_stand-" in each for each in one)
    assert not any("-movable_stand-" in each for each in ids())
    cells = [each for each in moving if "-" in each and not each.startswith("by_hand")]
    assert cells
    assert all("-movable_stand-" in each and each.endswith("-scanner") for each in cells)


def test_an_arm_hangs_over_several_machines_and_behind_a_fence() -> None:
    """One machine has nowhere to travel to, a cell that must move cannot hang from columns, and an arm at the height of
    heads is none that may touch them."""
    hanging = [each for each in ids() if "-overhead_track-" in each]

    assert hanging
    assert all("-fenced_" in each and each.endswith("-fence") for each in hanging)
    assert not any("-overhead_track-" in each for each in (*ids(count=1), *ids(must_move="yes")))
    assert "heads" in reasons()["overhead_track-force_limited_12"]


def test_a_belt_moves_light_arms_alone() -> None:
    """A fenced arm goes on a rack; one machine alone needs neither."""
    on_belts = [each for each in ids() if "-belt_track-" in each]

    assert on_belts
    assert all("-force_limited_" in each for each in on_belts)
    assert not any("-belt_track-" in each for each in ids(count=1))
    assert "swing" in reasons()["belt_track-fenced_20"]


def test_belt_and_beam_carry_the_smallest_arm_that_holds_the_load() -> None:
    """A heavier part brings the larger arm under the beam, and takes the light one off the belt."""
    light = {tuple(each.split("-")[-4:-2]) for each in ids() if "belt_track" in each or "overhead_track" in each}
    heavy = {tuple(each.split("-")[-4:-2]) for each in ids(raw_mass=14) if "belt_track" in each or "overhead" in each}

    assert light == {("belt_track", "force_limited_12"), ("overhead_track", "fenced_20")}
    assert {("overhead_track", "fenced_60"), ("belt_track", "force_limited_25")} <= heavy
    assert "smaller arm" in reasons()["overhead_track-fenced_60-parallel_single"]


def test_every_arm_that_holds_the_load_stays() -> None:
    """Whether it reaches is for the layout to say; the small one stays to be refused openly where a part is heavy."""
    assert {each.split("-")[2] for each in ids() if each.startswith("trays-floor_track-")} == {
        "force_limited_12", "force_limited_25", "fenced_20", "fenced_60",
    }  # fmt: skip
    heavy = ids(raw_mass=14)
    assert any("-floor_track-fenced_60-" in each for each in heavy)
    assert any("-floor_track-fenced_20-parallel_double" in each for each in heavy)


def test_where_no_arm_of_a_class_holds_the_load_the_largest_stands_for_all() -> None:
    """A part of 90 kg: one arm of each class stays to be refused with its margin."""
    heavy = [each for each in ids(raw_mass=90) if each.startswith("trays-pedestal-")]

    assert {each.split("-")[2] for each in heavy} == {"force_limited_25", "fenced_60"}
    assert "misses by least" in reasons(raw_mass=90)["fenced_20-parallel_double"]


def test_a_moulding_machine_gets_no_presenter_and_one_hand() -> None:
    """Its raw part is no part: the arm only takes out."""
    cells = [each for each in concepts(shop(kind="moulding", leaves="box"), catalogue()) if each.kind == "cell"]

    assert {each.presenter.id for each in cells if each.presenter} == {"from_mould"}
    assert {each.gripper.words["hands"] for each in cells if each.gripper} == {"one"}
    assert {each.outfeed.id for each in cells if each.outfeed} == {"out_conveyor", "out_box"}


def test_changes_by_hand_follow_what_is_there() -> None:
    """No powered door where there is one, no colleague where nobody else works, no bar feeder for mills."""
    assert "by_hand-powered_door" in ids()
    assert "by_hand-powered_door" not in ids(mill_3__door="powered")
    assert "by_hand-staggered_breaks" not in ids()
    assert "by_hand-staggered_breaks" in ids(people__operators=2)
    assert "by_hand-one_more_machine" not in ids()
    assert "by_hand-one_more_machine" in ids(people__machines_per_operator=1)
    assert reasons()["by_hand-bar_feeder"] == "is a change for lathe"
    round_lathe = {"kind": "lathe", "shape": "round"}
    assert "by_hand-bar_feeder" in ids(**round_lathe)
    assert "by_hand-bar_feeder" not in ids(**round_lathe, extra="bar_feeder")
    assert reasons(**round_lathe, condition="forged")["by_hand-bar_feeder"] == "the raw part is not cut from bar"
    thick = reasons(**round_lathe, raw__width=0.092)["by_hand-bar_feeder"]
    assert thick.startswith("a bar thicker than 80 mm goes through the spindle of few lathes")
    assert "by_hand-bar_feeder" in ids(**round_lathe, raw__width=0.06)


def test_what_the_checks_need_travels_with_the_concept() -> None:
    """The friction of the part's film, as a figure of the catalogue."""
    cell = next(each for each in concepts(shop(film="dry"), catalogue()) if each.kind == "cell")

    assert "catalogue.friction_dry" in {fact.id for fact in cell.facts}
    assert "catalogue.friction_oily" not in {fact.id for fact in cell.facts}


def test_one_concept_looked_for_alone_is_the_one_among_all() -> None:
    """What other tests take by its id: today, changes by hand, cells of every arm."""
    of = shop()

    for each in concepts(of, catalogue())[::5]:
        assert concept_of(of, each.id, catalogue()) == each


def test_of_two_arms_only_the_named_ways_of_sharing_are_looked_at() -> None:
    """One arm stays; the other ways in which two share a track are dropped by their names."""
    lathes = job("quick_lathes")
    named = Only(
        mount=(Named(name="floor_track", where="i:1:1"),), sharing=(Named(name="own_machines", where="i:2:1"),)
    )
    narrow = replace(lathes, only=named)
    kinds = {each.sharing.id if each.sharing else "one_arm" for each in concepts(narrow, catalogue()) if each.mount}

    assert kinds == {"one_arm", "own_machines"}
    assert dict(dropped(narrow, catalogue()))["both_free"].endswith("other components of the kind: own_machines")
