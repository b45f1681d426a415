"""Every question of every inquiry can be answered: the value gets to its fact, and the rest of the file stays."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.answers import merged
from millhand.intake.asked import Row, rows
from millhand.intake.inquiry import inquiry_and_form
from millhand.intake.inquiry_gaps import facts_of
from millhand.intake.question_sheet import Filled, Sheet
from millhand.intake.yaml_tree import read_tree
from millhand.model.fact import Fact
from millhand.report.question_sheet import meanwhile, typed_unit

TOP = Path(__file__).resolve().parents[2]
INQUIRIES = [
    *sorted((TOP / "examples").glob("*/inquiry.yaml")), *sorted((TOP / "examples" / "kinds").glob("*.yaml")),
    TOP / "tests" / "data" / "dozen.yaml", TOP / "tests" / "golden" / "inquiry_1.yaml",
    TOP / "tests" / "golden" / "inquiry_1_people.yaml", TOP / "tests" / "golden" / "inquiry_1_feeding.yaml",
]  # fmt: skip
OPEN = {
    "wishes.budget": "900 000", "wishes.floor": "90", "wishes.height": "9", "wishes.floor_load": "12",
    "money.tax": "20 %",
}  # fmt: skip


def answer(row: Row, number: int, *, currency: str, comma: bool) -> Filled:
    """What is counted meanwhile, given as the answer, as the sheet shows it."""
    text = OPEN.get(row.path) or meanwhile(row, currency).partition(" (")[0].replace("\u202f", " ")
    text = text.replace(".", ",") if comma else text
    return Filled(path=row.path, unit=typed_unit(row, currency), row=number, file="s.xlsx",
                  texts={"answer": text, "who": "Ann Lee: head, {shift} #1"})  # fmt: skip


@pytest.mark.parametrize("path", INQUIRIES, ids=lambda path: f"{path.parent.name}_{path.stem}")
def test_all_answers_at_once_reach_their_facts(path: Path) -> None:
    """As many as there are rows, each with its value to what the sheet shows, and every old line still there."""
    inquiry, opened = inquiry_and_form(read_tree(path), path.parent, assumptions())
    asked, comma = rows(inquiry, opened, assumptions()), opened.manner.comma
    filled = tuple(
        answer(row, number, currency=inquiry.shop.currency, comma=comma) for number, row in enumerate(asked, start=5)
    )
    found = merged(path, Sheet(file="s.xlsx", job=inquiry.name, rows=filled), assumptions(), path.parent)

    assert len(found.taken) == len(asked) > 10
    facts = {fact.id: fact for fact in facts_of(found.inquiry)}
    for row in asked:
        fact = facts[row.path]
        assert fact.basis == "given", row.path
        assert fact.source.endswith(", answered by Ann Lee: head, {shift} #1"), row.path
        if isinstance(fact, Fact) and isinstance(row.meanwhile, Fact):
            assert fact.value == pytest.approx(row.meanwhile.value, rel=0.05), row.path
    said = [line for line in path.read_text(encoding="utf-8").splitlines() if "unknown" not in line]
    kept = found.text.splitlines()
    assert [line for line in said if not any(new.startswith(line.removesuffix("}")) for new in kept)] == []
    assert not {row.path for row in asked} & {fact.id for fact in facts.values() if fact.basis == "assumed"}
