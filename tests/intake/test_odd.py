"""Figures that hardly go together: each kind in exactly its own words, wherever the file is looked at."""

import io
import json
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from rich.console import Console, RenderableType

from millhand.catalogue.assumptions import assumptions, solid_densities
from millhand.catalogue.components import read_catalogue
from millhand.cli.main import group
from millhand.intake.clashes import clashes, hours
from millhand.intake.inquiry import read_inquiry
from millhand.intake.inquiry_sums import hands_s, head_s
from millhand.intake.odd import oddities
from millhand.intake.today_held import MORE_THAN_MADE
from millhand.model.canonical import plain
from millhand.model.inquiry import Inquiry
from millhand.model.odd import Odd
from millhand.report.html import report_html
from millhand.report.study_json import study_as_json
from millhand.report.terminal import show, study_parts
from millhand.report.terminal_today import today_parts
from millhand.study import study
from tests.few_draws import FEW_DRAWS
from tests.intake.test_contradictions import with_changes

ODD = Path(__file__).resolve().parents[1] / "odd"
KINDS = sorted(path.name for path in ODD.iterdir())
LOAD = """parts_per_shift: {}
  elements:
    - {{name: load, time: {}, side: outside}}
    - {{name: deburr, time: {}, side: inside}}"""


def read(kind: str, name: str) -> Inquiry:
    """One file of the corpus."""
    return read_inquiry(ODD / kind / name, assumptions())


def codes(inquiry: Inquiry) -> list[str]:
    """The kinds of what does not go together in an inquiry."""
    return [each.code for each in clashes(inquiry)]


def worked(parts: float, load: str, deburr: str) -> tuple[str, str]:
    """The change that gives today two elements."""
    return "parts_per_shift: 105", LOAD.format(parts, load, deburr)


@pytest.mark.parametrize("kind", KINDS)
def test_check_asks_in_exactly_these_words(kind: str) -> None:
    """The file can be used, and what does not go together stands under its odd figures, with place and margin."""
    result = CliRunner().invoke(group, ["check", str(ODD / kind / "odd.yaml")])

    assert (result.exit_code, result.stderr) == (0, "")
    assert f"Odd figures\n-----------\n{(ODD / kind / 'expected.txt').read_text(encoding='utf-8')}" in result.stdout


@pytest.mark.parametrize("kind", KINDS)
def test_each_file_is_odd_in_its_own_way_and_following_the_words_ends_it(kind: str) -> None:
    """The folder's name is the code of the one clash; the mended file has none."""
    assert codes(read(kind, "odd.yaml")) == [kind]
    assert codes(read(kind, "mended.yaml")) == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_margin_stands_in_figures(kind: str) -> None:
    """Each says by how much, in percent or in time."""
    (each,) = clashes(read(kind, "odd.yaml"))

    assert "%" in each.words or "60 min longer" in each.words
    assert each.where.startswith("odd.yaml:")
    assert each.facts


def test_the_desk_of_today_and_the_report_say_it_too() -> None:
    """`millhand today` lists it before any figure; the report in its answer and under today, marked by its facts."""
    inquiry = read("operator_over_full", "odd.yaml")
    (each,) = clashes(inquiry)
    page = report_html(study(inquiry, replace(read_catalogue(), components={}), asked=FEW_DRAWS))
    shown = CliRunner().invoke(group, ["today", str(ODD / "operator_over_full" / "odd.yaml")]).stdout

    assert each.sentence in " ".join(shown.split())
    assert shown.index("Odd figures") < shown.index("Elements of one load")
    assert page.count(each.words.replace("'", "&#39;")) == 2
    assert f'data-fact="{each.facts[0]} ' in page


