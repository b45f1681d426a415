"""Other sizes of the presenter on a whole example: with people there, about one refill a shift is all that pays."""

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.sizing import with_sizing
from tests.examples.test_examples import done


@pytest.mark.xdist_group("examples")
def test_beyond_one_refill_a_shift_a_larger_presenter_brings_next_to_nothing() -> None:
    """No hour is run alone and the price is held: output flat within a thousandth, worth within 3 % of the outlay, from
    about one refill a shift on (common practice, no source); before it each doubling brings more than the next one."""
    study = done("3_moulding")
    found = with_sizing(study, study.inquiry, read_catalogue())
    assert found.sizing is not None
    facts = found.facts
    row = next(each for each in found.sizing.rows if each.moved == "pockets")
    outlay = facts[f"concepts.{found.sizing.concept}.case.outlay"].value
    enough = [each for each in row.points if facts[each.refills_a_shift].value <= 1.2]
    parts, worths = ([facts[name].value for name in names] for names in (
        [each.parts_per_y for each in enough], [each.npv for each in enough]))  # fmt: skip
    steps = [facts[b.npv].value - facts[a.npv].value for a, b in zip(row.points, row.points[1:], strict=False)]

    assert len(enough) >= 2
    assert max(parts) - min(parts) <= 0.001 * max(parts)
    assert max(worths) - min(worths) <= 0.03 * outlay
    assert steps == sorted(steps, reverse=True)
