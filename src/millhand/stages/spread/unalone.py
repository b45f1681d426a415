"""The case with no hour alone in the same draws as the case itself: where half of them lie, and how often it pays."""

from collections.abc import Iterator, Mapping, Sequence

from millhand.model.case import Case
from millhand.model.study import Result
from millhand.stages.spread.again import Worlds, drawn_again, note_middle, note_share
from millhand.stages.spread.worlds import Asked
from millhand.trace import Sheet, Solved

WORDS = "draws of all uncertain facts, with no part made with nobody there"


def unalone_drawn(
    concept: str, results: Sequence[Result], sheet: Sheet, solved: Solved, asked: Asked
) -> tuple[dict[str, float], ...]:
    """Payback, worth and balance of one concept with no hour alone in every draw, by the ids of these figures.

    Nothing where no hours alone are counted, or where the concept was not drawn either. The middle and the chance of
    meeting the hurdle become facts `concepts.<id>.case.without_alone.middle.*` and `...without_alone.hurdle_chance`; a
    middle that never comes is left out.
    """
    top = f"concepts.{concept}.case.without_alone"
    result = next((each for each in results if each.concept.id == concept), None)
    if (
        result is None
        or result.case is None
        or result.case.hurdle_chance is None
        or f"{top}.hurdle_balance" not in sheet
    ):
        return ()
    assert result.performance is not None
    assert result.performance.parts_alone is not None
    nothing = dict.fromkeys((result.performance.parts_alone, result.performance.unattended_h_per_y), 0.0)

    def none_alone(_: Mapping[str, float]) -> dict[str, float]:
        return nothing

    worlds = drawn_again(dict(_pairs(top, result.case)), none_alone, sheet, solved, asked)
    _note(top, result.case, worlds, sheet)
    return worlds


def _pairs(top: str, case: Case) -> Iterator[tuple[str, str]]:
    """Each figure with no hour alone, and the figure of the case that it is."""
    if case.payback_months is not None:
        yield f"{top}.payback", case.payback_months
    yield f"{top}.npv", case.npv
    yield f"{top}.hurdle_balance", case.hurdle_balance


def _note(top: str, case: Case, worlds: Worlds, sheet: Sheet) -> None:
    """Middle and chance as facts; they rest on the figure of the case and on the parts that are then left."""
    for name, of_case in (("payback", case.payback_months), ("npv", case.npv)):
        if of_case is not None:
            note_middle(sheet, f"{top}.middle.{name}", (worlds, f"{top}.{name}"), (of_case, f"{top}.parts"), WORDS)
    balance = f"{top}.hurdle_balance"
    note_share(sheet, f"{top}.hurdle_chance", (worlds, balance), (balance, f"{top}.parts"), WORDS)
