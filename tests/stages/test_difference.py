"""Two studies beside each other: what changed, what it moved, and that the lines add up."""

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.comparing import compared
from millhand.errors import ToolError
from millhand.intake.cell import cell_from
from millhand.model.difference import Difference, Moved, Priced, Side
from millhand.model.fact import Fact
from millhand.model.slots import scaled
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.stages.difference.effects import BEYOND, MOST, NEVER
from millhand.trace import Sheet, apply
from tests.stages.two_studies import ARM, FLOW, RATE, VISE, changed, fact, side

TOP = Path(__file__).resolve().parents[2]
FLOWS = [f"concepts.{ARM}.case.flow_{year}" for year in range(1, 9)]


def of(found: Difference, concept: str = ARM) -> Moved:
    """What moved one concept."""
    return next(each for each in found.moved if each.concept == concept)


def numbers(each: Moved) -> dict[str, tuple[float, float]]:
    """Present worth and payback of every line."""
    lines = {effect.of or effect.kind: effect for effect in each.effects}
    return {
        name: (line.npv.value, line.payback_months.value if line.payback_months else math.nan)
        for name, line in lines.items()
    }


def kinds(each: Moved) -> list[str]:
    """The lines in their order, by kind."""
    return [effect.kind for effect in each.effects]


def test_one_change_takes_the_whole_difference() -> None:
    """A lower rate: the present worth by the closed form, and nothing of the simple payback."""
    first = side()
    second = changed(first, {RATE: 0.08})
    found = of(compared(first, second))

    flows = [first.facts[f"concepts.{ARM}.case.outlay"].value, *(first.facts[name].value for name in FLOWS)]
    worths = [math.fsum(flow / (1.0 + rate) ** year for year, flow in enumerate(flows)) for rate in (0.10, 0.08)]
    assert kinds(found) == ["input"]
    assert numbers(found)[RATE] == (pytest.approx(worths[1] - worths[0]), 0.0)


def test_two_changes_share_what_they_do_together() -> None:
    """A flow of the second year and the rate: by hand, each first and each last, the mean of both."""
    first = side()
    second = changed(first, {RATE: 0.08, FLOW: 80_000.0})
    found = numbers(of(compared(first, second)))

    flow = -12_000.0 * (1.1**-2 + 1.08**-2) / 2.0  # as the first change at the old rate, as the last at the new one
    whole = fact(second, ARM, "npv").value - fact(first, ARM, "npv").value
    assert found[FLOW][0] == pytest.approx(flow)
    assert found[RATE][0] == pytest.approx(whole - flow)
    assert found[FLOW][1] > 0.0


@given(rate=st.floats(0.02, 0.3), flows=st.lists(st.floats(50_000.0, 150_000.0), min_size=1, max_size=8),
       jump=st.floats(-5_000.0, 5_000.0))  # fmt: skip
def test_the_lines_add_up_and_the_exchange_of_the_studies_changes_every_sign(
    rate: float, flows: list[float], jump: float
) -> None:
    """Few changes or many, and a figure that no formula explains."""
    first = side()
    second = changed(first, {RATE: rate, **dict(zip(FLOWS, flows, strict=False))})
    npv = fact(second, ARM, "npv")
    second = replace(second, facts={**second.facts, npv.id: replace(npv, value=npv.value + jump)})
    there, back = of(compared(first, second)), of(compared(second, first))

    for name in ("npv", "payback_months"):
        values = [getattr(effect, name).value for effect in there.effects]
        whole = fact(second, ARM, name).value - fact(first, ARM, name).value
        assert math.fsum(values) == pytest.approx(whole, abs=1e-6)
        assert getattr(there.whole, name).value == pytest.approx(whole)
    turned = numbers(back)
    for name, pair in numbers(there).items():
        assert turned[name] == (-pair[0], -pair[1])
    assert turned.keys() == numbers(there).keys()


def test_many_changes_leave_a_line_for_what_they_do_together() -> None:
    """Nine changes: each first and each last; what is left of all is named, and nothing is lost."""
    first = side()
    second = changed(first, {RATE: 0.2, **dict.fromkeys(FLOWS, 120_000.0)})
    found = of(compared(first, second))

    assert len(FLOWS) + 1 > MOST
    assert not found.all_orders
    assert kinds(found) == [*["input"] * 9, "together"]
    assert abs(numbers(found)["together"][0]) > 1.0 or abs(numbers(found)["together"][1]) > 0.01


def test_what_a_solver_gave_anew_is_a_line_of_its_own() -> None:
    """A figure that a formula takes and a simulation gave; and one that has no counterpart."""
    first = side()
    flow = replace(first.facts[FLOW], basis="computed", source="simulation of cell 0123")
    first = replace(first, facts={**first.facts, FLOW: flow})
    second = changed(first, {RATE: 0.08, FLOW: 80_000.0})
    found = of(compared(first, second))

    assert kinds(found) == ["input", "simulated"]
    assert numbers(found)["simulated"][0] == pytest.approx(-12_000.0 * (1.1**-2 + 1.08**-2) / 2.0)
    built = {**second.facts, fact(second, ARM, "npv").id: replace(fact(second, ARM, "npv"), value=1e6)}
    assert kinds(of(compared(first, replace(second, facts=built)))) == ["input", "simulated", "otherwise"]


