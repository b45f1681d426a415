"""Which of several ways nothing beats in everything: by hand, by its properties, and against a library."""

import math

import moocore
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.solvers.selecting.undominated import beaten_by

ROWS = st.integers(1, 4).flatmap(
    lambda width: st.lists(st.tuples(*[st.integers(0, 4).map(float)] * width), min_size=1, max_size=25)
)


def test_three_ways_by_hand() -> None:
    """One cheap and slow, one dear and quick, one that is dearer and slower than the second."""
    assert beaten_by([(10.0, 30.0), (20.0, 12.0), (25.0, 14.0)]) == ((), (), (1,))


def test_what_never_comes_is_beaten_by_what_comes() -> None:
    """Infinite is the most that a cost can be; two of them are alike."""
    assert beaten_by([(1.0, math.inf), (1.0, 5.0), (1.0, math.inf)]) == ((1,), (), (1,))


def test_what_is_not_a_number_is_refused() -> None:
    """It compares with nothing."""
    with pytest.raises(ValueError, match="not a number"):
        beaten_by([(1.0, math.nan)])


@given(ROWS)
def test_the_front_is_that_of_a_general_library(rows: list[tuple[float, ...]]) -> None:
    """moocore.is_nondominated, equal rows kept as here."""
    ours = [not each for each in beaten_by(rows)]

    assert ours == list(moocore.is_nondominated(np.array(rows), keep_weakly=True))


@given(ROWS)
def test_whatever_is_beaten_is_beaten_by_one_of_the_front(rows: list[tuple[float, ...]]) -> None:
    """So that a reader who sees the front misses nothing; and nothing beats itself or both ways."""
    found = beaten_by(rows)
    front = {place for place, those in enumerate(found) if not those}

    assert front
    for place, those in enumerate(found):
        assert not those or front & set(those)
        assert all(place not in found[other] for other in those)
