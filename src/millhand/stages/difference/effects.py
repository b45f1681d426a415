"""The whole difference of one concept's figures, shared out among what changed."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from millhand.model.difference import Effect, EffectKind, Moved, Priced, Side
from millhand.model.fact import Fact
from millhand.solvers.sharing import Figures, all_orders, difference, first_and_last, times, total
from millhand.stages.difference.changes import is_input
from millhand.trace import Solved, Steps, needed, recomputed, steps

MOST = 6  # changed inputs that are shared out over all their orders
SMALL = 1e-9  # share of the present worths below which a remainder is rounding
NEVER = "The payback is not shared out: in one of the studies, or with some of the changes alone, it never comes."
BEYOND = "Nothing is shared out: some of the changes without the others make figures that no formula takes."
NOTHING: Figures = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Both:
    """One concept in both studies."""

    sides: tuple[Side, Side]
    priced: tuple[Priced, Priced]
    solved: tuple[Solved, Solved]

    def figure(self, side: int, name: str) -> Fact | None:
        """One figure of one study: `npv` or `payback_months`."""
        fact_id = getattr(self.priced[side], name)
        return self.sides[side].facts[fact_id] if fact_id else None

    def part(self, side: int) -> dict[str, Fact]:
        """All facts of one study that its two figures follow from."""
        ids = (self.priced[side].npv, self.priced[side].payback_months)
        return needed(self.sides[side].facts, [fact_id for fact_id in ids if fact_id])


@dataclass(frozen=True, slots=True, kw_only=True)
class Graph:
    """One study's graph into which facts of the other one are put; what was worked out once is kept."""

    steps: Steps
    other: Mapping[str, float]  # values of the other study
    solved: Solved
    npv: str
    payback: str | None
    kept: dict[frozenset[str], Figures] = field(default_factory=dict)

    def worth(self, made: frozenset[str]) -> Figures:
        """Present worth and payback with these facts as in the other study; no numbers where they cannot be worked out,
        for only some of the changes may make what no formula takes."""
        if made not in self.kept:
            try:
                numbers = recomputed(self.steps, {name: self.other[name] for name in made}, self.solved)
                self.kept[made] = numbers[self.npv], numbers[self.payback] if self.payback else math.inf
            except (ArithmeticError, ValueError):
                self.kept[made] = math.nan, math.nan
        return self.kept[made]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """What moved in one graph: by each input, by all of them beyond that, then by what solvers gave."""

    each: Mapping[str, Figures]
    together: Figures
    simulated: Figures


def shared_out(both: Both) -> Moved:
    """Every effect, and the remainders that make them add up to the whole."""
    parts = both.part(0), both.part(1)
    inputs, solvers = differing(both, parts)
    ways = [shared_in(graph_of(both, parts, side), inputs, solvers) for side in (0, 1)]
    worths, backs = ([both.figure(side, name) for side in (0, 1)] for name in ("npv", "payback_months"))
    whole = difference(values(worths, backs, 1), values(worths, backs, 0))
    lines = tuple(with_rest(mean_of(ways, inputs), whole, max(abs(fact.value) for fact in worths if fact)))
    known = all(math.isfinite(figures[0]) for _, _, figures in lines)
    finite = all(math.isfinite(figures[1]) for _, _, figures in (*lines, ("", None, whole)))
    unit = next((fact.unit for fact in backs if fact), "months")

    def effect(kind: EffectKind, of: str | None, figures: Figures) -> Effect:
        top = f"difference.{both.priced[1].concept}.{of or kind}"
        source = "recomputed with the inputs of either study"
        npv, back = (
            Fact(id=f"{top}.{name}", value=value, unit=own, basis="computed", source=source)
            for name, value, own in (("npv", figures[0], "money"), ("payback", figures[1], unit))
        )
        return Effect(kind=kind, of=of, npv=npv, payback_months=back if finite else None)

    return Moved(
        concept=both.priced[1].concept, title=both.sides[1].titles[both.priced[1].concept], npv=(worths[0], worths[1]),
        payback_months=(backs[0], backs[1]), whole=effect("whole", None, whole),
        effects=tuple(effect(*line) for line in lines) if known else (), all_orders=len(inputs) <= MOST,
        reason=BEYOND if not known else "" if finite else NEVER,
    )  # fmt: skip


