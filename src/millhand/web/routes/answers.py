"""The question sheet of an inquiry: taken along, and taken in again once it is filled."""

import base64
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from starlette.responses import RedirectResponse, Response

from millhand.errors import InputError, InputErrors
from millhand.web.pages import checked, desk_of, page, who_of
from millhand.web.questioning import MOST_BYTES, SHEET, answers_in, decoded, questions_now, take_answers
from millhand.web.routes.desk import download
from millhand.web.routes.inquiry import known, opened
from millhand.web.routes.studies import KINDS

ROUTES = APIRouter(prefix="/inquiries/{name}", include_in_schema=False)


@ROUTES.get("/questions.xlsx")
def sheet(request: Request, name: str) -> Response:
    """The open questions as a sheet to fill in."""
    return download(questions_now(desk_of(request), name), SHEET, KINDS["xlsx"])


@ROUTES.post("/answers")
def read(
    request: Request, name: str, sheet: Annotated[UploadFile, File()], form_key: Annotated[str, Form()] = ""
) -> Response:
    """What a filled sheet would change, or every cell that is wrong; nothing is kept yet."""
    checked(request, form_key)
    own = opened(request, name)
    content = sheet.file.read(MOST_BYTES + 1)
    found, errors = None, tuple[InputError, ...]()
    try:
        found = answers_in(desk_of(request), own, content)
    except InputErrors as trouble:
        errors = trouble.errors
    about = {"found": found, "errors": errors, "sheet": base64.b64encode(content).decode("ascii") if found else ""}
    return page(request, "answers.html.j2", known(request, own) | about, status=422 if errors else 200)


@ROUTES.post("/answers/take")
def take(
    request: Request, name: str, sheet: Annotated[str, Form()], base: Annotated[int, Form()],
    form_key: Annotated[str, Form()] = "",
) -> Response:  # fmt: skip
    """Take the answers in."""
    checked(request, form_key)
    content = decoded(sheet, "sheet")
    _, taken = take_answers(desk_of(request), name, base, content, who_of(request))
    where = f"/inquiries/{name}/aside/{taken.revision}" if taken.aside else f"/inquiries/{name}/questions"
    return RedirectResponse(where, 303)
