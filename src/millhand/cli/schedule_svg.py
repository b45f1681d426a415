"""The activity chart of one period as a drawing of its own: lanes over a time axis, patterns that print in grey."""

from collections.abc import Iterator
from html import escape

from millhand.model.schedule import Schedule
from millhand.solvers.cycle.lanes import Lane, State, lanes

WIDTH, NAME_WIDTH, LANE, GAP, FOOT = 960, 130, 24, 10, 64
FONT, THIN = 'font-family="sans-serif" font-size="13"', 'stroke="#000" stroke-width="0.5"'
WORDS: dict[State, str] = {
    "working": "working",
    "handled": "hands on it",
    "done": "done, waiting",
    "empty": "empty",
    "handling": "hands on",
    "carrying": "carrying",
    "travelling": "travelling",
    "waiting": "waiting",
}
PATTERNS: dict[State, str] = {
    "working": '<rect width="8" height="8" fill="#555"/>',
    "handled": '<rect width="8" height="8" fill="#fff"/><path d="M0 8L8 0" stroke="#000" stroke-width="2"/>',
    "done": '<rect width="8" height="8" fill="#fff"/><circle cx="4" cy="4" r="1.2" fill="#000"/>',
    "empty": '<rect width="8" height="8" fill="#fff"/>',
    "handling": '<rect width="8" height="8" fill="#fff"/><path d="M0 8L8 0" stroke="#000" stroke-width="2"/>',
    "carrying": '<rect width="8" height="8" fill="#bbb"/><path d="M0 4H8" stroke="#000" stroke-width="2"/>',
    "travelling": '<rect width="8" height="8" fill="#fff"/><path d="M0 4H8" stroke="#777" stroke-width="1"/>',
    "waiting": '<rect width="8" height="8" fill="#fff"/><circle cx="4" cy="4" r="1.2" fill="#000"/>',
}
STEPS_S = (0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600)


def chart_svg(schedule: Schedule, *, title: str) -> str:
    """The whole drawing; the same text for the same schedule."""
    made = lanes(schedule)
    height = len(made) * (LANE + GAP) + FOOT
    used = [state for state in WORDS if any(each.state == state for lane in made for each in lane.stretches)]
    body = [
        "<defs>",
        *(
            f'<pattern id="{s}" width="8" height="8" patternUnits="userSpaceOnUse">{PATTERNS[s]}</pattern>'
            for s in used
        ),
        "</defs>",
        f'<rect width="{WIDTH}" height="{height}" fill="#fff"/>',
        *(line for row, lane in enumerate(made) for line in lane_svg(lane, row, schedule.period_steps)),
        *axis_svg(schedule.period_steps * schedule.grid_s, len(made) * (LANE + GAP)),
        *legend_svg(used, height - 18),
    ]
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" {FONT}>'
    return "\n".join([head, f"<title>{escape(title)}</title>", *body, "</svg>"]) + "\n"


def lane_svg(lane: Lane, row: int, period: int) -> Iterator[str]:
    """One lane: its name and its stretches."""
    top, scale = row * (LANE + GAP) + GAP, (WIDTH - NAME_WIDTH - 10) / max(1, period)
    yield f'<text x="{NAME_WIDTH - 8}" y="{top + 17}" text-anchor="end">{escape(lane.name)}</text>'
    for each in lane.stretches:
        left, wide = NAME_WIDTH + each.start * scale, (each.end - each.start) * scale
        yield (
            f'<rect x="{left:.2f}" y="{top}" width="{wide:.2f}" height="{LANE}" fill="url(#{each.state})" '
            f"{THIN}><title>{WORDS[each.state]}</title></rect>"
        )


def axis_svg(period_s: float, top: float) -> Iterator[str]:
    """Ticks at round seconds."""
    step = next((each for each in STEPS_S if period_s / each <= 12), period_s or 1.0)
    scale, base = (WIDTH - NAME_WIDTH - 10) / (period_s or 1.0), top + GAP
    yield f'<path d="M{NAME_WIDTH} {base}H{WIDTH - 10}" stroke="#000"/>'
    for number in range(int(period_s / step + 1e-9) + 1):
        left = NAME_WIDTH + number * step * scale
        yield f'<path d="M{left:.2f} {base}v5" stroke="#000"/>'
        yield f'<text x="{left:.2f}" y="{base + 18}" text-anchor="middle">{number * step:g}</text>'
    yield f'<text x="{NAME_WIDTH - 8}" y="{base + 18}" text-anchor="end">s</text>'


def legend_svg(used: list[State], base: float) -> Iterator[str]:
    """A swatch and a word for each state that occurs; two states of one look share one."""
    left = 10
    seen: set[str] = set()
    for state in used:
        if PATTERNS[state] in seen:
            continue
        seen.add(PATTERNS[state])
        yield f'<rect x="{left}" y="{base}" width="18" height="12" fill="url(#{state})" {THIN}/>'
        yield f'<text x="{left + 23}" y="{base + 11}">{WORDS[state]}</text>'
        left += 40 + 8 * len(WORDS[state])
