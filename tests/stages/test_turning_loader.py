"""A loader over three lathes that are open above: it works, and one figure changed it fails at the right check.

The way of the ram is 1.4 m, its flange from 0.75 m to 2.15 m over where that counts from, one of five heights.
"""

from dataclasses import replace
from functools import cache

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.verdict import Verdict
from millhand.road import visited
from millhand.stages.concepts import concepts, dropped
from millhand.trace import Sheet
from tests.stages.short_road import walked
from tests.stages.test_turning_verdicts import LOADER, example, figures, judged, told

STROKE, LOW, HIGH = 1.4, 0.75, 2.15
HEIGHTS = (0.26, 0.32, 0.38, 0.44, 0.50)
ROOF, ABOVE, HAND = 2.2, 0.1, 0.2
RAM, RADIUS, WRIST = 1.5, 0.07, 0.25
TABLE = 1e-6  # the quarter turns in the table of links have six decimals
NAME = "infeed_conveyor-out_conveyor-loader_beam-gantry_30-centric_double-fence"


def opened(machine: Machine, word: str = "yes") -> Machine:
    """A machine that can be loaded from above, or not."""
    inside = machine.inside
    return replace(machine, inside=replace(inside, from_above=replace(inside.from_above, value=word, basis="given")))


def lathes(**changes: float) -> Inquiry:
    """The lathes, open above, with 5 m of clear height and some figures told."""
    of = visited(example(LOADER))
    of = replace(of, machines=tuple(opened(each) for each in of.machines))
    clear = replace(of.machines[0].load_height_m, id="wishes.height", value=5.0, basis="given", low=None, high=None)
    return told(replace(of, wishes=replace(of.wishes, height_m=clear)), **changes)


@cache
def as_it_is() -> frozenset[str]:
    """The checks that hold as it is."""
    verdicts, _ = judged(LOADER, lathes(), read_catalogue())
    return frozenset(check for check, each in verdicts.items() if each.holds)


def turned(of: Inquiry, catalogue: Catalogue | None = None) -> dict[str, tuple[bool, float]]:
    """Every check that held and does not hold now: whether it ends the cell, and its margin."""
    verdicts, sheet = judged(LOADER, of, catalogue or read_catalogue())
    return {
        check: (each.kills, sheet.value(each.margin))
        for check, each in verdicts.items()
        if check in as_it_is() and not each.holds
    }


def found(of: Inquiry) -> tuple[dict[str, Verdict], Sheet]:
    """Verdicts and sheet."""
    return judged(LOADER, of, read_catalogue())


def test_a_loader_works_where_the_machines_are_open_above() -> None:
    """It is among the concepts, has its cell, and every check that could end it holds."""
    own = walked(lathes(), NAME)

    assert own.plan.cell is not None
    assert {"reach", "joint_room", "arm_gap", "ceiling", "beam_deflection", "track_travel", "payload"} <= as_it_is()
    assert own.performance is not None


def test_nobody_who_says_nothing_gets_a_loader() -> None:
    """Through a front door a ram does not come; the reason says so."""
    shut = replace(lathes(), machines=tuple(opened(each, "no") for each in lathes().machines))

    assert not any("gantry_30" in each.id for each in concepts(shut, read_catalogue()))
    assert "front door" in dict(dropped(shut, read_catalogue()))["gantry_30"]
    assert {each.mount.id for each in concepts(lathes(), read_catalogue()) if each.arm and each.arm.id == "gantry_30"
            and each.mount} == {"loader_beam"}  # fmt: skip


def test_a_low_load_position_turns_the_reach() -> None:
    """From 0.8 m to over the roof and the hand beyond it: 1.5 m. At each height the worse end lacks something; the
    best of them lacks 70 mm."""
    low_m = 0.8
    left = max(
        min(low_m + HAND - (height + LOW), height + HIGH - (ROOF + ABOVE + HAND)) for height in HEIGHTS[:3]
    )  # higher ones do not get down to the belts

    assert left == pytest.approx(-0.07)
    assert turned(lathes(load_height=low_m))["reach"] == (
        True, pytest.approx(1.0 - (STROKE - left) / STROKE, abs=TABLE)
    )  # fmt: skip
    assert "reach" not in turned(lathes(load_height=0.95))


def test_a_low_ceiling_turns_the_ceiling_by_the_end_of_the_ram() -> None:
    """The flange over the roof, the wrist, the ram beyond it and half its thickness: 4.32 m, and 0.2 m are kept."""
    top_m = ROOF + ABOVE + HAND + WRIST + RADIUS + RAM
    of = lathes()
    low = replace(of, wishes=replace(of.wishes, height_m=replace(of.wishes.height_m, value=4.4)))  # type: ignore[type-var]

    assert top_m == pytest.approx(4.32)
    assert turned(low) == {"ceiling": (True, pytest.approx(1.0 - (top_m + 0.2) / 4.4))}


def test_a_telescopic_ram_goes_under_it() -> None:
    """A ram that goes up 0.9 m less."""
    of = lathes()
    low = replace(of, wishes=replace(of.wishes, height_m=replace(of.wishes.height_m, value=4.4)))  # type: ignore[type-var]

    assert turned(low, figures("gantry_30", ram_m=0.6)) == {}


def test_a_narrow_hatch_turns_the_gap() -> None:
    """A hatch of 180 mm: half of it less the ram's 70 mm leaves 20 mm, 30 mm are asked for; both count from its middle.
    The width of the opening was assumed before and is told now."""
    gap_m = 0.18 / 2.0 - RADIUS

    assert turned(lathes(door_width=0.18))["arm_gap"] == (
        False, pytest.approx(1.0 - (RADIUS + 0.03) / (RADIUS + gap_m), abs=1e-3)
    )  # fmt: skip
    assert turned(lathes(door_width=0.12, door_height=0.6))["arm_gap"][0] is True


def test_too_heavy_a_part_turns_the_payload() -> None:
    """Two parts, fingers and gripper are 110 % of 30 kg."""
    part_kg = (1.1 * 30.0 - 4.4 - 2 * 0.7) / 2.0

    assert turned(lathes(raw_mass=part_kg))["payload"] == (True, pytest.approx(-0.1))


def test_the_room_of_a_slide_is_told_in_millimetres() -> None:
    """At 0.38 m the way ends 30 mm over what is needed at the roof, and 10 mm under the belts: that decides."""
    verdicts, sheet = found(lathes())
    room_m = 0.9 + 0.04 + HAND - (HEIGHTS[2] + LOW)

    assert room_m == pytest.approx(0.01)
    assert sheet.value(verdicts["joint_room"].limit) == pytest.approx(room_m, abs=TABLE)
    assert sheet.value(verdicts["joint_room"].margin) == pytest.approx(1.0 - 0.005 / room_m, abs=1e-4)
    assert "|mm]]" in verdicts["joint_room"].words


def test_the_floor_under_the_ram_is_that_of_the_machines() -> None:
    """The strip lies over the machines and takes no floor: only stands, columns and door planes are counted."""
    _, sheet = found(lathes())
    (strip,) = (sheet.value(key) for key in sheet.facts if key.endswith("layout.arm.y"))
    (area,) = (sheet[key] for key in sheet.facts if key.endswith("layout.floor_area"))
    counted = [fact_id for key, fact_id in sheet[dict(area.inputs)["whole_m2"]].inputs if key == "ys_m[]"]

    assert strip == pytest.approx(0.45)
    assert any(".column_1." in each for each in counted)
    assert any(".presenter." in each for each in counted)
    assert not any(".arm." in each for each in counted)
