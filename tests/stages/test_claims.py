"""Three fantasies told in words: a wage saved twice, output nobody ordered, a night at the day's fault rate."""

import dataclasses
from collections.abc import Mapping

import pytest

from millhand.model.claims import Claimed, Claims
from millhand.model.study import Result
from millhand.report.view import sentence
from millhand.stages.claims import claimed, meant
from millhand.trace import Sheet
from tests.stages.money_shop import Made, concept, fact, made, performance

UNITS = {"heads": "heads", "extra_parts_per_y": "parts/y", "parts_alone": "parts", "payback_months": "months",
         "price": "money"}  # fmt: skip


def answers(
    claims: Mapping[str, float], *, numbers: Mapping[str, float] | None = None
) -> tuple[Made, dict[str, Claimed]]:
    """What the study of the hand-made shop says to claims; the cell makes 16 an hour, and 31 in a night of 4 h."""
    counted = made(numbers={"wishes.unattended": 14_400.0, **(numbers or {})}, output={"cell": (52_000.0, 900.0)})
    sheet = counted.sheet
    told = {name: fact(f"claims.{name}", value, UNITS[name]) for name, value in claims.items()}
    sheet.extend((fact("rate_by_day", 16.0, "parts/h"), fact("alone", 31.0, "parts"), *told.values()))
    record = Claims(by="The owner's sheet", **{name: told.get(name) for name in UNITS})
    asked = dataclasses.replace(counted.inquiry, claims=record)
    own = dataclasses.replace(counted.performance, attended_per_h="rate_by_day", parts_alone="alone")
    cell = Result(concept=counted.concept, verdicts=(), performance=own, estimate=counted.estimate, case=counted.case)
    today = Result(concept=concept("today"), verdicts=(), performance=performance_of_today(sheet))
    return counted, {each.claim: each for each in claimed(asked, cell, today, sheet)}


def performance_of_today(sheet: Sheet):  # type: ignore[no-untyped-def]
    """Today's performance, as the shop has it: 50 000 parts, 3 750 hours."""
    return performance(concept("today"), sheet, (50_000.0, 3_750.0))


def words(counted: Made, answer: Claimed) -> str:
    """The sentence as a reader sees it, narrow spaces as plain ones."""
    return sentence(answer.words, counted.sheet.facts, currency="USD").replace("\u202f", " ")


def test_a_whole_wage_saved_twice_is_told_so() -> None:
    """Four posts of 1 875 h are 7 500 h, and these machines bind 3 750 h of people."""
    counted, found = answers({"heads": 4.0})

    assert found["heads"].finding == "twice"
    assert words(counted, found["heads"]) == (
        "The owner's sheet saves 4 posts, 7 500 h a year. These machines bind only 3 750 h of people today: the rest "
        "is a wage saved twice, paid for other work already. 2 850 h come free, and 900 h still need somebody."
    )


def test_posts_that_are_still_needed_are_not_saved() -> None:
    """Two posts are all hours of today; 900 of them stay."""
    counted, found = answers({"heads": 2.0})

    assert found["heads"].finding == "too_many"
    assert "2 850 h come free: 900 h still need somebody, to refill, gauge" in words(counted, found["heads"])


def test_output_nobody_ordered_is_told_so() -> None:
    """All 50 000 ordered parts are made today: 2 000 more are worth nothing."""
    counted, found = answers({"extra_parts_per_y": 2_000.0})

    assert found["extra_parts_per_y"].finding == "unordered"
    assert words(counted, found["extra_parts_per_y"]) == (
        "The owner's sheet counts 2 000 parts a year more. Nobody ordered them: all that is ordered is made today "
        "already, and only what is ordered is counted as money. Who takes the rest, and at which price?"
    )


def test_output_that_is_ordered_and_cannot_be_made_is_told_so() -> None:
    """30 000 more are ordered, and this cell makes 2 000 of them."""
    counted, found = answers({"extra_parts_per_y": 30_000.0}, numbers={"parts.bracket.orders": 80_000.0})

    assert found["extra_parts_per_y"].finding == "too_many"
    assert "They are ordered, but this way makes 2 000 of them." in words(counted, found["extra_parts_per_y"])


def test_a_night_at_the_days_rate_is_told_so() -> None:
    """Four hours at 16 an hour are 64; expected are 31."""
    counted, found = answers({"parts_alone": 64.0})

    assert found["parts_alone"].finding == "day_rate"
    assert words(counted, found["parts_alone"]) == (
        "The owner's sheet makes 64 parts with nobody there. That is the day's rate for all hours alone, 64, with "
        "stops that somebody clears. Alone, the first stop, a worn tool or an empty presenter ends the run: expected "
        "are 31."
    )


@pytest.mark.parametrize(
    ("claim", "value", "finding"),
    [("heads", 1.5, "fits"), ("parts_alone", 45.0, "too_many"), ("parts_alone", 30.0, "fits"),
     ("payback_months", 10.0, "too_soon"), ("payback_months", 60.0, "fits"), ("price", 60_000.0, "too_cheap"),
     ("price", 260_000.0, "fits")],
)  # fmt: skip
def test_what_fits_is_told_as_well(claim: str, value: float, finding: str) -> None:
    """Each claim has its words, whether it holds or not."""
    counted, found = answers({claim: value})

    assert found[claim].finding == finding
    assert words(counted, found[claim]).startswith("The owner's sheet ")
    assert words(counted, found[claim]).endswith(".")


def test_where_nothing_is_claimed_nothing_is_said() -> None:
    """No claims, no rows."""
    counted = made()
    cell = Result(concept=counted.concept, verdicts=(), performance=counted.performance, case=counted.case)

    assert claimed(counted.inquiry, cell, cell, counted.sheet) == ()


def test_claims_are_held_against_the_best_cell() -> None:
    """A cell that gets as far as a case is what others talk about, also where a change by hand is advised."""
    sheet = Sheet()
    cell, hand = (made(kind, shop=sheet) for kind in ("cell", "by_hand"))
    results = tuple(Result(concept=each.concept, verdicts=(), case=each.case) for each in (hand, cell))

    assert meant(results, results[0], sheet) is results[1]
    assert meant(results[:1], results[0], sheet) is results[0]