def test_the_study_holds_it_and_the_faces_show_what_the_study_holds() -> None:
    """All questions of the inquiry stand in the record, clashes first; a face asks nothing else and nothing anew."""
    inquiry = read("operator_over_full", "odd.yaml")
    done = study(inquiry, replace(read_catalogue(), components={}), asked=FEW_DRAWS)
    other = Odd(code="asked", words="Asked by nobody but this record", facts=(inquiry.today.parts_per_shift.id,))

    assert done.odd == oddities(inquiry, solid_densities(read_catalogue().figures.values()))
    assert [each.clash for each in done.odd] == sorted((each.clash for each in done.odd), reverse=True)
    assert done.clashes == tuple(clashes(inquiry))
    assert json.loads(study_as_json(done))["odd"] == plain(done.odd)
    changed = replace(done, odd=(other,))
    faces = (report_html(changed), drawn(today_parts(changed)), drawn(study_parts(changed, ())))
    assert [face.count(other.words) for face in faces] == [1, 1, 0]
    assert not any(each.words.replace("'", "&#39;") in face for each in done.odd for face in faces)
    assert f"rely on it: {done.clashes[0].sentence}" in drawn(study_parts(done, ()))


def drawn(parts: Iterable[RenderableType]) -> str:
    """What the terminal shows, in one line."""
    stream = io.StringIO()
    show(list(parts), Console(file=stream))
    return " ".join(stream.getvalue().split())


def test_an_operator_is_full_where_his_work_fills_his_hours() -> None:
    """105 parts of 274 s are 7 h 59 min of the 8 h that were said to be there; 275 s are 8 h 1 min."""
    fits, over = with_changes(worked(105, "34 s", "240 s")), with_changes(worked(105, "35 s", "240 s"))

    assert (hands_s(fits), head_s(fits)) == pytest.approx((105 * 274.0, 28800.0))
    assert (codes(fits), codes(over)) == ([], ["operator_over_full"])


def test_a_cutting_time_that_fits_with_its_loading_is_believed() -> None:
    """Cutting fills 13 of 16 h: with 60 s a load it is 15.1 h, with 120 s 17.2 h, 7 % more than there is."""
    shipped, slow = ("52000", "60000"), ("time: 6 min 20 s", "time: 6 min 30 s")

    assert codes(with_changes(worked(120, "60 s", "30 s"), shipped, slow)) == []
    assert codes(with_changes(worked(120, "120 s", "30 s"), shipped, slow)) == ["floor_to_floor_as_cutting"]


def test_a_loading_time_that_nobody_said_accuses_nobody() -> None:
    """The usual exchange is 25 to 90 s: at the kinder end the hours are enough, and nothing is asked."""
    assert codes(with_changes(("parts_per_shift: 105", "parts_per_shift: 140"), ("52000", "75000"))) == []


def test_a_handover_is_no_overlap() -> None:
    """An hour together is a handover; a minute more is asked about, over midnight too."""

    def shifts(late: str) -> tuple[str, str]:
        times = f"shifts:\n  - {{name: late, from: 16:00, to: '{late}'}}\n  - {{name: night, from: 00:00, to: 08:00}}"
        return "shifts: 2 x 8 h", times

    free = ("unattended: 3 h", "unattended: 0 h")

    assert codes(with_changes(shifts("01:00"), free)) == []
    assert codes(with_changes(shifts("01:01"), free)) == ["shifts_overlap"]


def test_hours_of_a_year_are_told_in_hours() -> None:
    """Not as days."""
    assert (hours(5400.0), hours(36_000_000.0)) == ("1.5 h", "10000 h")


@pytest.mark.parametrize(("told", "is_odd"), [(118, False), (135, True)])
def test_more_shipped_than_the_times_can_make_is_odd_before_a_study(told: int, is_odd: bool) -> None:
    """The mills of the dozen let through 119 a shift at likely times and 142 at the kindest: the study said so, the
    check did not."""
    inquiry = with_changes(("parts_per_shift: 105", f"parts_per_shift: {told}"))
    found = [each for each in oddities(inquiry, {}) if each.code == "output_over_times"]

    assert bool(found) is is_odd
    if found:
        assert f"mill: {told} parts a shift are shipped" in found[0].words
        assert MORE_THAN_MADE in found[0].words
        assert found[0].facts[0] == "today.parts_per_shift"
