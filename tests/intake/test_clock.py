"""Times of day and stretches of a day as people write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.errors import InputError
from millhand.intake.clock import seconds_of_day, spans_in

H = 3600


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("06:00", 6 * H), ("6.30", 6.5 * H), ("6am", 6 * H), ("2:30 pm", 14.5 * H), ("12am", 0), ("12 PM", 12 * H),
        ("24:00", 24 * H), ("14", 14 * H), ("6", None), ("14 pm", None), ("25:00", None), ("6 in the morning", None),
    ],
)  # fmt: skip
def test_a_time_of_day(text: str, seconds: float | None) -> None:
    """On a clock of 24 hours or of twice 12; an hour alone up to noon could be either."""
    assert seconds_of_day(text) == seconds


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        ("6am-2pm", [(6 * H, 8 * H)]), ("6:00 to 14:00", [(6 * H, 8 * H)]), ("6-14", [(6 * H, 8 * H)]),
        ("22:00–06:00", [(22 * H, 8 * H)]),
        ("22-6", [(22 * H, 8 * H)]), ("8-5", None), ("14-30", None), ("2 x 8 h", []), ("8 hours", []),
        ("6:00-14:00, 14:00-22:00", [(6 * H, 8 * H), (14 * H, 8 * H)]),
        ("6am to 2pm and 2pm to 10pm", [(6 * H, 8 * H), (14 * H, 8 * H)]),
    ],
)  # fmt: skip
def test_stretches_of_a_day(text: str, spans: list[tuple[int, int]] | None) -> None:
    """One after another; over midnight where the end is earlier; None: it has to be asked."""
    if spans is None:
        with pytest.raises(InputError):
            spans_in(text)
    else:
        assert spans_in(text) == spans


@pytest.mark.parametrize(
    ("text", "both"),
    [
        ("6-2", "06:00-14:00 or 18:00-02:00"), ("6-12", "06:00-12:00 or 18:00-24:00"),
        ("10-6", "10:00-18:00 or 22:00-06:00"), ("2-10", "02:00-10:00 or 14:00-22:00"),
        ("12-8", "00:00-08:00 or 12:00-20:00"),
    ],
)  # fmt: skip
def test_a_stretch_with_two_readings_is_asked_about(text: str, both: str) -> None:
    """Both are said as they would be written, and each is then read."""
    with pytest.raises(InputError) as caught:
        spans_in(text)

    assert caught.value.write == f"{both}: '{text}' can be read both ways"
    assert len({*(spans_in(each)[0] for each in both.split(" or "))}) == 2


@given(st.integers(0, 1439), st.booleans())
def test_both_clocks_say_the_same(minutes: int, dotted: bool) -> None:
    """Every minute of the day, written in 24 hours and in twice 12."""
    hour, minute = divmod(minutes, 60)
    sign = "." if dotted else ":"
    half = f"{(hour + 11) % 12 + 1}{sign}{minute:02} {'am' if hour < 12 else 'pm'}"

    assert seconds_of_day(f"{hour:02}{sign}{minute:02}") == seconds_of_day(half) == 60 * minutes
