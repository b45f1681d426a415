"""Set-ups between lots are there today and stay: they explain lost hours, and no cell frees anybody of them."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.inquiry import Inquiry
from tests.stages.short_road import Walked, catalogue, changed, example, walked

CELL = "trays-pedestal-fenced_20-parallel_single-fence"
LOT = "parts.bracket.lot_size"


@cache
def mills(set_up_min: float = 50.0, lot: float = 200.0, families: float = 4.0) -> Walked:
    """The two mills and a cell for them, at their load bounds."""
    return walked(two_mills(set_up_min, lot, families), CELL)


def two_mills(set_up_min: float, lot: float, families: float) -> Inquiry:
    """The inquiry of the first example with other lots."""
    inquiry = changed(example("1_two_mills"), {LOT: lot, "parts.bracket.families": families})
    today = inquiry.today
    set_up = replace(today.setup_s, value=60.0 * set_up_min, low=None, high=None)
    return replace(inquiry, today=replace(today, setup_s=set_up))


def performance(made: Walked, name: str, concept: str = CELL) -> float:
    """A figure of a concept's performance."""
    return made.sheet.value(f"concepts.{concept}.performance.{name}")


def test_set_ups_are_no_unexplained_loss() -> None:
    """105 parts of a shift are 105/200 lots, each 50 min on one of two mills: 26.25 of 1020 min."""
    share = 105.0 / 200.0 * 50.0 / (2.0 * 8.5 * 60.0)
    none, some = (1.0 - performance(mills(minutes), "unexplained_loss", "today") for minutes in (0.0, 50.0))

    assert performance(mills(), "set_ups", "today") == pytest.approx(share)
    assert none == pytest.approx(some * (1.0 - share))


def test_no_cell_frees_anybody_of_set_ups() -> None:
    """As many hours more as set-ups of the lots that are made; nothing else of people's work changes."""
    without, with_ = mills(0.0), mills(50.0)
    parts = performance(with_, "tended_parts_per_y")

    assert parts == performance(without, "tended_parts_per_y")
    more = with_.value(with_.performance.operator_h_per_y) - without.value(without.performance.operator_h_per_y)
    assert more == pytest.approx(parts / 200.0 * 50.0 / 60.0)
    assert with_.value(with_.today.operator_h_per_y) == without.value(without.today.operator_h_per_y)


def test_small_lots_end_a_case() -> None:
    """Half the lot, twice the set-ups: the hours that are freed fall, and the payback goes up."""
    lots = [mills(lot=lot) for lot in (800.0, 200.0, 50.0)]
    freed = [made.value(made.case.year.freed_h_per_y) for made in lots]
    paybacks = [made.value(made.case.payback_months) for made in lots]

    assert freed == sorted(freed, reverse=True)
    assert paybacks == sorted(paybacks)
    assert paybacks[2] > 1.5 * paybacks[0]


def test_a_change_by_hand_that_changes_nothing_ships_what_is_shipped_today() -> None:
    """Today's times, today's loss, today's set-ups, at the same bound."""
    book = catalogue()
    same = tuple(
        replace(each, effects={name: replace(fact, value=1.0, low=None, high=None) for name, fact in effects})
        for each in book.hand_changes
        for effects in (each.effects.items(),)
    )
    made = walked(two_mills(50.0, 200.0, 4.0), "by_hand-second_fixture", replace(book, hand_changes=same))

    assert made.value(made.performance.parts_per_shift) == pytest.approx(105.0)


def test_one_family_is_never_set_up() -> None:
    """Nothing changes between two lots of the same part."""
    made = mills(families=1.0)

    assert "concepts.today.performance.set_ups" not in made.sheet
    assert performance(made, "changeovers_h") == 0.0
