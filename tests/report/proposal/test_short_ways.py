"""Two pages hold as today, the best change by hand and the best cell side by side, and what the figures rest on."""

from dataclasses import replace

import pytest

from millhand.report.proposal.ground import Ground, figure, ground
from millhand.report.proposal.records import Item, Paragraph, Table
from millhand.report.proposal.short_rests import rests
from millhand.report.proposal.short_ways import ways
from tests.report.fixture_study import ARM
from tests.report.proposal.told_proposal import base, proposed, teller


def plain(of: Ground, *items: Item) -> str:
    """The words."""
    says = replace(teller("en", "short"), facts=of.facts)
    return " | ".join(says.plain(each) for each in items).replace("\u202f", " ")


def by_hand() -> Ground:
    """The fixture where a change by hand is advised."""
    done = proposed()
    decided = replace(done.decision, answer="by_hand", winner="by_hand-second_vise", second=None)
    return ground(replace(done, decision=decided, acceptance=None), long=False)


def lines(of: Ground) -> list[str]:
    """The rows of the comparison, then what stands below it."""
    found = []
    for each in ways(of):
        found += [plain(of, *row) for row in each.rows] if isinstance(each, Table) else []
        found += [plain(of, each.item)] if isinstance(each, Paragraph) else []
    return found


def test_a_cell_that_is_not_advised_has_price_payback_and_reason() -> None:
    """Beside today and the change by hand that is advised."""
    told = lines(by_hand())
    cell = told[-1]

    assert len(told) == 3
    assert told[0].startswith("as today | ")
    assert cell.startswith("Drawers, Fenced arm 20 kg, ")
    assert " | 130 000 | " in cell
    assert cell.rpartition(" | ")[2]


def test_a_cell_that_is_advised_stands_beside_the_best_change_by_hand() -> None:
    """The same three rows, the cell proposed."""
    told = lines(base("short"))

    assert [each.rpartition(" | ")[2] == "proposed" for each in told] == [False, False, True]


def test_where_no_cell_can_work_what_ended_the_nearest_is_said() -> None:
    """In the place of its row."""
    of = by_hand()
    fallen = tuple(
        replace(each, verdicts=tuple(replace(one, holds=False, kills=True) for one in each.verdicts), estimate=None)
        if each.concept.id == ARM else each for each in of.study.results
    )  # fmt: skip
    told = lines(ground(replace(of.study, results=fallen), long=False))

    assert len(told) == 3
    assert told[-1].startswith("Cells with a robot were looked at as well, and none can do this work. Nearest came ")


@pytest.mark.parametrize("basis", ["given", "assumed"])
def test_what_the_figures_rest_on_says_whether_it_was_told(basis: str) -> None:
    """Spacing, breaks, changeover, good parts, gauging, stops and the contribution of a part."""
    done = proposed()
    part, today = done.inquiry.parts[0], done.inquiry.today
    setup = replace(today.setup_s, basis=basis)  # type: ignore[arg-type]
    asked = replace(done.inquiry, today=replace(today, setup_s=setup))
    of = ground(replace(done, inquiry=asked), long=False)
    table = next(rests(of))
    assert isinstance(table, Table)
    told = " | ".join(plain(of, *row) for row in table.rows)

    word = "told" if basis == "given" else "assumed"
    assert f"Changeover between lots | {plain(of, setup_figure(of))} | {word}" in told
    for name in ("Between two machines", "Breaks of a shift", "Good parts of all made", "Gauged | one part in ",
                 "A tool is changed after", "Short stops of running time | every ",
                 "Interest, years counted", "Work days a year"):  # fmt: skip
        assert name in told
    assert part.contribution_per_part.value > 0.0
    assert "One more sold part leaves | " in told


def setup_figure(of: Ground) -> Item:
    """The changeover as a figure."""
    return figure(of.study.inquiry.today.setup_s.id, "minutes", "value")
