"""How long the closed forms take for a pose, all ways of it, beside a general-purpose library in the same run."""

import time
from collections.abc import Iterator

import numpy as np

from benchmarks.measuring import Gate, Line, Pair, median_line, one_core, paired_ratios, seconds_of
from millhand.catalogue.arms import arms
from millhand.model.arm import Linkage
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import Floats, forward

POSES = 10_000
KINDS = {"spherical": "fenced_20", "parallel": "force_limited_12"}


def poses(arm: Linkage) -> Floats:
    """Ten thousand flange poses from joint positions anywhere in the ranges, the same every time."""
    low, high = (np.array([getattr(joint, end) for joint in arm.joints]) for end in ("low", "high"))
    return forward(arm, np.random.default_rng(1).uniform(low, high, (POSES, len(low))))


def inverse_poses(rounds: int) -> Iterator[Line]:
    """Microseconds a pose of each family on one core, joints and margins of all eight ways; and the ratio to the
    library, which gives the ways without ranges and margins."""
    known = arms([])
    with one_core():
        for kind, name in KINDS.items():
            yield from of_arm(kind, known[name], rounds)


def of_arm(kind: str, arm: Linkage, rounds: int) -> Iterator[Line]:
    """Both lines of one arm."""
    flange, other = poses(arm), library_of(arm)
    inverse(arm, flange)
    ours = [timed(arm, flange) for _ in range(rounds)]
    unit = "microseconds a pose, eight ways with their margins"
    yield median_line(f"pose_inverse_{kind}", ours, unit=unit, gate=Gate(most=50.0))
    pair = Pair(ours=seconds_of(lambda: inverse(arm, flange)), other=seconds_of(lambda: other.IK_batched(flange, 1)))
    ratios = paired_ratios(pair, rounds=rounds)
    yield median_line(f"pose_to_library_{kind}", ratios, unit="times a general-purpose library's time")


def timed(arm: Linkage, flange: Floats) -> float:
    """Microseconds a pose."""
    before = time.perf_counter()
    inverse(arm, flange)
    return (time.perf_counter() - before) / len(flange) * 1e6


def library_of(arm: Linkage):  # type: ignore[no-untyped-def]
    """The arm as the library knows it."""
    from eaik.IK_DH import DhRobot

    rows = (np.array([getattr(joint, name) for joint in arm.joints]) for name in ("alpha_rad", "a_m", "d_m"))
    return DhRobot(*rows)
