"""The sheet of questions that goes to the shop, and what came back on it, checked as the command line does."""

import base64
import binascii
import json
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputError
from millhand.intake.answers import merged
from millhand.intake.asked import rows
from millhand.intake.fields import FILE
from millhand.intake.question_sheet import read_sheet
from millhand.intake.study_file import first_by_worth
from millhand.model.fact import Fact
from millhand.model.study import STUDY_FORMAT
from millhand.report.comparison import opening
from millhand.report.fact_words import taken_words
from millhand.report.question_sheet import question_sheet
from millhand.report.view import sentence
from millhand.store import work
from millhand.web.desk import Change, Desk, Open, Taken, changed, of_text, open_inquiry
from millhand.web.folders import as_folder
from millhand.web.worker import COPIES

SHEET = "questions.xlsx"
MOST_BYTES = 5_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What a filled sheet comes to: the text with its answers, and each of them in words."""

    text: str
    taken: tuple[str, ...]
    already: tuple[str, ...]
    notes: tuple[str, ...]


def sheet_of(own: Open, study: bytes = b"") -> bytes:
    """The open questions of an inquiry, by what a study of it says each is worth; InputError while it has errors."""
    if own.paper.inquiry is None or own.paper.opened is None:
        raise own.paper.errors[0]
    found, facts = rows(own.paper.inquiry, own.paper.opened, assumptions()), dict[str, Fact]()
    if study:
        found, facts = first_by_worth(found, json.loads(study))
    return question_sheet(own.paper.inquiry, found, facts, comma=own.paper.opened.manner.comma)


def questions_of_study(desk: Desk, piece: str, copy: str) -> bytes:
    """The sheet of the revision that a study is of; KeyError where there is no such study."""
    with desk.store.reading() as connection:
        own = work.work(connection, piece)
        study = work.file_of(connection, piece, copy, "study.json")
    return sheet_of(open_inquiry(desk, own.inquiry, own.revision), study)


def questions_now(desk: Desk, name: str) -> bytes:
    """The sheet of an inquiry as it is, by the last study of this very revision where there is one."""
    own = open_inquiry(desk, name)
    with desk.store.reading() as connection:
        done = [each for each in work.works(connection, name) if each.state == work.DONE]
        same = next((each for each in done if each.revision == own.revision.number), None)
        study = work.file_of(connection, same.id, COPIES[0], "study.json") if same is not None else b""
    return sheet_of(own, study)


def worths(desk: Desk, own: Open, piece: str) -> dict[str, str]:
    """Every open question in the order in which a study would have them asked, with why: '' where it does not say."""
    inquiry, form = own.paper.inquiry, own.paper.opened
    try:
        with desk.store.reading() as connection:
            study = json.loads(work.file_of(connection, piece, COPIES[0], "study.json"))
    except KeyError:
        return {}
    if inquiry is None or form is None or study.get("format") != STUDY_FORMAT:
        return {}
    found, facts = first_by_worth(rows(inquiry, form, assumptions()), study)
    said: dict[str, str] = {}
    for row in found:
        why = opening(sentence(row.why, facts, currency=inquiry.shop.currency)) if row.why else ""
        said[row.question] = said.get(row.question) or why
    return said


def answers_alone(text: str, files: Mapping[str, bytes], sheet: bytes) -> Answered:
    """Read a filled sheet into an inquiry; runs in the process with limits."""
    with as_folder(text, files) as folder, tempfile.TemporaryDirectory(prefix="millhand_") as beside:
        path = Path(beside) / SHEET
        path.write_bytes(sheet)
        found = merged(folder / FILE, read_sheet(path), assumptions(), folder)
    currency = found.inquiry.shop.currency
    return Answered(
        text=found.text, taken=tuple(taken_words(each, currency) for each in found.taken), already=found.already,
        notes=found.notes,
    )  # fmt: skip


def answers_in(desk: Desk, own: Open, sheet: bytes) -> Answered:
    """What a filled sheet would change in an inquiry; InputErrors with every cell that is wrong."""
    if len(sheet) > MOST_BYTES:
        raise InputError(SHEET, f"{len(sheet) / 1e6:.0f} MB", f"a sheet of at most {MOST_BYTES // 1_000_000} MB")
    return desk.reader.alone(answers_alone, own.revision.text, dict(own.files), sheet)


def decoded(text: str, where: str) -> bytes:
    """Content sent in base64; InputError for what is none."""
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        raise InputError(where, "what is no base64", "the content in base64", "no_base64") from None


def take_answers(desk: Desk, name: str, base: int, sheet: bytes, who: str) -> tuple[Answered, Taken]:
    """Take the answers in, as one change of the revision that they were read into."""
    own = open_inquiry(desk, name, base)
    found = answers_in(desk, own, sheet)
    change: Change = of_text(found.text, base, f"{len(found.taken)} answers of a filled sheet")
    return found, changed(desk, name, change, who)
