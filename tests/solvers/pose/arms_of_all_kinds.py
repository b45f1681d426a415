"""Arms to try the closed forms on: one of the books, and one of each family with odd lengths and offsets."""

from dataclasses import replace
from math import pi

from millhand.model.arm import Family, Joint, Linkage

QUARTER = pi / 2


def arm_of(
    family: Family, rows: list[tuple[float, int, float, float]], *, slides: tuple[int, ...] = (), span: float = pi
) -> Linkage:
    """Rows of a, quarter turns of alpha, d, offset; every range from -span to span."""
    joints = tuple(
        Joint(a_m=a, alpha_rad=turns * QUARTER, d_m=d, offset_rad=offset, slides=at in slides, low=-span, high=span)
        for at, (a, turns, d, offset) in enumerate(rows)
    )
    return Linkage(id=family, family=family, joints=joints)


TEXTBOOK = arm_of(
    "spherical_wrist",
    [(0, 1, 0, 0), (0.4318, 0, 0, 0), (0.0203, -1, 0.15005, 0), (0, 1, 0.4318, 0), (0, -1, 0, 0), (0, 0, 0, 0)],
)
LEANING = arm_of(
    "spherical_wrist",
    [
        (0.15, -1, 0.45, 0.3),
        (0.6, 0, 0.05, -QUARTER),
        (0.12, -1, 0, 0),
        (0, -1, 0.64, 0.1),
        (0, 1, 0, 0),
        (0, 0, 0.1, 2),
    ],
)
OTHER_WAY = arm_of(
    "spherical_wrist",
    [(0.15, 1, 0.45, 0), (0.6, 0, 0, 0), (0.12, 1, 0, 0.5), (0, -1, 0.64, 0), (0, 1, 0, 0), (0, 0, 0.1, 0)],
)
LIGHT = arm_of(
    "parallel_axes",
    [(0, 1, 0.15, 0), (-0.42, 0, 0, 0.2), (-0.4, 0, 0.01, 0), (0, 1, 0.13, 0), (0, -1, 0.1, 0), (0, 0, 0.1, 1)],
)
FLAT = arm_of("scara", [(0.3, 0, 0.4, 0.1), (0.25, 2, 0.1, 0), (0, 0, 0.05, 0), (0, 0, 0.02, 0.4)], slides=(2,))
FLAT_UPWARDS = arm_of("scara", [(0.3, 0, 0.4, 0), (0.25, 0, 0.1, 0), (0, 0, 0.05, 0), (0, 0, 0.02, 0)], slides=(2,))
LOADER = arm_of(
    "gantry",
    [(0, -1, 0.2, 0), (0, -1, 0, -QUARTER), (0, -1, 0.1, QUARTER), (0, 0, 0.3, 0.2)],
    slides=(0, 1, 2),
)
ALL = {
    "of the books": TEXTBOOK,
    "leaning": LEANING,
    "other way": OTHER_WAY,
    "light": LIGHT,
    "flat": FLAT,
    "flat, upwards": FLAT_UPWARDS,
    "loader": LOADER,
    "hanging": replace(LEANING, hangs=True),
    "light, hanging": replace(LIGHT, hangs=True),
    "loader, hanging": replace(LOADER, hangs=True),
}
