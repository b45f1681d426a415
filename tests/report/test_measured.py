"""What is shown of timed elements, in the terminal and on the page."""

import io
import re
from dataclasses import replace

import pytest
from rich.console import Console

from millhand.report.html import report_html
from millhand.report.measured import measured_rows
from millhand.report.terminal import show
from millhand.report.terminal_today import today_parts
from tests.report.fixture_study import study
from tests.stages.test_measured import today


def shown() -> list[str]:
    """Today's process of the timed example, as a pipe gets it."""
    stream = io.StringIO()
    show(list(today_parts(today())), Console(file=stream, highlight=False))
    return stream.getvalue().splitlines()


def test_a_row_holds_readings_marks_needed_rating_allowance_and_standard_time() -> None:
    """One element of forty readings, one of them out of line, in the order of the head."""
    line = next(line for line in shown() if line.startswith("load and start    40"))

    assert line.split() == ["load", "and", "start", "40", "19", "s", "4.62", "s", "1", "97", "105", "%", "13", "%",
                            "of", "the", "day", "22.9", "s"]  # fmt: skip


def test_words_below_say_file_rows_fit_marks_and_what_is_missing() -> None:
    """Where the readings stand, what is drawn, which row is out of line, how many are needed in all."""
    text = " ".join(shown())

    wanted = (
        "Load and start: stopwatch.csv, column load_and_start, rows 2 to 41; drawn from a lognormal. Out of line: "
        "row 23. Time on: 97 readings are needed."
    )
    assert wanted in text
    assert "Marked, not dropped: they count in every figure." in text
    assert "Time on" not in text[text.index("Gauge: stopwatch.csv") : text.index("Put away and fetch:")]


def test_nothing_is_said_where_nothing_was_timed() -> None:
    """The older studies look as they did."""
    stream = io.StringIO()
    show(list(today_parts(study())), Console(file=stream, highlight=False))

    assert measured_rows(study()) == ()
    assert "stopwatch" not in stream.getvalue()
    assert "stopwatch" not in report_html(study())


@pytest.mark.parametrize("width", [80, 100])
def test_the_table_fits_the_screen(width: int) -> None:
    """Also where element names are long."""
    stream = io.StringIO()
    show(list(today_parts(today())), Console(file=stream, force_terminal=True, width=width, color_system=None))

    assert max(map(len, stream.getvalue().splitlines())) <= width


def test_every_figure_of_the_table_on_the_page_leads_to_its_fact() -> None:
    """Readings, marks, needed, rating, allowance and standard time stand in the page as facts."""
    page = report_html(replace(today(), seed=1))
    marked = set(re.findall(r'data-fact="([^" ]+)"', page))

    for row in measured_rows(today()):
        assert {row.readings, row.mean, row.deviation, row.out_of_line, row.needed, row.rating, row.allowance,
                row.standard} <= marked  # fmt: skip
    assert "of the day" in page
