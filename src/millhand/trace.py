"""The study's one flat map of facts, and the only way to put a computed number into it."""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from millhand.errors import ToolError
from millhand.formulas import REGISTER
from millhand.model.fact import Choice, Fact


class Sheet:
    """Append-only: a fact once written stays. Stages read facts from it and write computed ones into it."""

    def __init__(self, facts: Iterable[Fact | Choice] = ()) -> None:
        self._facts: dict[str, Fact] = {}
        self._choices: dict[str, Choice] = {}
        for fact in facts:
            self.add(fact)

    def add(self, fact: Fact | Choice) -> None:
        """Write one fact or word; the same again is nothing new, a different one under a used id is our own error."""
        kept: Mapping[str, Fact | Choice] = self._facts if isinstance(fact, Fact) else self._choices
        if kept.get(fact.id, fact) != fact:
            raise ToolError(f"two different facts under the id {fact.id}", code="fact_twice")
        if isinstance(fact, Fact):
            if not math.isfinite(fact.value):
                raise ToolError(f"the fact {fact.id} came out as {fact.value}", code="fact_not_finite")
            self._facts[fact.id] = fact
        else:
            self._choices[fact.id] = fact

    def extend(self, facts: Iterable[Fact | Choice]) -> None:
        """Write several."""
        for fact in facts:
            self.add(fact)

    def __getitem__(self, fact_id: str) -> Fact:
        return self._facts[fact_id]

    def __contains__(self, fact_id: str) -> bool:
        return fact_id in self._facts

    def __iter__(self) -> Iterator[Fact]:
        return iter(tuple(self._facts.values()))

    def value(self, fact_id: str) -> float:
        """The number of one fact."""
        return self._facts[fact_id].value

    @property
    def facts(self) -> Mapping[str, Fact]:
        """All numbers so far, by id, in the order they were written."""
        return dict(self._facts)

    @property
    def choices(self) -> Mapping[str, Choice]:
        """All words so far, by id."""
        return dict(self._choices)


def apply(sheet: Sheet, name: str, fact_id: str, /, **inputs: Fact) -> Fact:
    """The registered formula `name` of these facts, written into the sheet under `fact_id` with its range.

    The range is the root of the summed squares of what each input alone moves the result from its P10 to its P90,
    taken downwards and upwards apart: right for independent inputs and a formula that is nearly straight in between.
    """
    formula = REGISTER[name]
    values = {key: fact.value for key, fact in inputs.items()}
    value = float(formula.function(**values))
    low, high = _range(formula.function, inputs, values, value)
    fact = Fact(
        id=fact_id, value=value, unit=formula.unit, basis="computed", source=formula.source, low=low, high=high,
        shape="triangular" if low is not None else "point", formula=name,
        inputs=tuple(fact.id for fact in inputs.values()), outside=formula.outside(values),
    )  # fmt: skip
    sheet.add(fact)
    return fact


def _range(
    function: Callable[..., Any], inputs: Mapping[str, Fact], values: Mapping[str, float], middle: float
) -> tuple[float | None, float | None]:
    """P10 and P90 of the result from those of the inputs; None, None where every input is exact."""
    below = above = 0.0
    ranged = False
    for key, fact in inputs.items():
        if fact.low is None or fact.high is None:
            continue
        ranged = True
        ends = [float(function(**{**values, key: end})) - middle for end in (fact.low, fact.high)]
        below += min(0.0, *ends) ** 2
        above += max(0.0, *ends) ** 2
    return (middle - math.sqrt(below), middle + math.sqrt(above)) if ranged else (None, None)


def found(sheet: Sheet, fact: Fact) -> Fact:
    """Write a solver's result (basis computed, source naming its cell) or a concept's own assumption; give it back."""
    sheet.add(fact)
    return fact
