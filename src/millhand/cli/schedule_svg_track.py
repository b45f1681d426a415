"""Position over time of everybody on one track, drawn: a line each, places as levels, bands for the distance."""

from collections.abc import Iterator
from html import escape
from typing import Protocol

from millhand.cli.schedule_chart import kept_words
from millhand.solvers.cycle.positions import Leg, Line, Rail, at_m, nearest

DASHES = ("", "8 4", "2 3", "12 3 2 3", "5 2", "1 5")
EMPTY, LOADED = 1.3, 3.4  # widths of a line without and with a part
PLACE, LEAST = 17, 150  # least height between two places' words; least height of a panel
LETTER = 7.4


class Frame(Protocol):
    """Where the time axis lies on the sheet."""

    @property
    def left(self) -> float:
        """The left edge."""

    @property
    def wide(self) -> float:
        """The width."""

    @property
    def grid_s(self) -> float:
        """Seconds of a grid step."""

    def x(self, time: float) -> float:
        """Where a grid step of the period lies."""


def levels(rail: Rail) -> list[tuple[float, str]]:
    """The metres at which places lie, each with the names of those that lie there."""
    found: dict[float, list[str]] = {}
    for place, metres in rail.places:
        found.setdefault(metres, []).append(place)
    return [(metres, ", ".join(names)) for metres, names in found.items()]


def rail_height(rail: Rail) -> float:
    """How high the panel of one track is: room for the words of each place."""
    return max(LEAST, 24 + PLACE * 1.5 * len(levels(rail)))


def y_of(rail: Rail, top: float, metres: float) -> float:
    """Where a position lies: the lowest place at the bottom."""
    low, high = rail.span_m
    margin = 16
    return top + margin + (rail_height(rail) - 2 * margin) * (high - metres) / ((high - low) or 1.0)


def rail_svg(rail: Rail, frame: Frame, top: float) -> Iterator[str]:
    """The panel: its words, the levels, bands below all lines, the lines, the nearest approach."""
    yield from words_svg(rail, frame, top)
    yield from levels_svg(rail, frame, top)
    if rail.keep_m and len(rail.lines) > 1 and not rail.in_order:
        for line in rail.lines:
            yield band_svg(rail, line, frame, top)
    for number, line in enumerate(rail.lines):
        yield from line_svg(rail, (number, line), frame, top)
    yield from nearest_svg(rail, frame, top)


def words_svg(rail: Rail, frame: Frame, top: float) -> Iterator[str]:
    """What the panel shows, and which line is whose."""
    yield f'<text x="12" y="{top - 4:g}" font-weight="bold">track {escape(rail.name)}, m</text>'
    left = 40 + LETTER * len(f"track {rail.name}, m")
    for number, line in enumerate(rail.lines):
        dash = f' stroke-dasharray="{DASHES[number % len(DASHES)]}"' if DASHES[number % len(DASHES)] else ""
        yield f'<path d="M{left:.1f} {top - 8:g}h28" stroke="#000" stroke-width="2"{dash}/>'
        yield f'<text x="{left + 33:.1f}" y="{top - 4:g}">{escape(line.who)}</text>'
        left += 48 + LETTER * len(line.who)
    said = "thick: carrying, thin: empty or at rest"
    if rail.in_order and len(rail.lines) > 1:
        said += kept_words(rail).replace(",", ";", 1)
    elif rail.keep_m and len(rail.lines) > 1:
        said += f"; bands that touch would be nearer than {rail.keep_m:g} m"
    yield f'<text x="{left + 6:.1f}" y="{top - 4:g}">{said}</text>'


def levels_svg(rail: Rail, frame: Frame, top: float) -> Iterator[str]:
    """A thin level for each place, its name and metres beside it; words that would meet give way upwards."""
    last = float("inf")
    for metres, names in levels(rail):
        y = y_of(rail, top, metres)
        written = min(y + 4, last - 13)
        last = written
        yield f'<path d="M{frame.left:.2f} {y:.2f}h{frame.wide:.2f}" stroke="#aaa" stroke-width="0.6"/>'
        yield (
            f'<text x="{frame.left - 8:.1f}" y="{written:.2f}" text-anchor="end" font-size="12">'
            f"{escape(names)} {metres:g}</text>"
        )


def corners(rail: Rail, line: Line, frame: Frame, top: float) -> list[tuple[float, float]]:
    """The corners of a line on the sheet."""
    found: list[tuple[float, float]] = []
    for leg in line.legs:
        for time, metres in ((leg.start, leg.from_m), (leg.end, leg.to_m)):
            point = (frame.x(time), y_of(rail, top, metres))
            if not found or found[-1] != point:
                found.append(point)
    return found


def band_svg(rail: Rail, line: Line, frame: Frame, top: float) -> str:
    """Half of the distance to keep on each side of a line."""
    half = (y_of(rail, top, 0.0) - y_of(rail, top, rail.keep_m)) / 2
    path = corners(rail, line, frame, top)
    edge = [*((x, y - half) for x, y in path), *((x, y + half) for x, y in reversed(path))]
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in edge)
    return f'<polygon points="{points}" fill="#000" fill-opacity="0.13"/>'


def line_svg(rail: Rail, numbered: tuple[int, Line], frame: Frame, top: float) -> Iterator[str]:
    """The line of one attendant, thick while it carries something."""
    number, line = numbered
    dash = DASHES[number % len(DASHES)]
    for legs in runs(line):
        points = " ".join(
            f"{frame.x(time):.2f},{y_of(rail, top, metres):.2f}"
            for time, metres in [(legs[0].start, legs[0].from_m), *((leg.end, leg.to_m) for leg in legs)]
        )
        width = LOADED if legs[0].carries else EMPTY
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        yield f'<polyline points="{points}" fill="none" stroke="#000" stroke-width="{width}"{dashed}/>'


def runs(line: Line) -> list[list[Leg]]:
    """Legs one after the other with the same load, so that dashes run on from one to the next."""
    found: list[list[Leg]] = []
    for leg in line.legs:
        if found and found[-1][-1].carries == leg.carries:
            found[-1].append(leg)
        else:
            found.append([leg])
    return found


def nearest_svg(rail: Rail, frame: Frame, top: float) -> Iterator[str]:
    """Where two neighbours come nearest, and how near."""
    for each, (lower, upper) in zip(nearest(rail), zip(rail.lines, rail.lines[1:], strict=False), strict=True):
        x = frame.x(each.at)
        y, other = (y_of(rail, top, at_m(line, each.at)) for line in (lower, upper))
        words = f"nearest: {each.distance_m:.3g} m at {each.at * frame.grid_s:.4g} s"
        wide = LETTER * len(words)
        right = x + 8 + wide < frame.left + frame.wide
        yield f'<path d="M{x:.2f} {y:.2f}V{other:.2f}M{x - 4:.2f} {y:.2f}h8M{x - 4:.2f} {other:.2f}h8" stroke="#000"/>'
        yield (
            f'<text x="{x + 8 if right else x - 8:.2f}" y="{(y + other) / 2 + 4:.2f}" '
            f'text-anchor="{"start" if right else "end"}" font-size="12" stroke="#fff" stroke-width="3" '
            f'paint-order="stroke">{words}</text>'
        )
