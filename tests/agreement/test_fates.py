"""What becomes of freed hours: shares of what there is, whole heads, and never more hours than came free."""

import math
from dataclasses import replace

import pytest

from millhand.formulas.fates import fate_h_per_y, whole_heads_h_per_y
from millhand.model.shop import Fates
from tests.checks import OWN, Check, assert_holds
from tests.stages.money_shop import Made, fact, made

HEAD_H = 1937.5  # 250 days of 7.75 h


def check(formula: str, expected: float, **inputs: object) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


CHECKS = [
    check("fate_h_per_y", 3000.0 * 0.4, freed_h_per_y=3000.0, share=0.4, shares=(0.4, 0.3, 0.1)),
    check("fate_h_per_y", 3000.0 * 0.4 / 1.2, freed_h_per_y=3000.0, share=0.4, shares=(0.4, 0.8)),
    check("whole_heads_h_per_y", 2 * HEAD_H, open_h_per_y=4100.0, head_h_per_y=HEAD_H),
    check("fate_money_per_y", 300.0 * 36.0 + 300.0 * 9.0, fate_h_per_y=300.0, wage_money_per_h=36.0, worth_share=1.25),
    check(
        "labour_of_fates_money_per_y", 60_000.0, freed_h_per_y=2000.0, wage_money_per_h=36.0,
        amounts_money=(36_000.0, 24_000.0),
    ),
]  # fmt: skip


def fates(**told: float) -> Fates:
    """Fates by their shares and worths; what is not told is left out."""
    names = Fates.__dataclass_fields__
    return Fates(**{name: fact(f"people.freed.{name}", told[name]) if name in told else None for name in names})


def shop(told: Fates) -> Made:
    """The hand-made shop whose freed hours meet with these fates."""
    return made(people={"freed": told})


def figure(of: Made, name: str) -> float:
    """A figure of the case."""
    return of.value(f"concepts.{of.concept.id}.case.{name}")


@pytest.mark.parametrize("shares", [(0.5, 0.2, 0.1), (0.9, 0.9, 0.9), (1.0, 0.0, 0.0)])
@pytest.mark.parametrize("freed", [-300.0, 0.0, 4100.0])
def test_fates_never_take_more_hours_than_came_free(freed: float, shares: tuple[float, ...]) -> None:
    """Whatever the shares, in a draw beyond one together too."""
    taken = [fate_h_per_y(freed, share=share, shares=shares) for share in shares]

    assert math.fsum(taken) <= max(0.0, freed) * (1.0 + 1e-12)
    assert min(taken) >= 0.0
    assert whole_heads_h_per_y(taken[0], head_h_per_y=HEAD_H) <= taken[0]


def test_each_fate_brings_what_its_hours_are_worth() -> None:
    """Whole posts at what an hour costs, other hours at their worth, the rest nothing: added up by hand."""
    of = shop(
        fates(not_hired=0.6, redeployed=0.2, redeployed_worth=0.7, overtime=0.1, overtime_worth=1.25, not_usable=0.1)
    )
    freed, wage = figure(of, "freed_hours"), of.value(of.estimate.worked_hour)
    head = of.value("shifts.head_h_per_y")
    posts = math.floor(0.6 * freed / head) * head

    assert figure(of, "labour") == pytest.approx(wage * (posts + 0.2 * 0.7 * freed + 0.1 * 1.25 * freed), rel=1e-12)
    assert posts < 0.6 * freed
    assert figure(of, "fates.not_hired_posts_h") == posts


def test_one_head_alone_is_no_part_of_a_post() -> None:
    """Hours that fill no whole post bring nothing as not hired, and all of it as less overtime."""
    few = 0.9 * made().value("shifts.head_h_per_y") / figure(made(), "freed_hours")

    assert figure(shop(fates(not_hired=few)), "labour") == 0.0
    assert figure(shop(fates(overtime=few, overtime_worth=1.0)), "labour") > 0.0


def test_all_of_it_as_less_overtime_is_the_one_use_with_a_share_of_one() -> None:
    """Two ways to say the same give the same money, in labour and in present worth."""
    one = made(people={"share_usable": fact("people.share_usable", 1.0)})
    fate = shop(fates(overtime=1.0, overtime_worth=1.0))

    assert figure(fate, "labour") == pytest.approx(figure(one, "labour"), rel=1e-12)
    assert figure(fate, "npv") == pytest.approx(figure(one, "npv"), rel=1e-12)


def test_what_is_more_work_than_today_costs_in_full() -> None:
    """Where a way needs more hours than today, no fate makes it cheaper."""
    of = made(people={"freed": fates(not_hired=1.0)}, output={"cell": (40_000.0, 9_000.0)})
    freed, wage = figure(of, "freed_hours"), of.value(of.estimate.worked_hour)

    assert freed < 0.0
    assert figure(of, "labour") == pytest.approx(freed * wage, rel=1e-12)


def test_money_in_hand_leaves_out_other_work() -> None:
    """Of several fates other work alone is no money in hand."""
    from millhand.report.workbook.flows import flows
    from millhand.report.workbook.graph import graph
    from millhand.report.workbook.in_hand import in_hand
    from tests.report.fixture_book import as_study

    of = shop(fates(redeployed=0.5, redeployed_worth=0.8, overtime=0.3, overtime_worth=1.2))
    study = as_study(of)
    known = graph(study, replace(study.results[1]))
    found = {each.words: each for each in in_hand(known, flows(known))}

    assert found["Labour that is used otherwise"].value == pytest.approx(figure(of, "fates.redeployed"))
    assert found["Labour for which less is paid"].value == pytest.approx(figure(of, "fates.overtime"))
    assert found["Labour for which less is paid"].says == "case_labour-case_fates_redeployed"


@pytest.mark.parametrize("each", CHECKS, ids=str)
def test_two_ways_agree(each: Check) -> None:
    """Both ways give the same number."""
    assert_holds(each)
