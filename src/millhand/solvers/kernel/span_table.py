"""Spans and streams, gathered while a cell is compiled."""

from dataclasses import dataclass, field

from millhand.model.span import Span
from millhand.solvers.kernel.layout import Spans
from millhand.solvers.sampling.span_draw import CODES, CONSTANT, half_up, span_parameters


@dataclass(slots=True, kw_only=True)
class SpanTable:
    """Grows by one entry for each use of a duration."""

    steps_per_s: float
    rows: list[tuple[int, int, float, float, float, float, int, int, int]] = field(default_factory=list)
    values: list[float] = field(default_factory=list)
    streams: list[int] = field(default_factory=list)
    stream_of: dict[int, int] = field(default_factory=dict)

    def stream(self, source: int) -> int:
        """The place of a source's counter."""
        if source not in self.stream_of:
            self.stream_of[source] = len(self.streams)
            self.streams.append(source)
        return self.stream_of[source]

    def add(self, span: Span, source: int, *, pace: float = 1.0, counts: bool = False) -> int:
        """The number of a new entry; `counts` for a span that counts loads and not seconds."""
        scale = (1.0 if counts else self.steps_per_s) * pace
        a, b, c = span_parameters(span)
        constant = span.dist == "constant" or _is_constant(span)
        fixed = half_up(span.mean_s * scale) if constant else -1
        start = len(self.values)
        self.values += sorted(span.values_s or ())
        stream = -1 if constant else self.stream(source)
        code = CONSTANT if constant else CODES[span.dist]
        self.rows.append((fixed, code, a, b, c, scale, stream, start, len(self.values)))
        return len(self.rows) - 1

    def steps(self, seconds: float) -> int:
        """A duration in whole grid steps, halves up."""
        return half_up(seconds * self.steps_per_s)

    def table(self) -> Spans:
        """All entries as columns."""
        fixed, dist, a, b, c, scale, stream, start, end = zip(*self.rows, strict=True) if self.rows else ((),) * 9
        return Spans(
            fixed=fixed,
            dist=dist,
            a=a,
            b=b,
            c=c,
            scale=scale,
            stream=stream,
            value_from=start,
            value_to=end,
            value=tuple(self.values),
            streams=tuple(self.streams),
        )


def _is_constant(span: Span) -> bool:
    """True where a distribution has no spread and so needs no draw."""
    if span.mean_s == 0:
        return True
    return (span.dist == "lognormal" and span.cv == 0) or (
        span.dist in ("uniform", "triangular") and span.low_s == span.high_s
    )
