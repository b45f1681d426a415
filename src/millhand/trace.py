"""The study's one flat map of facts, and the only way to put a computed number into it."""

import inspect
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any, NamedTuple

from millhand.errors import ToolError
from millhand.formulas import REGISTER, SAME, Formula
from millhand.model.fact import Choice, Fact


class Sheet:
    """Append-only: a fact once written stays. Stages read facts from it and write computed ones into it."""

    def __init__(self, facts: Iterable[Fact | Choice] = ()) -> None:
        self._facts: dict[str, Fact] = {}
        self._choices: dict[str, Choice] = {}
        told = tuple(facts)
        known = {fact.id: fact for fact in told if isinstance(fact, Fact)}
        for fact in told:
            self._add_with_sources(fact, known)

    def _add_with_sources(self, fact: Fact | Choice, known: Mapping[str, Fact]) -> None:
        """Write what a fact follows from before it, wherever in a record either stands: in that order it is worked
        out again."""
        if isinstance(fact, Fact):
            for _, source in fact.inputs:
                if source not in self._facts and source in known:
                    self._add_with_sources(known[source], known)
        self.add(fact)

    def add(self, fact: Fact | Choice) -> None:
        """Write one fact or word; the same again is nothing new, a different one under a used id is our own error."""
        kept: Mapping[str, Fact | Choice] = self._facts if isinstance(fact, Fact) else self._choices
        before = kept.get(fact.id)
        if before is not None and before is not fact and before != fact:
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
    fact = _applied(name, fact_id, inputs, ranged=True)
    sheet.add(fact)
    return fact


def decided(sheet: Sheet, name: str, fact_id: str, inputs: "Inputs") -> Fact:
    """The same without a range: of an answer that is one of a few, with nothing in between."""
    fact = _applied(name, fact_id, inputs, ranged=False)
    sheet.add(fact)
    return fact


def _applied(name: str, fact_id: str, inputs: "Inputs", *, ranged: bool) -> Fact:
    """The registered formula of these facts as a fact, written nowhere yet."""
    formula = REGISTER[name]
    pairs = tuple(
        (key, fact) for key, given in inputs.items() for fact in (given if isinstance(given, tuple) else (given,))
    )
    grouped = frozenset(key for key, given in inputs.items() if isinstance(given, tuple))
    value = _evaluated(formula.function, pairs, grouped, [fact.value for _, fact in pairs])
    low, high = _range(
        lambda changed: _evaluated(formula.function, pairs, grouped, changed), pairs, formula, value
    ) if ranged else (None, None)  # fmt: skip
    unit = pairs[0][1].unit if formula.unit == SAME else formula.unit
    return Fact(
        id=fact_id, value=value, unit=unit, basis="computed", source=formula.source, low=low, high=high,
        shape="triangular" if low is not None else "point", formula=name,
        inputs=tuple((key + "[]" if key in grouped else key, fact.id) for key, fact in pairs),
        outside=tuple(dict.fromkeys(words for key, each in pairs for words in formula.outside({key: each.value}))),
    )  # fmt: skip


Inputs = Mapping[str, Fact | tuple[Fact, ...]]  # what a formula takes, by parameter


def values_of(inputs: Inputs) -> dict[str, float | tuple[float, ...]]:
    """The values of the facts that a formula takes."""
    return {
        key: tuple(fact.value for fact in given) if isinstance(given, tuple) else given.value
        for key, given in inputs.items()
    }


def apply_within(sheet: Sheet, name: str, fact_id: str, most: float, inputs: Inputs) -> Fact | None:
    """The formula of these facts where it comes to `most` at the most, as `apply` writes it; None for what comes later
    or never, of which there is no fact."""
    value = float(REGISTER[name].function(**values_of(inputs)))
    return apply(sheet, name, fact_id, **inputs) if math.isfinite(value) and value <= most else None


def _evaluated(
    function: Callable[..., Any], pairs: Sequence[tuple[str, Fact]], grouped: frozenset[str], numbers: Sequence[float]
) -> float:
    """The formula of these numbers, those of one grouped parameter gathered into a tuple."""
    gathered: dict[str, list[float]] = {key: [] for key in grouped}
    arguments: dict[str, Any] = {}
    for (key, _), number in zip(pairs, numbers, strict=True):
        if key in grouped:
            gathered[key].append(number)
        else:
            arguments[key] = number
    return float(function(**arguments, **{key: tuple(each) for key, each in gathered.items()}))


def _range(
    result: Callable[[Sequence[float]], float], pairs: Sequence[tuple[str, Fact]], formula: Formula, middle: float
) -> tuple[float | None, float | None]:
    """P10 and P90 of the result from those of the inputs; None, None where every input is exact.

    A fact that goes in twice moves both places at once. The range ends at the latest where all inputs stand at their
    worse ends together: a distance from uncertain places does not come out below nothing.
    """
    numbers = [fact.value for _, fact in pairs]
    places: dict[str, list[int]] = {}
    for index, (_, fact) in enumerate(pairs):
        if fact.low is not None and fact.high is not None:
            places.setdefault(fact.id, []).append(index)
    below = above = 0.0
    least, most = list(numbers), list(numbers)
    for indices in places.values():
        ends = [_moved(numbers, pairs, indices, formula, end) for end in ("low", "high")]
        first, second = (result(each) - middle for each in ends)
        below += min(0.0, first, second) ** 2
        above += max(0.0, first, second) ** 2
        for index in indices:
            least[index], most[index] = (each[index] for each in (ends if first <= second else ends[::-1]))
    low, high = middle - math.sqrt(below), middle + math.sqrt(above)
    if not places or not (math.isfinite(low) and math.isfinite(high)):
        return None, None
    return _cut(low, result(least), middle), _cut(high, result(most), middle)


