"""irs946, appendix A: declining-balance tables, half-year and mid-quarter, every entry.

The source rounds so that a column adds to 100 %, and it carries rounded rates on: where an entry is not the rounded
rule it stands in OFF, and the rule's own value (worked in exact fractions) is what must come out.
"""

from fractions import Fraction

import pytest

from tests.checks import SEEN, Check, assert_holds

# First-year share, then percent of the basis by recovery year, by life in years.
TABLES = {
    "1/2": {
        3: "33.33 44.45 14.81 7.41",
        5: "20.00 32.00 19.20 11.52 11.52 5.76",
        7: "14.29 24.49 17.49 12.49 8.93 8.92 8.93 4.46",
    },
    "7/8": {
        3: "58.33 27.78 12.35 1.54",
        5: "35.00 26.00 15.60 11.01 11.01 1.38",
        7: "25.00 21.43 15.31 10.93 8.75 8.74 8.75 1.09",
    },
    "5/8": {
        3: "41.67 38.89 14.14 5.30",
        5: "25.00 30.00 18.00 11.37 11.37 4.26",
        7: "17.85 23.47 16.76 11.97 8.87 8.87 8.87 3.34",
    },
    "3/8": {
        3: "25.00 50.00 16.67 8.33",
        5: "15.00 34.00 20.40 12.24 11.30 7.06",
        7: "10.71 25.51 18.22 13.02 9.30 8.85 8.86 5.53",
    },
    "1/8": {
        3: "8.33 61.11 20.37 10.19",
        5: "5.00 38.00 22.80 13.68 10.94 9.58",
        7: "3.57 27.55 19.68 14.06 10.04 8.73 8.73 7.64",
    },
}
OFF = {  # first-year share, life, year
    ("1/2", 3, 2),
    ("1/2", 7, 5),
    ("1/2", 7, 7),
    ("7/8", 7, 6),
    ("5/8", 7, 1),
    ("5/8", 7, 8),
    ("3/8", 7, 7),
}
REASON = "rounded so that the column adds to 100 %, or carried on from a rounded entry"


def exact_shares(first: Fraction, life: int) -> list[Fraction]:
    """The rule in exact fractions: the greater of 200 % declining balance and straight line over what is left."""
    shares: list[Fraction] = []
    left, remaining, held = Fraction(1), Fraction(life), first
    while remaining:
        shares.append(max(left * held * 2 / life, left * held / remaining))
        left, remaining = left - shares[-1], remaining - held
        held = min(Fraction(1), remaining)
    return shares


def entry(first: str, life: int, year: int, printed: str) -> Check:
    """One entry of one table."""
    off = (first, life, year) in OFF
    return Check(
        formula="macrs_share",
        inputs={"year": year, "life_y": life, "first_year_share": float(Fraction(first))},
        printed=printed,
        expected=float(exact_shares(Fraction(first), life)[year - 1] * 100),
        pick=lambda share: share * 100.0,
        key="irs946",
        seen=SEEN,
        erratum=REASON if off else "",
    )


CHECKS = [
    entry(first, life, year, printed)
    for first, lives in TABLES.items()
    for life, row in lives.items()
    for year, printed in enumerate(row.split(), start=1)
]


CHECKS += [  # ch. 4: machines of 4 000 and 1 000 in quarters 1 and 3, computers of 5 000 in quarter 4
    Check(
        formula="mid_quarter_applies", inputs={"last_quarter_money": last, "whole_year_money": 10_000.0},
        expected=applies, key="irs946", seen=SEEN,
    )
    for last, applies in ((5_000.0, 1.0), (4_000.0, 0.0))
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_depreciation_tables(check: Check) -> None:
    """Each entry comes out to two digits, or is named as one that the source rounded otherwise."""
    assert_holds(check)


@pytest.mark.parametrize("first", TABLES)
@pytest.mark.parametrize("life", [3, 5, 7])
def test_a_printed_column_adds_to_the_whole(first: str, life: int) -> None:
    """The digits were typed right: each printed column adds to 100.00 %."""
    assert sum(Fraction(printed) for printed in TABLES[first][life].split()) == 100
