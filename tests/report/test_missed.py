"""A study in which no cell can work: the page draws the one that comes nearest and says all over that it does not."""

from dataclasses import replace

from millhand.model.study import Result, Study
from millhand.report.html import report_html
from millhand.report.missed import failing, nearest_miss
from tests.report.fixture_study import ARM, study


def fell(result: Result, checks: set[str]) -> Result:
    """The cell with some of its checks failed so that they end it, and nothing worked out for it."""
    verdicts = tuple(
        replace(each, holds=False, kills=True) if each.check in checks else each for each in result.verdicts
    )
    return replace(result, verdicts=verdicts, cell=None, performance=None, estimate=None, case=None, schedule=None)


def without_cells(*, checks: set[str]) -> Study:
    """The fixture with its placed cell fallen: the answer is no."""
    of = study()
    results = tuple(fell(each, checks) if each.concept.id == ARM else each for each in of.results)
    ranking = tuple(
        replace(each, place=None, fell=sorted(checks)[0]) if each.concept == ARM else each
        for each in of.decision.ranking
    )
    second = next(each.concept.id for each in of.results if each.concept.kind == "by_hand")
    answer = replace(of.decision, answer="no", winner="today", second=second, ranking=ranking, drivers=())
    return replace(of, results=results, decision=answer, safeguarding=None)


def test_the_nearest_miss_is_drawn_and_marked() -> None:
    """Plan and side in a dashed frame with words over both, and the check that fails in words."""
    page = report_html(without_cells(checks={"reach"}))

    assert "No cell can work here. Drawn is the one that comes nearest." in page
    assert page.count("does not work</span></h3>") == 2
    assert 'class="columns views failing"' in page
    assert '<a href="#cell">' in page
    assert "One cycle, element by element" not in page


def test_where_a_cell_works_nothing_is_missed() -> None:
    """No frame, no stamp."""
    page = report_html(study())

    assert nearest_miss(study()) is None
    assert 'views failing"' not in page


def test_the_one_that_lacks_least_is_the_nearest() -> None:
    """By the worst of its failed checks that end it; one with a further one below that lies behind it."""
    of = without_cells(checks={"reach"})
    (near,) = [each for each in of.results if each.concept.id == ARM]
    other = replace(near, concept=replace(near.concept, id="other"))
    worse = replace(other, verdicts=tuple(replace(each, holds=False, kills=True) for each in other.verdicts))
    margins = [of.facts[each.margin].value for each in failing(worse)]

    assert min(margins) < of.facts[failing(near)[0].margin].value
    rest = tuple(each for each in of.results if each is not near)
    for order in ((near, worse), (worse, near)):
        assert nearest_miss(replace(of, results=(*rest, *order))) is near
