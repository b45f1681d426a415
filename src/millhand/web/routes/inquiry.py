"""One inquiry: call sheet, forms by subject, its text, questions, files, revisions."""

import difflib
import re
from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Request, UploadFile
from markupsafe import Markup
from starlette.responses import RedirectResponse, Response

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputError
from millhand.intake.fields import fields_in
from millhand.intake.inquiry_gaps import questions
from millhand.store import work
from millhand.store.deeds import deeds
from millhand.store.inquiries import Begun
from millhand.store.revisions import Revision, files_of, keep, revision, revisions
from millhand.web.desk import (
    Open,
    Taken,
    back_to,
    changed,
    followed,
    of_field,
    of_lost_item,
    of_text,
    open_inquiry,
    small_enough,
    undo,
)
from millhand.web.elements import of_further
from millhand.web.folds import folds_in, moved, open_ones, refolded, shown_in
from millhand.web.following import renamed, taken_over
from millhand.web.form_words import in_words
from millhand.web.heads import heads
from millhand.web.pages import checked, desk_of, is_name, is_small_script, page, who_of
from millhand.web.questioning import worths
from millhand.web.routes.desk import clean, download
from millhand.web.sheet import call_sheet, elsewhere, shown_on_sheet, to_mend
from millhand.web.today_words import about_today

NAME_OF_MACHINES = re.compile(r"machines\.[0-9]+\.name")
ROUTES = APIRouter(prefix="/inquiries/{name}", include_in_schema=False)
Typed = Annotated[str, Form()]


def opened(request: Request, name: str, number: int | None = None) -> Open:
    """The inquiry."""
    return open_inquiry(desk_of(request), name, number)


def known(request: Request, own: Open) -> dict[str, Any]:
    """What every page about an inquiry shows: its heads, its errors, and how far its study is."""
    with desk_of(request).store.reading() as connection:
        pieces = work.works(connection, own.kept.id)
    done = next((each for each in pieces if each.state == work.DONE), None)
    inquiry = own.paper.inquiry
    last = pieces[0] if pieces else None
    return {
        "own": own, "paper": own.paper, "pieces": pieces, "last": last, "done": done,
        "far": desk_of(request).running.far(last),
        "currency": inquiry.shop.currency if inquiry is not None else "",
    }  # fmt: skip


def headline(request: Request, done: work.Work | None) -> Markup:
    """The answer of the last study in short; '' where there is none."""
    if done is None:
        return Markup("")
    try:
        with desk_of(request).store.reading() as connection:
            page = work.file_of(connection, done.id, "own", "pages/headline").decode("utf-8")
            return Markup(page.replace('href="', f'href="/studies/{done.id}/own/'))
    except KeyError:
        return Markup("")


@ROUTES.get("")
def sheet(request: Request, name: str) -> Response:
    """The call sheet, with the answer beside it; `open` in its address says which folds are open."""
    own = opened(request, name)
    about, groups = known(request, own), call_sheet(own.paper)
    asked = request.query_params.get("open", "")
    shown = {
        "groups": groups, "headline": headline(request, about["done"]), "mends": to_mend(own.paper),
        "about_today": about_today(own.paper), "heads": heads(own.paper), "unfolded": asked,
        "open_ones": open_ones(groups, asked),
    }  # fmt: skip
    return page(request, "sheet.html.j2", about | shown)


@ROUTES.get("/form")
def form(request: Request, name: str, of: str = "") -> Response:
    """The form of one subject."""
    own = opened(request, name)
    section = own.paper.section(of)
    shown = {"section": section and in_words(section), "of": of, "mends": to_mend(own.paper, sheet=False)}
    return page(request, "form.html.j2", known(request, own) | shown)


@ROUTES.post("/field")
def field(
    request: Request, name: str, path: Typed, base: Annotated[int, Form()], text: Typed = "", basis: Typed = "",
    source: Typed = "", note: Typed = "", beside: Typed = "", back: Typed = "", form_key: Typed = "",
) -> Response:  # fmt: skip
    """What was typed into one field."""
    checked(request, form_key)
    own = desk_of(request)
    before = open_inquiry(own, name, base)
    each = next((each for each in before.paper.all_fields() if each.path == path), None)
    if each is None:
        raise InputError(path, text[:40], "a field of the form: it was taken out meanwhile", "no_field")
    words = {"basis": basis, "source": source, "note": note} if beside else dict(each.beside)
    text = "_".join(text.lower().split()) if is_name(each) else text
    change = of_field(each, text, words, base)
    if NAME_OF_MACHINES.fullmatch(path):
        change = followed(change, renamed(before.paper, path, text))
    change = followed(change, taken_over(before.paper, path, text))
    taken = changed(own, name, change, who_of(request))
    return after(request, name, taken, (base, back))


