"""What a cell has to show: by what was simulated and by the range that the study counts with."""

from dataclasses import replace

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.acceptance import Acceptance
from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.stages.acceptance import acceptance
from millhand.trace import Sheet
from tests.report.fixture_study import ARM, VISE, study

CATALOGUE = read_catalogue()
TOP = f"concepts.{ARM}.performance"


def result(concept: str) -> Result:
    """One concept of the fixture study."""
    return next(each for each in study().results if each.concept.id == concept)


def trial_of(sheet: Sheet, *, wished_s: float | None = None) -> Acceptance:
    """The tests of the fixture's cell; hours alone as wished."""
    inquiry = study().inquiry
    if wished_s is not None:
        wish = replace(inquiry.wishes.unattended_s, id="wishes.other", value=wished_s)
        sheet.add(wish)
        inquiry = replace(inquiry, wishes=replace(inquiry.wishes, unattended_s=wish))
    made = acceptance(result(ARM), inquiry, CATALOGUE, sheet)
    assert made is not None
    return made


def sheet_of(**more: float) -> Sheet:
    """The fixture's sheet, with further figures of the cell's performance."""
    sheet = Sheet((*study().facts.values(), *study().choices.values()))
    for name, value in more.items():
        sheet.add(Fact(id=f"{TOP}.{name}", value=value, unit="1", basis="given", source="invented for tests"))
    return sheet


def test_the_worst_share_that_is_counted_with_is_what_is_shown() -> None:
    """1 in 150 with 80 %: one part fewer would not do."""
    sheet = sheet_of()
    tests = trial_of(sheet)
    share, parts = sheet.value(tests.shown_share), sheet.value(tests.faultless_parts)

    assert share == CATALOGUE.figures["fault_share_per_part"].high
    assert (1.0 - share) ** parts <= 0.2 < (1.0 - share) ** (parts - 1.0)
    assert sheet.value(tests.pass_chance) == pytest.approx((1.0 - 0.00125) ** parts, rel=1e-12)


def test_the_pace_is_that_of_the_cycle_with_its_allowance() -> None:
    """Thirty parts at the cycle's pace and a twentieth on top; each machine stands a twentieth longer at most."""
    sheet = sheet_of()
    tests = trial_of(sheet)

    assert sheet.value(tests.timed_most) == pytest.approx(30.0 * 3600.0 / sheet.value(f"{TOP}.cycle") * 1.05)
    for each in tests.standstills:
        assert sheet.value(each.most) == pytest.approx(sheet.value(each.counted) * 1.05)


@pytest.mark.parametrize(("wished_s", "run_s"), [(3600.0, 3600.0), (90_000.0, 21_600.0)])
def test_the_run_alone_is_no_longer_than_wished_or_than_the_stock_lasts(wished_s: float, run_s: float) -> None:
    """The lesser of both."""
    sheet = sheet_of()
    alone = trial_of(sheet, wished_s=wished_s).alone_s

    assert alone is not None
    assert sheet.value(alone) == run_s


def test_nobody_who_wishes_for_no_run_alone_gets_a_test_of_it() -> None:
    """Neither a run nor a chance."""
    tests = trial_of(sheet_of(), wished_s=0.0)

    assert (tests.alone_s, tests.alone_parts, tests.alone_through) == (None, None, None)


def test_the_chance_of_a_run_alone_follows_from_faults_and_stops() -> None:
    """Known where the study worked them out: no stop at any of its loads, of which two make a part that comes twice."""
    sheet = sheet_of(stop_share_alone=0.01, alone_limit=40.0, loads_alone=80.0)
    through = trial_of(sheet, wished_s=3600.0).alone_through

    assert through is not None
    assert sheet.value(through) == pytest.approx(0.99**80, rel=1e-12)
    assert trial_of(sheet_of(), wished_s=3600.0).alone_through is None


def test_faults_widen_what_the_run_says() -> None:
    """Each further fault moves both ends up, and the share that is counted with lies below the first upper end."""
    sheet = sheet_of()
    rows = [(sheet.value(each.low), sheet.value(each.high)) for each in trial_of(sheet).after]

    assert rows == sorted(rows)
    assert all(low < high for low, high in rows)
    assert rows[0][0] == 0.0


@pytest.mark.parametrize("concept", ["today", VISE])
def test_work_by_hand_has_no_acceptance(concept: str) -> None:
    """Nor has a study that recommends nothing."""
    assert acceptance(result(concept), study().inquiry, CATALOGUE, sheet_of()) is None
    assert acceptance(None, study().inquiry, CATALOGUE, sheet_of()) is None
