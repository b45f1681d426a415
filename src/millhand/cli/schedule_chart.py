"""The activity chart of one period for the terminal: states told apart by their characters, and by colour as well."""

import click

from millhand.model.schedule import Schedule
from millhand.solvers.cycle.lanes import Lane, State, lanes

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


def chart_lines(schedule: Schedule) -> list[str]:
    """One lane a line, 80 columns, a time axis in seconds below and the legend."""
    made = lanes(schedule)
    names = max((len(lane.name) for lane in made), default=0)
    names = min(names, 20)
    columns = WIDTH - names - 1
    lines = [f"{lane.name[:names]:<{names}} {painted(lane, schedule.period_steps, columns)}" for lane in made]
    return [*lines, f"{'':<{names}} {axis(schedule.period_steps * schedule.grid_s, columns)}", LEGEND]


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


def axis(period_s: float, columns: int) -> str:
    """A line of times: the start, the quarters and the end of the period."""
    line = [" "] * columns
    for quarter in range(5):
        text = f"{period_s * quarter / 4:.4g} s" if quarter == 4 else f"{period_s * quarter / 4:.4g}"
        start = min(round(quarter * columns / 4), columns - len(text))
        line[start : start + len(text)] = text
    return "".join(line)
