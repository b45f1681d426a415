"""The proposal of a study: looked at as it will be, taken along, issued; and what was issued, as it went out."""

from datetime import date
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Form, Request
from starlette.responses import RedirectResponse, Response

from millhand.errors import InputError, ToolError
from millhand.intake.picture import png_size
from millhand.report.proposal.letter import FORMS
from millhand.report.tongue import LANGUAGES
from millhand.store import work
from millhand.store.issued import all_issued, issued, issued_file, issued_names
from millhand.web.issuing import CUSTOMER, PAGES, REPORT, Asked, company_for, letter_of, number_for, send_out
from millhand.web.pages import checked, desk_of, page, who_of
from millhand.web.papering import STEPS, Job, Wanted
from millhand.web.questioning import questions_of_study
from millhand.web.routes.desk import download
from millhand.web.routes.inquiry import known, opened
from millhand.web.routes.studies import KINDS, kind_of, study, wishes
from millhand.web.worker import COPIES

ROUTES = APIRouter(include_in_schema=False)
AT = "/studies/{piece}/{copy}/proposal"
NO_SIZE = (0, 0)  # of a picture that is none
AT_ONCE_S = 0.9  # what takes longer is shown as under way
FILES = {
    "report.html": "the whole study as one file that opens anywhere, without a network",
    "workbook.xlsx": "the money as a workbook with live formulas",
    "cash_flow.csv": "the cash flow, line by line", "facts.csv": "every figure with its origin",
    "part_mix.csv": "the part list by family", "study.json": "everything, for programs",
}  # fmt: skip


def asked_in(copy: str, language: str = "en", form: str = "short", on: str = "", inside: str = "") -> Asked:
    """How the proposal is wanted; InputError for what cannot be."""
    wishes(language, form)
    if copy not in COPIES:
        raise KeyError(copy)
    try:
        day = date.fromisoformat(on) if on else date.today()
    except ValueError:
        day = None
    if day is None or not 1970 <= day.year <= 2200:  # a date of validity is reckoned from it
        raise InputError("on", on[:40], "a date, such as 2027-01-31", "date")
    return Asked(language=language, form=form, on=day, inside=inside == "yes" and copy == COPIES[0])


AskedHere = Annotated[Asked, Depends(asked_in)]  # out of the address


def wanted(request: Request, piece: str, copy: str, asked: Asked) -> Wanted:
    """The proposal that the address asks for."""
    with desk_of(request).store.reading() as connection:
        own = work.work(connection, piece)
    company, _ = company_for(desk_of(request), own.inquiry)
    return Wanted(piece, copy, letter_of(asked, company))


def address(asked: Asked) -> str:
    """What of an address says how it is wanted."""
    return urlencode({**asked.plain, "inside": "yes"} if asked.inside else asked.plain)


@ROUTES.get(AT)
def proposal(request: Request, piece: str, copy: str, asked: AskedHere) -> Response:
    """The page: how it is wanted, its pages, what can be taken along, and how it goes out."""
    about = study(request, piece, copy)
    company, by_inquiry = company_for(desk_of(request), about["kept"].id)
    with desk_of(request).store.reading() as connection:
        out = all_issued(connection, about["kept"].id)
        try:
            number, taken = number_for(connection, about["kept"].id, company), None
        except InputError as trouble:
            number, taken = None, trouble
    try:
        job = desk_of(request).papering.begin(Wanted(piece, copy, letter_of(asked, company)))
    except ToolError:  # kept without a record that this version can read, which the page says
        job = None
    return page(
        request, "proposal.html.j2",
        about | sheets(job, asked, f"/studies/{piece}/{copy}/proposal", AT_ONCE_S) | {
            "part": "proposal", "wish": asked, "company": company, "by_inquiry": by_inquiry, "number": number,
            "taken": taken, "out": out, "languages": LANGUAGES, "forms": FORMS, "about_files": FILES,
            "drawings": [name for name in about["names"] if name.startswith("drawings/")],
        },
    )  # fmt: skip


@ROUTES.get(f"{AT}/pages")
def pages(request: Request, piece: str, copy: str, asked: AskedHere) -> Response:
    """The pages once they are there: the piece of the page that asks again by itself."""
    job = desk_of(request).papering.begin(wanted(request, piece, copy, asked))
    return page(request, "sheets.html.j2", sheets(job, asked, f"/studies/{piece}/{copy}/proposal", 0.0))


