"""Readings of an inquiry's elements: what is read, marked and summed up, and where each figure comes from."""

import math
from pathlib import Path
from statistics import fmean, stdev

import openpyxl  # type: ignore[import-untyped]
import pytest
from scipy import stats

from millhand.catalogue.assumptions import assumptions
from millhand.intake.inquiry import read_inquiry
from millhand.intake.inquiry_readings import fit_of
from millhand.model.inquiry import Inquiry
from millhand.model.part import ManualElement, Readings
from millhand.model.walk import facts_in
from tests.checks import prints_as

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")
LOADING = [18.2, 21.5, 19.9, 24.1, 17.6, 20.3, 22.8, 19.1, 46.7, 20.9, 18.8, 21.1]


def asked(folder: Path, options: str = "", *, judged: str = "", more: str = "") -> Inquiry:
    """The dozen facts with one timed element and one more."""
    (folder / "watch.csv").write_text("cycle,load\n" + "".join(f"{i},{x}\n" for i, x in enumerate(LOADING)))
    text = DOZEN.replace(
        "today:\n",
        "today:\n  elements:\n"
        f"    - {{name: load, side: outside, readings: {{file: watch.csv{options}}}}}\n"
        f"    - {{name: deburr, side: inside, time: 30 s (20 s to 45 s){more}}}\n",
    )
    (folder / "inquiry.yaml").write_text(text + judged)
    return read_inquiry(folder / "inquiry.yaml", assumptions())


def timed(inquiry: Inquiry) -> tuple[ManualElement, Readings]:
    """The timed element and its readings."""
    element = inquiry.today.elements[0]
    assert element.readings is not None
    return element, element.readings


def test_mean_spread_and_marks_are_those_of_the_file(tmp_path: Path) -> None:
    """Measured, with file, column and rows; what is out of line is marked and counts."""
    _, readings = timed(asked(tmp_path))

    assert readings.values_s == tuple(LOADING)
    assert readings.rows == tuple(range(2, 14))
    assert (readings.mean_s.value, readings.deviation_s.value) == (fmean(LOADING), stdev(LOADING))
    assert readings.marked == (10,)
    assert readings.out_of_line.value == 1
    assert {fact.basis for fact in (readings.readings, readings.mean_s, readings.deviation_s)} == {"measured"}
    assert readings.mean_s.source == "watch.csv, column load, rows 2 to 13"
    assert readings.mean_s.id == "today.elements.load.readings.mean"


def test_the_mean_ranges_as_students_t_says(tmp_path: Path) -> None:
    """P10 and P90 of the mean, not of a reading."""
    _, readings = timed(asked(tmp_path))
    reach = float(stats.t.ppf(0.9, 11)) * stdev(LOADING) / math.sqrt(12)

    assert readings.mean_s.high == pytest.approx(fmean(LOADING) + reach, rel=1e-9)
    assert readings.mean_s.low == pytest.approx(fmean(LOADING) - reach, rel=1e-9)


def test_the_normal_time_follows_from_mean_and_rating(tmp_path: Path) -> None:
    """A computed fact that names both, with the range that both lead to."""
    element, readings = timed(asked(tmp_path, ", rating: 110 % (105 % to 115 %)"))
    time, mean = element.time_s, readings.mean_s
    assert mean.high is not None

    assert time.value == pytest.approx(1.1 * fmean(LOADING), rel=1e-12)
    assert (time.formula, time.inputs) == (
        "normal_time_s",
        (("observed_s", mean.id), ("rating", "today.elements.load.readings.rating")),
    )
    assert time.high == pytest.approx(time.value + math.hypot(1.1 * (mean.high - mean.value), 0.05 * mean.value))
    ids = [fact.id for fact in facts_in(element)]
    assert ids.index(mean.id) < ids.index(time.id)


def test_a_worked_exercise_comes_out_as_printed(tmp_path: Path) -> None:
    """time_study_exercises: 30, 25, 35, 30, 30 at a rating of 125 % give 37.5, seen in published text."""
    inquiry = asked(tmp_path, ", rating: 125 %")
    (tmp_path / "watch.csv").write_text("load\n30\n25\n35\n30\n30\n")
    element, _ = timed(read_inquiry(tmp_path / "inquiry.yaml", assumptions()))

    assert inquiry.today.elements[0].time_s.value != element.time_s.value
    assert prints_as(element.time_s.value, "37.5")


@pytest.mark.parametrize(
    ("seconds", "rating", "allowance", "printed"),
    [
        ("30 25 35 30 30", "125 %", "20 %, allowance_of: work", "45"),
        ("76.3 76.3", "110 %", "15 %, allowance_of: work", "96.5195"),
        ("76.3 76.3", "110 %", "15 %, allowance_of: day", "98.7412"),
    ],
)
def test_worked_exercises_give_their_standard_times(
    tmp_path: Path, seconds: str, rating: str, allowance: str, printed: str
) -> None:
    """time_study_exercises, seen in published text; the same allowance in both conventions differs as printed."""
    asked(tmp_path, f", rating: {rating}, allowance: {allowance}")
    (tmp_path / "watch.csv").write_text("load\n" + seconds.replace(" ", "\n") + "\n")
    element, _ = timed(read_inquiry(tmp_path / "inquiry.yaml", assumptions()))
    assert element.allowance is not None

    assert prints_as(element.time_s.value * (1.0 + element.allowance.value), printed)