def after(request: Request, name: str, taken: Taken, came: tuple[int, str]) -> Response:
    """What is shown after a change from a revision and a page: the news for the page's own script, else the page."""
    base, back = came
    if taken.aside:
        where = f"/inquiries/{name}/aside/{taken.revision}"
        if is_small_script(request):
            return Response(headers={"HX-Redirect": where})
        return RedirectResponse(where, 303)
    if is_small_script(request):
        own, before = opened(request, name), opened(request, name, base)
        if base not in (own.revision.base, own.revision.number):  # somebody came between: other fields shown are older
            return between(request, own, came)
        return page(
            request,
            "news.html.j2",
            known(request, own)
            | news_of(own, back)
            | news_of_sheet(request, own, before, back.partition("#field-")[2]),
        )
    return RedirectResponse(back if back.startswith(f"/inquiries/{name}") else f"/inquiries/{name}", 303)


def between(request: Request, own: Open, came: tuple[int, str]) -> Response:
    """What is shown where others changed something: only of the field itself, whose page still rests on its revision.

    The page loads itself again as soon as nothing half typed would be lost.
    """
    base, back = came
    path = back.partition("#field-")[2]
    fields = tuple(each for each in own.paper.all_fields() if each.path == path)
    return page(request, "between.html.j2", known(request, own) | {"fields": fields, "base": base, "back": back})


def news_of_sheet(request: Request, own: Open, before: Open, path: str) -> dict[str, Any]:
    """What changes on the sheet beside its fields: whether it can be asked, the way on, what is wrong elsewhere."""
    done = known(request, own)["done"]
    other = bool(own.paper.errors) != bool(before.paper.errors)
    rest = elsewhere(own.paper)
    was, now = ({each.path for each in shown_in(groups)} for groups in (elsewhere(before.paper), rest))
    groups, old = call_sheet(own.paper), call_sheet(before.paper)
    anew = refolded(old, groups)
    with_folds = {each.path for came in anew for each in came.fold.fields}  # no place before
    return {
        "asking": other or (done is not None and done.revision == before.revision.number),
        "about_today": about_today(own.paper),
        "heads": heads(own.paper),
        "refolded": anew,
        "with_folds": with_folds,
        "folds": folds_in(groups),
        "moved": moved(old, groups, {*with_folds, path}),
        "elsewhere": rest if now - was else (),
        "mended": tuple(each for each in own.paper.all_fields() if each.path in was - now),
    }


def news_of(own: Open, back: str) -> dict[str, Any]:
    """What the page that a change came from shows of it: its fields, its subject, and what is left to mend."""
    path, _, of = back.partition("#")[0].partition("?of=")
    is_form = path.endswith("/form")
    section = own.paper.section(of) if is_form else None
    fields = tuple(fields_in(section)) if section is not None else () if is_form else shown_on_sheet(own.paper)
    return {"fields": fields, "section": section, "mends": to_mend(own.paper, sheet=not is_form), "is_form": is_form}


@ROUTES.post("/item")
def item(
    request: Request, name: str, path: Typed, base: Annotated[int, Form()], called: Typed = "",
    back: Typed = "", form_key: Typed = "",
) -> Response:  # fmt: skip
    """One more item of a list."""
    checked(request, form_key)
    fresh = {"name": "_".join(called.lower().split())} if called.strip() else {}
    change = of_further(opened(request, name).paper, path, fresh, base)
    taken = changed(desk_of(request), name, change, who_of(request))
    return after(request, name, taken, (base, back))


@ROUTES.post("/item/out")
def item_out(
    request: Request, name: str, path: Typed, number: Annotated[int, Form()], base: Annotated[int, Form()],
    back: Typed = "", form_key: Typed = "",
) -> Response:  # fmt: skip
    """One item less."""
    checked(request, form_key)
    taken = changed(desk_of(request), name, of_lost_item(path, number, base), who_of(request))
    return after(request, name, taken, (base, back))


@ROUTES.get("/text")
def text(request: Request, name: str) -> Response:
    """The text of the inquiry."""
    own = opened(request, name)
    return page(request, "text.html.j2", known(request, own) | {"mends": to_mend(own.paper, sheet=False)})


