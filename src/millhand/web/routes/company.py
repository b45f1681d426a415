"""The details of the company: a form, kept for the desk, with a logo that is drawn anew before it is kept."""

from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from fastapi import APIRouter, File, Request, UploadFile
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from millhand.errors import InputError, InputErrors
from millhand.store.companies import Details, details, keep_details
from millhand.web.company import DETAILS, KEYS, checked_details, typed_in
from millhand.web.pages import checked, desk_of, page, who_of
from millhand.web.routes.desk import download

ROUTES = APIRouter(prefix="/company", include_in_schema=False)


def kept(request: Request) -> Details:
    """The details as they are."""
    with desk_of(request).store.reading() as connection:
        return details(connection)


@ROUTES.get("")
def form(request: Request, saved: bool = False) -> Response:
    """The form."""
    own = kept(request)
    return shown(request, typed_in(own.text), own, (), saved=saved)


def shown(
    request: Request, typed: Mapping[str, str], own: Details, errors: Sequence[InputError], *, saved: bool = False
) -> Response:
    """The form with what was typed, right or wrong."""
    known: dict[str, Any] = {
        "details": DETAILS, "typed": typed, "kept_details": own, "saved": saved and not errors, "count": len(errors),
        "errors": {each.where: each for each in errors},
        "elsewhere": [each for each in errors if each.where not in KEYS],
    }  # fmt: skip
    return page(request, "company.html.j2", known, status=422 if errors else 200)


@ROUTES.post("")
async def keep(request: Request, logo: Annotated[UploadFile | None, File()] = None) -> Response:
    """New details, all of them or none."""
    sent = await request.form()
    texts = {key: str(value)[:4000] for key, value in sent.items() if isinstance(value, str)}
    content = await logo.read() if logo is not None else b""
    return await run_in_threadpool(kept_anew, request, texts, ((logo and logo.filename) or "", content))


def kept_anew(request: Request, texts: Mapping[str, str], logo: tuple[str, bytes]) -> Response:
    """Keep what was sent, or show what is wrong with it."""
    checked(request, texts.get("form_key", ""))
    own, typed = kept(request), {key: texts[key] for key in KEYS if key in texts}
    if not logo[0] and texts.get("logo_out") == "true":
        logo = ("", b"out")
    try:
        new = checked_details(desk_of(request).reader, typed, logo, own)
    except InputErrors as trouble:
        return shown(request, typed, own, trouble.errors)
    with desk_of(request).store.writing() as connection:
        keep_details(connection, new, who_of(request))
    return RedirectResponse("/company?saved=true", 303)


@ROUTES.get("/logo")
def logo_kept(request: Request) -> Response:
    """The logo as it goes onto the paper."""
    own = kept(request)
    if not own.logo:
        raise KeyError("logo")
    answer = download(own.logo, f"logo.{own.form}", "image/png" if own.form == "png" else "image/jpeg")
    answer.headers["Content-Disposition"] = "inline"
    return answer