def sheets(job: Job | None, asked: Asked, at: str, patience_s: float) -> dict[str, Any]:
    """What the preview shows: the sizes of the pages, or how far the proposal is, or that it cannot be made."""
    made, failed = None, job is None
    try:
        made = job.pages(patience_s) if job is not None else None
    except Exception:  # whatever went wrong there is told here, and the rest of the page stands
        failed = True
    sizes = [png_size(each) or NO_SIZE for each in made] if made is not None else []
    return {
        "sizes": sizes, "failed": failed, "step": STEPS[min(job.done, len(STEPS) - 1)] if job is not None else "",
        "steps_done": job.done if job is not None else 0, "steps": len(STEPS), "query": address(asked), "sheets_at": at,
    }  # fmt: skip


@ROUTES.get(f"{AT}/proposal.pdf")
def pdf(request: Request, piece: str, copy: str, asked: AskedHere) -> Response:
    """The PDF."""
    name = "proposal_internal.pdf" if asked.inside else "proposal.pdf"
    return download(desk_of(request).papering.pdf(wanted(request, piece, copy, asked)), name, KINDS["pdf"])


@ROUTES.get(f"{AT}/{REPORT}")
def report(request: Request, piece: str, copy: str, asked: AskedHere) -> Response:
    """The whole study as one page, in the language of the proposal beside it."""
    return download(desk_of(request).papering.report(wanted(request, piece, copy, asked)), REPORT, KINDS["html"])


@ROUTES.get(f"{AT}/page-{{number}}.png")
def one_page(request: Request, piece: str, copy: str, number: int, asked: AskedHere) -> Response:
    """One page as a picture."""
    found = desk_of(request).papering.pages(wanted(request, piece, copy, asked))
    if not 1 <= number <= len(found):
        raise KeyError(number)
    return Response(found[number - 1], media_type="image/png", headers={"Cache-Control": "private, max-age=300"})


@ROUTES.get("/studies/{piece}/{copy}/questions.xlsx")
def question_sheet(request: Request, piece: str, copy: str) -> Response:
    """The open questions of the study as a sheet that the shop fills in."""
    if copy not in COPIES:
        raise KeyError(copy)
    return download(questions_of_study(desk_of(request), piece, copy), "questions.xlsx", KINDS["xlsx"])


@ROUTES.post("/studies/{piece}/customer/issue")
def issue_it(
    request: Request, piece: str, language: Annotated[str, Form()] = "en", form: Annotated[str, Form()] = "short",
    on: Annotated[str, Form()] = "", form_key: Annotated[str, Form()] = "",
) -> Response:  # fmt: skip
    """It goes out under its number."""
    checked(request, form_key)
    asked = asked_in(CUSTOMER, language, form, on)
    with desk_of(request).store.reading() as connection:
        own = work.work(connection, piece)
    return RedirectResponse(f"/issued/{send_out(desk_of(request), own, asked, who_of(request)).id}", 303)


@ROUTES.get("/issued")
def all_of_them(request: Request) -> Response:
    """Every proposal that this desk issued."""
    with desk_of(request).store.reading() as connection:
        found = all_issued(connection)
    return page(request, "issued_list.html.j2", {"found": found})


@ROUTES.get("/inquiries/{name}/proposals")
def of_inquiry(request: Request, name: str) -> Response:
    """Those of one inquiry."""
    own = opened(request, name)
    with desk_of(request).store.reading() as connection:
        found = all_issued(connection, name)
    return page(request, "proposals.html.j2", known(request, own) | {"found": found})


@ROUTES.get("/issued/{name}")
def as_it_went_out(request: Request, name: str) -> Response:
    """One of them, reopened: its pages, its files, its hash, and the other revisions."""
    with desk_of(request).store.reading() as connection:
        own = issued(connection, name)
        names = issued_names(connection, name)
        pictures = [each for each in names if each.startswith(PAGES)]
        sizes = [png_size(issued_file(connection, name, each)) or NO_SIZE for each in pictures]
        every = [each for each in all_issued(connection, own.inquiry) if each.number == own.number]
    return page(
        request, "issued.html.j2",
        {
            "own": own, "pictures": list(zip(pictures, sizes, strict=True)), "every": every, "about_files": FILES,
            "names": [each for each in names if not each.startswith((PAGES, "cells/", "drawings/"))],
            "drawings": [each for each in names if each.startswith("drawings/")],
            "newer": next((each for each in every if each.revision > own.revision), None),
        },
    )  # fmt: skip


@ROUTES.get("/issued/{name}/files/{path:path}")
def file_as_it_went_out(request: Request, name: str, path: str) -> Response:
    """One file, byte by byte as it went out."""
    with desk_of(request).store.reading() as connection:
        own = issued(connection, name)
        content = issued_file(connection, name, path)
    if path.startswith(PAGES):
        return Response(content, media_type="image/png", headers={"Cache-Control": "private, max-age=86400"})
    return download(content, f"{own.number} revision {own.revision} {path.rpartition('/')[2]}", kind_of(path))