@ROUTES.post("/text")
def text_kept(request: Request, name: str, text: Typed, base: Annotated[int, Form()], form_key: Typed = "") -> Response:
    """A whole new text, right or wrong."""
    checked(request, form_key)
    new = text.replace("\r\n", "\n")
    taken = changed(desk_of(request), name, of_text(new, base), who_of(request))
    where = f"/inquiries/{name}/aside/{taken.revision}" if taken.aside else f"/inquiries/{name}/text"
    return RedirectResponse(where, 303)


@ROUTES.post("/undo")
def undone(request: Request, name: str, back: Typed = "", form_key: Typed = "") -> Response:
    """The last change taken back."""
    checked(request, form_key)
    undo(desk_of(request), name, who_of(request))
    return RedirectResponse(back if back.startswith(f"/inquiries/{name}") else f"/inquiries/{name}", 303)


@ROUTES.get("/questions")
def open_questions(request: Request, name: str) -> Response:
    """What to ask the shop next."""
    own = opened(request, name)
    about = known(request, own)
    asked = questions(own.paper.inquiry, assumptions()) if own.paper.inquiry is not None else ()
    worth = worths(desk_of(request), own, about["done"].id) if about["done"] is not None else {}
    order = {words: number for number, words in enumerate(worth)}
    asked = tuple(sorted(asked, key=lambda each: order.get(each.words, len(order))))
    places = {each.fact: each for each in own.paper.all_fields()}
    return page(request, "questions.html.j2", about | {"questions": asked, "places": places, "worth": worth})


@ROUTES.get("/files")
def files(request: Request, name: str) -> Response:
    """The files that belong to the inquiry."""
    return page(request, "files.html.j2", known(request, opened(request, name)))


@ROUTES.get("/files/{path:path}")
def file(request: Request, name: str, path: str) -> Response:
    """One of them."""
    own = opened(request, name)
    if path not in own.files:
        raise KeyError(path)
    return download(own.files[path], path.rpartition("/")[2], "application/octet-stream")


@ROUTES.post("/files")
def add_files(
    request: Request, name: str, files: Annotated[list[UploadFile], File()], base: Annotated[int, Form()],
    form_key: Typed = "",
) -> Response:  # fmt: skip
    """More files, or newer ones."""
    checked(request, form_key)
    new = {clean(each.filename or ""): each.file.read() for each in files}
    return with_files(request, name, base, new, ())


@ROUTES.post("/files/out")
def file_out(request: Request, name: str, path: Typed, base: Annotated[int, Form()], form_key: Typed = "") -> Response:
    """One file less; it stays with the older revisions."""
    checked(request, form_key)
    return with_files(request, name, base, {}, (path,))


def with_files(request: Request, name: str, base: int, new: dict[str, bytes], out: tuple[str, ...]) -> Response:
    """The files after a change of them; where somebody else was quicker, both."""
    made = changed_files(request, name, base, new, out)
    where = f"/inquiries/{name}/aside/{made.number}" if made.aside else f"/inquiries/{name}/files"
    return RedirectResponse(where, 303)


def changed_files(request: Request, name: str, base: int, new: dict[str, bytes], out: tuple[str, ...]) -> Revision:
    """Keep the inquiry with other files."""
    with desk_of(request).store.writing() as connection:
        before = files_of(connection, name, base)
        text = revision(connection, name, base).text
        kept_files = {path: content for path, content in before.items() if path not in out} | new
        small_enough(Begun(name="", text=text, files=kept_files))
        why = f"files: {', '.join((*new, *(f'without {path}' for path in out)))}"
        return keep(connection, name, base, text, files=kept_files, by=(who_of(request), why[:200]))


@ROUTES.get("/history")
def history(request: Request, name: str) -> Response:
    """Every revision, and who did what."""
    own = opened(request, name)
    with desk_of(request).store.reading() as connection:
        found, log = revisions(connection, name), deeds(connection, name)
    return page(request, "history.html.j2", known(request, own) | {"revisions": found, "log": log})


@ROUTES.get("/aside/{number}")
def aside(request: Request, name: str, number: int) -> Response:
    """A change that came too late, beside what is there now: nothing of either is lost."""
    own, late = opened(request, name), opened(request, name, number)
    lines = difflib.unified_diff(
        own.revision.text.splitlines(), late.revision.text.splitlines(), "now", "yours", lineterm="", n=2
    )
    return page(request, "aside.html.j2", known(request, own) | {"late": late.revision, "lines": list(lines)[2:]})


@ROUTES.post("/back")
def back(request: Request, name: str, number: Annotated[int, Form()], form_key: Typed = "") -> Response:
    """An older revision, or one that stood aside, becomes the current one."""
    checked(request, form_key)
    back_to(desk_of(request), name, number, who_of(request))
    return RedirectResponse(f"/inquiries/{name}/history", 303)
