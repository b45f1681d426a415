"""A filled question sheet put into the inquiry that it asks about: every answer checked, the text edited, read again.

Nothing comes back where anything is wrong: InputErrors hold all of it, each at its cell.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from millhand.errors import InputError, InputErrors
from millhand.intake.asked import is_gap
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.clock import seconds_of_day
from millhand.intake.form import Number, Word
from millhand.intake.inquiry import inquiry_and_form
from millhand.intake.inquiry_facts import quantity
from millhand.intake.inquiry_gaps import facts_of
from millhand.intake.inquiry_opened import Opened
from millhand.intake.inquiry_sums import place_of
from millhand.intake.question_sheet import Filled, Sheet
from millhand.intake.text import Reading
from millhand.intake.yaml_edit import ANSWERED, UNKNOWN, Edited, quoted, with_values
from millhand.intake.yaml_tree import Listing, Node, Scalar, Table, file_bytes, tree_of, utf8
from millhand.model.fact import Assumption, Choice, Fact
from millhand.model.inquiry import Inquiry

BARE = re.compile(r"-?[0-9][0-9.,]*")
THOUSANDS = re.compile(r"(?<=[0-9]) (?=[0-9]{3}(?![0-9]))")
OPEN_WORDS = ("", UNKNOWN, "?", "-")
MEASURED, SAID = "measured", "said"
TWICE = "one answer to each question: this one stands twice on the sheet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """One answer that was taken: the fact before (None: it was open) and after, and its cell."""

    path: str
    place: str
    before: Fact | Choice | None
    after: Fact | Choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """The inquiry with the answers in it: its text, what was taken, what it held already, notes without an answer."""

    text: str
    inquiry: Inquiry
    taken: tuple[Taken, ...]
    already: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """The inquiry as it is, and how its file lies open."""

    file: str
    text: str
    opened: Opened
    facts: Mapping[str, Fact | Choice]


def merged(path: Path, sheet: Sheet, assumptions: Mapping[str, Assumption], folder: Path) -> Merged:
    """The inquiry at a path with the answers of a sheet; `folder` is where the new file is to stand."""
    data = file_bytes(path)
    inquiry, opened = inquiry_and_form(tree_of(data, path.name), path.parent, assumptions)
    opened = replace(opened, errors=[])
    before = Before(file=path.name, text=utf8(data, path.name), opened=opened,
                    facts={fact.id: fact for fact in facts_of(inquiry)})  # fmt: skip
    if sheet.job and sheet.job != inquiry.name:
        raise InputErrors([InputError(sheet.file, sheet.job, f"the sheet about {inquiry.name!r}", "other_job")])
    values: dict[str, str] = {}
    answered: dict[str, Filled] = {}
    already = []
    for row in sheet.rows:
        if row.text("answer").lower() in OPEN_WORDS:
            unanswered(row, opened)
        elif row.path in answered:
            bad(row, "answer", row.text("answer"), TWICE, opened)
        elif (value := answer_of(row, before)) is not None:
            answered[row.path] = row
            if value:
                values[row.path] = value
            else:
                already.append(row.path)
    if opened.errors:
        raise InputErrors(opened.errors)
    edited = with_values(before.text, values)
    new = read_again(edited, before, {path: answered[path] for path in values}, assumptions, folder)
    facts = {fact.id: fact for fact in facts_of(new)}
    return Merged(
        text=edited.text, inquiry=new, already=tuple(already), notes=tuple(notes_in(sheet)),
        taken=tuple(
            Taken(path=path, place=answered[path].place("answer"), before=before.facts.get(path), after=facts[path])
            for path in values
        ),
    )  # fmt: skip


def bad(row: Filled, column: str, read: str, write: str, opened: Opened) -> None:
    """Note one error at a cell."""
    opened.bad(row.place(column), read, write, "answer")


def unanswered(row: Filled, opened: Opened) -> None:
    """A range alone is no answer."""
    for column in ("least", "most"):
        if row.text(column):
            bad(row, column, row.text(column), f"the likely value too, in {row.place('answer')}", opened)
            return


def notes_in(sheet: Sheet) -> Iterator[str]:
    """What was noted beside questions that stay open."""
    for row in sheet.rows:
        if row.text("answer").lower() in OPEN_WORDS and row.text("note"):
            yield f"{row.path}: {row.text('note')}"


def answer_of(row: Filled, before: Before) -> str | None:
    """The value as the file takes it; '' where the file says the same already; None where it cannot be taken."""
    entry, fact = before.opened.entries.get(row.path), before.facts.get(row.path)
    if entry is None:
        write = f"a sheet made anew by `millhand questions`{nearest(row.path, sorted(before.opened.entries))}"
        bad(row, "answer", row.path, write, before.opened)
        return None
    found = word_of(row, entry, before) if isinstance(entry, Word) else number_of(row, entry, before)
    if found is None or not known_how(row, before.opened):
        return None
    texts, reading = found
    if fact is not None and fact.basis != "assumed":
        if same(fact, reading):
            return ""
        write = f"nothing: the file says it at {place_of(fact)}; take it out there to put this in its place"
        bad(row, "answer", row.text("answer"), write, before.opened)
        return None
    if fact is not None and not is_gap(fact, before.opened):
        bad(row, "answer", row.text("answer"), f"nothing: {row.path} follows from other facts", before.opened)
        return None
    return long_value(row, texts)


def long_value(row: Filled, texts: Mapping[str, str]) -> str:
    """Value, range, basis, who said so and the note, on one line of YAML."""
    who, when = (row.text(column) for column in ("who", "when"))
    said = f"answered{f' by {who}' if who else ''}{f' on {when}' if when else ''}"
    found = {key: quoted(text) for key, text in texts.items()}
    if row.text("how").lower() == MEASURED:
        found["basis"] = MEASURED
    found["source"] = quoted(said if who or when else "answered on the sheet of questions")
    if row.text("note"):
        found["note"] = quoted(row.text("note"))
    return "{" + ", ".join(f"{key}: {text}" for key, text in found.items()) + "}"


def known_how(row: Filled, opened: Opened) -> bool:
    """Whether the cell that tells how it is known holds one of its two words, or nothing."""
    if row.text("how").lower() in ("", MEASURED, SAID):
        return True
    bad(row, "how", row.text("how"), f"{SAID} or {MEASURED}", opened)
    return False


def same(fact: Fact | Choice, reading: Reading | str) -> bool:
    """Whether the file says already what was answered."""
    if isinstance(fact, Choice) or isinstance(reading, str):
        return fact.value == reading
    return (fact.value, fact.low, fact.high) == (reading.value, reading.low, reading.high)


def word_of(row: Filled, entry: Word, before: Before) -> tuple[dict[str, str], str] | None:
    """The word that was chosen, however it is written."""
    told = row.text("answer").lower().replace(" ", "_")
    if told in entry.options:
        return {"value": told}, told
    words = [option.replace("_", " ") for option in entry.options]
    write = f"{listed(words)}{nearest(row.text('answer').lower(), words)}"
    bad(row, "answer", row.text("answer"), write, before.opened)
    return None


def number_of(row: Filled, entry: Number, before: Before) -> tuple[dict[str, str], Reading] | None:
    """The number with its range, each in the unit that stands beside it where none is written."""
    columns = {"answer": "value", "least": "low", "most": "high"}
    texts = {key: typed(row, column, entry, before) for column, key in columns.items() if row.text(column)}
    if len(texts) == 2:
        column = "least" if "low" in texts else "most"
        bad(row, column, row.text(column), "both 'at least' and 'at most', or neither", before.opened)
        return None
    if row.path.endswith(".start"):
        return time_of_day(row, before)
    found = {
        key: text and quantity(entry, Scalar(text=text, where=row.place(column)), before.opened)
        for column, key in columns.items() if (text := texts.get(key)) is not None
    }  # fmt: skip
    if not all(found.values()):
        return None
    reading: Reading = found["value"]  # type: ignore[assignment]
    if len(found) == 3:
        low, high = (found[key].value for key in ("low", "high"))  # type: ignore[union-attr]
        if not low <= reading.value <= high:
            bad(row, "answer", row.text("answer"), "a value between 'at least' and 'at most'", before.opened)
            return None
        reading = replace(reading, low=low, high=high)
    return {key: str(text) for key, text in texts.items()}, reading


def time_of_day(row: Filled, before: Before) -> tuple[dict[str, str], Reading] | None:
    """A time of day, which has no range."""
    seconds = seconds_of_day(row.text("answer"))
    if seconds is None or row.text("least"):
        bad(row, "answer", row.text("answer"), "a time of day, such as 06:00, without a range", before.opened)
        return None
    return {"value": row.text("answer")}, Reading(value=float(seconds), unit="s")


def typed(row: Filled, column: str, entry: Number, before: Before) -> str:
    """What was typed, with the sheet's unit where none was; '' where a bare number could be read in two ways."""
    text = THOUSANDS.sub("", row.text(column))
    if column in row.numbers and before.opened.manner.comma:
        text = text.replace(".", ",")
    if not BARE.fullmatch(text):
        return text
    if entry.dimension == "share":
        bad(
            row, column, text, "a share with its sign, such as 12 %: a bare number can be read both ways", before.opened
        )
        return ""
    return f"{text} {row.unit}".strip()


