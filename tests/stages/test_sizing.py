"""Where more of something stops to pay: the knee of a row of sizes and its words, on figures made up for it."""

from collections.abc import Sequence

import pytest

from millhand.model.fact import Fact
from millhand.model.sizing import SizePoint
from millhand.report.view import sentence
from millhand.stages.sizing import knee, knee_words
from millhand.trace import Sheet

POCKETS = (10.0, 20.0, 40.0, 80.0, 160.0)
SHIFT = 60.0


def row(worths: Sequence[float], alone: Sequence[float] | None = None) -> tuple[list[SizePoint], Sheet]:
    """Five presenters with these present worths, and these parts of a run alone."""
    sheet = Sheet()

    def number(name: str, value: float, unit: str) -> str:
        fact = Fact(id=name, value=value, unit=unit, basis="given", source="made up")
        sheet.add(fact)
        return fact.id

    points = [
        SizePoint(
            value=number(f"value.{index}", pockets, "parts"),
            refills_a_shift=number(f"refills.{index}", SHIFT / pockets, "1"),
            alone_expected=number(f"alone.{index}", alone[index], "parts") if alone else None,
            alone_simulated=None,
            parts_per_y=number(f"parts.{index}", 50_000.0, "parts/y"),
            payback_months=None,
            npv=number(f"npv.{index}", worths[index], "money"),
        )
        for index, pockets in enumerate(POCKETS)
    ]
    return points, sheet


def said(moved: str, points: list[SizePoint], sheet: Sheet, at: int | None) -> str:
    """The words as a reader sees them."""
    return sentence(knee_words(moved, points, sheet, at), sheet.facts, currency="USD")


@pytest.mark.parametrize(
    ("worths", "rising", "at"),
    [
        ((100.0, 150.0, 199.0, 200.0, 200.0), True, 2),  # 99 % of the gain at the third
        ((100.0, 120.0, 140.0, 160.0, 200.0), True, 4),
        ((200.0, 200.0, 199.0, 150.0, 100.0), False, 2),
        ((200.0, 200.0, 200.5, 200.0, 200.0), True, None),  # a quarter of a per cent in all
    ],
)  # fmt: skip
def test_the_knee_is_the_first_size_with_nearly_all_of_the_gain(
    worths: tuple[float, ...], rising: bool, at: int | None
) -> None:
    """Seen from the worse end; none where the whole row moves next to nothing."""
    assert knee(*row(worths), rising=rising) == at


def test_a_presenter_with_people_there_is_enough_at_one_refill_a_shift() -> None:
    """60 parts a shift: from 80 pockets on somebody comes less than once."""
    points, sheet = row((100.0, 150.0, 180.0, 200.0, 200.0))

    assert said("pockets", points, sheet, 3) == (
        "Beyond 80 a larger presenter brings next to nothing. One refill a shift is reached at 80: somebody comes by "
        "that often anyway."
    )


def test_a_night_is_carried_until_something_else_ends_it() -> None:
    """From 40 pockets on the run alone gets no longer."""
    points, sheet = row((100.0, 150.0, 200.0, 200.0, 200.0), alone=(10.0, 19.0, 34.0, 34.5, 34.5))

    assert "The hours alone are carried from 40 on: then tools, chips, the lot or the first fault end the run" in said(
        "pockets", points, sheet, 2
    )
    assert said("faults", points, sheet, 0).startswith("Every fault fewer pays, down to the end of this row: alone")


def test_what_moves_nothing_is_told_so() -> None:
    """No knee, and no advice."""
    points, sheet = row((200.0,) * 5)

    assert (
        said("tool_life", points, sheet, None) == "With the price held, another tool life moves next to nothing here."
    )
