"""What each month brings, kept for those who ask again: the same whoever asked before, and for how many months."""

import pytest

from millhand.formulas.cashflow import months_money, payback_months

LINES, GROWTHS, RAMP_UP = (1200.0, -240.0, 36.5), (0.03, 0.0, 0.03), (0.25, 0.5, 0.75)


def said(month: int) -> float:
    """One month by the definition: gains of the ramp-up by its share, each line grown by whole years."""
    share = RAMP_UP[month] if month < len(RAMP_UP) else 1.0
    grown = [line / 12.0 * (1.0 + growth) ** (month // 12) for line, growth in zip(LINES, GROWTHS, strict=True)]
    return sum(each * share if each > 0.0 else each for each in grown)


@pytest.mark.parametrize("months", [0, 1, 12, 13, 119, 120, 121, 600, 601, 720])
def test_so_many_months_as_were_asked_for_each_by_its_definition(months: int) -> None:
    """Within a year, at its end, beyond ten and beyond fifty years."""
    flows = months_money(LINES, growths=GROWTHS, ramp_up=RAMP_UP, months=months)

    assert flows == pytest.approx([said(month) for month in range(months)], rel=1e-12)


def test_who_changes_what_was_given_changes_nothing_for_others() -> None:
    """Each gets a list of its own."""
    first = months_money(LINES, growths=GROWTHS, ramp_up=RAMP_UP, months=24)
    kept = list(first)
    first[0] = 1e9

    assert months_money(list(LINES), growths=list(GROWTHS), ramp_up=list(RAMP_UP), months=24) == kept


def test_other_lines_growths_or_ramp_up_are_other_flows() -> None:
    """Nothing of what one case brought is taken for another."""
    flows = months_money(LINES, growths=GROWTHS, ramp_up=RAMP_UP, months=24)

    assert months_money((1201.0, *LINES[1:]), growths=GROWTHS, ramp_up=RAMP_UP, months=24) != flows
    assert months_money(LINES, growths=(0.04, *GROWTHS[1:]), ramp_up=RAMP_UP, months=24) != flows
    assert months_money(LINES, growths=GROWTHS, ramp_up=(), months=24) != flows


def test_paid_back_at_once_once_for_good_or_never() -> None:
    """Nothing paid; a balance that last stood below zero in the twelfth month; one that falls for ever."""
    assert payback_months(0.0, yearly_money=(12.0,), growths=(0.0,), ramp_up=()) == 0.0
    assert payback_months(11.5, yearly_money=(12.0,), growths=(0.0,), ramp_up=()) == 11.5
    assert payback_months(11.5, yearly_money=(-12.0,), growths=(0.0,), ramp_up=()) == float("inf")
