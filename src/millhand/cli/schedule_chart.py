"""The activity chart of one period for the terminal: states told apart by their characters, and by colour as well."""

from collections.abc import Iterator

import click

from millhand.cli.schedule_axis import ticks_s
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.lanes import Lane, State, lanes
from millhand.solvers.cycle.positions import Line, Rail, at_m, rails

WIDTH = 80
MARKS: dict[State, tuple[str, str]] = {
    "working": ("=", "green"),
    "handled": ("#", "yellow"),
    "done": (".", "red"),
    "empty": ("_", "red"),
    "handling": ("#", "yellow"),
    "carrying": (">", "blue"),
    "travelling": ("-", "cyan"),
    "waiting": (".", "white"),
}
LEGEND = "= working  # hands on  > carrying  - travelling  . waiting  _ empty"
EDGES = "| edge of the cycle  ~ goes on over it"
OVER = "~"


def chart_lines(schedule: Schedule, *, cell: Cell | None = None) -> list[str]:
    """One lane a line, 80 columns, a time axis in seconds below and the legend; under it who is where on a shared
    track, where the cell is told."""
    made = lanes(schedule, order=(*cell.attendants, *cell.stations) if cell else ())
    shared = [rail for rail in rails(cell, schedule) if len(rail.lines) > 1] if cell else []
    names = [lane.name for lane in made] + [place for rail in shared for place, _ in rail.places]
    width = max((len(name) for name in names), default=0)
    columns = WIDTH - width - 3
    lines = [f"{lane.name:<{width}} {edged(lane, schedule.period_steps, columns)}" for lane in made]
    lines += [f"{'':<{width}} {line}".rstrip() for line in axis(schedule.period_steps * schedule.grid_s, columns)]
    lines += [LEGEND, EDGES]
    for rail in shared:
        lines += ["", *rail_lines(rail, schedule, (width, columns))]
    return lines


def edged(lane: Lane, period: int, columns: int) -> str:
    """A lane between its two edges: a bar where something ends there, a wave where it goes on."""
    came = any(each.came for each in lane.stretches)
    goes_on = any(each.goes_on for each in lane.stretches)
    return f"{OVER if came else '|'}{painted(lane, period, columns)}{OVER if goes_on else '|'}"


def painted(lane: Lane, period: int, columns: int) -> str:
    """A lane in characters: in each column the state that fills most of it."""
    return "".join(
        click.style(MARKS[state][0], fg=MARKS[state][1]) if state else " "
        for state in column_states(lane, period, columns)
    )


def column_states(lane: Lane, period: int, columns: int) -> list[State | None]:
    """The state that takes most of each column's time; None where nothing is known of it."""
    found: list[State | None] = []
    for column in range(columns):
        left, right = column * period / columns, (column + 1) * period / columns
        shares: dict[State, float] = {}
        for each in lane.stretches:
            shared = min(right, each.end) - max(left, each.start)
            if shared > 0:
                shares[each.state] = shares.get(each.state, 0.0) + shared
        found.append(max(shares.items(), key=lambda each: each[1])[0] if shares else None)
    return found


def axis(period_s: float, columns: int) -> list[str]:
    """Two lines: a tick at each round second, the seconds below, and the end of the period."""
    ticks, words = list("-" * columns), [" "] * (columns + 2)
    end = f"{period_s:.6g} s"
    taken = 0
    for second in ticks_s(period_s, max(2, columns // 9)):
        column = min(columns - 1, int(second / period_s * columns + 1e-9)) if period_s else 0
        ticks[column] = "+"
        text = f"{second:g}"
        start = column + 1
        if start >= taken and start + len(text) < columns + 1 - len(end):
            words[start : start + len(text)] = text
            taken = start + len(text) + 1
    words[columns + 2 - len(end) :] = end
    return [f" {''.join(ticks)} ", "".join(words)]


def kept_words(rail: Rail) -> str:
    """What is kept on a track."""
    apart = f", at least {rail.keep_m:g} m apart" if rail.keep_m else ""
    if not rail.in_order:
        return apart
    return f", by the order of places{apart}{' while both stand' if apart else ''}"


def rail_lines(rail: Rail, schedule: Schedule, widths: tuple[int, int]) -> Iterator[str]:
    """Who is nearest to which place of a track, a row a place: a letter each, a capital while it carries."""
    width, columns = widths
    yield f"On track {rail.name}{kept_words(rail)}: who is nearest to which place"
    rows = {place: [" "] * columns for place, _ in rail.places}
    letters = dict(zip((line.who for line in rail.lines), "abcdefghijklmnopqrstuvwxyz", strict=False))
    for column in range(columns):
        time = (column + 0.5) * schedule.period_steps / columns
        for line in rail.lines:
            here = at_m(line, time)
            place = min(rail.places, key=lambda each: abs(each[1] - here))[0]
            letter = letters[line.who].upper() if carries(line, time) else letters[line.who]
            rows[place][column] = "X" if rows[place][column] != " " else letter
    for place, _ in reversed(rail.places):
        yield f"{place:<{width}} |{''.join(rows[place])}|"
    told = "  ".join(f"{letter} {who}" for who, letter in letters.items())
    yield f"{told}  (a capital: carrying; X: two nearest to one place)"


def carries(line: Line, time: float) -> bool:
    """Whether an attendant carries something on its way at this time."""
    return any(leg.carries for leg in line.legs if leg.start <= time < leg.end)
