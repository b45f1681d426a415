"""The activity chart fills a whole round, lane by lane, and is the same in every run."""

import pytest

from millhand.intake.cell import read_cell
from millhand.model.concept import Concept
from millhand.model.study import Result
from millhand.report import activity
from millhand.report.activity import Bar, Chart, Lane, chart, chart_of, merged
from millhand.report.activity_svg import activity_svg, swatch
from millhand.report.terminal_today import chart_lines
from millhand.solvers.cycle.simple import schedule
from tests.report.fixture_study import CELLS, study

DRAWN = ["one_operator_two_mills", "one_arm_two_grippers", "published_two_machines_a_s1", "published_series_a_constant"]
CONCEPT = Concept(id="x", kind="today", title="x")


def chart_in(name: str) -> Chart:
    """The chart of an example cell."""
    found = chart_of(Result(concept=CONCEPT, verdicts=(), cell=read_cell(CELLS / f"{name}.json")))
    assert found is not None
    return found


@pytest.mark.parametrize("name", DRAWN)
def test_each_lane_fills_the_round_without_gap_or_overlap(name: str) -> None:
    """From nought to the period, each bar beginning where the last one ended, neighbours of different kinds."""
    found = chart_in(name)

    for lane in found.lanes:
        edges = [bar.start_s for bar in lane.bars] + [lane.bars[-1].end_s]
        assert edges[0] == 0.0
        assert edges[-1] == found.period_s
        assert edges[1:] == [bar.end_s for bar in lane.bars]
        assert all(one.doing != other.doing for one, other in zip(lane.bars, lane.bars[1:], strict=False))
    assert [lane.owner for lane in found.lanes] == sorted(lane.owner for lane in found.lanes)


def test_machines_run_as_long_as_their_process_takes() -> None:
    """In the example each mill runs 380 s of the round."""
    mills = [lane for lane in chart_in("one_operator_two_mills").lanes if lane.owner == "station"]

    assert len(mills) == 2
    for lane in mills:
        assert sum(bar.end_s - bar.start_s for bar in lane.bars if bar.doing == "runs") == pytest.approx(380.0)


def test_a_schedule_that_is_there_is_taken() -> None:
    """The study's own schedule comes before one found anew."""
    cell = read_cell(CELLS / "one_arm_two_grippers.json")
    other = schedule(read_cell(CELLS / "one_operator_two_mills.json"))

    assert chart_of(Result(concept=CONCEPT, verdicts=(), cell=cell, schedule=other)) == chart(other)


def test_no_cell_no_chart(monkeypatch: pytest.MonkeyPatch) -> None:
    """A concept that fell has none, nor has a cell whose cycle this version cannot find."""
    assert chart_of(None) is None
    assert chart_of(study().results[3]) is None

    monkeypatch.setattr(activity, "simple", lambda cell: None)
    assert chart_of(study().results[0]) is None


def test_neighbours_of_one_kind_are_one_bar() -> None:
    """Two stretches of waiting read as one."""
    bars = [Bar(doing="waits", start_s=0, end_s=1), Bar(doing="waits", start_s=1, end_s=3)]

    assert merged(bars) == (Bar(doing="waits", start_s=0, end_s=3),)


def test_lanes_stand_in_the_order_of_the_cell() -> None:
    """Not in that of the first visit: the second machine may be loaded first."""
    cell = read_cell(CELLS / "one_operator_two_mills.json")
    back = [*reversed(cell.stations)]
    found = chart(schedule(cell), order=back)  # type: ignore[arg-type]

    names = [lane.name for lane in chart_in("one_operator_two_mills").lanes]
    assert names == ["operator1", "mill1", "mill2"]
    assert [lane.name for lane in found.lanes] == ["operator1", "mill2", "mill1"]


@pytest.mark.parametrize(
    ("name", "words"), [("operator1", "operator 1"), ("machine_2", "machine 2"), ("m1", "m1"), ("press 1", "press 1")]
)
def test_a_lane_is_called_as_people_say_it(name: str, words: str) -> None:
    """A number apart from its word; a short sign stays whole."""
    assert Lane(name=name, owner="station", bars=()).words == words


def test_what_is_shorter_than_a_column_is_still_seen() -> None:
    """A walk of a second in a round of a hundred stands at its place, and takes no other bar's only column."""
    ends = [(0, 40, "hands"), (40, 41, "way"), (41, 80, "hands"), (80, 81, "way"), (81, 100, "waits")]
    bars = tuple(Bar(doing=doing, start_s=start, end_s=end) for start, end, doing in ends)  # type: ignore[arg-type]
    walks = Chart(period_s=100.0, lanes=(Lane(name="he", owner="attendant", bars=bars),))

    assert chart_lines(walks, columns=14)[0] == "he  ####-###-."
    assert chart_lines(walks, columns=24)[0] == "he  ########-#######-..."
    assert chart_lines(walks, columns=7)[0] == "he  ##."


LANES = Chart(
    period_s=100.0,
    lanes=(
        Lane(name="arm_1", owner="attendant", bars=(Bar(doing="hands", start_s=0, end_s=50),
                                                    Bar(doing="waits", start_s=50, end_s=100))),
        Lane(name="m", owner="station", bars=(Bar(doing="stands", start_s=0, end_s=25),
                                              Bar(doing="runs", start_s=25, end_s=100))),
    ),
)  # fmt: skip


def test_the_chart_in_the_terminal() -> None:
    """A lane a line, a scale and a legend, as wide as asked for."""
    assert chart_lines(LANES, columns=27) == [
        "arm 1  ##########..........",
        "m      _____===============",
        "       0              100 s",
        "# hands on parts  . waits  = machine runs  _ machine stands",
    ]


def test_the_chart_as_a_drawing() -> None:
    """Bars to scale, patterns that need no colour, escaped names; the legend shows the same patterns."""
    text = str(activity_svg(LANES, width=202, titles=("<who>", "seconds")))

    assert text.count("<rect x=") == 4
    assert text.count(">100</text>") == 1
    assert 'x="101" y="18" width="100"' in text
    assert 'fill="url(#act-hands)"' in text
    assert 'class="act-runs"' in text
    assert "&lt;who&gt;" in text
    assert 'fill="url(#act-stands)"' in swatch("stands")


def test_ticks_of_a_short_round_have_the_sign_of_the_language() -> None:
    """A round of a second, drawn out: tenths with a comma where the language has one."""
    lane = Lane(name="m", owner="station", bars=(Bar(doing="runs", start_s=0, end_s=1),))
    text = str(activity_svg(Chart(period_s=1.0, lanes=(lane,)), width=680, titles=("m", "seconds"), decimal=","))

    assert ">0,4</text>" in text
    assert ">0.4</text>" not in text
