"""Whatever somebody does to a file, it ends in an inquiry that is whole or in errors with places and words."""

import dataclasses
import math
import typing
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.inquiry_gaps import questions
from millhand.intake.odd import oddities
from millhand.intake.yaml_tree import tree_of
from millhand.model.canonical import canonical
from millhand.model.fact import Choice, Fact

TOP = Path(__file__).resolve().parents[2]
LINES = (TOP / "tests" / "data" / "long.yaml").read_text(encoding="utf-8").split("\n")
WORDS = ("0", "1", "-1", "unknown", "[]", "{}", "~", "2 x 8 h", "24:00", "no", "round", "60 dia x 120 mm", "two_vises",
         "0 s", "1e9", "24 h", "100 %", "moulding", "{value: 1}", "[a]", "9 USD/h (8 USD/h to 10 USD/h)")  # fmt: skip


def lacking(record: Any) -> list[str]:
    """Fields of a record, and of those inside it, that should hold a fact and hold none."""
    wanted = {name: hint for name, hint in typing.get_type_hints(type(record)).items() if hint in (Fact, Choice)}
    found = [name for name, hint in wanted.items() if not isinstance(getattr(record, name), hint)]
    for each in dataclasses.fields(record):
        value = getattr(record, each.name)
        for one in value if isinstance(value, tuple) else (value,):
            if dataclasses.is_dataclass(one) and not isinstance(one, Fact | Choice):
                found += lacking(one)
            elif isinstance(one, Fact):
                ends = (
                    one.value if one.low is None else one.low,
                    one.value,
                    one.value if one.high is None else one.high,
                )
                assert ends == tuple(sorted(ends))
                assert all(map(math.isfinite, ends))
    return found


def outcome(text: str) -> str:
    """'whole' for an inquiry with every fact, 'words' for errors with places; anything else is a fault of ours."""
    try:
        inquiry = inquiry_of(tree_of(text.encode(), "i.yaml"), TOP, assumptions())
    except InputErrors as errors:
        good = all(e.where.startswith("i.yaml:") and e.read and e.write and e.code != "input" for e in errors.errors)
        return "words" if good and len({str(e) for e in errors.errors}) == len(errors.errors) else str(errors)
    oddities(inquiry, {"steel": 7850.0})
    questions(inquiry, assumptions())
    canonical(inquiry)
    return f"lacks {lacking(inquiry)}" if lacking(inquiry) else "whole"


@settings(max_examples=150)
@given(st.integers(0, len(LINES) - 1), st.sampled_from(WORDS))
def test_any_value_may_be_anything(line: int, word: str) -> None:
    """One value of the long example replaced by something that does not belong there."""
    key, colon, _ = LINES[line].partition(":")
    changed = [*LINES[:line], f"{key}: {word}" if colon else word, *LINES[line + 1 :]]

    assert outcome("\n".join(changed)) in ("whole", "words")


@settings(max_examples=150)
@given(st.integers(0, len(LINES) - 1), st.integers(0, 60), st.sampled_from(list("xX:,.{}[]-&*!? \t#0'\"")))
def test_any_letter_may_be_wrong(line: int, column: int, letter: str) -> None:
    """One letter put in somewhere."""
    text = LINES[line]
    changed = [*LINES[:line], text[:column] + letter + text[column:], *LINES[line + 1 :]]

    assert outcome("\n".join(changed)) in ("whole", "words")


@settings(max_examples=100)
@given(st.integers(0, len(LINES) - 1), st.integers(1, 4))
def test_any_lines_may_be_missing(line: int, count: int) -> None:
    """A few lines cut out."""
    assert outcome("\n".join([*LINES[:line], *LINES[line + count :]])) in ("whole", "words")
