"""One figure of an example changed, and exactly one verdict turns to no, with the margin reckoned here by hand."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.front import load
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.verdict import Verdict
from millhand.model.walk import facts_in, with_facts
from millhand.stages.concepts import CHOICES, Choices, cell_concept
from millhand.stages.feasibility import verdicts
from millhand.stages.layout import layout
from millhand.stages.timing.build import timing
from millhand.trace import Sheet
from tests.stages.short_road import walked

MILLS, LATHES, VISES, LIGHT = "1_two_mills", "2_three_lathes", "5_two_vises", "1_two_mills, light arm"
HOPPER = "2_three_lathes, out of a hopper"
RINGS, MIXED = "2_three_lathes, in the bore", "5_two_vises, adaptive fingers"
BELT, LOADER = "2_three_lathes, on a belt", "2_three_lathes, a loader"
FLAT = "kinds/press.yaml, a flat arm"
HANGING, MOULDS = "2_three_lathes, an arm that hangs", "3_moulding, an arm that hangs"
G = 9.80665
CELLS = {
    MILLS: ("drawers", "back_to_tray", "floor_track", "fenced_20", "parallel_double", "fence"),
    LIGHT: ("drawers", "back_to_tray", "floor_track", "force_limited_12", "parallel_double", "scanner"),
    LATHES: ("infeed_conveyor", "out_conveyor", "floor_track", "fenced_20", "centric_double", "fence"),
    HOPPER: ("step_feeder", "out_box", "floor_track", "fenced_20", "centric_double", "fence"),
    RINGS: ("infeed_conveyor", "out_conveyor", "floor_track", "fenced_20", "inside_double", "fence"),
    MIXED: ("drawers", "back_to_tray", "pedestal", "fenced_20", "adaptive_single", "fence"),
    BELT: ("infeed_conveyor", "out_conveyor", "belt_track", "force_limited_12", "centric_double", "scanner"),
    LOADER: ("infeed_conveyor", "out_conveyor", "loader_beam", "gantry_30", "centric_double", "fence"),
    FLAT: ("small_tray", "back_to_tray", "high_pedestal", "scara_10", "parallel_single", "fence"),
    HANGING: ("infeed_conveyor", "out_conveyor", "overhead_track", "fenced_20", "centric_double", "fence"),
    MOULDS: ("from_mould", "out_conveyor", "overhead_track", "fenced_20", "vacuum_single", "fence"),
    VISES: ("drawers", "back_to_tray", "pedestal", "fenced_20", "parallel_single", "fence"),
}


@cache
def example(name: str) -> Inquiry:
    """The inquiry of an example; what follows a comma names another cell for it."""
    path = Path("examples", name.partition(",")[0])
    return load(path if path.suffix else path / "inquiry.yaml")


def told(inquiry: Inquiry, **changes: float) -> Inquiry:
    """The inquiry with some figures told exactly; a name is the end of an id, dots written as two underscores."""
    new = {}
    for name, value in changes.items():
        (old,) = (each for each in facts_in(inquiry) if f".{each.id}".endswith("." + name.replace("__", ".")))
        assert isinstance(old, Fact)
        new[old.id] = replace(old, value=value, low=None, high=None, shape="point", basis="given")
    return with_facts(inquiry, new)


def judged(name: str, inquiry: Inquiry, catalogue: Catalogue) -> tuple[dict[str, Verdict], Sheet]:
    """All verdicts of the example's own kind of cell, by check, and the sheet behind them.

    The cell is put together here, as the rules may drop it once an arm is too small.
    """
    picked = dict(zip(CHOICES, (catalogue.components[each] for each in CELLS[name]), strict=True))
    concept, sheet = cell_concept(Choices(**picked), inquiry, catalogue), Sheet()
    sheet.extend((*facts_in(inquiry), *facts_in(catalogue)))
    stands = layout(inquiry, concept, catalogue, sheet)
    found = verdicts(inquiry, concept, stands, timing(inquiry, concept, stands, catalogue, sheet), sheet)
    return {each.check: each for each in found}, sheet


def turned(
    name: str, inquiry: Inquiry | None = None, catalogue: Catalogue | None = None
) -> dict[str, tuple[bool, float]]:
    """Every check that holds in the example and not after the change: whether it ends the cell, and its margin."""
    before, _ = judged(name, example(name), read_catalogue())
    return fallen(before, *judged(name, inquiry or example(name), catalogue or read_catalogue()))


def fallen(before: dict[str, Verdict], after: dict[str, Verdict], sheet: Sheet) -> dict[str, tuple[bool, float]]:
    """The checks that hold in one and not in the other: whether each ends the cell, and its margin."""
    return {
        check: (verdict.kills, sheet.value(verdict.margin))
        for check, verdict in after.items()
        if check in before and before[check].holds and not verdict.holds
    }


def figures(component: str, **changes: float) -> Catalogue:
    """The catalogue with some figures of one component told exactly."""
    whole = read_catalogue()
    own = whole.components[component]
    new = {
        name: replace(own.figures[name], value=value, low=None, high=None, shape="point")
        for name, value in changes.items()
    }
    changed = replace(own, figures={**own.figures, **new})
    return replace(whole, components={**whole.components, component: changed})


def starting(name: str, value: float) -> Catalogue:
    """The catalogue with one starting value told exactly."""
    whole = read_catalogue()
    exact = replace(whole.figures[name], value=value, low=None, high=None, shape="point")
    return replace(whole, figures={**whole.figures, name: exact})


def test_a_part_ten_percent_too_heavy_turns_the_payload() -> None:
    """Two parts, fingers and gripper are 110 % of the 12 kg that the light arm carries, and nothing else turns."""
    part_kg = (1.1 * 12.0 - 4.0 - 2 * 0.7) / 2.0  # 3.9 kg

    assert turned(LIGHT, told(example(MILLS), raw_mass=part_kg)) == {"payload": (True, pytest.approx(-0.1))}
    assert turned(LIGHT, told(example(MILLS), raw_mass=part_kg - 0.6 - 1e-9)) == {}


def test_a_heavy_part_on_the_large_arm_asks_more_of_the_jaws_too() -> None:
    """The same on 20 kg: 8.3 kg each slip between flat jaws at a hard stop, and fewer lie in a drawer."""
    part_kg = (1.1 * 20.0 - 4.0 - 2 * 0.7) / 2.0

    found = turned(MILLS, told(example(MILLS), raw_mass=part_kg))

    assert found["payload"] == (True, pytest.approx(-0.1))
    assert found.keys() == {"payload", "grip_force", "capacity_refill"}
    grip_n = part_kg * (G + 15.0) * 2.0 / 0.10 / 2.0
    assert found["grip_force"] == (True, pytest.approx(1.0 - grip_n / 800.0))


def test_a_heavier_gripper_turns_the_payload_alone() -> None:
    """The hands weigh what makes it 110 %; the part is the same, and so is everything else."""
    own_kg = 1.1 * 20.0 - 2 * 2.4 - 2 * 0.7

    found = turned(MILLS, catalogue=figures("parallel_double", mass_kg=own_kg))

    assert found == {"payload": (True, pytest.approx(-0.1))}


def test_a_door_too_narrow_for_two_hands_turns_the_opening() -> None:
    """A bracket of 120 x 80 x 40 mm in hands of 200 mm sweeps 456 mm; 100 mm of clearance make 556 mm."""
    needs_m = 2.0 * math.hypot(0.2 + 0.02, 0.06) + 2 * 0.05

    assert turned(MILLS, told(example(MILLS), door_width=0.5)) == {
        "door_opening": (True, pytest.approx(1.0 - needs_m / 0.5))
    }
    assert turned(MILLS, told(example(MILLS), door_width=needs_m + 1e-6)) == {}


def test_one_hand_passes_the_same_door() -> None:
    """The bodies in two vises are taken by one hand: 110 mm and clearance. The forearm behind it touches the frame."""
    narrow, slit = (turned(VISES, told(example(VISES), door_width=width)) for width in (0.5, 0.2))

    assert narrow.keys() <= {"arm_gap", "people_way"}
    assert slit.keys() - {"arm_gap", "people_way"} == {"door_opening"}
    assert slit["door_opening"] == (True, pytest.approx(1 - 0.21 / 0.2))


def test_a_raw_part_that_scatters_too_much_turns_the_placing() -> None:
    """Forged flanges of +/- 3 mm in chucks that catch 2.5 mm; the fingers have room for them still."""
    of = told(example(LATHES), catch=0.0025, raw_tolerance=0.006)
    off_m = math.hypot(0.00005, 0.0001, 0.003, 0.021 * math.tan(0.005))

    assert turned(LATHES, of) == {"placing": (True, pytest.approx(1.0 - off_m / 0.0025))}


def test_a_seat_that_catches_little_turns_the_placing() -> None:
    """The same parts in a seat of half a millimetre."""
    off_m = math.hypot(0.00005, 0.0001, 0.00075, 0.021 * math.tan(0.005))

    assert turned(LATHES, told(example(LATHES), catch=0.0005)) == {
        "placing": (True, pytest.approx(1.0 - off_m / 0.0005))
    }


def test_an_outfeed_of_half_the_lane_turns_the_outfeed() -> None:
    """Flanges of 95 mm stand in threes, each with 18 mm for the jaws: lanes of 3 m and of 1.5 m."""
    along, across = 0.095 + 0.018, 3
    raw = math.floor((3.0 - 0.018) / along) * across
    found = turned(LATHES, catalogue=figures("out_conveyor", lane_length_m=1.5))

    assert found.keys() == {"outfeed"}
    kills, margin = found["outfeed"]
    before, sheet = judged(LATHES, example(LATHES), read_catalogue())
    assert sheet.value(before["outfeed"].demand) == raw
    assert not kills
    assert margin == pytest.approx(1.0 - raw / (math.floor((1.5 - 0.018) / (0.97 * 0.095 + 0.018)) * across))


def test_a_part_that_bears_little_brings_its_own_verdict() -> None:
    """100 N of each jaw where friction asks for 595 N: no verdict before, and one that ends it now."""
    of = example(MILLS)
    bears = Fact(id="parts.bracket.bears", value=100.0, unit="N", basis="given", source="test")
    found, sheet = judged(MILLS, replace(of, parts=(replace(of.parts[0], bears_n=bears),)), read_catalogue())

    assert "part_bears" not in judged(MILLS, of, read_catalogue())[0]
    verdict = found["part_bears"]
    assert (verdict.holds, verdict.kills) == (False, True)
    assert sheet.value(verdict.margin) == pytest.approx(1.0 - 2.4 * (G + 15.0) * 2.0 / 0.10 / 2.0 / 100.0)


def test_a_tray_that_grows_too_heavy_to_lift_turns_the_tray() -> None:
    """A body of 2.9 kg and 3 kg of drawer can be put in whole; a drawer that carries 25 kg holds what nobody lifts.

    The limit at 1.45 m, the highest drawer: 23 kg times 0.25 over 0.4, 0.79 for the height, 0.9325 for the way, 0.945
    for the turn of the trunk, 0.95 for the grip and 0.85 for a lift now and then.
    """
    light = figures("drawers", mass_max_kg=7.0)
    heavy = figures("drawers", mass_max_kg=25.0)
    limit_kg = 23 * 0.625 * 0.79 * 0.9325 * (1 - 0.0032 * math.degrees(0.3)) * 0.95 * 0.85
    before, sheet = judged(VISES, example(VISES), light)
    after, later = judged(VISES, example(VISES), heavy)

    assert before["lifting_tray"].holds
    assert sheet.value(before["lifting_tray"].margin) == pytest.approx(1.0 - (2.9 + 3.0) / limit_kg)
    assert {name for name, each in after.items() if before[name].holds and not each.holds} == {"lifting_tray"}
    assert not after["lifting_tray"].kills
    assert later.value(after["lifting_tray"].margin) == pytest.approx(1.0 - (7 * 2.9 + 3.0) / limit_kg)


@pytest.mark.parametrize("name", [MILLS, LATHES, VISES])
def test_neat_oil_turns_fire_and_nothing_else(name: str) -> None:
    """One word: none of the machines may run alone, and attended running stays as it is."""
    of = example(name)
    machine = of.machines[0]
    oil = replace(machine.inside, fluid=replace(machine.inside.fluid, value="neat_oil"))

    assert turned(name, replace(of, machines=(replace(machine, inside=oil),))) == {"fire": (False, -1.0)}


def test_a_tank_that_runs_dry_turns_the_night() -> None:
    """0.1 m3 to lose last 100 h at a litre an hour; half an hour's worth ends one hour alone after the half of it."""
    of = told(example(VISES), unattended=3600.0)
    before, sheet = judged(VISES, of, read_catalogue())
    after, later = judged(VISES, of, starting("coolant_usable_m3", 0.0005))
    pace = before["capacity_night"].concept

    assert before["capacity_night"].holds
    assert sheet.value(f"concepts.{pace}.feasibility.capacity_night.coolant_lasts.mill") == pytest.approx(360_000.0)
    assert fallen(before, after, later) == {"capacity_night": (False, pytest.approx(1.0 - 1.0 / 0.5))}
    assert "coolant at its least level ends the run" in after["capacity_night"].words


