"""One case worked out again in the draws that it was drawn in, with some figures of every draw set to other values."""

import math
from collections.abc import Callable, Mapping, Sequence

from millhand.model.fact import Fact
from millhand.stages.spread.draws import draws, uncertain
from millhand.stages.spread.worlds import Asked
from millhand.trace import Sheet, Solved, found, needed, recomputed, steps

Change = Callable[[Mapping[str, float]], Mapping[str, float]]
Worlds = Sequence[Mapping[str, float]]


def drawn_again(
    ids: Mapping[str, str],
    change: Callable[[Mapping[str, float]], Mapping[str, float]],
    sheet: Sheet,
    solved: Solved,
    asked: Asked,
) -> tuple[dict[str, float], ...]:
    """Some figures of a case in every draw, by their own ids; change: what is otherwise in such a draw."""
    part = needed(sheet.facts, tuple(ids.values()))
    again = steps(part)
    worlds = []
    for row in draws(uncertain(part), count=asked.count, seed=asked.seed, together=asked.together):
        numbers = recomputed(again, {**row, **change(row)}, solved)
        worlds.append({own: numbers[of_case] for own, of_case in ids.items()})
    return tuple(worlds)


def note_middle(sheet: Sheet, fact_id: str, drawn: tuple[Worlds, str], inputs: Sequence[str], words: str) -> str | None:
    """The P50 of one figure of these draws as a fact of its own; None where it never comes in half of them."""
    worlds, name = drawn
    middle = sorted(world[name] for world in worlds)[len(worlds) // 2]
    if not math.isfinite(middle):
        return None
    record = Fact(
        id=fact_id, value=middle, unit=sheet[inputs[0]].unit, basis="computed",
        source=f"P50 of {len(worlds)} {words}", inputs=tuple(("", each) for each in inputs),
    )  # fmt: skip
    return found(sheet, record).id


def note_share(sheet: Sheet, fact_id: str, drawn: tuple[Worlds, str], inputs: Sequence[str], words: str) -> str:
    """In which share of these draws a balance is not below nought, as a fact."""
    worlds, name = drawn
    share = sum(world[name] >= 0.0 for world in worlds) / len(worlds)
    record = Fact(
        id=fact_id, value=share, unit="1", basis="computed", source=f"share of {len(worlds)} {words}",
        inputs=tuple(("", each) for each in inputs),
    )  # fmt: skip
    return found(sheet, record).id
