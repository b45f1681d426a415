"""The activity chart as our own SVG: lanes with patterns that can be told apart without colour."""

from collections.abc import Callable, Iterator

from markupsafe import Markup

from millhand.report.activity import Bar, Chart, Doing, Lane
from millhand.report.charts import axis
from millhand.report.readings import Reading

CLOSER = (1, 2, 4, 8)  # times that the time axis can be drawn out
SHORT_SHARE = 1 / 60  # of the round: a stretch below it can hardly be told on a page
APART = 48  # between the last figure of the axis and the end of the round
LANE_HEIGHT, LANE_GAP, NAME_HEIGHT, FOOT = 26, 10, 18, 34
PATTERNED = ("hands", "way", "stands")
PATTERNS = Markup(
    '<svg class="patterns" width="0" height="0" aria-hidden="true"><defs>'
    '<pattern id="act-hands" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width="6" height="6" class="act-hands"/><line x1="0" y1="0" x2="0" y2="6" class="act-stripe"/></pattern>'
    '<pattern id="act-stands" width="4" height="4" patternUnits="userSpaceOnUse">'
    '<rect width="4" height="4" class="act-ground"/><circle cx="1.5" cy="1.5" r="0.9" class="act-dot"/></pattern>'
    '<pattern id="act-way" width="5" height="5" patternUnits="userSpaceOnUse">'
    '<rect width="5" height="5" class="act-ground"/><line x1="0" y1="2.5" x2="5" y2="2.5" class="act-line"/></pattern>'
    "</defs></svg>"
)


Says = Callable[[Lane, Bar], Reading]


def activity_svg(
    chart: Chart,
    *,
    width: int,
    titles: tuple[str, str],
    says: Says = lambda lane, bar: Reading(),
    decimal: str = ".",
) -> Markup:
    """The lanes of one round over a time axis in seconds.

    titles: of the whole and of the axis; says: what a stretch says when it is pointed at; decimal: the language's sign.
    """
    height = len(chart.lanes) * (NAME_HEIGHT + LANE_HEIGHT + LANE_GAP) + FOOT
    parts = []
    for index, lane in enumerate(chart.lanes):
        parts.append(lane_svg(lane, index=index, scale=(width - 2) / chart.period_s, says=says))
    parts.extend(axis_svg(chart, titles[1], size=(width, height), decimal=decimal))
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" class="activity" viewBox="0 0 {0} {1}" width="{0}" role="img" '
        'aria-label="{2}">{3}</svg>'
    ).format(width, height, titles[0], Markup("").join(parts))


def lane_svg(lane: Lane, *, index: int, scale: float, says: Says) -> Markup:
    """One lane: its name above its bars."""
    top = index * (NAME_HEIGHT + LANE_HEIGHT + LANE_GAP)
    bars = Markup("").join(bar_svg(bar, says(lane, bar), top=top + NAME_HEIGHT, scale=scale) for bar in lane.bars)
    return Markup('<text x="1" y="{}" data-stays>{}</text>{}').format(top + NAME_HEIGHT - 6, lane.words, bars)


def bar_svg(bar: Bar, reading: Reading, *, top: int, scale: float) -> Markup:
    """One stretch with the pattern of what is done."""
    left, wide = 1 + bar.start_s * scale, (bar.end_s - bar.start_s) * scale
    look = looks(bar.doing) + reading.attributes
    return Markup('<rect x="{}" y="{}" width="{}" height="{}" {}/>').format(
        short(left), top, short(wide), LANE_HEIGHT, look
    )


def axis_svg(chart: Chart, title: str, *, size: tuple[int, int], decimal: str) -> Iterator[Markup]:
    """The axis with its ticks; finer ones for where it is drawn out, out of sight until then."""
    width, base = size[0], size[1] - FOOT
    yield Markup('<line x1="1" x2="{}" y1="{}" y2="{}" class="act-axis" data-wide/>').format(width - 1, base, base)
    for times in CLOSER if has_short(chart) else CLOSER[:1]:
        ticks = Markup("").join(ticks_svg(chart, width=width, base=base, times=times, decimal=decimal))
        yield Markup('<g data-times="{}"{}>{}</g>').format(times, Markup(' class="later"' if times > 1 else ""), ticks)
    yield Markup('<text x="1" y="{}" class="act-tick" data-stays>{}</text>').format(base + 32, title)


def ticks_svg(chart: Chart, *, width: int, base: int, times: int, decimal: str) -> Iterator[Markup]:
    """Ticks in seconds for an axis drawn out so many times; the last one where the round ends."""
    scale = (width - 2) / chart.period_s
    scaled = axis([0.0, chart.period_s], wanted=times * max(3, width // 110), decimal=decimal)
    for at in [*(at for at in scaled.ticks if (chart.period_s - at) * scale * times >= APART), chart.period_s]:
        left = 1 + at * scale
        anchor = "start" if at == 0 else "end" if at == chart.period_s else "middle"
        yield Markup('<line x1="{0}" x2="{0}" y1="{1}" y2="{2}" class="act-axis"/>').format(short(left), base, base + 5)
        yield Markup('<text x="{}" y="{}" text-anchor="{}" class="act-tick">{}</text>').format(
            short(left), base + 18, anchor, f"{at:.0f}" if at == chart.period_s else scaled.label(at)
        )


def has_short(chart: Chart) -> bool:
    """Whether a stretch of the round is too short for the width of a page: then drawing it out helps."""
    least = min((bar.end_s - bar.start_s for lane in chart.lanes for bar in lane.bars), default=chart.period_s)
    return least < SHORT_SHARE * chart.period_s


def looks(doing: Doing) -> Markup:
    """How one kind of stretch is filled."""
    if doing in PATTERNED:
        return Markup('fill="url(#act-{})"').format(doing)
    return Markup('class="act-{}"').format(doing)


def swatch(doing: Doing) -> Markup:
    """A small field of the pattern, for the legend."""
    return Markup('<svg class="swatch" viewBox="0 0 22 14" width="22" height="14" aria-hidden="true">'
                  '<rect x="0.5" y="0.5" width="21" height="13" {}/></svg>').format(looks(doing))  # fmt: skip


def short(value: float) -> str:
    """A coordinate with two decimals: finer than a screen, the same text in every run."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
