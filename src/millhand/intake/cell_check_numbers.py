"""Numbers of a cell: finite, within the limits of their fields, spans with the parameters of their distribution."""

import math
from collections.abc import Callable, Iterator, Mapping

from millhand.errors import InputError
from millhand.intake.cell_fields import beyond, limit_words
from millhand.model.cell import CELL_FORMAT, Cell
from millhand.model.slots import path_of, slots, value_at
from millhand.model.span import Span

FINEST_S, COARSEST_S = 1e-6, 60.0
MOST_STEPS = 2**53  # whole numbers that a float holds exactly
# Distribution: the parameters it has besides mean_s.
PARAMETERS: Mapping[str, tuple[str, ...]] = {
    "constant": (),
    "exponential": (),
    "lognormal": ("cv",),
    "weibull": ("shape",),
    "triangular": ("low_s", "mode_s", "high_s"),
    "uniform": ("low_s", "high_s"),
    "empirical": ("values_s",),
    "geometric": (),
}
ALL = ("cv", "shape", "low_s", "mode_s", "high_s", "values_s")
MEANS: Mapping[str, Callable[[Span], float]] = {
    "triangular": lambda span: ((span.low_s or 0.0) + (span.mode_s or 0.0) + (span.high_s or 0.0)) / 3,
    "uniform": lambda span: ((span.low_s or 0.0) + (span.high_s or 0.0)) / 2,
    "empirical": lambda span: math.fsum(span.values_s or ()) / max(1, len(span.values_s or ())),
}


def top(cell: Cell) -> Iterator[InputError]:
    """The format is this one, and the grid neither too fine nor too coarse."""
    if cell.format != CELL_FORMAT:
        yield InputError("/format", cell.format, CELL_FORMAT, "unknown_format")
    if not FINEST_S <= cell.grid_s <= COARSEST_S:
        write = "a grid from 0.000001 s to 60 s; 0.001 s is usual"
        yield InputError("/grid_s", f"{cell.grid_s:g}", write, "grid")
        return
    longest_s = max(duration_s(slot.value) for slot in slots(cell))
    if longest_s / cell.grid_s > MOST_STEPS:
        write = f"a coarser grid; {longest_s:g} s would be more steps than are counted exactly"
        yield InputError("/grid_s", f"{cell.grid_s:g}", write, "grid_too_fine")


def duration_s(value: float | Span) -> float:
    """The number of a slot, or the mean of its span; 0 where it is no number, which is told elsewhere."""
    number = value.mean_s if isinstance(value, Span) else value
    return number if math.isfinite(number) else 0.0


def numbers(cell: Cell) -> Iterator[InputError]:
    """Every number is finite and within the limits of its field."""
    for slot in slots(cell):
        own = slot.value if isinstance(slot.value, int | float) else slot.value.mean_s
        if not math.isfinite(own):
            yield InputError(slot.at, str(own), "a number; NaN and Infinity are none", "not_finite")
        elif isinstance(slot.value, int | float) and any(beyond(limit, own) for limit in slot.limits):
            yield InputError(slot.at, f"{own:g}", f"a number{limit_words(slot.limits)}", "outside_limits")
        elif isinstance(slot.value, Span) and own < 0:
            yield InputError(slot.at, f"{own:g}", "a number of seconds of at least 0", "outside_limits")


def spans(cell: Cell) -> Iterator[InputError]:
    """Every span has the parameters of its distribution, in order, and a mean that follows from them."""
    for slot in slots(cell):
        if isinstance(slot.value, Span):
            errors = list(parameters(slot.at, slot.value))
            yield from errors or shape(slot.at, slot.value, cell.grid_s)


def parameters(at: str, span: Span) -> Iterator[InputError]:
    """All parameters of the distribution, and none of another."""
    own = PARAMETERS[span.dist]
    for name in ALL:
        given = getattr(span, name) is not None
        if name in own and not given:
            yield InputError(f"{at}/{name}", "nothing", f"{name!r}; {span.dist} needs it", "span_missing")
        if given and name not in own:
            has = f"only mean_s and {', '.join(own)}" if own else "only mean_s"
            yield InputError(f"{at}/{name}", name, f"no {name!r}; {span.dist} has {has}", "span_extra")


def shape(at: str, span: Span, grid_s: float) -> Iterator[InputError]:
    """The parameters against one another."""
    if span.dist in ("exponential", "lognormal", "weibull") and span.mean_s == 0:
        yield InputError(f"{at}/mean_s", "0", f"a mean above 0; {span.dist} needs one", "span_zero")
    if span.dist == "geometric" and span.mean_s < 1:
        yield InputError(f"{at}/mean_s", f"{span.mean_s:g}", "a mean of at least 1; it counts tries", "span_geometric")
    if span.dist == "empirical" and not span.values_s:
        yield InputError(f"{at}/values_s", "an empty list", "at least one value", "span_empty")
        return
    edges = [value for value in (span.low_s, span.mode_s, span.high_s) if value is not None]
    if edges != sorted(edges) or (edges and edges[0] == edges[-1]):
        read = ", ".join(f"{edge:g}" for edge in edges)
        yield InputError(at, read, f"{', '.join(PARAMETERS[span.dist])} in rising order", "span_order")
        return
    mean = MEANS[span.dist](span) if span.dist in MEANS else span.mean_s
    if abs(mean - span.mean_s) > grid_s / 2 + 1e-9 * mean:
        write = f"{mean:.6g}, which follows from the other parameters"
        yield InputError(f"{at}/mean_s", f"{span.mean_s:g}", write, "span_mean")


def origins(cell: Cell) -> Iterator[InputError]:
    """Every origin points at a number or a span, and names a fact."""
    for aim, origin in cell.origins.items():
        at = "/origins/" + aim.replace("~", "~0").replace("/", "~1")
        if not math.isfinite(origin.factor) or origin.factor == 0:
            yield InputError(f"{at}/factor", f"{origin.factor:g}", "a factor other than 0", "origin_factor")
        try:
            path = path_of(cell, aim)
            value, owner = value_at(cell, path), value_at(cell, path[:-1])
        except LookupError:
            yield InputError(at, aim, "the JSON pointer of a number in this cell", "origin_nowhere")
            continue
        if isinstance(value, bool) or not isinstance(value, int | float | Span):
            yield InputError(at, aim, "the pointer of a number, not of what stands around it", "origin_no_number")
        elif (isinstance(owner, Span) and owner.dist in MEANS) or (isinstance(owner, tuple) and "values_s" in aim):
            write = "the pointer of the whole span, whose numbers scale together"
            yield InputError(at, aim, write, "origin_in_span")
