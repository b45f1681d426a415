"""The charts of a report as specifications: plain dicts, every label in them rounded by the view."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from millhand.report.readings import Reading
from millhand.report.svg import CLAY, INK, LEAF, QUIET, RULE, STEEL
from millhand.report.view import tick

SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
SIGN, BETWEEN_TICKS, EDGES = 7.0, 14.0, 24.0  # px: a letter on average, least room between two labels, both edges
ROW_HEIGHT = 46
BEHIND = 22  # px: height of a stroke behind a row's line
WIDE, NARROW = 680, 340
COLOURS = {"cell": STEEL, "by hand": LEAF, "as today": QUIET}
SILENT = Reading()
NET, SUM = "net", "sum"  # the two series of a cash flow
SUM_LINE = Reading(groups=(SUM,))
TOLD = {"description": {"field": "told"}}  # what a mark says, in whatever chart
TOLD_WORDS = {"description": {"field": "told_words"}}  # words that go with the marks of their row


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeRow:
    """One row of a range chart: a line from low to high, a dot, what it is and what it says."""

    label: str
    text: str
    low: float
    high: float
    dot: float | None = None
    colour: str = STEEL
    open_end: bool = False  # the line goes on past the edge
    reading: Reading = SILENT


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Where an axis begins and ends, and its ticks, with the decimal sign of the language."""

    low: float
    high: float
    ticks: tuple[float, ...]
    decimal: str = "."

    def label(self, value: float) -> str:
        """A number at this axis.

        >>> axis([0.0, 1.0], wanted=2, decimal=",").label(0.5)
        '0,5'
        """
        return tick(value).replace(".", self.decimal)

    @property
    def spec(self) -> dict[str, Any]:
        """As the chart library takes it: our own labels, nothing formatted there."""
        labels = ",".join(f"'{number(each)}':'{self.label(each)}'" for each in self.ticks)
        return {
            "values": list(self.ticks),
            "labelExpr": f"({{{labels}}})['' + datum.value]",
            "labelFlush": True,
            "labelSeparation": 6,
        }

    def at(self, width: int) -> "Axis":
        """The same with as few ticks as find room beside each other in so many px; nought stays, where it is one.

        >>> axis([0.0, 29.0], wanted=4).at(600).ticks, axis([0.0, 29000.0], wanted=4).at(180).ticks
        ((0.0, 10.0, 20.0, 30.0), (0.0, 20000.0))
        """
        label = SIGN * max(len(self.label(each)) for each in self.ticks)
        widest = 1.5 * label + BETWEEN_TICKS  # the outermost one stands within the edge, half of it nearer to the next
        step = max(1, math.ceil(widest * (len(self.ticks) - 1) / (width - EDGES)))
        first = self.ticks.index(0.0) % step if 0.0 in self.ticks else 0
        return replace(self, ticks=self.ticks[first::step])


def number(value: float) -> str:
    """A tick as the chart library's own language writes it."""
    return str(int(value)) if value == int(value) else repr(value)


def axis(values: Sequence[float], *, wanted: int, decimal: str = ".") -> Axis:
    """An axis over all values with about so many round ticks (1, 2, 2.5 or 5 times a power of ten).

    >>> axis([0.0, 29.0], wanted=4).ticks
    (0.0, 10.0, 20.0, 30.0)
    """
    low, high = min(values), max(values)
    span = (high - low) or abs(high) or 1.0
    power = 10.0 ** math.floor(math.log10(span / wanted))
    step = min((power * factor for factor in (1.0, 2.0, 2.5, 5.0, 10.0)), key=lambda each: abs(span / each - wanted))
    first, last = math.floor(low / step), math.ceil(high / step)
    ticks = tuple(float(f"{step * index:.12g}") for index in range(first, last + 1))
    return Axis(low=ticks[0], high=ticks[-1], ticks=ticks, decimal=decimal)