def test_a_payback_that_never_comes_is_not_shared_out() -> None:
    """The present worth is; the reason stands there in words."""
    first = side()
    second = changed(first, dict.fromkeys(FLOWS, 1_000.0))
    gone = tuple(replace(each, payback_months=None) if each.concept == ARM else each for each in second.priced)
    found = of(compared(first, replace(second, priced=gone)))

    assert found.reason == NEVER
    assert found.payback_months[1] is None
    assert {effect.payback_months for effect in found.effects} == {None}
    whole = fact(second, ARM, "npv").value - fact(first, ARM, "npv").value
    assert math.fsum(effect.npv.value for effect in found.effects) == pytest.approx(whole)


def test_changes_that_make_no_sense_alone_are_not_shared_out() -> None:
    """A rate of minus one divides by nothing; the whole difference stands, and why it has no lines."""
    first = side()
    second = replace(first, facts={**first.facts, RATE: replace(first.facts[RATE], value=-1.0)})
    found = of(compared(first, second))

    assert found.effects == ()
    assert found.reason == BEYOND
    assert found.whole is not None
    assert found.whole.npv.value == 0.0


def test_where_the_advice_differs_both_concepts_are_compared_in_both() -> None:
    """The first study's cell and the second one's vise; a concept that one study lacks says so."""
    first = side()
    second = changed(first, {RATE: 0.08}, winner=VISE, subject=VISE, answer="by_hand")
    found = compared(first, second)
    lacking = compared(first, replace(second, priced=tuple(e for e in second.priced if e.concept == VISE)))

    assert [each.concept for each in found.moved] == [ARM, VISE]
    assert all(each.effects for each in found.moved)
    assert (found.first.winner, found.second.winner) == (ARM, VISE)
    assert of(lacking).whole is None
    assert of(lacking).npv[1] is None
    assert of(lacking).reason.startswith("The second study has no figures for it")


def test_the_same_study_differs_in_nothing() -> None:
    """No change, no line, a difference of nought."""
    found = compared(side(), side())

    assert found.changes == ()
    assert [each.effects for each in found.moved] == [()]
    assert [each.whole.npv.value for each in found.moved if each.whole] == [0.0]


def test_changes_are_told_by_their_kind() -> None:
    """Another figure, another word, the same figure better known, one that only one study has; nothing computed."""
    first = side()
    facts, choices = dict(first.facts), dict(first.choices)
    facts["people.absence"] = replace(facts["people.absence"], basis="given", low=None, high=None, source="x")
    facts["wishes.more"] = Fact(id="wishes.more", value=1e5, unit="money", basis="given", source="x")
    choices["people.tend"] = replace(choices["people.tend"], value="together")
    second = replace(changed(replace(first, facts=facts), {RATE: 0.08}), choices=choices, seed=8)
    found = {each.id: each.kind for each in compared(first, second).changes}

    assert found == {RATE: "moved", "people.absence": "known", "wishes.more": "new", "people.tend": "moved"}
    turned = {each.id: each.kind for each in compared(second, first).changes}
    assert turned["wishes.more"] == "gone"


def test_two_currencies_are_refused_with_a_cure() -> None:
    """Euros and dollars are not taken from each other."""
    with pytest.raises(ToolError, match="EUR and USD: put them into one currency"):
        compared(side(currency="EUR"), side())


@pytest.mark.parametrize("with_cells", [True, False])
def test_the_load_bound_follows_what_changed(with_cells: bool) -> None:
    """With its cell at hand a shorter time moves the bound and all behind it; without, that is simulated anew."""
    found = of(compared(bounded(380.0, with_cells=with_cells), bounded(300.0, with_cells=with_cells)), "c")

    assert kinds(found) == (["input"] if with_cells else ["simulated"])
    assert found.effects[0].npv.value > 0.0


def bounded(time_s: float, *, with_cells: bool) -> Side:
    """A study whose present worth is that of a load bound, of a cell with so long a time at its machines."""
    data = json.loads((TOP / "examples" / "cells" / "one_operator_two_mills.json").read_text(encoding="utf-8"))
    cell = cell_from({**data, "origins": {"/parts/bracket/route/1/time_s": {"fact": "time"}}})
    cell = scaled(cell, {"time": time_s / 380.0})
    sheet = Sheet([
        Fact(id="time", value=time_s, unit="s", basis="given", source="x"),
        Fact(id="rate", value=0.1, unit="1", basis="given", source="x"),
        Fact(id="bound", value=rate_bound_per_h(cell), unit="1/h", basis="computed", source="x",
             inputs=(("", "time"),)),
    ])  # fmt: skip
    npv = apply(sheet, "present_worth", "npv", flows_money=(sheet["bound"], sheet["bound"]), rate=sheet["rate"])
    return Side(
        name="j", file="f", version="1", seed=1, currency="USD", answer="cell", winner="c", subject="c", choices={},
        titles={"c": "C"}, facts=sheet.facts, priced=(Priced(concept="c", npv=npv.id, payback_months=None),),
        cells={"bound": cell} if with_cells else {},
    )  # fmt: skip
