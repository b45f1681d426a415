"""The sides of the free floor, where it was told by them: `9 m x 3 m`."""

from millhand.intake.form_wishes import WISHES
from millhand.intake.inquiry_facts import long_form
from millhand.intake.inquiry_groups import Spot
from millhand.intake.inquiry_opened import Opened, child
from millhand.intake.text import sides_m
from millhand.intake.yaml_tree import Table
from millhand.model.fact import Fact
from millhand.model.inquiry import FloorSides

FLOOR = "wishes.floor"
LONG, SHORT = "long side of the free floor", "short side of the free floor"


def sides_of(floor: Fact | None, top: Spot, opened: Opened) -> FloorSides | None:
    """Both sides as the area was told; None where it was told as an area, or judged since."""
    wishes = child(top.table, WISHES.key)
    node = child(wishes if isinstance(wishes, Table) else None, "floor") or opened.answered.get(FLOOR)
    if floor is None or node is None or opened.errors or FLOOR in opened.judged:
        return None
    long = long_form(node, opened)
    told = sides_m(long.value.text, opened.manner) if long is not None else None
    if told is None:
        return None
    long_m, short_m = (
        Fact(
            id=f"{FLOOR}_{name}", value=side, unit="m", basis=floor.basis, source=floor.source, title=title,
            question=floor.question,
        )
        for name, side, title in zip(("long", "short"), told, (LONG, SHORT), strict=True)
    )  # fmt: skip
    return FloorSides(long_m=long_m, short_m=short_m)
