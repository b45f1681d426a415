"""URDF files of small arms, written out link by link."""

from collections.abc import Sequence

Joint = tuple[str, str, str, str]  # type, xyz, rpy, axis
Q = "1.5707963"
TURN, SLIDE, FIXED = "revolute", "prismatic", "fixed"
SIX: tuple[Joint, ...] = (
    (TURN, "0 0 0.3", "0 0 0", "0 0 1"),
    (TURN, "0.15 0 0.2", "0 0 0", "0 1 0"),
    (TURN, "0 0 0.78", "0 0 0", "0 1 0"),
    (TURN, "0.3 0 0.14", "0 0 0", "1 0 0"),
    (TURN, "0.51 0 0", "0 0 0", "0 1 0"),
    (TURN, "0.11 0 0", "0 0 0", "1 0 0"),
    (FIXED, "0 0 0", f"0 {Q} 0", "0 0 1"),
)
PARALLEL: tuple[Joint, ...] = (
    (TURN, "0 0 0.18", "0 0 0", "0 0 1"),
    (TURN, "0 0 0", f"{Q} 0 0", "0 0 1"),
    (TURN, "-0.62 0 0", "0 0 0", "0 0 1"),
    (TURN, "-0.56 0 0.17", "0 0 0", "0 0 1"),
    (TURN, "0 -0.12 0", f"{Q} 0 0", "0 0 1"),
    (TURN, "0 0.11 0", f"-{Q} 0 0", "0 0 1"),
)
FLAT: tuple[Joint, ...] = (
    (TURN, "0 0 0.2", "0 0 0", "0 0 1"),
    (TURN, "0.4 0 0.1", "0 0 0", "0 0 1"),
    (SLIDE, "0.35 0 0", "0 0 0", "0 0 -1"),
    (TURN, "0 0 -0.05", f"{2 * float(Q)} 0 0", "0 0 1"),
)
BEAM: tuple[Joint, ...] = (
    (SLIDE, "0 0 2", "0 0 0", "1 0 0"),
    (SLIDE, "0 0 0", "0 0 0", "0 1 0"),
    (SLIDE, "0 0 0", "0 0 0", "0 0 1"),
    (TURN, "0 0 -0.25", "0 0 0", "0 0 1"),
    (FIXED, "0 0 -0.1", f"{2 * float(Q)} 0 0", "0 0 1"),
)
ARMS = {"spherical_wrist": SIX, "parallel_axes": PARALLEL, "scara": FLAT, "gantry": BEAM}
LIMIT = '<limit lower="-1.5" upper="2" velocity="2" effort="1"/>'


def urdf(joints: Sequence[Joint], *, name: str = "shop_arm", limit: str = LIMIT) -> str:
    """The file: one link after another."""
    lines = [f'<robot name="{name}">', '  <link name="link_0"/>']
    for at, (kind, xyz, rpy, axis) in enumerate(joints, start=1):
        lines += [
            f'  <link name="link_{at}"/>',
            f'  <joint name="joint_{at}" type="{kind}">',
            f'    <parent link="link_{at - 1}"/><child link="link_{at}"/>',
            f'    <origin xyz="{xyz}" rpy="{rpy}"/><axis xyz="{axis}"/>{"" if kind == FIXED else limit}',
            "  </joint>",
        ]
    return "\n".join([*lines, "</robot>"]) + "\n"