def range_chart(
    rows: Sequence[RangeRow], scale: Axis, *, title: str, marks: Sequence[float], width: int, named: str = ""
) -> dict[str, Any]:
    """Rows of ranges with their words above each line; `marks` are values that all rows are held against, `named` is
    what they are called above all rows. Neither a line of the grid nor a mark goes on through the words."""
    values = [
        {
            "row": index, "label": row.label, "text": row.text, "low": row.low, "high": row.high, "colour": row.colour,
            **({} if row.dot is None else {"dot": row.dot}), "open": row.open_end, **told(row.reading),
        }
        for index, row in enumerate(rows)
    ]  # fmt: skip
    row = {
        "field": "row",
        "type": "nominal",
        "axis": None,
        "sort": None,
        "scale": {"paddingInner": 0, "paddingOuter": 0},
    }
    x = {
        "type": "quantitative", "scale": {"domain": [scale.low, scale.high], "nice": False},
        "axis": {**scale.at(width).spec, "grid": False}, "title": title,
    }  # fmt: skip
    colour = {"field": "colour", "type": "nominal", "scale": None}
    dot = {"type": "point", "filled": True, "size": 90, "opacity": 1, "yOffset": 8}
    return {
        "$schema": SCHEMA,
        "width": width,
        "height": {"step": ROW_HEIGHT},
        "autosize": {"type": "fit-x", "contains": "padding"},
        "data": {"values": values},
        "layer": [
            strokes(row, len(rows), scale.ticks, {"color": RULE, "thickness": 1}),
            strokes(row, len(rows), marks, {"color": CLAY, "thickness": 1.6}),
            {"mark": {"type": "rule", "strokeWidth": 5, "opacity": 0.55, "strokeCap": "butt", "yOffset": 8},
             "encoding": {"x": {"field": "low", **x}, "x2": {"field": "high"}, "y": row, "color": colour, **TOLD}},
            {"mark": dot,
             "transform": [{"filter": "isValid(datum.dot)"}],
             "encoding": {"x": {"field": "dot", "type": "quantitative"}, "y": row, "color": colour, **TOLD}},
            {"mark": {**dot, "shape": "triangle-right"},
             "transform": [{"filter": "datum.open"}],
             "encoding": {"x": {"field": "high", "type": "quantitative"}, "y": row, "color": colour, **TOLD}},
            words(row, "label", {"align": "left", "limit": label_limit([each.text for each in rows], width)}, 0),
            words(row, "text", {"align": "right"}, "width"),
            *([above(marks, named)] if named else []),
        ],
    }  # fmt: skip


def label_limit(figures: Sequence[str], width: int) -> int:
    """How long the words on the left may be [px], so that they end before the longest figures on the right."""
    longest = max(map(len, figures), default=0)
    return round(0.9 * min(width - 144.0, width - EDGES - BETWEEN_TICKS - SIGN * longest))


def told(reading: Reading) -> dict[str, str]:
    """What the marks of a row say, and which switch its words go with."""
    return {"told": reading.described, "told_words": Reading(groups=reading.groups).described}


def strokes(row: dict[str, Any], rows: int, values: Sequence[float], mark: dict[str, Any]) -> dict[str, Any]:
    """Values that all rows are held against, as a stroke behind the line of each row, below its words."""
    return {
        "data": {"values": [{"row": index, "at": each} for index in range(rows) for each in values]},
        "mark": {"type": "tick", "orient": "vertical", "size": BEHIND, "yOffset": 10, "opacity": 1, **mark},
        "encoding": {"x": {"field": "at", "type": "quantitative"}, "y": row},
    }


def above(values: Sequence[float], named: str) -> dict[str, Any]:
    """What values are called that all rows are held against, above the first row."""
    return {
        "data": {"values": [{"at": each, "named": named} for each in values]},
        "mark": {"type": "text", "baseline": "bottom", "dy": -3, "color": INK},
        "encoding": {"x": {"field": "at", "type": "quantitative"}, "y": {"value": 0}, "text": {"field": "named"}},
    }


