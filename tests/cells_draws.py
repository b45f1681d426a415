"""What random cells are made of: seconds, spans of time and duties."""

from typing import Any

from hypothesis import strategies as st

Data = dict[str, Any]
Draw = st.DrawFn


def seconds(draw: Draw, low: int = 0, high: int = 90) -> float:
    """A duration in whole hundredths."""
    return draw(st.integers(low * 100, high * 100)) / 100


def span(draw: Draw, chosen: frozenset[str], low: int = 1, high: int = 90) -> Any:
    """A number of seconds, or a distribution of them."""
    mean = seconds(draw, low, high)
    if "spans" not in chosen or mean == 0:  # a distribution has a mean above 0
        return mean
    edges = sorted(draw(st.lists(st.integers(0, 500), min_size=3, max_size=3, unique=True)))
    forms: list[Any] = [
        mean,
        {"dist": "exponential", "mean_s": mean},
        {"dist": "lognormal", "mean_s": mean, "cv": draw(st.sampled_from([0.2, 0.5, 1]))},
        {"dist": "weibull", "mean_s": mean, "shape": draw(st.sampled_from([0.8, 2]))},
        {"dist": "uniform", "low_s": edges[0], "high_s": edges[2], "mean_s": (edges[0] + edges[2]) / 2},
        dict(zip(("low_s", "mode_s", "high_s"), edges, strict=True), dist="triangular", mean_s=sum(edges) / 3),
        {"dist": "empirical", "values_s": [1.5, 2.5, mean], "mean_s": (4 + mean) / 3},
    ]
    return draw(st.sampled_from(forms))


def mean_s(time: Any) -> float:
    """The mean of a time as a file writes it: a number, a distribution, or one a station."""
    if not isinstance(time, dict):
        return float(time)
    return float(time["mean_s"]) if "mean_s" in time else max(mean_s(each) for each in time.values())


def duty(draw: Draw, cell: Data, chosen: frozenset[str], trigger: Data, **more: Any) -> Data:
    """One duty of whoever is there: of helpers where there are any, and then of the first attendant perhaps as well."""
    helpers = [name for name in ("helper", "mate") if name in cell["attendants"]]
    if "priorities" in chosen and helpers and "rails" not in chosen and draw(st.booleans()):
        helpers.append("first")
    found: Data = {"trigger": trigger, "who": helpers or ["first"], "priority": draw(st.integers(1, 4)), **more}
    found["takes"] = span(draw, chosen, 10, 600)
    if draw(st.booleans()):
        found["response_s"] = span(draw, chosen, 0, 60)
    return found
