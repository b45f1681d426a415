"""`millhand questions` and `millhand answers`: out as a form, filled in, and back into the inquiry."""

import json
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook  # type: ignore[import-untyped]

from millhand.catalogue.assumptions import assumptions
from millhand.cli.main import group
from millhand.intake.asked import rows
from millhand.intake.inquiry import inquiry_and_form
from millhand.intake.inquiry_gaps import template
from millhand.intake.question_sheet import COLUMNS, FILLED, LETTERS, SHEET
from millhand.intake.text import Manner, read_quantity
from millhand.intake.yaml_tree import tree_of
from millhand.report.question_sheet import typed_unit
from tests.report.filled_sheet import filled

TOP = Path(__file__).resolve().parents[2]
GOOD: Mapping[str, Mapping[str, Any]] = {
    "people.absence": {"answer": "9 %", "least": "7 %", "most": "12 %", "who": "Ann Lee", "when": "2026-11-20"},
    "machines.mill.control": {"answer": "free outputs", "note": '+1 "as built": {x}'},
    "machines.mill.door": {"answer": "powered", "who": "Ann Lee"},
    "parts.bracket.finished.length": {"answer": 119},
    "parts.bracket.milling.tool_life": {"answer": "1 200", "least": "300", "most": "2 000 parts"},
    "today.elements.exchange.time": {"answer": "50", "how": "measured", "who": "the foreman"},
    "today.elements.exchange.side": {"note": "sometimes inside"},
    "shifts.shift_1.start": {"answer": "05:30"},
    "wishes.budget": {"answer": "200 000 USD"},
    "people.away": {"answer": "?"},
}


