"""The assumptions: each row belongs to a key of the inquiry, in its unit or its words, with source and question."""

from collections.abc import Iterator
from itertools import combinations

import pytest

from millhand.catalogue.assumptions import assumptions, of_row
from millhand.errors import ToolError
from millhand.intake.form import Entry, Group, Number, Several, Word
from millhand.intake.form_part import PARTS
from millhand.intake.form_work import INQUIRY, KINDS, MACHINES
from millhand.intake.inquiry import SELF_FED
from millhand.intake.units import CURRENCIES, DIMENSIONS
from millhand.model.fact import Assumption

ROWS = list(assumptions().values())
# Paths of rows that stand for something else than one key: a share of another measure, or the break that is usual.
OTHER = {
    "parts.*.finished.size": "1",
    "parts.*.finished_mass": "1",
    "parts.*.mesh.density": "kg/m3",
    "shifts.*.breaks.*.length": "s",
    "shifts.*.start": "s",
}
# What intake works out itself, and what may stay as it was given.
WORKED_OUT = {"people.operators", "people.machines_per_operator"}
BY_WORDS = {"shifts.*.premium", "money.exchange_rate"}  # no row without words: order of the shift, currency


def paths(entries: tuple[Entry, ...], above: str = "") -> Iterator[tuple[str, Number | Word]]:
    """Path and entry of every number and word of an inquiry, names as stars."""
    for entry in entries:
        path = f"{above}{entry.key}"
        if isinstance(entry, Number | Word):
            yield path, entry
        elif isinstance(entry, Group):
            yield from paths(entry.entries, f"{path}.")
        elif isinstance(entry, Several):
            yield from paths(entry.entries, f"{above}*." if entry.key == "operations" else f"{path}.*.")


FORM = dict(paths(INQUIRY.entries))


def path_of(row: Assumption) -> str:
    """The path of a row, the names of usual elements as stars."""
    path = row.key.partition("@")[0].split(".")
    if path[:2] == ["today", "elements"]:
        path[2] = "*"
    return ".".join(path)


def words_of(row: Assumption) -> frozenset[str]:
    """The words that a row asks for."""
    words = row.key.partition("@")[2]
    return frozenset(words.split("+") if words else ())


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_a_row_belongs_to_a_key_of_the_inquiry(row: Assumption) -> None:
    """A number in the unit of the key, inside its limits; a word out of its words."""
    path = path_of(row)
    entry = FORM.get(path)

    assert row.source
    assert row.question.endswith("?")
    if path in OTHER:
        assert row.unit == OTHER[path]
    elif isinstance(entry, Word):
        assert row.word in entry.options
    else:
        assert isinstance(entry, Number)
        assert row.unit == DIMENSIONS[entry.dimension].si
        for end in (row.value, row.low, row.high):
            assert end is None or entry.least <= end <= entry.most


@pytest.mark.parametrize("path", [path for path, entry in FORM.items() if entry.gap == "assume"])
def test_a_key_that_may_be_left_out_has_a_row(path: str) -> None:
    """One without words, so that it fits everywhere; or it is worked out, or the words cover all there are."""
    bare = {path_of(row) for row in ROWS if not words_of(row)}

    assert path in bare | WORKED_OUT | BY_WORDS


def test_rows_by_words_cover_what_may_come() -> None:
    """The third shift stands for all later ones; currencies without a row are asked for."""
    assert {"shifts.*.premium@first", "shifts.*.premium@second", "shifts.*.premium@third"} <= set(assumptions())
    assert {key.partition("@")[2] for key in assumptions() if key.startswith("money.exchange_rate")} <= CURRENCIES


def exclusive() -> list[frozenset[str]]:
    """Sets of words of which only one can be true of a thing."""
    words = [frozenset(entry.options) for entry in (*MACHINES.entries, *PARTS.entries) if isinstance(entry, Word)]
    countries = frozenset(w for row in ROWS for w in words_of(row) if w.isupper() and len(w) == 2)
    freed = frozenset({"none", "finishing", "programming", "setups", "vacancy", "overtime", "temporary"})
    loads = frozenset(
        {*KINDS, "self_fed", *(f"self_fed_{kind}" for kind in SELF_FED)}
    )  # one word for what feeds itself
    return [*words, loads, countries, CURRENCIES, freed, frozenset({"first", "second", "third"})]


def test_no_two_rows_fit_equally_well() -> None:
    """Where two rows with as many words can both be true, a row with the words of both decides."""
    groups = exclusive()
    for one, other in combinations(ROWS, 2):
        a, b = words_of(one), words_of(other)
        if one.key.partition("@")[0] != other.key.partition("@")[0] or len(a) != len(b):
            continue
        if not any(len((a | b) & group) > 1 for group in groups):
            assert f"{one.key.partition('@')[0]}@{'+'.join(sorted(a | b))}" in {
                f"{row.key.partition('@')[0]}@{'+'.join(sorted(words_of(row)))}" for row in ROWS
            }, f"{one.key} and {other.key}"


def test_three_questions_could_end_the_job() -> None:
    """What is in the time, what the control offers, how door and clamping open: one rank each."""
    asked = {row.kills: {other.question for other in ROWS if other.kills == row.kills} for row in ROWS if row.kills}

    assert sorted(asked) == [1, 2, 3]
    assert all(len(questions) == 1 for questions in asked.values())


GOOD = {"key": "a.b", "value": "2", "low": "1", "high": "3", "unit": "m", "shape": "triangular", "word": "",
        "source": "x", "question": "y?", "kills": "0"}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"value": ""}, "needs a value or a word"), ({"word": "yes"}, "needs a value or a word"),
        ({"low": "2.5"}, "outside its own range"), ({"high": "1.5"}, "outside its own range"),
    ],
)  # fmt: skip
def test_a_wrong_row_is_our_own_fault(change: dict[str, str], words: str) -> None:
    """Neither value nor word, both, or a range that leaves the value out."""
    assert of_row(GOOD).value == 2.0

    with pytest.raises(ToolError, match=words):
        of_row(GOOD | change)


@pytest.mark.parametrize("key", ["machines.*.chip_limit@other", "parts.*.*.tool_life@other"])
def test_what_another_kind_of_machine_may_lack_is_asked_with_what_to_write_then(key: str) -> None:
    """A washer has neither chips nor tools; what is assumed until somebody says so is what any machine gets."""
    row, usual = assumptions()[key], assumptions()[key.partition("@")[0]]

    assert "1000000 where" in row.question
    assert (row.value, row.low, row.high) == (usual.value, usual.low, usual.high)