def test_an_allowance_of_the_day_is_turned_into_one_of_work(tmp_path: Path) -> None:
    """As written for the reader; inside, the share of work time that gives the same standard time."""
    day, readings = timed(asked(tmp_path, ", allowance: 20 %, allowance_of: day"))
    work, _ = timed(asked(tmp_path, ", allowance: 20 %"))
    none, _ = timed(asked(tmp_path))

    assert readings.allowance is not None
    assert day.allowance is not None
    assert work.allowance is not None
    assert readings.allowance.value == 0.2
    assert day.allowance.value == pytest.approx(0.25, rel=1e-12)
    assert dict(day.allowance.inputs) == {"allowance_of_day": readings.allowance.id}
    assert work.allowance.value == 0.2
    assert none.allowance is None


def test_what_is_not_said_is_assumed_with_a_question(tmp_path: Path) -> None:
    """Rating, precision, confidence and unit; the convention only where there is an allowance."""
    _, bare = timed(asked(tmp_path))
    _, with_allowance = timed(asked(tmp_path, ", allowance: 12 %"))

    for fact in (bare.rating, bare.precision, bare.confidence, bare.unit):
        assert fact.basis == "assumed"
        assert fact.question
    assert bare.allowance_of is None
    assert with_allowance.allowance_of is not None
    assert (with_allowance.allowance_of.value, with_allowance.allowance_of.basis) == ("work", "assumed")


@pytest.mark.parametrize(("unit", "seconds"), [("s", 1.0), ("min", 60.0), ("cmin", 0.6)])
def test_readings_are_turned_into_seconds(tmp_path: Path, unit: str, seconds: float) -> None:
    """Hundredths of a minute too."""
    _, readings = timed(asked(tmp_path, f", unit: {unit}"))

    assert readings.values_s == pytest.approx([value * seconds for value in LOADING])


def test_a_judged_time_stands_over_the_measured_one(tmp_path: Path) -> None:
    """The normal time stays beside it."""
    judged = "\njudged:\n  today.elements.load.time: {value: 25 s, reason: the fixture is new}\n"
    inquiry = asked(tmp_path, judged=judged)
    element, _ = timed(inquiry)

    assert (element.time_s.value, element.time_s.basis) == (25.0, "judged")
    (before,) = [fact for fact in inquiry.before if fact.id == "today.elements.load.time.before"]
    assert before.value == pytest.approx(fmean(LOADING))


def test_a_workbook_says_the_same_as_the_text(tmp_path: Path) -> None:
    """The same numbers give the same facts but for their source."""
    _, text = timed(asked(tmp_path))
    book = openpyxl.Workbook()
    for row in [["load"], *[[value] for value in LOADING]]:
        book.active.append(row)
    book.save(tmp_path / "watch.xlsx")
    whole = (tmp_path / "inquiry.yaml").read_text().replace("watch.csv", "watch.xlsx")
    (tmp_path / "inquiry.yaml").write_text(whole)
    _, sheet = timed(read_inquiry(tmp_path / "inquiry.yaml", assumptions()))

    assert (sheet.values_s, sheet.marked, sheet.mean_s.value) == (text.values_s, text.marked, text.mean_s.value)
    assert sheet.mean_s.source == "watch.xlsx, column load, rows 2 to 13"


def test_one_file_serves_several_elements_and_is_told_once(tmp_path: Path) -> None:
    """A file that cannot be used is one error, however many elements name it."""
    names = "readings: {file: none.csv}"
    more = f"}}\n    - {{name: gauge, side: inside, {names}}}\n    - {{name: pack, side: inside, {names}"
    with pytest.raises(Exception, match=r"read 'none\.csv'") as caught:
        asked(tmp_path, more=more)

    assert str(caught.value).count("none.csv") == 1


def test_a_fit_keeps_the_mean(tmp_path: Path) -> None:
    """Whatever shape is chosen: the span's mean is the mean of the readings."""
    shares = [(i + 0.5) / 60 for i in range(60)]
    for values in (
        [float(stats.lognorm(s=0.7, scale=20.0).ppf(share)) for share in shares],
        [float(stats.triang(c=0.95, loc=10.0, scale=20.0).ppf(share)) for share in shares],
        [10.0 + share for share in shares[:30]] + [40.0 + share for share in shares[:30]],
        [12.0] * 5,
    ):
        assert fit_of(tuple(values)).mean_s == fmean(values)
