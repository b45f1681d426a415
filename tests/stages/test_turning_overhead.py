"""An arm that hangs over three lathes: one figure changed, and exactly the right verdict turns, its margin by hand."""

from dataclasses import replace

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.verdict import Verdict
from millhand.trace import Sheet
from tests.stages.test_turning_tracks import trade
from tests.stages.test_turning_verdicts import HANGING, LATHES, MOULDS, G, example, figures, judged, told, turned

MASS_KG = 300.0 + 1.6 * 160.0 + 10.0  # carriage, whole arm, and what hangs on its flange
E_PA, MOMENT_M4 = 210e9, 1.2e-4
LOWEST, STEP, BEAM, ABOVE = 2.2, 0.3, 0.3 + 0.3, 0.2


def under(height_m: float, basis: str = "given") -> Inquiry:
    """The lathes with so much clear height."""
    of = example(HANGING)
    clear = Fact(id="wishes.height", value=height_m, unit="m", basis=basis, source="test")  # type: ignore[arg-type]
    return replace(of, wishes=replace(of.wishes, height_m=clear))


def found(of: Inquiry | None = None, catalogue: Catalogue | None = None) -> tuple[dict[str, Verdict], Sheet]:
    """Verdicts and sheet of the arm that hangs."""
    return judged(HANGING, of or example(HANGING), catalogue or read_catalogue())


def figure(name: str, sheet: Sheet) -> float:
    """A figure of the layout."""
    (value,) = (sheet.value(key) for key in sheet.facts if key.endswith(f".layout.{name}"))
    return value


def test_a_low_ceiling_turns_the_ceiling() -> None:
    """Hung as low as it may be, with carriage, beam and what is kept over them it is 3.0 m: of 2.9 m a tenth lacks."""
    needs_m = LOWEST + BEAM + ABOVE

    assert turned(HANGING, under(2.9)) == {"ceiling": (True, pytest.approx(1.0 - needs_m / 2.9))}
    assert turned(HANGING, under(needs_m)) == {}


def test_a_height_that_was_only_assumed_asks_first() -> None:
    """2.9 m usually and 6 m at most: it warns; where not even the most would do, it ends the concept."""
    whole = read_catalogue()

    def usual(value: float, high: float) -> Catalogue:
        fact = replace(whole.figures["ceiling_m"], value=value, low=value - 0.2, high=high)
        return replace(whole, figures={**whole.figures, "ceiling_m": fact})

    assert found(catalogue=usual(2.9, 6.0))[0]["ceiling"].kills is False
    assert found(catalogue=usual(2.5, 2.9))[0]["ceiling"].kills is True
    assert "assumed" in found(catalogue=usual(2.9, 6.0))[0]["ceiling"].words
    assert "assumed" not in found(under(2.9))[0]["ceiling"].words


def test_a_deep_beam_turns_the_ceiling() -> None:
    """A beam of 1.6 m over the lowest foot does not go under 4.2 m."""
    needs_m = LOWEST + 0.3 + 1.6 + ABOVE
    deep = figures("overhead_track", beam_depth_m=1.6)

    assert turned(HANGING, under(4.2), deep) == {"ceiling": (True, pytest.approx(1.0 - needs_m / 4.2))}


def test_a_weak_beam_turns_the_deflection() -> None:
    """F L³ / 48 E I of 6.7 kN between columns as far apart as they stand, against what the chuck leaves."""
    verdicts, sheet = found()
    load_n, span_m = MASS_KG * G * 1.2, figure("beam.span", sheet)
    limit_m = sheet.value(verdicts["placing"].limit) - sheet.value(verdicts["placing"].demand)
    bends_m = load_n * span_m**3 / (48.0 * E_PA * MOMENT_M4)

    assert sheet.value(verdicts["beam_deflection"].margin) == pytest.approx(1.0 - bends_m / limit_m)
    weak = MOMENT_M4 * bends_m / limit_m / 1.25
    assert turned(HANGING, catalogue=figures("overhead_track", beam_moment_m4=weak)) == {
        "beam_deflection": (False, pytest.approx(1.0 - 1.25))
    }


