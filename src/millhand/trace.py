"""The study's one flat map of facts, and the only way to put a computed number into it."""

import inspect
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache
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


def apply(sheet: Sheet, name: str, fact_id: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
    """The registered formula `name` of these facts, written into the sheet under `fact_id` with its range.

    A tuple of facts goes to the formula as a tuple of numbers. The range is the root of the summed squares of what each
    input alone moves the result from its P10 to its P90, taken downwards and upwards apart: right for independent
    inputs and a formula that is nearly straight in between.
    """
    formula = REGISTER[name]
    pairs = tuple(
        (key, fact) for key, given in inputs.items() for fact in (given if isinstance(given, tuple) else (given,))
    )
    grouped = frozenset(key for key, given in inputs.items() if isinstance(given, tuple))
    numbers = [fact.value for _, fact in pairs]
    value = _evaluated(formula.function, pairs, grouped, numbers)
    low, high = _range(lambda changed: _evaluated(formula.function, pairs, grouped, changed), pairs, value)
    fact = Fact(
        id=fact_id, value=value, unit=formula.unit, basis="computed", source=formula.source, low=low, high=high,
        shape="triangular" if low is not None else "point", formula=name,
        inputs=tuple((key + "[]" if key in grouped else key, fact.id) for key, fact in pairs),
        outside=formula.outside({key: fact.value for key, fact in pairs}),
    )  # fmt: skip
    sheet.add(fact)
    return fact


def _evaluated(
    function: Callable[..., Any], pairs: Sequence[tuple[str, Fact]], grouped: frozenset[str], numbers: Sequence[float]
) -> float:
    """The formula of these numbers, those of one grouped parameter gathered into a tuple."""
    arguments: dict[str, Any] = dict.fromkeys(grouped, ())
    for (key, _), number in zip(pairs, numbers, strict=True):
        arguments[key] = (*arguments[key], number) if key in grouped else number
    return float(function(**arguments))


def _range(
    result: Callable[[Sequence[float]], float], pairs: Sequence[tuple[str, Fact]], middle: float
) -> tuple[float | None, float | None]:
    """P10 and P90 of the result from those of the inputs; None, None where every input is exact."""
    below = above = 0.0
    numbers = [fact.value for _, fact in pairs]
    ranged = False
    for index, (_, fact) in enumerate(pairs):
        if fact.low is None or fact.high is None:
            continue
        ranged = True
        ends = [result([*numbers[:index], end, *numbers[index + 1 :]]) - middle for end in (fact.low, fact.high)]
        below += min(0.0, *ends) ** 2
        above += max(0.0, *ends) ** 2
    low, high = middle - math.sqrt(below), middle + math.sqrt(above)
    return (low, high) if ranged and math.isfinite(low) and math.isfinite(high) else (None, None)


def found(sheet: Sheet, fact: Fact) -> Fact:
    """Write a solver's result (basis computed, source naming its cell) or a concept's own assumption; give it back."""
    sheet.add(fact)
    return fact


@cache
def _required(name: str) -> tuple[str, ...]:
    """The parameters of a formula that have no default."""
    parameters = inspect.signature(REGISTER[name].function).parameters.values()
    return tuple(each.name for each in parameters if each.default is each.empty)


Solved = Mapping[
    str, Callable[[Mapping[str, float]], float]
]  # fact id of a solver's result: its value from the numbers before it


def recomputed(facts: Mapping[str, Fact], changes: Mapping[str, float], solved: Solved) -> dict[str, float]:
    """Every number of the map after some facts were changed, worked out again in the order they were written.

    As a spreadsheet does it: given and assumed facts keep their value unless `changes` names them, facts with a formula
    are computed anew, solver results come from `solved` where it knows them and stay as they are where it does not.
    A result may be infinite here (a payback that never comes); nothing is written into a sheet.
    """
    numbers: dict[str, float] = {}
    for fact_id, fact in facts.items():
        if fact_id in changes:
            numbers[fact_id] = changes[fact_id]
        elif fact.formula is not None:
            # A parameter that no fact was given for is a group of none: the sum of no elements.
            arguments: dict[str, Any] = dict.fromkeys(_required(fact.formula), ())
            for key, source in fact.inputs:
                name = key.removesuffix("[]")
                arguments[name] = (*arguments.get(name, ()), numbers[source]) if key.endswith("[]") else numbers[source]
            numbers[fact_id] = float(REGISTER[fact.formula].function(**arguments))
        elif fact_id in solved:
            numbers[fact_id] = solved[fact_id](numbers)
        else:
            numbers[fact_id] = fact.value
    return numbers
