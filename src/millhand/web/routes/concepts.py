"""Concepts: those that the inquiry keeps or leaves out, each of a study on its own page, and one moved on its plan."""

from collections.abc import Mapping
from functools import partial
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Request
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from millhand.catalogue.only import KINDS
from millhand.catalogue.wished import is_by_hand
from millhand.errors import InputError, InputErrors
from millhand.intake.fields import Paper
from millhand.intake.yaml_edit import quoted
from millhand.report.marks import place
from millhand.report.moved_plan import Shown, shown
from millhand.stood import Stood
from millhand.store import work
from millhand.web.desk import Change, Open, Taken, changed, of_item, of_lost_item
from millhand.web.pages import checked, desk_of, page, who_of
from millhand.web.routes.inquiry import known, opened
from millhand.web.routes.studies import PAGES, study
from millhand.web.wishes import (
    CONCEPTS,
    PIECES,
    TRIED,
    TURNS,
    Wish,
    addressed,
    catalogue,
    free_name,
    names_in,
    wish_of,
    with_wish,
    worked_out,
)

ROUTES = APIRouter(include_in_schema=False)
Typed = Annotated[str, Form()]
ASKED = frozenset((
    "of", "name", "by", "reason", "by_arm", *KINDS,
    *(f"{piece}_{what}" for piece in PIECES for what in ("x", "y", "turned")),
))  # fmt: skip
WORDS = {"kept": "looked at closely", "left_out": "left out"}


@ROUTES.get("/studies/{piece}/{copy}/way-{concept}")
def way(request: Request, piece: str, copy: str, concept: str) -> Response:
    """One concept of a study, with what can be wished about it."""
    about = study(request, piece, copy)
    with desk_of(request).store.reading() as connection:
        main = work.file_of(connection, piece, copy, PAGES + place(concept)).decode("utf-8")
    own = opened(request, about["kept"].id)
    wishes = [
        (number, each, fields)
        for number, (each, fields) in enumerate(addressed(own.paper))
        if each.base == concept or concept.endswith(f"-{each.name}")
    ]
    told = {
        "main": Markup(main),
        "concept": concept,
        "own": own,
        "wishes": wishes,
        "words": WORDS,
        "named": can_be_named(concept),
    }
    return page(request, "way.html.j2", about | told | {"part": "ways"})


def can_be_named(concept: str) -> bool:
    """Whether a wish may name it: a way by hand, or parts alone; what was placed by hand goes by its own wish."""
    return is_by_hand(concept) or all(each in catalogue().components for each in concept.split("-"))


@ROUTES.get("/inquiries/{name}/concepts")
def listed(request: Request, name: str) -> Response:
    """What is wished, and a form to add one."""
    own = opened(request, name)
    told = {"wishes": addressed(own.paper), "words": WORDS, "parts": parts(), "fields": {}}
    return page(request, "concepts.html.j2", known(request, own) | told)


@ROUTES.post("/inquiries/{name}/concepts")
def wished(
    request: Request, name: str, base: Annotated[int, Form()], of: Typed, treatment: Typed, by: Typed = "",
    reason: Typed = "", form_key: Typed = "",
) -> Response:  # fmt: skip
    """One more wish about a concept of a study."""
    checked(request, form_key)
    taken = noted(request, name, base, {"of": of, "is": treatment, "by": by, "reason": reason})
    return after(name, taken.revision if taken.aside else None)


def noted(request: Request, name: str, base: int, said: Mapping[str, str]) -> Taken:
    """Write down that a concept of a study is to be looked at closely or left out: `of`, `is`, `by`, `reason`."""
    names = names_in(opened(request, name).revision.text)
    word = "left_out" if said["is"] == "left_out" else "kept"
    called = free_name(f"{word}_{len(names) + 1}", names)
    item = {"name": called, "is": word, "of": quoted(said["of"].strip()[:300])}
    item |= {key: quoted(said[key].strip()[:200]) for key in ("by", "reason") if said[key].strip()}
    return changed(desk_of(request), name, of_item(CONCEPTS, item, base), who_of(request))


@ROUTES.post("/inquiries/{name}/concepts/out")
def unwished(
    request: Request, name: str, base: Annotated[int, Form()], number: Annotated[int, Form()], form_key: Typed = ""
) -> Response:
    """One wish less."""
    checked(request, form_key)
    taken = changed(desk_of(request), name, of_lost_item(CONCEPTS, number, base), who_of(request))
    return after(name, taken.revision if taken.aside else None)