def test_a_heavy_carriage_bends_the_beam_more() -> None:
    """2.7 t in the place of 300 kg: the whole of it rides, and the motor feels it too."""
    verdicts, sheet = found(catalogue=figures("overhead_track", carriage_kg=2700.0))
    before, own = found()
    share = sheet.value(verdicts["beam_deflection"].demand) / own.value(before["beam_deflection"].demand)

    assert share == pytest.approx((MASS_KG + 2400.0) / MASS_KG)
    assert not verdicts["track_drive"].holds


def test_jolts_count() -> None:
    """Twice the weight in the place of 1.2 times."""
    verdicts, sheet = found(catalogue=trade(moving_load_factor=2.0))
    before, own = found()

    assert sheet.value(verdicts["beam_deflection"].demand) == pytest.approx(
        own.value(before["beam_deflection"].demand) * 2.0 / 1.2
    )


def test_a_wide_span_bends_as_its_third_power() -> None:
    """With columns at the ends alone, and with one between."""
    before, own = found()
    verdicts, sheet = found(catalogue=figures("overhead_track", span_m=9.0))
    wide, narrow = figure("beam.span", sheet), figure("beam.span", own)

    assert wide > 1.5 * narrow
    assert sheet.value(verdicts["beam_deflection"].demand) == pytest.approx(
        own.value(before["beam_deflection"].demand) * (wide / narrow) ** 3
    )


@pytest.mark.parametrize("low_m", [2.6, 3.1, 3.4])
def test_a_higher_ceiling_is_never_worse(low_m: float) -> None:
    """No check that holds under one ceiling fails under a higher one, and no margin that has to do with it shrinks
    below nothing."""
    last: dict[str, Verdict] = {}
    for height_m in (low_m, low_m + 0.25, low_m + 0.5, low_m + 2.0):
        verdicts, _ = found(under(height_m))
        assert all(verdicts[check].holds for check, each in last.items() if each.holds)
        last = verdicts
    assert last["ceiling"].holds


def test_a_stiffer_beam_is_never_worse() -> None:
    """The more moment of area the more margin, and nothing else moves."""
    margins = []
    for moment in (2e-5, 6e-5, 1.2e-4, 3e-4):
        verdicts, sheet = found(catalogue=figures("overhead_track", beam_moment_m4=moment))
        margins.append(sheet.value(verdicts["beam_deflection"].margin))

    assert margins == sorted(margins)
    assert margins[0] < margins[-1]


def test_the_foot_hangs_at_one_of_the_heights_that_are_tried() -> None:
    """From the lowest in steps of 0.3 m; under a ceiling that leaves room for the lowest alone, there."""
    _, free = found(under(6.0))
    _, low = found(under(LOWEST + BEAM + ABOVE))
    steps = (figure("arm.foot_height", free) - LOWEST) / STEP

    assert steps == pytest.approx(round(steps))
    assert figure("arm.foot_height", low) == LOWEST


@pytest.mark.parametrize("check", ["ceiling", "beam_deflection"])
def test_what_hangs_over_people_stands_beside_each(check: str) -> None:
    """That a carriage overhead is a hazard, and who decides."""
    verdicts, _ = found()

    for words in ("risk assessment", "decide"):
        assert words in verdicts[check].caution
    assert "fall" in verdicts["ceiling"].caution


def test_an_arm_that_stands_has_neither() -> None:
    """No ceiling, no beam."""
    assert {"ceiling", "beam_deflection"}.isdisjoint(judged(LATHES, example(LATHES), read_catalogue())[0])


def test_a_mould_has_no_seat_to_bend_away_from() -> None:
    """A track that takes parts out of moulds is judged by its ceiling alone."""
    picked = judged(MOULDS, example(MOULDS), read_catalogue())[0]

    assert "ceiling" in picked
    assert "beam_deflection" not in picked


def test_told_figures_are_those_of_the_concept() -> None:
    """The moving mass reckoned by hand here is the one that the track's drive is judged by."""
    verdicts, sheet = found(told(example(HANGING)))
    (mass,) = (sheet.value(key) for key in sheet.facts if key.endswith("track_drive.mass"))

    assert "track_drive" in verdicts
    assert mass == pytest.approx(MASS_KG)
