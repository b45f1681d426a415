"""Each concept's parts an hour three ways in one picture: load bound, best cycle of the means, and simulated."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from millhand.model.fact import Fact
from millhand.model.study import Result, Study
from millhand.report.charts import COLOURS, ROW_HEIGHT, SCHEMA, Axis, axis, label_limit, words
from millhand.report.comparison import Row, in_sight, living, opening, result_of
from millhand.report.marks import Marks
from millhand.report.pictures import Picture, Speech, picture
from millhand.report.readings import Reading, Switch
from millhand.report.svg import CLAY, INK
from millhand.report.view import bare

ROUND = 1e-9  # figures of one hand differ by rounding only
BOUND, CYCLE, SIMULATED, LOW = "bound", "cycle", "simulated", "low"
OWN: dict[str, Any] = {"color": {"field": "colour", "type": "nominal", "scale": None}}
MARKS: tuple[tuple[dict[str, Any], str, dict[str, Any]], ...] = (
    ({"type": "rule", "strokeWidth": 6, "opacity": 0.45, "strokeCap": "butt"}, LOW, {"x2": {"field": "high"}, **OWN}),
    ({"type": "tick", "size": 20, "thickness": 2.6, "color": INK}, BOUND, {}),
    ({"type": "point", "shape": "diamond", "filled": False, "size": 110, "strokeWidth": 1.8, "color": CLAY}, CYCLE, {}),
    ({"type": "point", "filled": True, "size": 60}, SIMULATED, OWN),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """One concept's three figures as facts, and the simulated one's 95 % interval; None where one does not exist."""

    row: Row
    bound: Fact
    cycle: Fact | None
    simulated: Fact | None
    low: float | None
    high: float | None

    @property
    def above_cycle(self) -> bool:
        """Whether the whole interval of the simulation lies above the best cycle of the means."""
        return self.cycle is not None and self.low is not None and self.low > self.cycle.value

    @property
    def within_bound(self) -> bool:
        """Whether the load bound is not below the simulated rate, within its interval."""
        return self.low is None or self.low <= self.bound.value * (1 + ROUND)

    @property
    def known(self) -> tuple[float, ...]:
        """All figures of the row, for the axis."""
        facts = (self.bound, self.cycle, self.simulated)
        ends = tuple(each for each in (self.low, self.high) if each is not None)
        return (*(fact.value for fact in facts if fact is not None), *ends)


def rates(study: Study, marks: Marks) -> tuple[Rates, ...]:
    """The figures of the concepts in sight that have an output, by place."""
    shown = in_sight(study)
    return tuple(
        rates_of(row, result, marks)
        for row in living(study)
        if row.concept in shown
        and (result := result_of(study, row.concept)) is not None
        and result.performance is not None
    )


def rates_of(row: Row, result: Result, marks: Marks) -> Rates:
    """The figures of one concept."""
    performance = result.performance
    assert performance is not None
    name = f"concepts.{row.concept}.performance.simulated_parts_per_h"
    simulated = marks.facts.get(name) if performance.output is not None else None
    low, high = interval(result, simulated)
    cycle = None if performance.cycle_per_h is None else marks.fact(performance.cycle_per_h)
    return Rates(
        row=row, bound=marks.fact(performance.bound_per_h), cycle=cycle, simulated=simulated, low=low, high=high
    )


def interval(result: Result, simulated: Fact | None) -> tuple[float | None, float | None]:
    """The 95 % interval of the parts that the simulation counted, on the scale of the simulated figure."""
    output = None if result.performance is None else result.performance.output
    if output is None or simulated is None:
        return None, None
    by_hand = result.concept.kind != "cell"
    counted = output.parts_per_h if by_hand or "attended" not in output.counts else output.counts["attended"]
    if counted.mean <= 0.0:
        return simulated.value, simulated.value
    return simulated.value * counted.low / counted.mean, simulated.value * counted.high / counted.mean


def rate_picture(found: Sequence[Rates], marks: Marks) -> Picture | None:
    """All concepts on one axis, which begins where their figures do: they lie too close together to be told from
    nought."""
    if not found:
        return None
    scale = axis([value for each in found for value in each.known], wanted=5, decimal=marks.tongue.decimal)
    facts = [fact.id for each in found for fact in (each.bound, each.cycle, each.simulated) if fact is not None]
    rows = [values_of(index, each, marks) for index, each in enumerate(found)]
    readings = [reading for each in found for reading in readings_of(each, marks).values()]
    there = {name for each in readings for name in each.groups}
    switches = tuple(
        Switch(group=name, words=marks.told(f"chart.{name}")) for name in (BOUND, CYCLE, SIMULATED) if name in there
    )
    speech = Speech(readings=readings, switches=switches)
    title = marks.told("axis.rates")

    def spec(width: int) -> dict[str, Any]:
        return rate_chart(rows, scale, title=title, width=width)

    return picture("rates", title, spec, marks.ids(facts), speech)


def readings_of(each: Rates, marks: Marks) -> dict[str, Reading]:
    """What each mark of a row says, by its field."""
    found = {}
    for name, fact in ((BOUND, each.bound), (CYCLE, each.cycle), (SIMULATED, each.simulated)):
        if fact is not None:
            slots = {
                "title": marks.term(opening(each.row.title)), "series": marks.told(f"chart.{name}"),
                "figure": marks.figure_text(fact, "per_hour"),
            }  # fmt: skip
            found[name] = Reading(words=marks.told("chart.rate", slots), groups=(name,))
    return found


def rate_chart(rows: Sequence[dict[str, Any]], scale: Axis, *, title: str, width: int) -> dict[str, Any]:
    """Rows with three marks that differ in shape: an upright line, a diamond, a dot on its interval."""
    row = {
        "field": "row", "type": "nominal", "axis": None, "sort": None,
        "scale": {"paddingInner": 0, "paddingOuter": 0},
    }  # fmt: skip
    x = {
        "type": "quantitative", "scale": {"domain": [scale.low, scale.high], "nice": False},
        "axis": scale.at(width).spec, "title": title,
    }  # fmt: skip
    return {
        "$schema": SCHEMA,
        "width": width,
        "height": {"step": ROW_HEIGHT},
        "autosize": {"type": "fit-x", "contains": "padding"},
        "data": {"values": list(rows)},
        "layer": [
            *(
                layer(mark, field, {"x": {"field": field, **x}, "y": row, **more, **says(field)})
                for mark, field, more in MARKS
            ),
            words(row, "label", {"align": "left", "limit": label_limit([each["text"] for each in rows], width)}, 0),
            words(row, "text", {"align": "right"}, "width"),
        ],
    }


def says(field: str) -> dict[str, Any]:
    """Which field of a row says what the marks of another field mean; the interval says what its dot does."""
    return {"description": {"field": f"{SIMULATED if field == LOW else field}_told"}}


def layer(mark: dict[str, Any], field: str, encoding: dict[str, Any]) -> dict[str, Any]:
    """The marks of one field, where a row has it."""
    return {
        "mark": {"yOffset": 8, "opacity": 1, **mark},
        "transform": [{"filter": f"isValid(datum.{field})"}],
        "encoding": encoding,
    }


def values_of(index: int, each: Rates, marks: Marks) -> dict[str, Any]:
    """One row's marks and words; a mark that does not exist is left away."""
    places = {
        BOUND: each.bound.value,
        CYCLE: None if each.cycle is None else each.cycle.value,
        SIMULATED: None if each.simulated is None else each.simulated.value,
        LOW: each.low,
        "high": each.high,
    }
    facts = (each.bound, each.cycle, each.simulated)
    shown = [marks.tongue.figure(bare(fact, "per_hour")) if fact else "–" for fact in facts]
    return {
        "row": index, "label": marks.term(opening(each.row.title)), "text": " / ".join(shown), "told_words": "",
        "colour": COLOURS[each.row.kind], **{name: value for name, value in places.items() if value is not None},
        **{f"{name}_told": reading.described for name, reading in readings_of(each, marks).items()},
    }  # fmt: skip


def above_bound(found: Sequence[Rates]) -> tuple[str, ...]:
    """Titles of the concepts whose simulation makes more than their load bound allows, which cannot be."""
    return tuple(each.row.title for each in found if not each.within_bound)


def above_cycle(found: Sequence[Rates]) -> tuple[str, ...]:
    """Titles of the concepts that the simulation makes more of than their best cycle of the means."""
    return tuple(each.row.title for each in found if each.above_cycle)
