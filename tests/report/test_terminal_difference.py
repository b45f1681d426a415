"""Two studies on the terminal: the answers, the lines that moved them, what else differs; words and figures."""

from dataclasses import replace
from io import StringIO

import pytest
from rich.console import Console

from millhand.comparing import compared
from millhand.model.difference import Difference
from millhand.report.terminal import show
from millhand.report.terminal_difference import difference_parts
from millhand.report.view import MINUS
from tests.stages.two_studies import ARM, FLOW, RATE, VISE, changed, side


def screen(found: Difference) -> list[str]:
    """The lines in eighty columns, with plain spaces and signs."""
    out = StringIO()
    show(difference_parts(found), Console(file=out, width=80, highlight=False))
    text = out.getvalue().replace("\u202f", " ").replace("\u2060", "").replace("\u00a0", " ").replace(MINUS, "-")
    return text.splitlines()


def told(found: Difference) -> str:
    """All of it as one line."""
    return " ".join(" ".join(screen(found)).split())


def test_lines_stand_with_signs_and_the_whole_below() -> None:
    """Before and after, each change with its two values, the sum last."""
    first = side()
    lines = screen(compared(first, changed(first, {RATE: 0.08, FLOW: 80_000.0})))

    assert "Money, rate: 10 %, now 8 %                                      +37 000        0" in lines
    assert any(line.endswith("-10 000     +1.6") for line in lines)
    assert any(line.startswith("Whole difference") and line.endswith("+27 000     +1.6") for line in lines)
    assert any(line.split() == ["worth,", "USD", "300", "000", "330", "000"] for line in lines)
    assert max(map(len, lines)) <= 80
    assert "The advice is the same." in lines


def test_another_advice_is_told_with_both_concepts() -> None:
    """Each with its own lines in both studies; another seed and another version are told."""
    first = side()
    more = {"winner": VISE, "subject": VISE, "answer": "by_hand", "seed": 8, "version": "0.2.0"}
    words = told(compared(first, changed(first, {RATE: 0.08}, **more)))

    assert "The advice differs: Drawers, fenced arm 20 kg, double gripper, then By hand, with a second vise." in words
    assert "Both are compared in both studies." in words
    assert words.count("What moved:") == 2
    assert "Another seed (7, then 8): simulated figures differ by chance alone." in words
    assert "Another version (0.1.0, then 0.2.0): it may count otherwise." in words


def test_what_was_simulated_and_what_was_built_otherwise_is_explained() -> None:
    """A remainder says in words what it is, and a study without its cells what that costs."""
    first = side()
    flow = replace(first.facts[FLOW], basis="computed", source="simulation of cell 0123")
    first = replace(first, facts={**first.facts, FLOW: flow})
    words = told(compared(first, changed(first, {FLOW: 80_000.0})))

    assert "What was simulated anew -9 900" in words
    assert "no formula tells by which of it" in words
    assert "No cells stand beside study.json" in words


def test_changes_without_a_line_are_listed_by_what_they_are() -> None:
    """Better known, another word, only in one of the studies."""
    first = side()
    facts, choices = dict(first.facts), dict(first.choices)
    facts["people.absence"] = replace(facts["people.absence"], basis="given", low=None, high=None)
    facts["money.extra"] = replace(facts["people.absence"], id="money.extra", value=0.5)
    choices["people.tend"] = replace(choices["people.tend"], value="together")
    second = replace(first, facts=facts, choices=choices)
    words = told(compared(first, second))

    assert "The same figure, known otherwise: it moves ranges, not the figures above" in words
    assert "People, absence: 10 % (8 to 12), assumed, now 10 %, given" in words
    assert "Changed too: its effect is none, or lies in what was simulated or built anew" in words
    assert "People, tend: own, now together" in words
    assert "Only in the second - Money, extra: 0.5" in words
    assert "Only in the first - Money, extra: 0.5" in told(compared(second, first))
    assert "Nothing moved its figures." in words


def test_a_concept_that_one_study_lacks_has_no_figures_there() -> None:
    """A dash where there is nothing, never a nought; a payback that does not come is called so."""
    first = side()
    second = changed(first, {RATE: 0.08}, winner=VISE, subject=VISE)
    only_vise = replace(second, priced=tuple(each for each in second.priced if each.concept == VISE))
    never = replace(second, priced=tuple(replace(each, payback_months=None) for each in second.priced))

    assert any(line.split() == ["worth,", "USD", "300", "000", "-"] for line in screen(compared(first, only_vise)))
    assert "The second study has no figures for it: it cannot work there" in told(compared(first, only_vise))
    lines = screen(compared(first, never))
    assert any(line.startswith("payback") and line.endswith("never") for line in lines)
    assert "The payback is not shared out" in " ".join(lines)
    wild = replace(first, facts={**first.facts, RATE: replace(first.facts[RATE], value=-1.0)})
    assert "Nothing is shared out: some of the changes" in told(compared(first, wild))
    assert "Nothing moved its figures." not in told(compared(first, wild))


@pytest.mark.parametrize("kept", [0, 1])
def test_the_same_study_twice_differs_in_nothing(kept: int) -> None:
    """Said in words, in whichever order."""
    words = told(compared(*(side(), side())[:: 1 if kept else -1]))

    assert "No figure and no word of inquiry and catalogue differs." in words
    assert f"({ARM})" not in words
