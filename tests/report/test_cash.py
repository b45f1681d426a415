"""The flows of a case as tables: columns by years and by half-years hold every period once."""

import pytest

from millhand.model.case import BEFORE, Case
from millhand.report.cash import balance, by_months, by_years, net
from tests.report.fixture_study import ARM, study


@pytest.fixture(scope="module")
def case() -> Case:
    """The case of the cell that was advised."""
    found = next(each.case for each in study().results if each.concept.id == ARM)
    assert found is not None
    return found


def test_years_hold_every_period_once(case: Case) -> None:
    """Before hand-over, months of the first two years, years after them."""
    seen = [period for column in by_years(case) for period in column.periods]

    assert seen == list(range(len(case.periods)))


def test_half_years_hold_the_months_and_what_stands_before_them(case: Case) -> None:
    """The first three columns are order, delivery and hand-over; then the months that the case shows one by one."""
    columns = [column for half in (1, 2, 3, 4) for column in by_months(case, half)]
    months = [name for name in case.periods if name.startswith("month_")]

    assert len(columns) == len(BEFORE) + len(months)
    assert [case.periods[column.periods[0]] for column in columns] == [*BEFORE, *months]
    assert len(by_months(case, 2)) <= 6


def test_a_year_leads_to_its_own_facts(case: Case) -> None:
    """Net and balance of a column of years are those of the row that it names."""
    facts = study().facts

    for column in by_years(case):
        assert column.row is not None
        assert net(case, column) == pytest.approx(facts[column.row.net].value, abs=0.01)
        assert balance(case, column) == pytest.approx(facts[column.row.cumulative].value, abs=0.01)
