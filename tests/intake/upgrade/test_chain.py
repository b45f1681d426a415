"""The upgrade chain: known numbers go through their steps, others are refused in words."""

from typing import Any

import pytest

from millhand.errors import InputError
from millhand.intake.upgrade.chain import upgraded

Data = dict[str, Any]


def pace_to_speed(data: Data) -> Data:
    """A made-up step from 1 to 2: a field gets another name."""
    return {"speed" if key == "pace" else key: value for key, value in data.items()}


def speed_in_m_s(data: Data) -> Data:
    """A made-up step from 2 to 3: a field gets another unit."""
    return {**data, "speed": data["speed"] / 60}


STEPS = (pace_to_speed, speed_in_m_s)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_older_data_goes_through_the_steps_that_it_lacks(number: int) -> None:
    """From each number on, the steps after it are taken in their order, and the format says the newest."""
    olds: tuple[Data, ...] = ({"pace": 60}, {"speed": 60}, {"speed": 1.0})
    old = olds[number - 1]

    assert upgraded({"format": f"thing/{number}", **old}, family="thing", steps=STEPS) == {
        "format": "thing/3",
        "speed": 1.0,
    }


def test_the_data_that_came_in_stays_as_it_was() -> None:
    """Upgrades make new objects."""
    data = {"format": "thing/1", "pace": 60}

    upgraded(data, family="thing", steps=STEPS)

    assert data == {"format": "thing/1", "pace": 60}


@pytest.mark.parametrize(
    ("written", "words", "code"),
    [
        (
            "thing/4",
            "/format: read 'thing/4'; write 'thing/3', the newest that this version reads, "
            "or take a newer version of millhand.",
            "newer_format",
        ),
        ("thing/0", "/format: read 'thing/0'; write 'thing/3'.", "unknown_format"),
        ("other/1", "/format: read 'other/1'; write 'thing/3'.", "unknown_format"),
        (3, "/format: read '3'; write 'thing/3'.", "unknown_format"),
        (None, "/format: read 'nothing'; write 'thing/3'.", "missing_format"),
    ],
)
def test_other_formats_are_refused_in_words(written: Any, words: str, code: str) -> None:
    """Newer, unknown and missing formats are three different errors."""
    error = upgraded({"format": written}, family="thing", steps=STEPS)

    assert isinstance(error, InputError)
    assert (str(error), error.code) == (words, code)
