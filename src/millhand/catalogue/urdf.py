"""An arm out of a URDF file: its chain of joints as the links and joints of one of the families. The extra `urdf`."""

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np

from millhand.catalogue.chain import KNOWN, Axis, End, Vector, described, family_of
from millhand.catalogue.table import text_of
from millhand.errors import InputError, InputErrors
from millhand.model.arm import Linkage

INSTALL = "pip install 'millhand[urdf]', or the links as a table"
TURNS = ("revolute", "continuous")
MOVES = (*TURNS, "prismatic")
WHOLE_TURN = 2.0 * np.pi  # how far either way a joint turns that has no end


def urdf_arm(path: Path, *, ramp_s: float) -> Linkage:
    """The arm of a file. The format has no acceleration: full speed is taken to be reached in ramp_s. InputErrors."""
    text = text_of(path)
    robot = robot_of(path, text)
    joints = chain(path, text, robot)
    errors = [error for joint in joints for error in wrong(path, text, joint)]
    if errors:
        raise InputErrors(errors)
    axes, at = axes_of(joints, ramp_s)
    found = family_of(axes, end_of(axes, at)) if axes else None
    if found is None:
        raise InputErrors([InputError(place(path, text, "robot"), described(axes), f"an arm with {KNOWN}", "geometry")])
    source = f"{place(path, text, 'robot')}, URDF; full speed reached in {ramp_s:g} s"
    return Linkage(id=robot.name, family=found[0], joints=found[1], source=source)


def robot_of(path: Path, text: str) -> Any:
    """What the library read. A document type could name other files: refused before anything reads it."""
    if re.search(r"<!\s*(DOCTYPE|ENTITY)", text, re.IGNORECASE):
        raise InputErrors([InputError(f"{path.name}:1:1", "a document type", "a URDF without one", "doctype")])
    try:
        from yourdfpy import URDF
    except ImportError:
        raise InputErrors([InputError(f"{path.name}:1:1", "a URDF file", INSTALL, "no_extra")]) from None
    try:
        read = URDF.load(
            BytesIO(text.encode()), build_scene_graph=False, build_collision_scene_graph=False, load_meshes=False,
            load_collision_meshes=False,
        )  # fmt: skip
    except Exception as error:  # the library says nothing about what it raises
        words = str(error) or type(error).__name__
        raise InputErrors(
            [InputError(f"{path.name}:1:1", words, "a URDF file with a robot in it", "no_urdf")]
        ) from None
    return read.robot


def chain(path: Path, text: str, robot: Any) -> list[Any]:
    """The joints from the base to the flange: of all branches the one with most joints that move, then the longest."""
    inner = {joint.child for joint in robot.joints}
    bases = [link.name for link in robot.links if link.name not in inner]
    if len(bases) != 1:
        read = f"{len(bases)} links that hang on nothing"
        raise InputErrors([InputError(place(path, text, "robot"), read, "one base link", "base")])
    return max(branches(robot, bases[0]), key=lambda each: (sum(joint.type in MOVES for joint in each), len(each)))


def branches(robot: Any, link: str) -> Iterator[list[Any]]:
    """Every way from a link to an end; each link hangs on one other, so that no way goes round."""
    below = [joint for joint in robot.joints if joint.parent == link]
    if not below:
        yield []
    for joint in below:
        yield from ([joint, *rest] for rest in branches(robot, joint.child))


def wrong(path: Path, text: str, joint: Any) -> Iterator[InputError]:
    """What keeps a joint from being taken."""
    where = place(path, text, "joint", joint.name)
    if joint.type not in (*MOVES, "fixed"):
        yield InputError(where, joint.type, f"a joint that is one of {', '.join(MOVES)}, fixed", "moves")
    elif joint.type in MOVES:
        limit = joint.limit
        if joint.mimic is not None:
            yield InputError(where, f"{joint.name} follows another joint", "a joint with a drive of its own", "mimic")
        if limit is None or not limit.velocity or limit.velocity <= 0.0:
            yield InputError(where, "no velocity above 0", "its <limit> with velocity (rad/s or m/s)", "no_velocity")
        elif joint.type != "continuous" and not (limit.lower or 0.0) < (limit.upper or 0.0):
            read = f"lower {limit.lower}, upper {limit.upper}"
            yield InputError(where, read, "its <limit> with lower less than upper (rad or m)", "range")


def axes_of(joints: list[Any], ramp_s: float) -> tuple[tuple[Axis, ...], Vector]:
    """The axes of the joints that move, in the frame of the base, and the pose of the last link."""
    at, found = np.eye(4), []
    for joint in joints:
        at = at @ (np.eye(4) if joint.origin is None else np.asarray(joint.origin, dtype=np.float64))
        if joint.type in MOVES:
            along = at[:3, :3] @ np.asarray((1.0, 0.0, 0.0) if joint.axis is None else joint.axis, dtype=np.float64)
            endless = joint.type == "continuous"
            found.append(
                Axis(
                    point=at[:3, 3],
                    direction=along / np.linalg.norm(along),
                    slides=joint.type == "prismatic",
                    low=-WHOLE_TURN if endless else float(joint.limit.lower or 0.0),
                    high=WHOLE_TURN if endless else float(joint.limit.upper or 0.0),
                    speed=float(joint.limit.velocity),
                    accel=float(joint.limit.velocity) / ramp_s,
                )
            )
    return tuple(found), at


def end_of(axes: tuple[Axis, ...], at: Vector) -> End:
    """The flange: it looks along the last axis, away from what is before it, or as the last link's own z says."""
    last = axes[-1]
    before = axes[-2].point if len(axes) > 1 and not axes[-2].slides else last.point
    ahead = float((at[:3, 3] - before) @ last.direction)
    if abs(ahead) < 1e-3:
        ahead = float(at[:3, 2] @ last.direction) or 1.0
    across = min(at[:3, :3].T, key=lambda side: round(abs(float(side @ last.direction)), 3))
    return End(point=at[:3, 3], out=np.sign(ahead) * last.direction, across=across)


def place(path: Path, text: str, element: str, name: str = "") -> str:
    """Where an element stands: the library forgets it, so it is looked up by its name."""
    found = re.search(
        rf"<\s*{element}\b[^>]*\bname\s*=\s*[\"']{re.escape(name)}" if name else rf"<\s*{element}\b", text
    )
    start = found.start() if found else 0
    line = text.count("\n", 0, start) + 1
    return f"{path.name}:{line}:{start - text.rfind(chr(10), 0, start)}"
