"""proposal.pdf: its figures are the study's, alike in each language; users' text stays text; it is whole and tagged."""

import re
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from millhand.model.company import Logo
from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.report import writing
from millhand.report.citations import listed_sources
from millhand.report.proposal import pdf as pdf_module
from millhand.report.proposal.build import told
from millhand.report.proposal.letter import Form
from millhand.report.proposal.pdf import proposal_pdf
from millhand.report.view import clock
from millhand.report.writing import study_files
from tests.intake.test_company import png
from tests.report.fixture_study import ARM
from tests.report.proposal.told_proposal import (
    COMPANY,
    KINDS,
    ON,
    data,
    letter,
    made,
    numbers,
    pdf,
    proposed,
    reader,
    shown_figures,
    text,
)

AXIS = re.compile(r"(?<=>)[^<>]*\d[^<>]*(?=</text>)")


def figures(told_data: Any) -> list[str]:
    """Every figure that the template is given, in its order."""
    if isinstance(told_data, dict):
        if told_data.get("figure") is True:
            return [told_data["text"]]
        return [each for value in told_data.values() for each in figures(value)]
    return [each for value in told_data for each in figures(value)] if isinstance(told_data, list) else []


def known_words(form: Form) -> str:
    """Where digits come from that are no figures: the user's and the company's words, names, rules, sources, dates."""
    inquiry = proposed().inquiry
    own = [inquiry.name, inquiry.shop.name, COMPANY.number, COMPANY.warranty, COMPANY.closing, COMPANY.name]
    own += [*COMPANY.address, ON.isoformat(), "31 2027 1 April", proposed().version, str(proposed().seed)]
    own += [each.title for result in proposed().results for each in vars_of(result.concept)]
    own += [line.words for result in proposed().results if result.estimate for line in result.estimate.lines]
    own += [each.words for each in listed_sources().values()]
    own += [
        clock(at) for each in inquiry.shifts for at in (each.start_s.value, each.start_s.value + each.length_s.value)
    ]
    own += [str(number + 1) for number in range(max(len(made(form)), 30))]  # headings and pages
    return " ".join(own)


def vars_of(concept: Any) -> list[Any]:
    """The components of a concept."""
    parts = (concept.presenter, concept.outfeed, concept.mount, concept.arm, concept.gripper, concept.safeguarding)
    return [concept, *(each for each in parts if each is not None)]


def axis_numbers(language: str, form: Form) -> set[str]:
    """The numbers at the axes of charts and in the plan."""
    blocks = [block for section in data(language, form)["sections"] for block in section["blocks"]]
    blocks += [inner for block in blocks if block["kind"] == "beside" for inner in (*block["left"], *block["right"])]
    return numbers(" ".join(" ".join(AXIS.findall(block["svg"])) for block in blocks if block["kind"] == "picture"))


def foreign(words: str, language: str, form: Form) -> set[str]:
    """The numbers in words that neither a fact of the study prints nor a name holds."""
    own = numbers(" ".join(shown_figures(language, form))) | numbers(known_words(form)) | axis_numbers(language, form)
    identity = data(language, form)["head"][-1]["words"].rpartition(" ")[2]
    return numbers(words.replace(identity, "")) - own


@pytest.mark.parametrize(("language", "form"), KINDS)
def test_no_figure_in_the_pdf_differs_from_the_study(language: str, form: Form) -> None:
    """Each number in the text of the PDF is one that the study's facts print as, or stands in somebody's words."""
    assert not foreign(text(language, form), language, form)


def test_a_number_of_no_fact_would_be_found() -> None:
    """The check finds a number that is not the study's."""
    assert foreign(text("en", "short") + " 98\u202f765 USD", "en", "short") == {"98\u202f765"}


@pytest.mark.parametrize("form", ["short", "long"])
def test_both_languages_carry_the_same_figures(form: Form) -> None:
    """Told from the same records, and the same numbers in the same order in the text of both."""
    order = [[sorted(numbers(each)) for each in figures(data(language, form))] for language in ("en", "de")]
    english, german = (numbers(text(language, form)) for language in ("en", "de"))
    pages = {each for each in english ^ german if each.isdigit() and len(each) <= 2}

    assert order[0] == order[1]
    assert english ^ german == pages


@pytest.mark.parametrize(("language", "form"), KINDS)
def test_it_is_a_tagged_document_with_title_language_and_date(language: str, form: Form) -> None:
    """Who cannot see it hears the title, the language, and what each picture shows."""
    opened = reader(language, form)
    root: Any = opened.trailer["/Root"]
    metadata = opened.metadata

    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == language
    assert metadata is not None
    assert proposed().inquiry.name in str(metadata.title)
    assert metadata.author == COMPANY.name
    assert str(metadata["/CreationDate"]).startswith("D:20270131")
    assert "/Alt" in {key for each in structure(root["/StructTreeRoot"]) for key in each}
    assert b"pdfuaid" in root["/Metadata"].get_data()


def structure(node: Any) -> list[Any]:
    """All elements of the structure below a node."""
    children = node.get("/K", [])
    below = children if isinstance(children, list) else [children]
    opened = [each.get_object() for each in below if hasattr(each, "get_object")]
    return [inner for each in opened if isinstance(each, dict) for inner in (each, *structure(each))]


def test_the_short_form_has_two_pages() -> None:
    """In both languages."""
    assert [len(reader(language, "short").pages) for language in ("en", "de")] == [2, 2]


