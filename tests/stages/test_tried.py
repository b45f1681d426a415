"""Families past a limit that fingers made for them move are tried first; others are not."""

from typing import Any

from millhand.model.decision import PartLimit
from millhand.model.part_mix import PartFamily
from millhand.stages.tried import of_cell, tried

VALUES = {"c.grip": 4.5, "c.room": 0.12, "c.load": 1.0, "heavy": 5.0, "light": 1.5, "long": 0.2, "short": 0.1}


def family(name: str, heaviest: str, longest: str) -> PartFamily:
    """One of which only mass and length are asked."""
    rest: dict[str, Any] = dict.fromkeys(("grip", "shape", "count", "hours", "share", "lots"), "")
    return PartFamily(name=name, heaviest=heaviest, longest=longest, machines=(), means=(), members=(), **rest)


def limit(check: str, at: str) -> PartLimit:
    """One limit of the cell."""
    return PartLimit(check=check, what="mass", end="most", present=(at,), at=(at,))


def test_too_heavy_for_the_grip_or_too_small_for_the_fingers() -> None:
    """Each once, in their order; what the arm itself cannot carry is no matter of fingers."""
    families = (family("A", "light", "long"), family("B", "heavy", "short"), family("C", "light", "short"))
    limits = (limit("grip_force", "c.grip"), limit("finger_room", "c.room"), limit("payload", "c.load"))

    assert [each.name for each in tried(limits, families, VALUES.__getitem__)] == ["B", "C"]
    assert tried(limits[2:], families, VALUES.__getitem__) == ()


def test_limits_of_another_cell_say_nothing() -> None:
    """They are of the cell by their ids."""
    own = limit("payload", "concepts.cell.part_limits.load")

    assert of_cell((own,), "cell") == (own,)
    assert of_cell((own,), "another") == ()
