"""Travel of the jaws and room for fingers, against numbers worked here."""

from dataclasses import replace

import pytest

from millhand.model.inquiry import Inquiry
from tests.stages.feasibility.judged import TRACK, judged
from tests.stages.shop import shop

SINGLE = TRACK.replace("double", "single")
CENTRIC = TRACK.replace("parallel", "centric")
DISC: dict[str, float | str] = {"shape": "round", "raw__length": 0.05, "raw__width": 0.08, "clamping": "powered_chuck"}


def with_second_family(width_m: float) -> Inquiry:
    """The shop with a second family, alike but for the width that jaws close on."""
    one, other = shop(), shop(raw__width=width_m)
    part = other.parts[0]
    raw = replace(part.raw, width_m=replace(part.raw.width_m, id="parts.other.raw.width"))
    return replace(one, parts=(*one.parts, replace(part, name="other", raw=raw)))


def test_one_hand_must_span_raw_and_finished() -> None:
    """The jaws close on the middle measure; a hand for each state needs only scatter and room to let go."""
    of = shop(finished__width=0.060)

    assert judged(TRACK, of).numbers("grip_travel") == pytest.approx((0.001 + 0.006, 0.03))
    assert judged(SINGLE, of).numbers("grip_travel")[0] == pytest.approx(0.020 + 0.001 + 0.006)
    tight = judged(SINGLE, shop(finished__width=0.050)).verdicts["grip_travel"]
    assert (tight.holds, tight.kills) == (False, False)
    assert "stepped fingers" in tight.words


def test_fingers_that_stay_must_span_all_families() -> None:
    """80 mm and 55 mm: the span comes on top of scatter and room, and a set for each family would help."""
    found = judged(TRACK, with_second_family(0.055))

    assert found.numbers("grip_travel") == pytest.approx((0.025 + 0.001 + 0.006, 0.03))
    assert found.sentence("grip_travel").endswith("or a set of fingers for each family.")


def test_an_open_finger_goes_beside_a_part_in_its_tray() -> None:
    """8 mm of finger, half of 6 mm opening and 1 mm scatter, twice 1 mm of play, the arm: 13.6 mm of 18 mm."""
    assert judged().numbers("finger_room") == pytest.approx((0.008 + 0.0035 + 0.002 + 0.00005, 0.018))


def test_a_part_that_scatters_wide_asks_for_more_room() -> None:
    """A scatter of 12 mm opens the fingers by 6 mm more each: too much, and no end of the concept."""
    found = judged(TRACK, shop(raw_tolerance=0.012))
    verdict = found.verdicts["finger_room"]

    assert (verdict.holds, verdict.kills) == (False, False)
    assert found.sheet.value(verdict.margin) == pytest.approx(1.0 - (0.008 + 0.009 + 0.002 + 0.00005) / 0.018)


def test_a_thin_part_leaves_nothing_above_the_vise() -> None:
    """Of 15 mm the vise covers 10 mm: 5 mm are left of 10 mm that fingers hold."""
    found = judged(TRACK, shop(raw__height=0.015, clamping="powered_vise"))

    assert found.numbers("finger_room") == pytest.approx((0.010, 0.005))
    assert found.sentence("finger_room").startswith("On what the vise leaves free fingers need 10 mm; 5 mm are there")


def test_a_short_part_is_taken_between_the_jaws_of_the_chuck() -> None:
    """Of 15 mm length 5 mm are free; between jaws of 20 mm round 80 mm a finger of 16 mm finds 52 mm."""
    short = judged(CENTRIC, shop(**(DISC | {"raw__length": 0.015})))
    small = judged(CENTRIC, shop(**(DISC | {"raw__length": 0.015, "raw__width": 0.026})))

    assert short.verdicts["finger_room"].holds
    assert "Beside a part in its tray" in short.sentence("finger_room")
    assert small.sentence("finger_room").startswith("Between the jaws of the chuck fingers need 16 mm; ")
    assert not small.verdicts["finger_room"].holds


def test_cups_need_no_room_for_fingers() -> None:
    """They come from above."""
    of = shop(shape="flat", film="dry", raw__height=0.002)

    assert "finger_room" not in judged("trays-floor_track-fenced_20-vacuum_double-fence", of).verdicts