def _moved(
    numbers: Sequence[float], pairs: Sequence[tuple[str, Fact]], indices: Sequence[int], formula: Formula, end: str
) -> list[float]:
    """The numbers with one fact at an end of its range, but no further than the formula holds."""
    moved = list(numbers)
    for index in indices:
        key, fact = pairs[index]
        low, high = formula.valid.get(key, (-math.inf, math.inf))
        number: float = getattr(fact, end)
        moved[index] = min(max(number, low), high) if low <= fact.value <= high else number
    return moved


def _cut(end: float, together: float, middle: float) -> float:
    """An end of a range, no further from the middle than all inputs together bring it."""
    if middle <= together < end or end < together <= middle:
        return together
    return end


def found(sheet: Sheet, fact: Fact) -> Fact:
    """Write a solver's result (basis computed, source naming its cell) or a concept's own assumption; give it back."""
    sheet.add(fact)
    return fact


def needed(facts: Mapping[str, Fact], wanted: Iterable[str]) -> dict[str, Fact]:
    """The facts that the wanted ones follow from, and they themselves, in the order of the map."""
    open_ids, reached = list(wanted), set()
    while open_ids:
        fact_id = open_ids.pop()
        if fact_id not in reached and fact_id in facts:
            reached.add(fact_id)
            open_ids += [source for _, source in facts[fact_id].inputs]
    return {fact_id: fact for fact_id, fact in facts.items() if fact_id in reached}


@cache
def _required(name: str) -> tuple[str, ...]:
    """The parameters of a formula that have no default."""
    parameters = inspect.signature(REGISTER[name].function).parameters.values()
    return tuple(each.name for each in parameters if each.default is each.empty)


Solved = Mapping[
    str, Callable[[Mapping[str, float]], float]
]  # fact id of a solver's result: its value from the numbers before it


class Step(NamedTuple):
    """How one fact of a map follows from those before it: `single` and `grouped` name the parameters of its formula,
    `sources` all facts that go into it."""

    id: str
    value: float
    function: Callable[..., Any] | None
    single: tuple[tuple[str, str], ...] = ()  # parameter, fact id
    grouped: tuple[tuple[str, tuple[str, ...]], ...] = ()  # parameter, fact ids
    sources: frozenset[str] = frozenset()

    def of(self, numbers: Mapping[str, float]) -> float:
        """The formula of the numbers before it."""
        assert self.function is not None
        arguments: dict[str, Any] = {name: numbers[source] for name, source in self.single}
        for name, sources in self.grouped:
            arguments[name] = tuple([numbers[source] for source in sources])
        return float(self.function(**arguments))


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """A map as it is worked out again, in the order it was written. `still`: every number with nothing changed, as the
    formulas give it; filled by the first who asks, so that others work out only what their changes reach."""

    each: tuple[Step, ...]
    still: dict[str, float] = field(default_factory=dict)


def steps(facts: Mapping[str, Fact]) -> Steps:
    """How a map is worked out again, in the order it was written: made once for those who do it many times."""
    return Steps(tuple(_step(fact) for fact in facts.values()))


def _step(fact: Fact) -> Step:
    """How one fact follows."""
    if fact.formula is None:
        return Step(fact.id, fact.value, None)
    single = {key: source for key, source in fact.inputs if not key.endswith("[]")}
    # A parameter that no fact was given for is a group of none: the sum of no elements.
    grouped: dict[str, tuple[str, ...]] = {name: () for name in _required(fact.formula) if name not in single}
    for key, source in fact.inputs:
        if key.endswith("[]"):
            grouped[key[:-2]] = (*grouped.get(key[:-2], ()), source)
    return Step(
        fact.id, fact.value, REGISTER[fact.formula].function, tuple(single.items()), tuple(grouped.items()),
        frozenset(source for _, source in fact.inputs),
    )  # fmt: skip


def recomputed(facts: Mapping[str, Fact] | Steps, changes: Mapping[str, float], solved: Solved) -> dict[str, float]:
    """Every number of the map (or of its steps) after some facts were changed, worked out in the order of writing.

    As a spreadsheet does it: given and assumed facts keep their value unless `changes` names them, facts with a formula
    are computed anew, solver results come from `solved` where it knows them and stay as they are where it does not.
    A result may be infinite here (a payback that never comes); nothing is written into a sheet. Of steps, a formula
    none of whose inputs has moved is not asked again: the same inputs give the same result.
    """
    if isinstance(facts, Mapping):
        return _worked_out(steps(facts).each, changes, solved)
    if not facts.still:
        facts.still.update(_worked_out(facts.each, {}, {}))
    return _worked_out(facts.each, changes, solved, facts.still)


def _worked_out(
    each: Sequence[Step], changes: Mapping[str, float], solved: Solved, still: Mapping[str, float] | None = None
) -> dict[str, float]:
    """The same, step by step; `still`: numbers that hold for every formula none of whose inputs differs from them."""
    numbers: dict[str, float] = {}
    moved: set[str] = set()
    for step in each:
        name = step.id
        if name in changes:
            number = changes[name]
        elif step.function is not None:
            number = step.of(numbers) if still is None or not moved.isdisjoint(step.sources) else still[name]
        elif name in solved:
            number = solved[name](numbers)
        else:
            number = step.value
        numbers[name] = number
        if still is not None and number != still[name]:
            moved.add(name)
    return numbers
