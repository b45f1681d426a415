"""A wish for hours alone whose range begins at nought once broke the draws: a rate over no hours at all."""

from millhand.formulas.output import alone_parts_per_h


def test_no_hours_alone_make_no_parts_an_hour() -> None:
    """Nought parts over nought hours are none an hour; any hours give the plain quotient."""
    assert alone_parts_per_h(0.0, alone_h=0.0) == 0.0
    assert alone_parts_per_h(18.0, alone_h=4.0) == 4.5
