"""Price and own work in one sum: its ends are those of the price's class, so that whoever adds columns gets them."""

from types import SimpleNamespace
from typing import Any

import pytest

from millhand.model.fact import Fact
from millhand.stages.decision.all_in import note_all_in
from millhand.trace import Sheet, apply

TOP = "concepts.way.estimate"


def told(own: float, *, bought: bool = True) -> dict[str, float]:
    """What stands on the sheet after it was noted."""
    sheet = Sheet(
        Fact(id=name, value=value, unit=unit, basis="given", source="a test")
        for name, value, unit in (
            (f"{TOP}.installed", 250_000.0, "money"), (f"{TOP}.own", own, "money"),
            ("catalogue.accuracy_low_share", 0.2, "1"), ("catalogue.accuracy_high_share", 0.4, "1"),
        )
    )  # fmt: skip
    for end in ("low", "high") if bought else ():
        apply(
            sheet, f"usual_{end}_money", f"{TOP}.usual_{end}",
            amount_money=sheet[f"{TOP}.installed"], accuracy_share=sheet[f"catalogue.accuracy_{end}_share"],
        )  # fmt: skip
    way: Any = SimpleNamespace(
        concept=SimpleNamespace(id="way"), estimate=SimpleNamespace(installed=f"{TOP}.installed", own=f"{TOP}.own")
    )
    desk: Any = SimpleNamespace(sheet=sheet, value=sheet.value)
    note_all_in(desk, way)
    note_all_in(desk, None)
    return {each.id.removeprefix(f"{TOP}."): each.value for each in sheet if each.basis == "computed"}


def test_each_end_of_the_sum_is_the_sum_of_the_ends() -> None:
    """A fifth below and two fifths above, of the price, of the own work, and so of both together."""
    found = told(10_000.0)

    assert found["all_in"] == 260_000.0
    assert found["all_in_low"] == pytest.approx(found["usual_low"] + found["own_low"]) == pytest.approx(208_000.0)
    assert found["all_in_high"] == pytest.approx(found["usual_high"] + found["own_high"]) == pytest.approx(364_000.0)


@pytest.mark.parametrize(("own", "bought"), [(0.0, True), (10_000.0, False)])
def test_nothing_is_told_where_there_is_no_second_part_of_it(own: float, bought: bool) -> None:
    """No own work, or no class because nothing is bought."""
    assert not [name for name in told(own, bought=bought) if name.startswith(("all_in", "own_"))]