@ROUTES.get("/inquiries/{name}/concepts/plan")
def plan(request: Request, name: str) -> Response:
    """The page on which one concept is changed: its parts, and its pieces on the plan."""
    own = opened(request, name)
    asked = asked_of(request)
    return page(
        request,
        "plan.html.j2",
        known(request, own) | {"parts": parts(), "turns": TURNS} | told(request, name, asked, simulate=False),
    )


@ROUTES.get("/inquiries/{name}/concepts/plan/answer")
def answer(request: Request, name: str) -> Response:
    """What comes of it where the pieces stand now."""
    about = told(request, name, asked_of(request), simulate=False)
    made = page(request, "stood.html.j2", about | {"job": name})
    made.headers["HX-Replace-Url"] = f"/inquiries/{name}/concepts/plan?{about['query']}"
    return made


@ROUTES.get("/inquiries/{name}/concepts/plan/simulated")
def simulated(request: Request, name: str) -> Response:
    """Its output with the shifts run."""
    about = told(request, name, asked_of(request), simulate=True)
    return page(request, "stood_output.html.j2", about | {"job": name})


@ROUTES.post("/inquiries/{name}/concepts/plan")
async def kept(request: Request, name: str) -> Response:
    """Write it into the inquiry as it stands."""
    form = {key: str(value) for key, value in (await request.form()).items()}
    checked(request, form.get("form_key", ""))
    return await run_in_threadpool(keep, request, name, form)


def keep(request: Request, name: str, form: dict[str, str]) -> Response:
    """The wish in the text, in the place of the one of its name."""
    taken = placed(request, name, base_of(form), wish_of(form))
    return after(name, taken.revision if taken.aside else None)


def placed(request: Request, name: str, base: int, wish: Wish) -> Taken:
    """Write a concept as it stands into the inquiry; InputErrors where a place has one measure alone."""
    if wish.halves():
        raise InputErrors(wish.halves())
    taken_names = names_in(opened(request, name).revision.text)
    item = wish.item() | {"name": quoted(wish.name or free_name("placed_by_hand", taken_names))}
    change = Change(
        base=base, path=CONCEPTS, edit=lambda old: with_wish(old, item), why=f"concept {item['name']} by hand"
    )
    return changed(desk_of(request), name, change, who_of(request))


def base_of(form: Mapping[str, str]) -> int:
    """The revision that a form was made from."""
    text = form.get("base", "")
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise InputError("base", text[:40], "the number of a revision, such as 3", "not_a_revision")
    return int(text)


def after(name: str, aside: int | None) -> Response:
    """The list of wishes; where somebody else was quicker, both."""
    return RedirectResponse(f"/inquiries/{name}/aside/{aside}" if aside else f"/inquiries/{name}/concepts", 303)


def asked_of(request: Request) -> dict[str, str]:
    """What an address says of a concept."""
    return {key: text for key, text in request.query_params.items() if text and key in ASKED}


def parts() -> dict[str, list[tuple[str, str]]]:
    """The components that each part may be, with their titles."""
    every = catalogue().components.values()
    return {kind: [(each.id, each.title) for each in every if each.kind == kind] for kind in KINDS}


def told(request: Request, name: str, asked: dict[str, str], *, simulate: bool) -> dict[str, Any]:
    """What comes of a concept as an address says it: what is shown, or what is wrong."""
    own, wish = opened(request, name), wish_of(asked)
    about: dict[str, Any] = {
        "wish": wish, "fields": asked, "query": urlencode(asked), "shown": None, "errors": [], "against": "",
        "simulated": simulate,
    }  # fmt: skip
    if wish.halves():
        return about | {"errors": [str(each) for each in wish.halves()]}
    if own.paper.inquiry is None:
        return about | {"errors": ["First mend what is wrong in the inquiry."]}
    paper = read(request, own, wish)
    if paper.inquiry is None:
        return about | {"errors": [str(each) for each in paper.errors]}
    found = desk_of(request).asking.run(partial(worked_out, paper.inquiry, wish.name or TRIED, simulate=simulate))
    if isinstance(found, list):
        return about | {"errors": found}
    return about | {"shown": as_shown(found, paper), "against": found.against}


def read(request: Request, own: Open, wish: Wish) -> Paper:
    """The inquiry as it would read with this wish."""
    return desk_of(request).reader.paper(with_wish(own.revision.text, wish.item()), own.files)


def as_shown(found: Stood, paper: Paper) -> Shown | None:
    """What a page says of it; None where a rule stands against it."""
    if found.result is None or paper.inquiry is None:
        return None
    return shown(found.result, found.facts, found.choices, paper.inquiry.shop.currency)