@pytest.fixture(scope="module")
def form(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The form of the first inquiry file, beside it."""
    folder = tmp_path_factory.mktemp("shop")
    (folder / "inquiry.yaml").write_text(template(), encoding="utf-8")
    assert run("questions", folder / "inquiry.yaml", "--out", folder / "form.xlsx").exit_code == 0
    return folder / "form.xlsx"


@pytest.fixture
def shop(form: Path, tmp_path: Path) -> Path:
    """A folder of one's own with inquiry and form."""
    for name in ("inquiry.yaml", "form.xlsx"):
        shutil.copyfile(form.with_name(name), tmp_path / name)
    return tmp_path


def run(*arguments: object) -> Result:
    """A command with these arguments."""
    return CliRunner().invoke(group, list(map(str, arguments)))


def paths_of(done: Result) -> list[str]:
    """The paths of a list of questions, in its order."""
    return [each["path"] for each in json.loads(done.stdout)]


def facts(inquiry: Path) -> dict[str, dict[str, Any]]:
    """What `millhand check` knows of an inquiry, by path."""
    return {each["id"]: each for each in json.loads(run("check", inquiry, "--json").stdout)["facts"]}


def test_answers_become_facts_and_leave_the_list(shop: Path) -> None:
    """Out, filled in, and back: values with range, basis and who said so; next time they are not asked again."""
    inquiry, new = shop / "inquiry.yaml", shop / "new.yaml"
    done = run("answers", inquiry, filled(shop / "form.xlsx", GOOD), "--out", new)

    assert done.exit_code == 0, done.stderr
    assert inquiry.read_text(encoding="utf-8") == template()
    found = facts(new)
    absence = found["people.absence"]
    assert [absence[key] for key in ("value", "low", "high", "basis")] == [0.09, 0.07, 0.12, "given"]
    assert absence["source"].endswith(", answered by Ann Lee on 2026-11-20")
    assert found["machines.mill.control"]["note"] == '+1 "as built": {x}'
    assert found["machines.mill.control"]["source"].endswith("answered on the sheet of questions")
    assert found["parts.bracket.finished.length"]["value"] == 0.119
    assert [found["parts.bracket.milling.tool_life"][key] for key in ("value", "low", "high")] == [1200, 300, 2000]
    assert (found["today.elements.exchange.time"]["value"], found["today.elements.exchange.time"]["basis"]) == (
        50,
        "measured",
    )
    assert found["shifts.shift_1.start"]["value"] == 19_800
    assert found["wishes.budget"]["value"] == 200_000
    asked = {each["path"] for each in json.loads(run("questions", new, "--json").stdout)}
    answered = {path for path, cells in GOOD.items() if cells.get("answer", "?") != "?"}
    assert not answered & asked
    assert {"people.away", "today.elements.exchange.side", "machines.mill.clamping"} <= asked


def test_the_screen_tells_what_changed(shop: Path) -> None:
    """Each value with the one before, a note that no answer went with, and that nothing was written."""
    inquiry, sheet = shop / "inquiry.yaml", filled(shop / "form.xlsx", GOOD)
    told = " ".join(run("answers", inquiry, sheet).stdout.replace("\u202f", " ").split())

    assert "people.absence = 9 % (7 to 12) (before: 10 % (8 to 12), assumed)" in told
    assert "wishes.budget = 200 000 USD (before: open)" in told
    assert "A note without an answer, today.elements.exchange.side: sometimes inside" in told
    assert "Nothing was written: --out NEW.yaml writes a new file" in told
    assert inquiry.read_text(encoding="utf-8") == template()


def test_the_old_inquiry_is_kept_as_a_numbered_revision(shop: Path) -> None:
    """In place, twice: the second time what is held already is told and nothing written; new answers make r2."""
    inquiry, first = shop / "inquiry.yaml", {"people.absence": {"answer": "9 %"}}
    sheet = filled(shop / "form.xlsx", first)
    done, again = (run("answers", inquiry, sheet, "--write") for _ in range(2))
    more = run("answers", inquiry, filled(shop / "form.xlsx", {"money.rate": {"answer": "8 %"}}), "--write")

    assert "kept as" in done.stdout
    assert "No new answer is on the sheet; nothing was written." in again.stdout
    assert "The inquiry holds already: people.absence." in again.stdout
    assert more.exit_code == 0
    assert (shop / "inquiry.r1.yaml").read_text(encoding="utf-8") == template()
    assert "absence: {value: 9 %" in (shop / "inquiry.r2.yaml").read_text(encoding="utf-8")
    assert facts(inquiry)["money.rate"]["value"] == 0.08
    assert sorted(path.name for path in shop.iterdir() if path.suffix == ".yaml") == [
        "inquiry.r1.yaml", "inquiry.r2.yaml", "inquiry.yaml",
    ]  # fmt: skip


def test_a_link_stays_one_and_rights_stay(shop: Path) -> None:
    """The file behind the name is the one that is written."""
    inquiry, link = shop / "inquiry.yaml", shop / "link.yaml"
    inquiry.chmod(0o640)
    link.symlink_to(inquiry)
    done = run("answers", link, filled(shop / "form.xlsx", {"people.absence": {"answer": "9 %"}}), "--write")

    assert done.exit_code == 0
    assert link.is_symlink()
    assert "absence: {value: 9 %" in inquiry.read_text(encoding="utf-8")
    assert inquiry.stat().st_mode & 0o777 == 0o640


WRONG = {
    "people.absence": {"answer": "9"},
    "machines.mill.door": {"answer": "powerd"},
    "parts.bracket.finished.length": {"least": "100 mm", "most": "130 mm"},
    "parts.bracket.milling.tool_life": {"answer": "100", "least": "300"},
    "today.elements.exchange.time": {"answer": "50 kg"},
    "shifts.shift_1.start": {"answer": "half past 5"},
    "people.away": {"answer": "5 %", "least": "6 %", "most": "7 %"},
    "people.handover": {"answer": "5 min", "how": "guess"},
    "money.rate": {"answer": "110 %"},
}
WORDS = (
    "read '9'; write a share with its sign, such as 12 %: a bare number can be read both ways.",
    "read 'powerd'; write hand, powered or none (did you mean 'powered'?).",
    "read '100 mm'; write the likely value too, in filled.xlsx: Questions!E",
    "read '300'; write both 'at least' and 'at most', or neither.",
    "read '50 kg'; write a time, such as 6 min 20 s.",
    "read 'half past 5'; write a time of day, such as 06:00, without a range.",
    "read '5 %'; write a value between 'at least' and 'at most'.",
    "read 'guess'; write said or measured.",
    "read '110 %'; write a share, such as 12 % or 0.12, from 0 to 1.",
)


def test_every_wrong_answer_is_told_at_its_cell_and_nothing_is_written(shop: Path) -> None:
    """All at once, in the order of the sheet."""
    new = shop / "new.yaml"
    done = run("answers", shop / "inquiry.yaml", filled(shop / "form.xlsx", WRONG), "--out", new)

    assert (done.exit_code, new.exists()) == (2, False)
    told = done.stderr.splitlines()
    assert len(told) == len(WRONG)
    assert [words for words in WORDS if not any(words in line for line in told)] == []
    numbers = [int(line.partition("Questions!")[2].partition(":")[0][1:]) for line in told]
    assert numbers == sorted(numbers)
    assert all(line.startswith("filled.xlsx: Questions!") for line in told)


def test_what_contradicts_the_inquiry_is_told_at_the_cell(shop: Path) -> None:
    """A finished part longer than the raw one, whose length the file gives."""
    sheet = filled(shop / "form.xlsx", {"parts.bracket.finished.length": {"answer": "130 mm"}})
    done = run("answers", shop / "inquiry.yaml", sheet, "--write")

    assert done.exit_code == 2
    assert done.stderr.startswith("filled.xlsx: Questions!E")
    assert "read 'finished length 130 mm'; write at most the raw 120 mm." in done.stderr
    assert [path.name for path in shop.glob("*.yaml")] == ["inquiry.yaml"]


def test_what_the_inquiry_says_meanwhile_is_not_overwritten(shop: Path) -> None:
    """Another figure in the file, a machine of another name, a form about another job."""
    inquiry = shop / "inquiry.yaml"
    text = template().replace("  wage: 24 USD/h", "  absence: 12 %\n  wage: 24 USD/h").replace("mill\n", "saw\n")
    text = text.replace("name: mill ", "name: saw ").replace("machine: mill", "machine: saw")
    inquiry.write_text(text, encoding="utf-8")
    cells = {"people.absence": {"answer": "9 %"}, "machines.mill.age": {"answer": "3"}}
    sheet = filled(shop / "form.xlsx", cells)
    done = run("answers", inquiry, sheet)
    inquiry.write_text(text.replace("name: Brackets on two mills", "name: Shafts"), encoding="utf-8")
    other = run("answers", inquiry, sheet)

    assert "read '9 %'; write nothing: the file says it at inquiry.yaml:8:12; take it out there" in done.stderr
    assert "read 'machines.mill.age'; write a sheet made anew by `millhand questions`" in done.stderr
    assert "read 'Brackets on two mills'; write the sheet about 'Shafts'." in other.stderr


def test_a_file_that_is_no_filled_form_is_refused(shop: Path) -> None:
    """No file, no workbook, another workbook, a form without its sheet."""
    inquiry, text, other = shop / "inquiry.yaml", shop / "text.xlsx", shop / "other.xlsx"
    text.write_text("no workbook", encoding="utf-8")
    book = load_workbook(shop / "form.xlsx")
    book[SHEET].title = "Sheet 1"
    book.save(other)
    bare = load_workbook(shop / "form.xlsx")
    bare[SHEET].delete_cols(len(COLUMNS))
    bare.save(shop / "bare.xlsx")

    told = [run("answers", inquiry, shop / name).stderr for name in
            ("none.xlsx", "text.xlsx", "other.xlsx", "bare.xlsx")]  # fmt: skip
    assert "read 'No such file or directory'; write the path of the filled sheet." in told[0]
    assert "read 'no workbook'; write an XLSX file" in told[1]
    assert "other.xlsx: read 'Sheet 1'; write the sheet 'Questions' in its place, under that name." in told[2]
    assert "read 'no sheet of questions'; write the file that `millhand questions` wrote, filled in." in told[3]


def test_the_form_is_locked_but_for_its_answers_and_prints_on_one_page_wide(form: Path) -> None:
    """No macro, no formula; words to choose from; the paths hidden and not printed; heads on every page."""
    page = load_workbook(form)[SHEET]
    open_ones = {cell.column_letter for row in page.iter_rows() for cell in row if not cell.protection.locked}

    assert page.protection.sheet
    assert open_ones == {LETTERS[name] for name in FILLED}
    assert not [cell for row in page.iter_rows() for cell in row if cell.data_type == "f"]
    assert page.column_dimensions["M"].hidden
    assert page.print_area == f"'Questions'!$A$1:$L${page.max_row}"
    assert page.print_title_rows == "$4:$4"
    assert page.sheet_properties.pageSetUpPr.fitToPage
    assert (page.page_setup.fitToWidth or 1, page.page_setup.fitToHeight) == (1, 0)
    lists = {each.formula1 for each in page.data_validations.dataValidation}
    assert '"hand,powered,none"' in lists
    assert '"free outputs,fieldbus,none"' in lists
    formats = {cell.number_format for row in page.iter_rows() for cell in row if not cell.protection.locked}
    assert formats == {"@"}


def test_the_same_questions_give_the_same_bytes_and_no_form_is_overwritten(shop: Path) -> None:
    """A form may be filled in already."""
    inquiry, again = shop / "inquiry.yaml", shop / "again.xlsx"
    assert run("questions", inquiry, "--out", again).exit_code == 0
    refused = run("questions", inquiry, "--out", again)

    assert again.read_bytes() == (shop / "form.xlsx").read_bytes()
    assert refused.exit_code == 1
    assert "is there already, and may be filled in; choose another name." in refused.stderr
    assert "write a name that ends in .xlsx" in run("questions", inquiry, "--out", shop / "a.csv").stderr


@pytest.mark.parametrize("name", ["1_two_mills", "3_moulding", "4_tiny_lots"])
def test_the_unit_beside_each_cell_is_one_that_an_answer_may_have(name: str) -> None:
    """Of every number that the examples ask for; what is counted meanwhile reads back in it."""
    path = TOP / "examples" / name / "inquiry.yaml"
    inquiry, opened = inquiry_and_form(tree_of(path.read_bytes(), path.name), path.parent, assumptions())
    manner = Manner(currency=inquiry.shop.currency)

    units = {row.path: typed_unit(row, inquiry.shop.currency) for row in rows(inquiry, opened, assumptions())}
    read = [
        read_quantity(f"2 {units[row.path]}".strip(), row.entry.dimension, manner)  # type: ignore[union-attr]
        for row in rows(inquiry, opened, assumptions())
        if units[row.path] not in ("", "time of day")
    ]
    assert len(read) > 10


def test_a_study_gives_order_and_reasons(shop: Path) -> None:
    """What the study asks first comes first, with what the answer is worth in words."""
    study = json.loads((TOP / "tests" / "golden" / "study_2.json").read_text(encoding="utf-8"))
    swing = study["decision"]["drivers"][0]["swing"]
    study["decision"]["asks"] = [
        {"fact": "money.rate", "words": "Which discount rate does the shop count with?", "kills": False,
         "why": f"before you choose, the answer is worth up to [[{swing}|money_2]]"},
    ]  # fmt: skip
    (shop / "study.json").write_text(json.dumps(study), encoding="utf-8")
    other = run("questions", shop / "inquiry.yaml", "--study", shop, "--json")
    assert "read 'Two mills, line 4'; write a study of 'Brackets on two mills'." in other.stderr
    study["inquiry"]["name"] = "Brackets on two mills"
    (shop / "study.json").write_text(json.dumps(study), encoding="utf-8")
    out = shop / "worth.xlsx"
    done = run("questions", shop / "inquiry.yaml", "--study", shop, "--out", out, "--json")
    page = load_workbook(out)[SHEET]

    paths = paths_of(done)
    asked, moving, other = map(paths.index, ("money.rate", "people.share_usable", "shop.work_days_per_y"))
    assert asked < moving < other
    (why,) = [row[3].value for row in page.iter_rows() if row[12].value == "money.rate"]
    assert why.replace("\u202f", " ") == "Before you choose, the answer is worth up to 52 000 USD"
    assert "write the folder that `millhand study --out` wrote" in run(
        "questions", shop / "inquiry.yaml", "--study", shop / "none", "--json"
    ).stderr  # fmt: skip


def test_the_first_filled_form_is_read_for_ever() -> None:
    """Byte by byte as it was written for an inquiry with decimal commas: texts, a number without unit, and a cell that
    holds a number."""
    golden = TOP / "tests" / "golden"
    done = run("answers", golden / "inquiry_1.yaml", golden / "questions_1.xlsx", "--json")

    taken = {each["path"]: each["after"] for each in json.loads(done.stdout)["taken"]}
    assert {path: after["value"] for path, after in taken.items()} == {
        "people.absence": 0.095, "machines.mill.age": 12, "machines.mill.load_height": 1.05,
        "machines.mill.stops.short_every": 3_600_000, "people.tend": "together",
    }  # fmt: skip
    assert (taken["people.absence"]["low"], taken["people.absence"]["high"]) == (0.08, 0.125)
    assert taken["machines.mill.load_height"]["basis"] == "measured"
    assert taken["people.tend"]["note"] == "im Wechsel"
