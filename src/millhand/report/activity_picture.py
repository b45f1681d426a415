"""The activity chart of today's round as a picture: its lanes in a wide and a narrow version, and what they say."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from millhand.report.activity import WORDS, Bar, Chart, Lane
from millhand.report.activity_svg import activity_svg, has_short
from millhand.report.charts import NARROW, WIDE
from millhand.report.marks import Marks
from millhand.report.pictures import Picture
from millhand.report.readings import Reading, Switch, spoken_list
from millhand.report.view import tenths


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """The picture, and the chart that its legend is read off."""

    picture: Picture
    chart: Chart
    closer: bool  # whether drawing out the time axis helps


def activity_picture(lanes: Chart | None, facts: Sequence[str], marks: Marks) -> Activity | None:
    """The round of today's work, where its cycle can be found."""
    if lanes is None:
        return None
    lanes = replace(lanes, lanes=tuple(replace(each, name=marks.term(each.words)) for each in lanes.lanes))

    def says(lane: Lane, bar: Bar) -> Reading:
        slots = {
            "lane": marks.term(lane.words), "doing": marks.term(WORDS[bar.doing]),
            "start": marks.tongue.figure(tenths(bar.start_s)), "end": marks.tongue.figure(tenths(bar.end_s)),
            "length": marks.tongue.figure(tenths(bar.end_s - bar.start_s)),
        }  # fmt: skip
        return Reading(words=marks.told("chart.stretch", slots), groups=(bar.doing,))

    titles = marks.told("axis.round_title"), marks.told("axis.round")
    wide, narrow = (
        activity_svg(lanes, width=width, titles=titles, says=says, decimal=marks.tongue.decimal)
        for width in (WIDE, NARROW)
    )
    picture = Picture(
        facts=marks.ids(facts),
        wide=wide,
        narrow=narrow,
        spoken=spoken_list(says(lane, bar) for lane in lanes.lanes for bar in lane.bars),
        switches=tuple(Switch(group=doing, words=marks.term(WORDS[doing])) for doing in lanes.doings),
    )
    return Activity(picture=picture, chart=lanes, closer=has_short(lanes))
