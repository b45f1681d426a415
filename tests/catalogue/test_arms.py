"""Arms as links and joints: the built-in table fits the components; an own table is checked in words."""

from pathlib import Path

import numpy as np
import pytest

from millhand.catalogue.arms import COLUMNS, arms
from millhand.catalogue.components import read_catalogue
from millhand.errors import InputError
from millhand.model.arm import Linkage
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import forward

BUILT_IN = read_catalogue()
OWN = {
    "arm": "shop_arm",
    "family": "scara",
    "joint": "1",
    "alpha_quarters": "0",
    "moves": "turns",
    "a_m": "0.3",
    "d_m": "0.4",
    "offset_rad": "0",
    "low": "-2",
    "high": "2",
    "speed": "5",
    "accel": "30",
    "source": "data sheet",
}


def rows(**changed: str) -> list[dict[str, str]]:
    """A flat arm of four joints, whose second row has something else in it."""
    found = [OWN | {"joint": str(at)} for at in range(1, 5)]
    found[1] |= {"alpha_quarters": "2"}
    found[2] |= {"moves": "slides", "a_m": "0"}
    found[3] |= {"a_m": "0"}
    found[1] |= changed
    return found


def read(path: Path, lines: list[dict[str, str]]) -> tuple[dict[str, Linkage], list[InputError]]:
    """What a table of the shop's own gives."""
    path.write_text(
        "\n".join([",".join(COLUMNS), *(",".join(line[name] for name in COLUMNS) for line in lines)]) + "\n"
    )
    errors: list[InputError] = []
    return arms(errors, (path,)), errors


def reach_m(arm: Linkage) -> float:
    """How far the wrist of a six-axis arm comes from its first axis, the hand of a flat one; how far a ram goes."""
    if arm.family == "scara":
        return arm.joints[0].a_m + arm.joints[1].a_m
    if arm.family == "gantry":
        return arm.joints[0].high - arm.joints[0].low
    first, second, third, fourth, fifth, _ = arm.joints
    if arm.family == "spherical_wrist":
        return first.a_m + second.a_m + float(np.hypot(third.a_m, fourth.d_m))
    return abs(second.a_m) + abs(third.a_m) + fifth.d_m


@pytest.mark.parametrize(
    "component", [each for each in BUILT_IN.components.values() if each.kind == "arm"], ids=lambda c: c.id
)
def test_each_arm_has_links_that_reach_as_far_as_it_says(component) -> None:  # type: ignore[no-untyped-def]
    """Within a hundredth of the reach that the component states."""
    assert reach_m(BUILT_IN.arms[component.id]) == pytest.approx(component.figures["reach_m"].value, rel=0.01)


@pytest.mark.parametrize("name", BUILT_IN.arms)
def test_an_arm_in_the_middle_of_its_ranges_is_held(name: str) -> None:
    """The closed form of its family fits it, and every joint says where it comes from."""
    arm = BUILT_IN.arms[name]
    middle = np.array([[0.3 * joint.low + 0.7 * joint.high for joint in arm.joints]])

    assert inverse(arm, forward(arm, middle)).fits.any()
    assert arm.source.startswith("arms.csv:")


def test_an_own_arm_is_read(tmp_path: Path) -> None:
    """It has its family, and its line as source."""
    found, errors = read(tmp_path / "own.csv", rows())

    assert not errors
    assert found["shop_arm"].family == "scara"
    assert found["shop_arm"].source == "own.csv:2, data sheet"
    assert [*found] == ["shop_arm"]


WRONG = {
    "family": ({"family": "delta"}, "family", "the same for all joints of the arm, one of spherical_wrist"),
    "number": ({"joint": "3"}, "joint", "2: joints are numbered from the foot to the flange"),
    "moves": ({"moves": "rolls"}, "moves", "turns or slides"),
    "quarters": ({"alpha_quarters": "1.5"}, "alpha", "whole quarter turns"),
    "range": ({"low": "3"}, "range", "less than high, which is 2"),
    "speed": ({"speed": "0"}, "not_positive", "a number above 0"),
    "no number": ({"a_m": ""}, "no_value", "a number"),
    "word": ({"a_m": "long"}, "not_a_number", "a plain number"),
    "form": ({"alpha_quarters": "1"}, "form", "alpha_quarters of all joints of a scara arm: 0 2 0 0; 0 0 0 0"),
    "slides": ({"moves": "slides"}, "form", "turns"),
}


@pytest.mark.parametrize(("changed", "code", "words"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_is_said_with_what_to_write(
    tmp_path: Path, changed: dict[str, str], code: str, words: str
) -> None:
    """Where, what was read, what to write; the arm is not taken."""
    found, errors = read(tmp_path / "own.csv", rows(**changed))

    assert [each.code for each in errors] == [code]
    assert words in errors[0].write
    assert errors[0].where.startswith(("own.csv:3:", "own.csv:2:"))
    assert "shop_arm" not in found


def test_a_length_that_the_closed_form_takes_for_nothing_must_be_nothing(tmp_path: Path) -> None:
    """The third link of a flat arm has no length of its own."""
    lines = rows()
    lines[2] |= {"a_m": "0.1"}
    _, errors = read(tmp_path / "own.csv", lines)

    assert [(each.where.rsplit(":", 1)[0], each.write) for each in errors] == [
        ("own.csv:4", "0: in a scara arm this length is nothing")
    ]
