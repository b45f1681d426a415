"""What is weighed against what, as a reader sees it: rows, signs, the funnel's words."""

from millhand.report.marks import marks_of
from millhand.report.terminal import funnel_parts, page_of
from millhand.report.tradeoff import funnel_rows, traded_rows
from tests.report.fixture_study import study


def test_who_is_beaten_names_the_signs_of_those_that_beat_it() -> None:
    """The second vise beats the cell of the small study; today and the vise are beaten by nobody."""
    rows = traded_rows(study())

    assert [(each.sign, each.beaten_by) for each in rows] == [("A", ()), ("B", ()), ("C", ("B",))]


def test_the_funnel_says_where_each_was_left() -> None:
    """From all combinations to what was simulated, a check with its nearest miss."""
    rows = funnel_rows(study(), marks_of(study()))
    fell = next(each for each in rows if each.words == "fell at payload")

    assert next(each.words for each in rows) == "combinations of what the catalogue holds"
    assert rows[-1].words == "simulated"
    assert fell.nearest
    assert fell.margin is not None


def test_the_screen_names_only_steps_at_which_some_were_left() -> None:
    """No step with nothing in it; the numbers are exact."""
    words = "".join(str(each.renderable) for each in funnel_parts(page_of(study())))  # type: ignore[attr-defined]

    assert words == (
        "Of 12 combinations 9 are left out by rules, 1 because a smaller arm does the same, 1 end at payload, "
        "1 bring less than the best even at their load bound. Of the simulated ones, the ways by hand and today "
        "nothing beats 2 in everything."
    )
