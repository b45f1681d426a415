"""The HTTP interface: all that the pages do, as JSON. `/api/openapi.json` describes it."""

from dataclasses import asdict, dataclass, field
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Query, Request
from starlette.responses import PlainTextResponse, Response

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputError
from millhand.intake.fields import kind_of
from millhand.intake.inquiry_gaps import questions
from millhand.store import work
from millhand.store.inquiries import Begun, mark, on_desk, put_away
from millhand.store.revisions import revisions
from millhand.web.desk import (
    Open,
    back_to,
    blank,
    changed,
    from_inquiry,
    from_ours,
    of_field,
    of_lost_item,
    of_text,
    open_inquiry,
    start,
    undo,
)
from millhand.web.desk import ask_for as asked_for
from millhand.web.elements import of_further
from millhand.web.kept_record import is_record
from millhand.web.pages import desk_of, who_of
from millhand.web.questioning import decoded
from millhand.web.routes.desk import clean, download
from millhand.web.routes.studies import wishes
from millhand.web.worker import COPIES

WRONG: dict[int | str, dict[str, Any]] = {
    400: {"description": "The request cannot be read."}, 401: {"description": "No key."},
    403: {"description": "Not from here."}, 404: {"description": "There is no such thing."},
    409: {"description": "Somebody else was quicker; what was sent is kept aside."},
    413: {"description": "Too large."}, 422: {"description": "Input that cannot be used: where, read, write."},
    503: {"description": "The database does not answer."},
}  # fmt: skip
ROUTES = APIRouter(prefix="/api", responses=WRONG)
Name = Annotated[str, Path(pattern="^[0-9a-z]{1,12}$")]
Number = Annotated[int, Path(ge=1, le=2**31 - 1)]
Words = Annotated[str, Query(max_length=200)]
Base = Annotated[int, Query(ge=1, le=2**31 - 1)]  # a revision


@dataclass(frozen=True, kw_only=True)
class Beginning:
    """What a new inquiry begins from: nothing, a starter, an example, another inquiry, or a text with its files."""

    kind: Literal["blank", "starter", "example", "copy", "text"]
    name: str = ""
    text: str = ""
    files: dict[str, str] = field(default_factory=dict)  # path: content in base64


@dataclass(frozen=True, kw_only=True)
class NewText:
    """A whole text, made from revision `base`."""

    base: Base
    text: str


@dataclass(frozen=True, kw_only=True)
class NewField:
    """What is typed into one field, made from revision `base`."""

    base: Base
    path: str
    text: str
    basis: str = ""
    source: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class NewItem:
    """One more table of a list; with `number` that one is taken out."""

    base: Base
    path: str
    name: str = ""
    number: Annotated[int, Query(ge=0, le=2**31 - 1)] | None = None


@dataclass(frozen=True, kw_only=True)
class Marks:
    """State and tags."""

    state: Literal["open", "proposed", "won", "lost", "resting"]
    tags: str = ""
    put_away: bool = False


@dataclass(frozen=True, kw_only=True)
class Wish:
    """How a study is wanted."""

    language: Literal["en", "de"] = "en"
    form: Literal["short", "long"] = "short"
    seed: Annotated[int, Query(ge=0, le=2**31 - 1)] = 1
    draws: Annotated[int, Query(ge=10, le=2000)] = 200


def told(own: Open) -> dict[str, Any]:
    """An inquiry as JSON: what the desk knows, every field with what was typed and what is wrong with it."""
    fields = [
        {"path": each.path, "fact": each.fact, "text": each.text, "kind": kind_of(each), "help": each.entry.help,
         "example": each.example, **each.beside}
        for each in own.paper.all_fields()
    ]  # fmt: skip
    errors = [{"code": e.code, "where": e.where, "read": e.read, "write": e.write} for e in own.paper.errors]
    about = {"base": own.revision.number, "fields": fields, "errors": errors, "files": sorted(own.files)}
    return asdict(own.kept) | about


@ROUTES.get("/inquiries")
def listed(request: Request, words: Words = "", state: Words = "", put_away: bool = False) -> list[dict[str, Any]]:
    """The inquiries on the desk that hold these words."""
    with desk_of(request).store.reading() as connection:
        return [asdict(each) for each in on_desk(connection, words, state, put_away=put_away)]


@ROUTES.post("/inquiries", status_code=201)
def begin(request: Request, sent: Beginning) -> dict[str, Any]:
    """Begin an inquiry."""
    own = desk_of(request)
    if sent.kind == "text":
        made = from_text(sent)
    elif sent.kind == "blank":
        made = blank()
    else:
        made = from_inquiry(own, sent.name) if sent.kind == "copy" else from_ours(sent.kind, sent.name)
    return told(open_inquiry(own, start(own, made, who_of(request)).id))


def from_text(sent: Beginning) -> Begun:
    """A text that was sent, with its files."""
    files = {clean(path): decoded(content, "/files") for path, content in sent.files.items()}
    return Begun(name=sent.name, text=sent.text, files=files, why="sent through the interface")


@ROUTES.get("/inquiries/{name}")
def one(request: Request, name: Name) -> dict[str, Any]:
    """One inquiry with all its fields."""
    return told(open_inquiry(desk_of(request), name))


@ROUTES.get("/inquiries/{name}/text", response_class=PlainTextResponse)
def text(request: Request, name: Name) -> Response:
    """Its text, as the command line takes it."""
    return PlainTextResponse(open_inquiry(desk_of(request), name).revision.text)


