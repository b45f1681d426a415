"""The table of machines for one operator, as a terminal shows it."""

import io
from dataclasses import replace

import pytest
from rich.console import Console

from millhand.model.study import Study
from millhand.report.terminal import page_of, show
from millhand.report.terminal_servicing import servicing_parts
from tests.report.fixture_study import study
from tests.test_servicing import done, page, serviced

pytestmark = pytest.mark.xdist_group("servicing")  # their studies are worked out once a process


def lines(of: Study, *, width: int = 80) -> list[str]:
    """What stands there."""
    stream = io.StringIO()
    show(list(servicing_parts(page_of(of))), Console(file=stream, width=width, force_terminal=True, color_system=None))
    return stream.getvalue().splitlines()


def lathes() -> Study:
    """The example in which a machine hour has a price."""
    return done("examples/2_three_lathes/inquiry.yaml")


@pytest.mark.parametrize("width", [80, 100])
def test_the_table_fits_the_screen(width: int) -> None:
    """Ten columns in four groups, none of them cut."""
    found = lines(lathes(), width=width)

    assert max(map(len, found)) <= width
    assert not any("…" in line for line in found)


def test_a_row_puts_both_ways_side_by_side() -> None:
    """Printed cycle and cost in the first half; the finite source in the second; constant service last."""
    row = next(line for line in lines(serviced(60.0, 120.0, 6.0, 20.0)) if line.split()[:1] == ["3"])

    assert row.split()[:8] == ["3", "|", "54.5", "100", "%", "9.1", "%", "1.28"]
    assert [len(group.split()) for group in row.split("|")] == [1, 6, 6, 1]


def test_the_cheapest_number_is_named_where_a_machine_hour_has_a_price() -> None:
    """Otherwise what to give, and up to which price one machine more pays."""
    with_price = " ".join(" ".join(lines(serviced(60.0, 120.0, 6.0, 20.0))).split())
    without = " ".join(" ".join(lines(serviced(60.0, 120.0, 6.0))).split())

    assert "today 2; no waits on either side 2.73; cheapest part, in step 2." in with_price
    assert "give the cost of an hour (machines.mill.rate)" in without
    assert "3 instead of 2 make parts cheaper while a machine hour costs less than 13.3 USD." in without


def test_shortcuts_carry_their_flag() -> None:
    """As printed in handbooks, and outside their range where they are."""
    text = " ".join(" ".join(lines(lathes())).split())

    assert "as printed in handbooks: the binomial loses" in text
    assert "(outside its range: machines = 3, valid from 7 up)" in text


def test_without_a_model_by_chance_there_are_dashes_and_a_reason() -> None:
    """More inside work than machining."""
    found = lines(serviced(10.0, 20.0, 30.0))

    row = next(line for line in found if line.split()[:1] == ["1"])
    assert [group.split() for group in row.split("|")[-2:]] == [["-"] * 4, ["-"]]
    assert "By chance there is no model" in " ".join(found)


def test_a_study_that_did_not_look_says_nothing() -> None:
    """Nor one without rows."""
    assert list(servicing_parts(page_of(study()))) == []
    assert list(servicing_parts(page_of(replace(lathes(), servicing=replace(page(lathes()), rows=()))))) == []
