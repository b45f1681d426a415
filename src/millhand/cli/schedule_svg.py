"""The activity chart of one period as a drawing of its own: lanes over a time axis, patterns that print in grey.

Below the lanes stands, for each track, who is where over the same time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from textwrap import wrap

from millhand.cli.schedule_axis import ticks_s
from millhand.cli.schedule_svg_track import rail_height, rail_svg
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.lanes import Lane, State, Stretch, lanes
from millhand.solvers.cycle.positions import Rail, rails

WIDTH, WIDEST, RIGHT, LANE, GAP, LETTER = 1000, 2600, 24, 22, 8, 7.4
VISIT = 13  # what one visit of the busiest attendant should have of the width, so that its hands and ways are seen
FONT, THIN = 'font-family="sans-serif" font-size="13"', 'stroke="#000" stroke-width="0.5"'
WORDS: dict[State, str] = {
    "working": "working",
    "handled": "hands on it",
    "done": "done, waiting",
    "empty": "empty",
    "handling": "hands on",
    "carrying": "carrying",
    "travelling": "travelling empty",
    "waiting": "waiting",
}
PATTERNS: dict[State, str] = {
    "working": '<rect width="8" height="8" fill="#777"/>',
    "handled": '<rect width="8" height="8" fill="#fff"/><path d="M0 8L8 0M-2 2L2 -2M6 10L10 6" '
    'stroke="#000" stroke-width="2"/>',
    "done": '<rect width="8" height="8" fill="#fff"/><circle cx="4" cy="4" r="1.2" fill="#000"/>',
    "empty": '<rect width="8" height="8" fill="#fff"/>',
    "handling": '<rect width="8" height="8" fill="#fff"/><path d="M0 8L8 0M-2 2L2 -2M6 10L10 6" '
    'stroke="#000" stroke-width="2"/>',
    "carrying": '<rect width="8" height="8" fill="#ccc"/><path d="M0 4H8" stroke="#000" stroke-width="2.4"/>',
    "travelling": '<rect width="8" height="8" fill="#fff"/><path d="M0 4H8" stroke="#555" stroke-width="1"/>',
    "waiting": '<rect width="8" height="8" fill="#fff"/><circle cx="4" cy="4" r="1.2" fill="#000"/>',
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where the time axis lies on the sheet: its left edge, its width, the period and the seconds of a grid step."""

    left: float
    wide: float
    period: int
    grid_s: float
    types: bool = False  # several part types: stations say which one they work on

    @property
    def sheet(self) -> float:
        """The width of the whole sheet."""
        return self.left + self.wide + RIGHT

    def x(self, time: float) -> float:
        """Where a grid step of the period lies."""
        return self.left + self.wide * time / max(1, self.period)


def chart_svg(schedule: Schedule, *, title: str, cell: Cell | None = None) -> str:
    """The whole drawing; the same text for the same schedule."""
    made = lanes(schedule, order=(*cell.attendants, *cell.stations) if cell else ())
    tracks = rails(cell, schedule) if cell else ()
    frame = frame_of(schedule, made, tracks)
    heading = wrap(title, width=int(WIDTH / LETTER) - 4)
    top = 14 + 18 * (len(heading) + 1)
    there = {each.state for lane in made for each in lane.stretches}
    used = [state for state in WORDS if state in there]
    body = [*heading_svg(heading, schedule)]
    for row, lane in enumerate(made):
        body += lane_svg(lane, top + row * (LANE + GAP), frame)
    base: float = top + len(made) * (LANE + GAP)
    body += axis_svg(frame, base)
    legend, base = legend_svg(used, frame, base + 44, any_cut(made))
    body += legend
    for rail in tracks:
        body += rail_svg(rail, frame, base + 26)
        body += axis_svg(frame, base + 26 + rail_height(rail))
        base += rail_height(rail) + 70
    height = base + 14
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {frame.sheet:g} {height:g}" {FONT}>'
    sheet = f'<rect width="{frame.sheet:g}" height="{height:g}" fill="#fff"/>'
    return "\n".join([head, f"<title>{escape(title)}</title>", *patterns_svg(used), sheet, *body, "</svg>"]) + "\n"


def frame_of(schedule: Schedule, made: Sequence[Lane], tracks: Sequence[Rail]) -> Frame:
    """The time axis beside a column that holds the longest name."""
    names = [lane.name for lane in made]
    names += [f"{place} {metres:g} m" for rail in tracks for place, metres in rail.places]
    left = 20 + LETTER * max((len(name) for name in names), default=0)
    most = max((sum(each.state == "handling" for each in lane.stretches) for lane in made), default=0)
    wide = min(WIDEST, max(WIDTH - left - RIGHT, VISIT * most))
    types = len({event.part for event in schedule.events if event.part}) > 1
    return Frame(left=left, wide=wide, period=schedule.period_steps, grid_s=schedule.grid_s, types=types)