def values(worths: Sequence[Fact | None], backs: Sequence[Fact | None], side: int) -> Figures:
    """Present worth and payback of one study; infinite where it does not come."""
    worth, back = worths[side], backs[side]
    assert worth is not None
    return worth.value, back.value if back is not None else math.inf


def differing(both: Both, parts: tuple[Mapping[str, Fact], Mapping[str, Fact]]) -> tuple[list[str], list[str]]:
    """Facts behind the figures that both studies hold with other values: inputs, and what solvers gave."""
    one, other = both.sides[0].facts, both.sides[1].facts
    behind = sorted({**parts[0], **parts[1]})
    names = [name for name in behind if name in one and name in other and one[name].value != other[name].value]
    inputs = [name for name in names if is_input(one[name]) and is_input(other[name])]
    solvers = [name for name in names if one[name].formula is None and other[name].formula is None]
    return inputs, [name for name in solvers if name not in inputs]


def graph_of(both: Both, parts: tuple[Mapping[str, Fact], Mapping[str, Fact]], side: int) -> Graph:
    """The graph of one study, with the values of the other one at hand."""
    other = both.sides[1 - side].facts
    return Graph(
        steps=steps(parts[side]), other={name: fact.value for name, fact in other.items()}, solved=both.solved[side],
        npv=both.priced[side].npv, payback=both.priced[side].payback_months,
    )  # fmt: skip


def shared_in(graph: Graph, inputs: Sequence[str], solvers: Sequence[str]) -> Shared:
    """What moves in one graph on its way towards the other study."""
    way = all_orders if len(inputs) <= MOST else first_and_last
    each = way(inputs, graph.worth)
    all_inputs = graph.worth(frozenset(inputs))
    moved = difference(all_inputs, graph.worth(frozenset()))
    together = difference(moved, total([NOTHING, *each.values()])) if way is first_and_last else NOTHING
    simulated = difference(graph.worth(frozenset((*inputs, *solvers))), all_inputs)
    return Shared(each=each, together=together, simulated=simulated)


Line = tuple[EffectKind, str | None, Figures]


def mean_of(ways: Sequence[Shared], inputs: Sequence[str]) -> list[Line]:
    """The way there and the way back, whose signs are turned, in the mean."""
    there, back = ways

    def mean(one: Figures, other: Figures) -> Figures:
        return times(difference(one, other), 0.5)

    found: list[Line] = [("input", name, mean(there.each[name], back.each[name])) for name in inputs]
    found.append(("together", None, mean(there.together, back.together)))
    found.append(("simulated", None, mean(there.simulated, back.simulated)))
    return found


def with_rest(lines: Sequence[Line], whole: Figures, size: float) -> Iterator[Line]:
    """The lines that move anything, the strongest first, and what is left of the whole."""
    rest = difference(whole, total([figures for _, _, figures in lines]))
    own = [line for line in lines if line[0] == "input"]
    rests = [line for line in lines if line[0] != "input"]
    if not abs(rest[0]) > SMALL * size and not abs(rest[1]) > SMALL * max(abs(whole[1]), 1.0):
        kind, of, figures = rests[-1]
        rests[-1] = (kind, of, total([figures, rest]))  # rounding
    else:
        rests.append(("otherwise", None, rest))
    for kind, of, figures in (*sorted(own, key=lambda line: (-abs(line[2][0]), str(line[1]))), *rests):
        if figures[0] != 0.0 or (figures[1] != 0.0 and math.isfinite(figures[1])):
            yield kind, of, figures
