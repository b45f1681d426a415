"""F of the risk graph by the hours and the calls that a study counts, and hours of people by kind."""

from dataclasses import replace

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.fact import Fact
from millhand.model.performance import Figure, Output, Performance
from millhand.stages.acceptance.bench import Bench
from millhand.stages.acceptance.by_year import by_year, if_it_stands, lots_alone
from millhand.stages.safeguarding.exposure import LESS, MORE, because, frequency
from millhand.stages.safeguarding.post import Post
from millhand.trace import Sheet
from tests.report.fixture_study import ARM, study
from tests.stages.brought_in import result

BOOK = read_catalogue()
TOP = f"concepts.{ARM}.performance"


def mean(value: float) -> Figure:
    """A mean without an error."""
    return Figure(mean=value, low=value, high=value)


def counted(share: float, calls_per_h: float) -> Performance:
    """The fixture's cell with so much of the week spent on clearing, half of it with somebody there."""
    own = result(ARM).performance
    assert own is not None
    output = Output(
        cell="made for tests", seed=1, replications=1, horizon_s=604_800.0, parts_per_h=mean(10.0),
        good_per_h=mean(10.0),
        attended_share=0.5, duties={"clear": mean(calls_per_h)},
        duty_share={"clear": mean(share), "refill": mean(0.2), "absence_1": mean(0.1)},
    )  # fmt: skip
    return replace(own, output=output)


def sheet_of(changeovers_h: float) -> Sheet:
    """The fixture's sheet with hours of changeovers."""
    sheet = Sheet((*study().facts.values(), *study().choices.values()))
    sheet.add(Fact(id=f"{TOP}.changeovers_h", value=changeovers_h, unit="h/y", basis="given", source="a test"))
    return sheet


@pytest.mark.parametrize(
    ("share", "calls_per_h", "changeovers_h", "rank"),
    [(0.02, 0.1, 0.0, 1.0), (0.026, 0.1, 0.0, 2.0), (0.02, 0.1, 200.0, 2.0), (0.0, 2.1, 0.0, 2.0)],
)
def test_f_follows_hours_and_calls(share: float, calls_per_h: float, changeovers_h: float, rank: float) -> None:
    """Beyond a twentieth of the hours there, changeovers counted, or a call every quarter of an hour; and why."""
    guard = next(each for each in BOOK.safeguards.choices if each.id == "fence")
    sheet, concept = sheet_of(changeovers_h), result(ARM).concept
    sheet.add(guard.judged["frequency"])
    post = Post(sheet=sheet, catalogue=BOOK, concept=concept, guard=guard, base=concept.id)
    found = frequency(post, counted(share, calls_per_h), guard.judged["frequency"])

    assert (found.value, found.low) == (rank, None)
    assert because(found, guard.judged["frequency"]) == (MORE if rank > 1.0 else LESS)
    assert frequency(post, None, guard.judged["frequency"]) is guard.judged["frequency"]
    high = replace(guard.judged["frequency"], value=2.0)
    assert frequency(post, counted(share, calls_per_h), high) is high


def test_hours_of_a_year_by_kind_come_to_those_of_all_duties_and_parts() -> None:
    """Clearing, refills and work on the parts, by the parts that hours are counted for; an absence is nobody's."""
    sheet, own = sheet_of(0.0), counted(0.02, 0.1)
    behind = {
        "tended_parts_per_y": 36_000.0,
        "good_share": 1.0,
        "loads_per_h": 10.0,
        "inside_s": 20.0,
        "duties_s": 79.2,
    }
    for name, value in behind.items():
        if f"{TOP}.{name}" not in sheet:
            sheet.add(Fact(id=f"{TOP}.{name}", value=value, unit="1", basis="given", source="a test"))
    bench = Bench(
        result=replace(result(ARM), performance=own), performance=own, inquiry=study().inquiry, catalogue=BOOK,
        sheet=sheet,
    )  # fmt: skip
    by_year(bench)
    timed = result(ARM).timing
    assert timed is not None
    each = sheet.value(timed.operations[-1].parts_per_load) * sheet.value(f"{TOP}.loads_per_h")
    parts = sheet.value(f"{TOP}.tended_parts_per_y") / sheet.value(f"{TOP}.good_share")

    assert sheet.value("introduction.year.stops_h") == pytest.approx(parts * 0.02 / each)
    assert sheet.value("introduction.year.refill_h") == pytest.approx(parts * 0.2 / each)
    assert sheet.value("introduction.year.parts_h") == pytest.approx(parts * sheet.value(f"{TOP}.inside_s") / 3600.0)
    assert "introduction.year.else_h" not in sheet


def test_a_shift_with_a_standing_arm_and_a_lot_at_night_need_what_they_follow_from() -> None:
    """Nothing without hours of refilling, without hours alone, or where one family has the machines."""
    sheet, own = sheet_of(0.0), counted(0.02, 0.1)
    inquiry = study().inquiry
    bench = Bench(result=result(ARM), performance=own, inquiry=inquiry, catalogue=BOOK, sheet=sheet)
    if_it_stands(bench)
    lots_alone(replace(bench, performance=replace(own, parts_alone=None)))

    assert "introduction.shift_if_it_stands" not in sheet
    assert "introduction.lot_ends" not in sheet