def test_a_dry_machine_needs_no_tank() -> None:
    """Nothing is lost where nothing flows: the same small tank ends nothing."""
    of = told(example(VISES), unattended=3600.0)
    machine = of.machines[0]
    dry = replace(machine.inside, fluid=replace(machine.inside.fluid, value="none"))
    found, _ = judged(
        VISES, replace(of, machines=(replace(machine, inside=dry),)), starting("coolant_usable_m3", 0.0005)
    )

    assert found["capacity_night"].holds


def test_a_hopper_that_keeps_its_last_parts_turns_the_night() -> None:
    """92 % of what a feeder holds, less six, are brought up; half of the parts of an hour alone are too few."""
    of = told(example(HOPPER), unattended=3600.0)
    before, sheet = judged(HOPPER, of, read_catalogue())
    held = sheet.value("layout.step_feeder.centric.places")
    demand = sheet.value(before["capacity_night"].demand)
    share = (0.5 * demand + 6.0) / held
    after, later = judged(HOPPER, of, starting("hopper_usable_share", share))

    own = before["capacity_night"].concept
    assert sheet.value(f"concepts.{own}.feasibility.capacity_night.hopper") == math.floor(held * 0.92 - 6.0)
    assert before["capacity_night"].holds
    reached = math.floor(held * share - 6.0)
    assert fallen(before, after, later) == {"capacity_night": (False, pytest.approx(1.0 - demand / reached))}
    assert "a hopper whose steps bring up no more ends the run" in after["capacity_night"].words


def test_the_hours_alone_end_where_the_check_says_they_end() -> None:
    """Every second part gauged and eight more that may wait: 18 parts at the pace of the cell, in check and money."""
    concept = "-".join(each for each in CELLS[VISES] if each != "back_to_tray")
    done = walked(told(example(VISES), gauge_every=2), concept)

    limit = done.value(f"concepts.{concept}.feasibility.capacity_night.limit")
    assert limit == 2 * (1 + 8)
    pace = done.value(done.performance.bound_per_h)
    assert done.value(done.performance.autonomy_s) == pytest.approx(limit / pace * 3600.0)
