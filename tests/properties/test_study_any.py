"""Whatever a shop may ask, a study answers, or refuses in words: figures that are figures, within what machines make.

The quick run takes each concept at its load bound, as far as every face of the study; one inquiry in the large random
runs (`make soak`) is simulated in full.
"""

import math
from dataclasses import replace

import pytest

from tests.any_inquiry import any_inquiry, of_another_kind, text_of
from tests.study_checks import studied, wrong_faces, wrongs

QUICK = (1000, 1002)  # legal ones that this version can work out; 1001, whose machines are many, takes minutes


@pytest.mark.parametrize("number", QUICK)
def test_any_inquiry_is_answered(number: int) -> None:
    """No figure that cannot be, no face that cannot be drawn."""
    found = studied(text_of(any_inquiry(number)))

    assert wrongs(found) == []
    assert wrong_faces(found) == []


def test_any_machine_that_is_no_mill_is_answered() -> None:
    """A press with held hands, its own stops and work told by the part."""
    found = studied(text_of(of_another_kind(any_inquiry(1005), 1005)))

    assert found.inquiry.machines[0].kind.value == "press"
    assert wrongs(found) == []
    assert wrong_faces(found) == []


def test_what_cannot_be_is_seen() -> None:
    """The checks' own eyes: a figure without a value, a range upside down, output above what the machines make."""
    found = studied(text_of(any_inquiry(1000)))
    own = found.results[0].performance
    assert own is not None
    rate = found.facts[own.attended_per_h]
    for spoilt, words in (
        (replace(rate, value=math.nan), "= nan"),
        (replace(rate, low=2.0, high=1.0), "P10 2.0 above P90 1.0"),
        (replace(rate, value=1e9), "the machines make"),
        (replace(rate, value=-1.0), "below nothing"),
    ):
        other = replace(found, facts={**found.facts, rate.id: spoilt})

        assert any(words in wrong for wrong in wrongs(other)), words