def read_again(
    edited: Edited, before: Before, answered: Mapping[str, Filled], assumptions: Mapping[str, Assumption], folder: Path
) -> Inquiry:
    """The inquiry with the answers in it; what contradicts now is told at the cell that brought it."""
    tree = tree_of(edited.text.encode("utf-8"), before.file)
    try:
        return inquiry_and_form(tree, folder, assumptions)[0]
    except InputErrors as trouble:
        cells = {where: row.place("answer") for path, row in answered.items() for where in places(value_at(tree, path))}
        raise InputErrors(
            replace(error, where=cells.get(error.where) or old_place(error.where, edited)) for error in trouble.errors
        ) from None


def old_place(where: str, edited: Edited) -> str:
    """A place in the edited text as the place in the text before."""
    return re.sub(r":(\d+)", lambda line: f":{edited.line_before(int(line[1]))}", where, count=1)


def value_at(node: Node | None, path: str) -> Node | None:
    """The value at a path of the tree, or among its answers."""
    answers = node.entries.get(ANSWERED) if isinstance(node, Table) else None
    if isinstance(answers, Table) and path in answers.entries:
        return answers.entries[path]
    steps = path.split(".")
    while steps and isinstance(node, Table):
        inner = node.entries.get(steps[0])
        if inner is None:
            node, steps = item(node.entries.get("operations"), steps[0]), steps[1:]
        elif isinstance(inner, Listing):
            node, steps = item(inner, steps[1]) if len(steps) > 1 else None, steps[2:]
        else:
            node, steps = inner, steps[1:]
    return node if not steps else None


def item(node: Node | None, name: str) -> Node | None:
    """The table of a list that has this name."""
    tables = node.items if isinstance(node, Listing) else ()
    named = ((each, each.entries.get("name")) for each in tables if isinstance(each, Table))
    return next((each for each, own in named if isinstance(own, Scalar) and own.text == name), None)


def places(node: Node | None) -> Iterator[str]:
    """Where a value stands, and what stands beside it."""
    if node is not None:
        yield node.where
    if isinstance(node, Table):
        yield from (each.where for each in node.entries.values())