def heading_svg(heading: Sequence[str], schedule: Schedule) -> Iterator[str]:
    """The name of the cell, and what the drawing shows."""
    period, parts = schedule.period_steps * schedule.grid_s, schedule.parts_per_period
    for row, line in enumerate(heading):
        yield f'<text x="12" y="{20 + 18 * row}" font-weight="bold">{escape(line)}</text>'
    said = "from the first lift to the last set-down" if schedule.goal == "makespan" else "one cycle"
    words = f"{said}: {period:.6g} s for {parts} part{'' if parts == 1 else 's'}"
    yield f'<text x="12" y="{20 + 18 * len(heading)}">{words}</text>'


def patterns_svg(used: Sequence[State]) -> Iterator[str]:
    """The pattern of each state that occurs."""
    yield "<defs>"
    for state in used:
        yield f'<pattern id="{state}" width="8" height="8" patternUnits="userSpaceOnUse">{PATTERNS[state]}</pattern>'
    yield "</defs>"


def lane_svg(lane: Lane, top: float, frame: Frame) -> Iterator[str]:
    """One lane: its name, its stretches, what they are at where there is room, and arrows over the cut."""
    weight = ' font-weight="bold"' if lane.owner == "attendant" else ""
    yield f'<text x="{frame.left - 8:.1f}" y="{top + 16:g}" text-anchor="end"{weight}>{escape(lane.name)}</text>'
    for each in lane.stretches:
        left, wide = frame.x(each.start), frame.x(each.end) - frame.x(each.start)
        said = f"{lane.name}: {WORDS[each.state]}{f', {each.at}' if each.at else ''}, {seconds_of(each, frame)}"
        yield (
            f'<rect x="{left:.2f}" y="{top:g}" width="{wide:.2f}" height="{LANE}" fill="url(#{each.state})" '
            f"{THIN}><title>{escape(said)}</title></rect>"
        )
        if each.came:
            yield f'<path d="M{frame.left - 1:.2f} {top + 5:g}l-5 6l5 6z"/>'
        if each.goes_on:
            yield f'<path d="M{frame.left + frame.wide + 1:.2f} {top + 5:g}l5 6l-5 6z"/>'
    for each in lane.stretches:
        named = each.state == "handling" or (frame.types and each.state == "working")
        if named and LETTER * len(each.at) + 6 < frame.x(each.end) - frame.x(each.start):
            middle, half = (frame.x(each.start) + frame.x(each.end)) / 2, LETTER * len(each.at) / 2 + 1
            yield f'<rect x="{middle - half:.2f}" y="{top + 4:g}" width="{2 * half:.2f}" height="14" fill="#fff"/>'
            yield f'<text x="{middle:.2f}" y="{top + 16:g}" text-anchor="middle">{escape(each.at)}</text>'


def seconds_of(each: Stretch, frame: Frame) -> str:
    """From when to when, for whoever points at a stretch."""
    return f"{each.start * frame.grid_s:.6g} s to {each.end * frame.grid_s:.6g} s"


def axis_svg(frame: Frame, base: float) -> Iterator[str]:
    """Ticks at round seconds, and the end of the period."""
    right = frame.left + frame.wide
    yield f'<path d="M{frame.left:.2f} {base:g}H{right:.2f}v7" stroke="#000" fill="none"/>'
    end = f"{frame.period * frame.grid_s:.6g} s"
    for second in ticks_s(frame.period * frame.grid_s, 12):
        left = frame.x(second / frame.grid_s)
        if left + LETTER * 3 < right + RIGHT - 4 - LETTER * len(end):
            yield f'<path d="M{left:.2f} {base:g}v5" stroke="#000"/>'
            yield f'<text x="{left:.2f}" y="{base + 19:g}" text-anchor="middle">{second:g}</text>'
    yield f'<text x="{right + RIGHT - 4:.2f}" y="{base + 19:g}" text-anchor="end">{end}</text>'


def any_cut(made: Sequence[Lane]) -> bool:
    """Whether something goes on over the end of the period."""
    return any(each.goes_on for lane in made for each in lane.stretches)


def legend_svg(used: Sequence[State], frame: Frame, base: float, cut: bool) -> tuple[list[str], float]:
    """A swatch and the words for each look that occurs, in as many rows as it takes, and where the last row ends."""
    words: dict[str, list[State]] = {}
    for known in used:
        words.setdefault(PATTERNS[known], []).append(known)
    found, left = [], 12.0
    said: list[tuple[State | None, str]] = [
        (states[0], " / ".join(dict.fromkeys(WORDS[each] for each in states))) for states in words.values()
    ]
    said += [(None, "goes on in the next cycle")] if cut else []
    for state, text in said:
        wide = 42 + LETTER * len(text)
        if left + wide > frame.sheet:
            left, base = 12.0, base + 20
        if state is None:
            found.append(f'<path d="M{left + 6:g} {base:g}l5 6l-5 6z"/>')
        else:
            found.append(f'<rect x="{left:g}" y="{base:g}" width="18" height="12" fill="url(#{state})" {THIN}/>')
        found.append(f'<text x="{left + 23:g}" y="{base + 11:g}">{text}</text>')
        left += wide
    return found, base + 12
