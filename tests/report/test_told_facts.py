"""The list of facts is told in German: titles, notes, questions and words that the data and the stages give a fact."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import millhand
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.formulas import REGISTER
from millhand.formulas.contact import REGIONS
from millhand.intake.form import Entry, Group, Number, Several, Word
from millhand.intake.form_work import INQUIRY
from millhand.intake.inquiry_facts import row_source
from millhand.model.walk import facts_in
from millhand.report.tongue import tongue

SOURCES = Path(millhand.__file__).parent
FOLDERS = ("catalogue", "intake", "stages")
MAKERS = ("Fact", "Choice", "replace")
TOLD = ("title", "note", "question")
SIGNS = {"s", "min", "cmin", "m", "cm", "mm"}  # of units, alike in both languages
OTHERS_WORDS = {"{}", "{}: {}", "{} ({})", "{}, placed by hand ({})"}  # of other words; the name of a concept
AROUND = re.compile(
    r"^\{\}: |: \{\}$| (?:\(\{\}\)|\{\})$"
)  # another one's words, an owner, a number: each told by itself
PUT_IN = {
    "share of {} that the run shows not to be passed": ("faults", "fillings"),
    "contact, {}: {}": tuple(each.replace("_", " ") for each in REGIONS),
}


def entries(table: Group | Several) -> Iterator[Entry]:
    """Every place of an inquiry's form."""
    for entry in table.entries:
        yield entry
        if isinstance(entry, Group | Several):
            yield from entries(entry)


def data_words() -> set[str]:
    """What the built-in figures, the assumptions and the form of an inquiry say of a fact, and where it is from; what
    is said of people's safety at a formula."""
    facts = tuple(facts_in(read_catalogue()))
    found = {words for fact in facts for words in (fact.title, fact.note, fact.question) if words}
    for entry in entries(INQUIRY):
        found |= {entry.help} if isinstance(entry, Number | Word) else set()
        found |= {each.replace("_", " ") for each in entry.options} - SIGNS if isinstance(entry, Word) else set()
    found |= {each.source for each in facts} | {each.caution for each in REGISTER.values()} - {""}
    return found | {told for row in assumptions().values() for told in (row.question, row_source(row))}


def written_words() -> dict[str, str]:
    """What the stages and what reads an inquiry write as a fact's title, note or question; figures at empty places."""
    found: dict[str, str] = {}
    for path in sorted(path for folder in FOLDERS for path in (SOURCES / folder).rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        if not any(f"{key}=" in text for key in TOLD):
            continue
        tree = ast.parse(text)
        named = {
            each.targets[0].id: each.value
            for each in ast.walk(tree)
            if isinstance(each, ast.Assign) and isinstance(each.targets[0], ast.Name)
        }
        for call in ast.walk(tree):
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in MAKERS:
                for given in call.keywords:
                    value = named.get(given.value.id) if isinstance(given.value, ast.Name) else given.value
                    if given.arg in TOLD and (words := literal(value)) and words not in OTHERS_WORDS:
                        found[words] = f"{path.relative_to(SOURCES)}:{call.lineno}"
    return found


def literal(value: ast.expr | None) -> str | None:
    """A text as it is written, what is put into it as an empty place; None for what is no text."""
    if isinstance(value, ast.Constant) and isinstance(value.value, str):
        return value.value
    if isinstance(value, ast.JoinedStr):
        return "".join(each.value if isinstance(each, ast.Constant) else "{}" for each in value.values)
    return None


def test_the_data_say_nothing_of_a_fact_that_has_no_german() -> None:
    """A new figure, component, assumption or place of the form gets its German with it."""
    own, said = tongue("de"), data_words()

    assert len(said) > 1000
    assert sorted(each for each in said if own.found(each) is None) == []
    assert [told for told in map(own.term, sorted(said)) if re.search(r"\b(?:judged|likely|source|and)\b", told)] == []


def test_the_code_writes_no_title_note_or_question_that_has_no_german() -> None:
    """Neither a stage nor what reads an inquiry, whatever they put into it."""
    own, said = tongue("de"), written_words()
    full = {words.replace("{}", each, 1): place for words, place in said.items() for each in PUT_IN.get(words, ("{}",))}

    assert len(said) > 12
    assert [
        f"{place}: {words}"
        for words, place in full.items()
        if own.found(words) is None and own.found(AROUND.sub("", words)) is None
    ] == []
