"""Studies: asked for, watched, cancelled, read page by page, taken along as files."""

import os
from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from markupsafe import Markup
from starlette.responses import RedirectResponse, Response

from millhand.errors import InputError
from millhand.report.pages import CHAPTERS
from millhand.report.proposal.letter import FORMS
from millhand.report.running import PAGE as RUNNING
from millhand.report.tongue import LANGUAGES
from millhand.store import work
from millhand.study import DRAWS
from millhand.web.desk import ask_for, open_inquiry
from millhand.web.kept_record import RECORD, is_record
from millhand.web.pages import checked, desk_of, page, who_of
from millhand.web.routes.desk import download
from millhand.web.worker import COPIES

ROUTES = APIRouter(include_in_schema=False)
Typed = Annotated[str, Form()]
KINDS = {
    "pdf": "application/pdf", "json": "application/json", "csv": "text/csv; charset=utf-8", "html": "text/html",
    "svg": "image/svg+xml", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}  # fmt: skip
PAGES = "pages/"


def kind_of(path: str) -> str:
    """The media type of a file by the ending of its name."""
    return KINDS.get(path.rpartition(".")[2], "application/octet-stream")


def wishes(language: str = "en", form: str = "short", *, seed: int = 1, draws: int = DRAWS) -> dict[str, Any]:
    """How a study is asked for; InputError for a language or form that is none."""
    if language not in LANGUAGES:
        raise InputError("language", language, f"one of {', '.join(LANGUAGES)}", "unknown")
    if form not in FORMS:
        raise InputError("form", form, f"one of {', '.join(FORMS)}", "unknown")
    return {
        "seed": seed, "draws": draws, "language": language, "form": form, "on": date.today().isoformat(),
        "workers": os.cpu_count() or 1,
    }  # fmt: skip


@ROUTES.post("/inquiries/{name}/work")
def ask(request: Request, name: str, language: Typed = "en", form: Typed = "short", form_key: Typed = "") -> Response:
    """Work the inquiry out as it is now."""
    checked(request, form_key)
    own = open_inquiry(desk_of(request), name)
    if own.paper.errors:
        return RedirectResponse(f"/inquiries/{name}/form", 303)
    ask_for(desk_of(request), name, wishes(language, form), who_of(request))
    return RedirectResponse(f"/inquiries/{name}", 303)


@ROUTES.get("/pieces/{piece}")
def progress(request: Request, piece: str) -> Response:
    """How far it is: a piece of a page that asks again by itself while the work is under way."""
    with desk_of(request).store.reading() as connection:
        own = work.work(connection, piece)
    answer = page(request, "progress.html.j2", {"last": own, "far": desk_of(request).running.far(own)})
    if not own.under_way:
        answer.headers["HX-Refresh"] = "true"
    return answer


@ROUTES.post("/pieces/{piece}/cancel")
def cancel(request: Request, piece: str, form_key: Typed = "") -> Response:
    """Stop it."""
    checked(request, form_key)
    own = desk_of(request)
    with own.store.reading() as connection:
        inquiry = work.work(connection, piece).inquiry
    own.running.cancel(piece, who_of(request))
    return RedirectResponse(f"/inquiries/{inquiry}", 303)


@ROUTES.get("/studies/{piece}/{copy}/files")
def files(request: Request, piece: str, copy: str) -> Response:
    """All files of a study."""
    return page(request, "study_files.html.j2", study(request, piece, copy) | {"part": "files"})


@ROUTES.get("/studies/{piece}/{copy}/files/{path:path}")
def file(request: Request, piece: str, copy: str, path: str) -> Response:
    """One of them."""
    if path.startswith(PAGES) or is_record(path):
        raise KeyError(path)
    with desk_of(request).store.reading() as connection:
        content = work.file_of(connection, piece, copy, path)
    return download(content, path.rpartition("/")[2], kind_of(path))


@ROUTES.get("/studies/{piece}/{copy}/{part}")
def part(request: Request, piece: str, copy: str, part: str) -> Response:
    """One page of a study."""
    about = study(request, piece, copy)
    with desk_of(request).store.reading() as connection:
        main = work.file_of(connection, piece, copy, PAGES + part).decode("utf-8")
    name = "running.html.j2" if part == RUNNING else "study.html.j2"
    return page(request, name, about | {"part": part, "main": Markup(main)})


def study(request: Request, piece: str, copy: str) -> dict[str, Any]:
    """What every page of a study shows; KeyError where there is no such study, or no such copy."""
    with desk_of(request).store.reading() as connection:
        own = work.work(connection, piece)
        names = work.delivered(connection, piece, copy)
        has_record = RECORD in work.delivered(connection, piece, COPIES[0])
    if not names:
        raise KeyError((piece, copy))
    has = {name.removeprefix(PAGES) for name in names if name.startswith(PAGES)}
    kept = open_inquiry(desk_of(request), own.inquiry).kept
    files = [name for name in names if not name.startswith(PAGES) and not is_record(name)]
    return {
        "has_record": has_record, "piece": own, "copy": copy, "copies": COPIES, "names": files, "kept": kept,
        "shown": [each for each in CHAPTERS if each.name in has], "stale": own.revision != kept.revision,
    }  # fmt: skip
