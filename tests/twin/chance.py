"""Draws of one replication."""

import math

from millhand.solvers.sampling.span_draw import EXPONENTIAL, quantile
from millhand.solvers.sampling.streams import stream_key, uniform
from tests.twin.state import Run


def next_uniform(k: Run, stream: int, now: int) -> float:
    """The next number of a stream; it begins anew each day, so that two cells drift apart for a day at most."""
    chance = k.chance
    day = now // k.c.size.day
    if day != chance.day[stream]:
        chance.day[stream] = day
        chance.count[stream] = 0
        chance.key[stream] = stream_key(
            seed=chance.seed, source=k.c.spans.streams[stream], replication=chance.replication, day=day
        )
    count = chance.count[stream]
    chance.count[stream] = count + 1
    return uniform(chance.key[stream], count)


def drawn_steps(k: Run, span: int, now: int) -> int:
    """One duration in whole grid steps, halves up."""
    spans = k.c.spans
    fixed = spans.fixed[span]
    if fixed >= 0:
        return fixed
    u = next_uniform(k, spans.stream[span], now)
    if spans.dist[span] == EXPONENTIAL:
        return math.floor(-spans.a[span] * math.log(u) * spans.scale[span] + 0.5)
    values = spans.value[spans.value_from[span] : spans.value_to[span]]
    drawn = quantile(spans.dist[span], (spans.a[span], spans.b[span], spans.c[span]), values, u)
    return math.floor(drawn * spans.scale[span] + 0.5)
