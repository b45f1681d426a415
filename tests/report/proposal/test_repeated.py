"""What would stand in row after row of a table is said once, and every row still leads to it."""

from millhand.report.proposal.records import EMPTY, Column, Given, Say, Table
from millhand.report.proposal.repeated import by_letter, filled, under_groups

ONE, TWO = Say(key="a"), Say(key="b", slots={"x": Given(text="1")})


def row(text: str) -> tuple[Given, Given]:
    """A row of two cells."""
    return Given(text=text), Given(text=text * 2)


def test_neighbours_that_share_words_stand_under_them() -> None:
    """The words stand once over each run of rows, with the numbers of these rows; none is lost or moved."""
    rows, groups = under_groups([(ONE, row("p")), (ONE, row("q")), (TWO, row("r")), (ONE, row("s"))])

    assert rows == (
        (ONE, EMPTY), row("p"), row("q"), (TWO, EMPTY), row("r"), (ONE, EMPTY), row("s"),
    )  # fmt: skip
    assert groups == (0, 3, 5)


def test_words_that_come_twice_get_a_letter_that_is_explained_once() -> None:
    """In the order in which they come; where each comes once they stay where they are."""
    same = Say(key="b", slots={"x": Given(text="1")})
    letters, meant = by_letter([ONE, TWO, same])

    assert letters == (Given(text="a"), Given(text="b"), Given(text="b"))
    (table,) = meant
    assert isinstance(table, Table)
    assert table.rows == ((Given(text="a"), ONE), (Given(text="b"), TWO))
    assert by_letter([ONE, TWO]) == ((ONE, TWO), ())


def test_a_column_that_says_nothing_is_left_out() -> None:
    """Dashes alone, under words that stand over their rows too; a column with one word stays."""
    dash, heads = Say(key="page.none"), tuple(Column(head=each) for each in "abc")
    table = Table(
        columns=heads, rows=((ONE, EMPTY, EMPTY), (row("p")[0], dash, dash), (row("q")[0], dash, ONE)), groups=(0,)
    )
    made = filled(table)

    assert [each.head for each in made.columns] == ["a", "c"]
    assert made.rows == ((ONE, EMPTY), (row("p")[0], dash), (row("q")[0], ONE))
    assert made.groups == (0,)
