"""Arms out of URDF files: each family is found, its hand goes where the file's goes, and all else ends in words."""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from millhand.catalogue.urdf import urdf_arm
from millhand.errors import InputErrors
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import forward
from tests.catalogue.robots import ARMS, FIXED, LIMIT, SIX, SLIDE, TURN, Joint, urdf


def written(folder: Path, text: str) -> Path:
    """The file."""
    path = folder / "arm.urdf"
    path.write_text(text, encoding="utf-8")
    return path


def errors_of(path: Path) -> list[str]:
    """The words of all errors of a file."""
    with pytest.raises(InputErrors) as caught:
        urdf_arm(path, ramp_s=0.3)
    return [str(error) for error in caught.value.errors]


@pytest.mark.parametrize("family", ARMS)
def test_the_hand_goes_where_the_files_hand_goes(tmp_path: Path, family: str) -> None:
    """Two ways: poses by the library's own chain of frames are held by the rows, and brought back by them."""
    from yourdfpy import URDF

    path = written(tmp_path, urdf(ARMS[family]))
    arm, model = urdf_arm(path, ramp_s=0.3), URDF.load(str(path), load_meshes=False)
    moving = [joint for joint in model.robot.joints if joint.type != FIXED]
    chance = np.random.default_rng(1)
    tip = model.robot.links[-1].name

    assert arm.family == family
    for _ in range(20):
        model.update_cfg(chance.uniform(-1.5, 2.0, len(moving)))
        pose = model.get_transform(tip)[None]
        held = inverse(arm, pose)
        assert held.fits.any()
        assert np.allclose(forward(arm, held.joints[0][held.there[0]]), pose, atol=1e-6)


def test_ranges_speeds_and_accelerations_go_along(tmp_path: Path) -> None:
    """An axis that was taken the other way has its range turned round; full speed is reached within the ramp."""
    arm = urdf_arm(written(tmp_path, urdf(SIX)), ramp_s=0.4)
    back = urdf_arm(written(tmp_path, urdf([*SIX[:2], (*SIX[2][:3], "0 -1 0"), *SIX[3:]])), ramp_s=0.4)

    assert [joint.speed for joint in arm.joints] == [2.0] * 6
    assert [joint.accel for joint in arm.joints] == [5.0] * 6
    assert {(joint.low, joint.high) for joint in arm.joints} <= {(-1.5, 2.0), (-2.0, 1.5)}
    third, other = arm.joints[2], back.joints[2]
    assert (other.low, other.high) == (-third.high, -third.low)
    assert replace(other, low=third.low, high=third.high) == third
    assert arm.source == "arm.urdf:1:1, URDF; full speed reached in 0.4 s"


def test_a_joint_without_an_end_turns_once_round_either_way(tmp_path: Path) -> None:
    """The file gives it a speed alone."""
    joints: list[Joint] = [*SIX[:5], ("continuous", *SIX[5][1:]), SIX[6]]
    last = urdf_arm(written(tmp_path, urdf(joints)), ramp_s=0.3).joints[5]

    assert (last.low, last.high) == (-2.0 * np.pi, 2.0 * np.pi)


def test_a_wrist_that_does_not_meet_is_told(tmp_path: Path) -> None:
    """How the axes lie, and which arms can be taken."""
    joints: list[Joint] = [*SIX[:4], (TURN, "0.51 0 0.06", "0 0 0", "0 1 0"), *SIX[5:]]
    (error,) = errors_of(written(tmp_path, urdf(joints)))

    assert error.startswith("arm.urdf:1:1: read '6 joints (turn, turn, turn, turn, turn, turn); axis 1 at 0.0 degrees")
    assert "2 and 3 parallel, 0.780 m apart; 3 and 4 pass 0.140 m apart at 90.0 degrees" in error
    assert "4 and 5 pass 0.060 m apart at 90.0 degrees; 5 and 6 pass" not in error
    assert "write an arm with six joints that turn, 2 and 3 parallel, 4, 5 and 6 meeting in one point; " in error


def test_an_arm_that_hangs_on_a_wall_is_told(tmp_path: Path) -> None:
    """The first axis stands upright in all that is taken."""
    (error,) = errors_of(written(tmp_path, urdf([(FIXED, "0 0 1", "1.5707963 0 0", "0 0 1"), *SIX])))

    assert "axis 1 at 90.0 degrees to the upright" in error


WRONG = {
    "follows": (
        urdf(SIX).replace(LIMIT, LIMIT + '<mimic joint="joint_2"/>', 1),
        "arm.urdf:4:3: read 'joint_1 follows another joint'; write a joint with a drive of its own.",
    ),
    "no speed": (
        urdf(SIX).replace(' velocity="2"', ' velocity="0"', 1),
        "arm.urdf:4:3: read 'no velocity above 0'; write its <limit> with velocity (rad/s or m/s).",
    ),
    "no range": (
        urdf(SIX).replace('lower="-1.5"', 'lower="2"', 1),
        "arm.urdf:4:3: read 'lower 2.0, upper 2.0'; write its <limit> with lower less than upper (rad or m).",
    ),
    "free": (
        urdf(SIX).replace('type="revolute"', 'type="floating"', 1),
        "arm.urdf:4:3: read 'floating'; write a joint that is one of revolute, continuous, prismatic, fixed.",
    ),
    "two bases": (
        urdf(SIX).replace("</robot>", '<link name="loose"/></robot>'),
        "arm.urdf:1:1: read '2 links that hang on nothing'; write one base link.",
    ),
    "entity": (
        '<!DOCTYPE robot [<!ENTITY a "b">]>\n' + urdf(SIX),
        "arm.urdf:1:1: read 'a document type'; write a URDF without one.",
    ),
    "nothing that moves": (
        urdf([(FIXED, "0 0 1", "0 0 0", "0 0 1")]),
        "arm.urdf:1:1: read '0 joints (); no joint that moves'; write an arm with ",
    ),
    "two slides": (
        urdf(
            [(SIDE[0], *SIDE[1:]) for SIDE in ((SLIDE, "0 0 1", "0 0 0", "0 0 1"), (SLIDE, "0 0 0", "0 0 0", "1 0 0"))]
        ),
        "arm.urdf:1:1: read '2 joints (slide, slide); axis 1 at 0.0 degrees to the upright; 1 and 2 at 90.0 degrees'; ",
    ),
}


@pytest.mark.parametrize(("text", "words"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_is_told_with_its_place(tmp_path: Path, text: str, words: str) -> None:
    """File, line and column; what was read; what to write."""
    assert errors_of(written(tmp_path, text))[0].startswith(words)


def test_what_is_no_urdf_is_told(tmp_path: Path) -> None:
    """Whatever the library says about it."""
    (error,) = errors_of(written(tmp_path, "arm,family\n"))

    assert error.startswith("arm.urdf:1:1: read ")
    assert error.endswith("; write a URDF file with a robot in it.")


def test_without_the_extra_the_line_to_install_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The rest of the tool works without it."""
    monkeypatch.setitem(sys.modules, "yourdfpy", None)

    assert errors_of(written(tmp_path, urdf(SIX))) == [
        "arm.urdf:1:1: read 'a URDF file'; write pip install 'millhand[urdf]', or the links as a table."
    ]
