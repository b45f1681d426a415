"""Shares of machine hours, and changeovers between families, counted lot by lot."""

from itertools import groupby, permutations, product

import pytest

from millhand.formulas.part_mix import changeovers_as_lots_come, changeovers_sorted
from tests.checks import OWN, Check, assert_holds


def check(formula: str, expected: float, **inputs: object) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def changes(lots: tuple[str, ...]) -> int:
    """How often the family changes along a row of lots."""
    return sum(1 for _ in groupby(lots)) - 1


CHECKS = [
    check("share_of_hours", 30 / 120, hours_h=(10.0, 20.0), whole_h=120.0),
    check("changeovers_as_lots_come", 3 * 1 / 4 + 1 * 3 / 4, lots=(3.0, 1.0)),  # each lot times the share of the others
    check("changeovers_sorted", 1 + 1 + 1 / 3, lots=(5.0, 4.0, 1 / 3)),  # the third family each third week
]  # fmt: skip


@pytest.mark.parametrize("each", CHECKS, ids=str)
def test_a_second_way_gives_the_same(each: Check) -> None:
    """By counting."""
    assert_holds(each)


def test_lots_that_come_by_chance_change_as_often_as_all_their_pairs_do() -> None:
    """Every pair of lots that may follow each other, each as likely as its families are frequent."""
    lots = {"a": 5.0, "b": 2.0, "c": 1.0}
    whole = sum(lots.values())
    pairs = ((first, second) for first, second in product(lots, lots) if first != second)

    expected = whole * sum(lots[first] / whole * lots[second] / whole for first, second in pairs)

    assert changeovers_as_lots_come(tuple(lots.values())) == pytest.approx(expected, rel=1e-12)


def test_no_order_of_a_week_that_is_the_same_each_week_has_fewer_changes_than_sorted_lots() -> None:
    """Over all orders of five lots that repeat week by week, from the last lot back to the first."""
    lots = ("a", "a", "b", "b", "c")
    least = min(changes((*order, order[0])) for order in permutations(lots))

    assert changeovers_sorted((2.0, 2.0, 1.0)) == least
