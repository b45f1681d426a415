"""Families of a part list that lie past a limit of this job's own fingers: other fingers, a stronger gripper or another
clamping may hold them, which is tried before anybody promises it."""

from collections.abc import Callable, Iterable, Mapping

from millhand.model.decision import PartLimit
from millhand.model.part_mix import PartFamily

Past = Callable[[float, float], bool]
PAST: Mapping[str, tuple[str, Past]] = {
    "grip_force": ("heaviest", lambda mass, most: mass > most),
    "finger_room": ("longest", lambda size, least: size < least),
}  # by the check: which figure of a family is held against its limit, and when it is past it


def past(
    limit: PartLimit, families: Iterable[PartFamily], value: Callable[[str], float]
) -> tuple[PartFamily, ...]:  # fmt: skip
    """Those of the families that lie past one limit; none where fingers made for them do not move it."""
    if limit.check not in PAST:
        return ()
    figure, beyond = PAST[limit.check]
    return tuple(each for each in families if beyond(value(getattr(each, figure)), value(limit.at[0])))


def tried(
    limits: Iterable[PartLimit], families: tuple[PartFamily, ...], value: Callable[[str], float]
) -> tuple[PartFamily, ...]:  # fmt: skip
    """Those that lie past one such limit or more, in their order."""
    names = {each.name for limit in limits for each in past(limit, families, value)}
    return tuple(each for each in families if each.name in names)


def of_cell(limits: tuple[PartLimit, ...], concept: str) -> tuple[PartLimit, ...]:
    """The limits, where they are of this very cell; none where they are of another."""
    own = f"concepts.{concept}."
    return limits if any(each.startswith(own) for limit in limits for each in limit.at) else ()
