"""The spread of manual work: the fitted distributions of timed elements, put together for one load."""

from collections.abc import Sequence
from dataclasses import replace
from math import fsum

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.part import ManualElement
from millhand.model.slots import times
from millhand.model.span import Span
from millhand.solvers.sampling.span_draw import span_value
from millhand.stages.cells.shared import Draft

STEPS = 100  # equally likely values that a sum of elements is kept in


def work_span(draft: Draft, pointer: str, fact: Fact, values: Sequence[float], share: float = 1.0) -> Span:
    """A span whose mean is `share` of a fact: constant where nothing was timed, else spread as these values are."""
    if not values or fact.value * share == 0.0:
        return draft.seconds(pointer, fact, share)
    draft.note(pointer, fact, share)
    spread = times(Span(dist="empirical", mean_s=_mean(values), values_s=tuple(values)), 1.0 / _mean(values), ())
    found: Span = times(spread, fact.value * share, ())
    return replace(found, mean_s=_mean(found.values_s or ()))  # as a reader works it out, to the last digit


def load_values(inquiry: Inquiry, side: str, *, at: Sequence[str]) -> tuple[float, ...]:
    """Equally likely times of all elements of one side over a load at each operation [s]; none where nothing was timed.

    Elements vary independently of each other. What is done at each n-th load is spread evenly over the loads, in its
    spread as in its mean. What was not timed stands at its middle.
    """
    elements = [
        element
        for name in at
        for element in inquiry.today.elements
        if element.side.value == side and element.operation in (None, name)
    ]
    still = fsum(_factor(each, inquiry) * each.time_s.value for each in elements if each.readings is None)
    timed = [each for each in elements if each.readings is not None]
    values: tuple[float, ...] = (still,) if timed else ()
    for element in timed:
        values = _added(values, _element_values(element, _factor(element, inquiry)))
    return values


def with_bound(values: Sequence[float], exchange_s: float, bound_s: float) -> tuple[float, ...]:
    """The same spread of the work in an exchange, and so much beside it that does not spread."""
    if not values or exchange_s <= bound_s:
        return ()
    scale = (exchange_s - bound_s) / _mean(values)
    return tuple(value * scale + bound_s for value in values)


def _factor(element: ManualElement, inquiry: Inquiry) -> float:
    """From the normal time of an element to its part in one load."""
    return (1.0 + (element.allowance or inquiry.people.allowance).value) / element.every_n.value


def _element_values(element: ManualElement, factor: float) -> tuple[float, ...]:
    """Equally likely times of one element in a load, from the distribution fitted to its readings."""
    assert element.readings is not None
    fit = element.readings.fit
    drawn = [span_value(fit, (step + 0.5) / STEPS) for step in range(STEPS)]
    scale = element.time_s.value * factor / _mean(drawn)
    return tuple(value * scale for value in drawn)


def _added(some: Sequence[float], more: Sequence[float]) -> tuple[float, ...]:
    """Every sum of one value of each, as the means of equal heaps: the mean of all stays what it is."""
    sums = sorted(a + b for a in some for b in more)
    heap = len(sums) // STEPS
    return tuple(_mean(sums[step * heap : (step + 1) * heap]) for step in range(STEPS))


def _mean(values: Sequence[float]) -> float:
    """The plain mean."""
    return fsum(values) / len(values)