def words(row: dict[str, Any], field: str, mark: dict[str, Any], at: int | str) -> dict[str, Any]:
    """A row's words above its line."""
    return {
        "mark": {"type": "text", "baseline": "middle", "dy": -9, "color": INK, **mark},
        "encoding": {"x": {"value": at}, "y": row, "text": {"field": field}, **TOLD_WORDS},
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the bar and the point of one year say."""

    net: Reading = SILENT
    total: Reading = SILENT


def cash_chart(
    net: Sequence[float],
    total: Sequence[float],
    *,
    title: str,
    width: int,
    says: Sequence[Told] = (),
    decimal: str = ".",
) -> dict[str, Any]:
    """Bars of each year's flow and the line of what has added up, over the years from 0."""
    scale = axis([0.0, *net, *total], wanted=5, decimal=decimal)
    says = says or [Told()] * len(net)
    values = [
        {"year": year, "net": flow, "total": added, "told": each.net.described, "told_total": each.total.described}
        for year, (flow, added, each) in enumerate(zip(net, total, says, strict=True))
    ]
    labels = Axis(low=0, high=len(net) - 1, ticks=tuple(float(year) for year in range(len(net))))
    plain = {"labelAngle": 0, "labelExpr": labels.spec["labelExpr"], "domain": False, "ticks": False, "labelPadding": 7}
    year = {"field": "year", "type": "ordinal", "title": title, "axis": plain}
    amount = {"type": "quantitative", "title": None, "axis": {**scale.spec, "labelOverlap": False, "labelFlush": False},
              "scale": {"domain": [scale.low, scale.high], "nice": False}}  # fmt: skip
    return {
        "$schema": SCHEMA,
        "width": width,
        "height": 230,
        "padding": {"left": 22, "top": 4, "right": 12, "bottom": 4},  # the viewer's letters may be wider than ours
        "autosize": {"type": "fit-x", "contains": "padding"},
        "data": {"values": values},
        "layer": [
            {"mark": {"type": "bar", "color": STEEL, "opacity": 0.6, "width": {"band": 0.55}},
             "encoding": {"x": year, "y": {"field": "net", **amount}, **TOLD}},
            {"mark": {"type": "rule", "color": QUIET}, "encoding": {"y": {"datum": 0}}},
            {"mark": {"type": "line", "color": CLAY, "strokeWidth": 2.2, "description": SUM_LINE.described},
             "encoding": {"x": year, "y": {"field": "total", **amount}}},
            {"mark": {"type": "point", "color": CLAY, "size": 45, "filled": True, "opacity": 1},
             "encoding": {"x": year, "y": {"field": "total", **amount}, "description": {"field": "told_total"}}},
        ],
    }  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One way in the plane of two aims; `beaten`: another one beats it in everything. `late`: the end of its line."""

    sign: str
    x: float
    y: float
    beaten: bool
    late: float | None = None
    reading: Reading = SILENT
    late_reading: Reading = SILENT


def dot_chart(dots: Sequence[Dot], across: Axis, up: Axis, *, titles: tuple[str, str], width: int) -> dict[str, Any]:
    """Points with their signs: filled ones that nothing beats, open ones that something does; lines to the late end."""
    values = [
        {"sign": each.sign, "x": each.x, "y": each.y, "late": each.late, "beaten": each.beaten, **told(each.reading),
         "told_late": each.late_reading.described}
        for each in dots
    ]  # fmt: skip
    x = {"field": "x", "type": "quantitative", "title": titles[0], "axis": across.at(width).spec,
         "scale": {"domain": [across.low, across.high], "nice": False}}  # fmt: skip
    y = {"field": "y", "type": "quantitative", "title": titles[1], "axis": {**up.spec, "labelFlush": False},
         "scale": {"domain": [up.low, up.high], "nice": False}}  # fmt: skip
    point = {"type": "point", "size": 80, "opacity": 1, "strokeWidth": 1.6}
    return {
        "$schema": SCHEMA,
        "width": width,
        "height": 300,
        "autosize": {"type": "fit-x", "contains": "padding"},
        "data": {"values": values},
        "layer": [
            {"mark": {"type": "rule", "color": QUIET, "strokeWidth": 1},
             "transform": [{"filter": "isValid(datum.late)"}],
             "encoding": {"x": x, "y": y, "y2": {"field": "late"}, "description": {"field": "told_late"}}},
            {"mark": {**point, "filled": True, "color": STEEL}, "transform": [{"filter": "!datum.beaten"}],
             "encoding": {"x": x, "y": y, **TOLD}},
            {"mark": {**point, "filled": False, "stroke": QUIET, "shape": "square"},
             "transform": [{"filter": "datum.beaten"}], "encoding": {"x": x, "y": y, **TOLD}},
            {"mark": {"type": "text", "align": "left", "dx": 8, "dy": 5, "color": INK},
             "encoding": {"x": x, "y": y, "text": {"field": "sign"}, **TOLD_WORDS}},
        ],
    }  # fmt: skip