@ROUTES.put("/inquiries/{name}/text")
def put_text(request: Request, name: Name, sent: NewText, response: Response) -> dict[str, Any]:
    """Keep a new text."""
    taken = changed(desk_of(request), name, of_text(sent.text, sent.base), who_of(request))
    return answered(request, name, taken.aside, response)


@ROUTES.patch("/inquiries/{name}/field")
def put_field(request: Request, name: Name, sent: NewField, response: Response) -> dict[str, Any]:
    """Keep what is typed into one field."""
    own = desk_of(request)
    fields = open_inquiry(own, name, sent.base).paper.all_fields()
    each = next((each for each in fields if each.path == sent.path), None)
    if each is None:
        raise InputError(sent.path, sent.text[:40], "the path of a field, as the inquiry lists them", "no_field")
    beside = {"basis": sent.basis, "source": sent.source, "note": sent.note}
    taken = changed(own, name, of_field(each, sent.text, beside, sent.base), who_of(request))
    return answered(request, name, taken.aside, response)


@ROUTES.post("/inquiries/{name}/item")
def put_item(request: Request, name: Name, sent: NewItem, response: Response) -> dict[str, Any]:
    """One item more in a list, or one less."""
    if sent.number is not None:
        change = of_lost_item(sent.path, sent.number, sent.base)
    else:
        fresh = {"name": sent.name} if sent.name else {}
        change = of_further(open_inquiry(desk_of(request), name).paper, sent.path, fresh, sent.base)
    taken = changed(desk_of(request), name, change, who_of(request))
    return answered(request, name, taken.aside, response)


def answered(request: Request, name: str, aside: bool, response: Response) -> dict[str, Any]:
    """The inquiry after a change; 409 where somebody else was quicker and the change is kept aside."""
    response.status_code = 409 if aside else 200
    return told(open_inquiry(desk_of(request), name)) | {"kept_aside": aside}


@ROUTES.post("/inquiries/{name}/undo")
def take_back(request: Request, name: Name) -> dict[str, Any]:
    """Take the last change back."""
    undo(desk_of(request), name, who_of(request))
    return told(open_inquiry(desk_of(request), name))


@ROUTES.put("/inquiries/{name}/marks")
def put_marks(request: Request, name: Name, sent: Marks) -> dict[str, Any]:
    """State, tags, and whether it is put away."""
    with desk_of(request).store.writing() as connection:
        mark(connection, name, who_of(request), state=sent.state, tags=sent.tags)
        put_away(connection, name, who_of(request), away=sent.put_away)
    return told(open_inquiry(desk_of(request), name))


@ROUTES.get("/inquiries/{name}/questions")
def to_ask(request: Request, name: Name) -> list[dict[str, Any]]:
    """What to ask the shop next; none while the text has errors."""
    inquiry = open_inquiry(desk_of(request), name).paper.inquiry
    found = questions(inquiry, assumptions()) if inquiry is not None else ()
    return [{"words": each.words, "kills": each.kills, "facts": [fact.id for fact in each.facts]} for each in found]


@ROUTES.get("/inquiries/{name}/revisions")
def history(request: Request, name: Name) -> list[dict[str, Any]]:
    """Every revision, the newest first."""
    open_inquiry(desk_of(request), name)
    with desk_of(request).store.reading() as connection:
        return [asdict(each) for each in revisions(connection, name)]


@ROUTES.post("/inquiries/{name}/revisions/{number}/back")
def bring_back(request: Request, name: Name, number: Number) -> dict[str, Any]:
    """Make a revision the current one again."""
    back_to(desk_of(request), name, number, who_of(request))
    return told(open_inquiry(desk_of(request), name))


@ROUTES.post("/inquiries/{name}/work", status_code=202)
def ask(request: Request, name: Name, sent: Wish) -> dict[str, Any]:
    """Ask for a study of the inquiry as it is."""
    own = open_inquiry(desk_of(request), name)
    if own.paper.errors:
        raise own.paper.errors[0]
    wish = wishes(sent.language, sent.form, seed=sent.seed, draws=sent.draws)
    return asdict(asked_for(desk_of(request), name, wish, who_of(request)))


@ROUTES.get("/pieces/{piece}")
def progress(request: Request, piece: Name) -> dict[str, Any]:
    """How far it is, and its files once it is done."""
    with desk_of(request).store.reading() as connection:
        own = work.work(connection, piece)
        files = {
            copy: [each for each in work.delivered(connection, piece, copy) if not is_record(each)] for copy in COPIES
        }
    return asdict(own) | {"files": files}


@ROUTES.post("/pieces/{piece}/cancel")
def cancel(request: Request, piece: Name) -> dict[str, Any]:
    """Stop it."""
    with desk_of(request).store.reading() as connection:
        work.work(connection, piece)
    desk_of(request).running.cancel(piece, who_of(request))
    return progress(request, piece)


@ROUTES.get("/pieces/{piece}/{copy}/{path:path}", response_class=Response)
def file(request: Request, piece: Name, copy: Literal["own", "customer"], path: str) -> Response:
    """One file of a study."""
    if is_record(path):
        raise KeyError(path)
    with desk_of(request).store.reading() as connection:
        content = work.file_of(connection, piece, copy, path)
    return download(content, path.rpartition("/")[2], "application/octet-stream")
