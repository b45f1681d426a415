"""The sums behind a saving: each sentence has the figures that its line of the case was worked out from."""

from dataclasses import replace

import pytest

from millhand.model.case import CashLine
from millhand.model.fact import Fact
from millhand.report.proposal.behind import behind
from millhand.report.proposal.ground import Ground
from tests.report.proposal.told_proposal import base, teller

ROWS = (
    ("today", 3_675.0, "h/y", ()), ("still", 1_837.5, "h/y", ()),
    ("freed", 1_837.5, "h/y", (("today_h_per_y", "today"), ("still_h_per_y", "still"))),
    ("wage", 30.333, "money/h", ()), ("share", 0.7, "1", ()),
    ("labour", 39_016.0, "money/y", (("freed_h_per_y", "freed"), ("wage_money_per_h", "wage"),
                                     ("usable_share", "share"))),
    ("parts", 13_469.0, "parts/y", ()), ("each", 3.4, "money/part", ()),
    ("output", 45_793.0, "money/y", (("changed_parts_per_y", "parts"), ("contribution_per_part", "each"))),
    ("nothing", 0.0, "money/y", (("changed_parts_per_y", "parts"), ("contribution_per_part", "each"))),
)  # fmt: skip


def ground(**lines: str) -> Ground:
    """The fixture's cell with some lines of its case."""
    found = base("long")
    assert found.subject is not None
    assert found.subject.case is not None
    facts = {
        name: Fact(id=name, value=value, unit=unit, basis="computed", source="a test", inputs=inputs)
        for name, value, unit, inputs in ROWS
    }
    model = found.subject.case.lines[0]
    made: tuple[CashLine, ...] = tuple(replace(model, id=name, amount=fact) for name, fact in lines.items())
    subject = replace(found.subject, case=replace(found.subject.case, lines=made))
    return replace(found, subject=subject, facts={**found.facts, **facts})


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "people tend 3 680 h a year today and 1 840 h then, 1 840 h less; an hour worked costs 30.3 USD, and "
               "70 % of the freed hours count, 39 000 USD a year."),
        ("de", "heute 3 680 h im Jahr und dann 1 840 h, das sind 1 840 h weniger; eine gearbeitete Stunde kostet "
               "30,3 USD, und von den freien Stunden zählen 70 %, 39 000 USD im Jahr."),
    ],
)  # fmt: skip
def test_freed_work_has_its_hours_its_wage_and_its_share(language: str, words: str) -> None:
    """As the line of the case was worked out."""
    here = ground(labour="labour")
    says = replace(teller(language, "long"), facts=here.facts)
    assert words in " ".join(says.plain(each) for each in behind(here)).replace("\u202f", " ")


def test_more_output_has_its_parts_and_what_is_left_of_each_and_a_line_of_nothing_is_left_out() -> None:
    """With somebody there; nothing of the one that is nought, nor of a case without such lines."""
    here = ground(extra_output="output", extra_alone_output="nothing")
    says = replace(teller("en", "long"), facts=here.facts)
    told = [says.plain(each).replace("\u202f", " ") for each in behind(here)]

    assert told == ["Behind more output with somebody there: 13 500 parts a year more than today, 3.40 USD left of "
                    "each, 45 800 USD a year."]  # fmt: skip
    assert list(behind(ground())) == []