@pytest.mark.parametrize(("enough", "taken"), [(-9, -2), (0, 0), (3, 3), (9, 5)])
def test_two_pages_take_the_largest_letters_that_keep_them(
    monkeypatch: pytest.MonkeyPatch, enough: int, taken: int
) -> None:
    """From which step on the letters are small enough; the smallest where none is. The long form keeps its own."""

    def pages(template: Path, known: dict[str, str]) -> int:
        """Two from that step on."""
        return 2 if int(known["tight"]) >= enough else 3

    monkeypatch.setattr(pdf_module, "pages_of", pages)
    template = Path(f"{enough}.typ")

    assert pdf_module.fitting(template, {"compact": True})["tight"] == str(taken)
    assert pdf_module.fitting(template, {"compact": False})["tight"] == "0"


def test_the_same_study_and_date_give_the_same_bytes() -> None:
    """And another date others."""
    again = proposal_pdf(told(proposed(), letter("de", "short")), ON)

    assert again == pdf("de", "short")
    assert proposal_pdf(data("de", "short"), ON.replace(year=2028)) != again


def test_what_users_write_is_never_run() -> None:
    """Signs that mean something to the typesetter, to a marked sentence or to a text with places stay as they are."""
    words = text("en", "long")

    assert "Sample Cells *&* Söhne #1" in words
    assert "#import 12" in words
    assert "#panic() [[people.wage|money]] {price}" in words


def test_a_logo_stands_on_the_paper_with_the_name_as_its_text() -> None:
    """One more picture in the structure, told by the company's name."""
    own = replace(COMPANY, name="Sample Cells", logo=Logo(data=png(), form="png"))
    made_of = told(proposed(), letter("en", "short", own))
    root: Any = PdfReader(BytesIO(proposal_pdf(made_of, ON))).trailer["/Root"]

    assert "Sample Cells" in {str(each["/Alt"]) for each in structure(root["/StructTreeRoot"]) if "/Alt" in each}


@pytest.mark.parametrize(("language", "form"), KINDS)
def test_cost_and_margin_never_leave_the_house(language: str, form: Form) -> None:
    """An internal section is told to the house alone, and neither its heading nor its figures are in the PDF."""
    assert "98\u202f765" not in text(language, form)
    assert "Cost and margin" not in text(language, form)


def with_cost() -> Study:
    """The study with a cost and a margin of their own."""
    done = proposed()
    known = {
        name: Fact(id=f"secret.{name}", value=value, unit="money", basis="given", source="invented for tests")
        for name, value in (("cost", 98_765.0), ("margin", 43_210.0))
    }
    results = tuple(
        replace(each, estimate=replace(each.estimate, cost="secret.cost", margin="secret.margin"))
        if each.concept.id == ARM and each.estimate else each
        for each in done.results
    )  # fmt: skip
    return replace(done, results=results, facts={**done.facts, **{fact.id: fact for fact in known.values()}})


def test_the_house_itself_can_have_them() -> None:
    """The same section stands in a proposal for the house, and is left out of the customer's."""
    customer = told(with_cost(), letter("en", "long"))
    house = told(with_cost(), replace(letter("en", "long"), internal=True))

    assert "98\u202f765" in " ".join(figures(house))
    assert not {"98\u202f765", "43\u202f210"} & numbers(" ".join(figures(customer)))
    assert len(house["sections"]) == len(customer["sections"]) + 1


def test_what_the_house_asks_itself_is_not_asked_of_the_customer() -> None:
    """The margin is no question for the shop, wherever it stands in the list."""
    done = proposed()
    margin = replace(done.decision.asks[0], fact="catalogue.margin_share", words="Which margin is asked?")
    made_of = told(
        replace(done, decision=replace(done.decision, asks=(margin, *done.decision.asks))), letter("en", "long")
    )

    assert "Which margin" not in str(made_of["sections"])
    assert done.decision.asks[0].words in str(made_of["sections"])


def test_the_long_form_says_what_is_shown_at_acceptance() -> None:
    """Parts without a fault by the worst share that is counted with, and what faults among them would mean."""
    tests = proposed().acceptance
    assert tests is not None
    words = text("en", "long")

    assert "241 parts in a row" in words
    assert "no more than 0.67\u202f% of the parts" in re.sub(r"[ \n]+", " ", words)
    assert len(tests.after) == 4


@pytest.mark.parametrize("winner", ["today", "by_hand-second_vise"])
def test_other_answers_make_a_proposal_too(winner: str) -> None:
    """Where no cell is recommended it says what comes nearest, or what to change by hand."""
    answer = "no" if winner == "today" else "by_hand"
    done = proposed()
    decided = replace(done.decision, answer=answer, winner=winner, second=None)  # type: ignore[arg-type]
    made_of = told(replace(done, decision=decided, acceptance=None), letter("de", "long"))

    assert made_of["title"].startswith("Unser Befund" if winner == "today" else "Angebot")
    assert proposal_pdf(made_of, ON).startswith(b"%PDF")


def test_a_study_without_any_case_says_so() -> None:
    """Nothing can do the work: a page with the job, today and what would have to be asked."""
    done = proposed()
    results = tuple(replace(each, case=None) for each in done.results)
    decided = replace(done.decision, answer="no", winner="today", second=None)  # type: ignore[arg-type]
    made_of = told(replace(done, results=results, decision=decided, acceptance=None), letter("en", "short"))

    assert "none of the ways" in str(made_of["sections"][0])


def test_the_folder_of_a_study_holds_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside the other files, from the same study.json, which has what acceptance asks for."""
    for name, empty in (("report_html", ""), ("workbook", None), ("drawings", {})):
        monkeypatch.setattr(writing, name, lambda *_, made_of=empty, **__: made_of)

    files = study_files(proposed(), letter("de", "short"))

    assert files["proposal.pdf"] == pdf("de", "short")
    assert b"faultless_parts" in files["study.json"]
