"""The desk: all inquiries, new ones, files in and out."""

import io
import zipfile
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, File, Form, Request, UploadFile
from starlette.responses import RedirectResponse, Response

from millhand.catalogue.examples import examples
from millhand.catalogue.starters import starters
from millhand.errors import InputError
from millhand.intake.fields import FILE
from millhand.store.inquiries import Begun, mark, on_desk, put_away
from millhand.web.desk import MOST_BYTES, MOST_FILES, blank, from_inquiry, from_ours, start
from millhand.web.desk import open_inquiry as opened_here
from millhand.web.pages import checked, desk_of, page, who_of
from millhand.web.worker import COMPANY

ROUTES = APIRouter(include_in_schema=False)
YAML = (".yaml", ".yml")
KINDS = (
    *YAML,
    ".zip",
    ".csv",
    ".xlsx",
    ".xml",
    ".png",
    ".jpg",
    ".jpeg",
    ".stl",
    ".step",
    ".stp",
    ".pdf",
    ".txt",
    ".urdf",
)


@ROUTES.get("/")
def desk(request: Request, words: str = "", state: str = "", away: bool = False) -> Response:
    """All inquiries that hold these words."""
    with desk_of(request).store.reading() as connection:
        found = on_desk(connection, words, state, put_away=away)
    known = {
        "found": found, "words": words, "state": state, "away": away, "starters": starters().values(),
        "examples": tuple(examples()),
    }  # fmt: skip
    return page(request, "desk.html.j2", known)


@ROUTES.post("/inquiries")
def begin(
    request: Request,
    kind: Annotated[str, Form()],
    name: Annotated[str, Form()] = "",
    form_key: Annotated[str, Form()] = "",
) -> Response:
    """Begin one: from a blank sheet, a starter, an example or another inquiry."""
    checked(request, form_key)
    own = desk_of(request)
    if kind not in ("blank", "starter", "example", "copy"):
        raise InputError("kind", kind, "blank, starter, example or copy", "unknown")
    begun = blank() if kind == "blank" else from_inquiry(own, name) if kind == "copy" else from_ours(kind, name)
    return RedirectResponse(f"/inquiries/{start(own, begun, who_of(request)).id}", 303)


@ROUTES.post("/inquiries/files")
def take_in(
    request: Request,
    files: Annotated[list[UploadFile], File()],
    form_key: Annotated[str, Form()] = "",
) -> Response:
    """Begin one from an inquiry file and the files that it names, or from what was exported."""
    checked(request, form_key)
    begun = from_files([(each.filename or "", each.file.read()) for each in files])
    return RedirectResponse(f"/inquiries/{start(desk_of(request), begun, who_of(request)).id}", 303)


def from_files(files: list[tuple[str, bytes]]) -> Begun:
    """The inquiry in files that were chosen; a zip of ours is opened."""
    if len(files) == 1 and files[0][0].lower().endswith(".zip"):
        files = unzipped(*files[0])
    known = {clean(name): content for name, content in files if name}
    inquiries = [name for name in known if name.lower().endswith(YAML) and "/" not in name and name != COMPANY]
    inquiries = [FILE] if FILE in inquiries else inquiries
    if len(inquiries) != 1:
        read = f"{len(inquiries)} files that end in .yaml"
        raise InputError("files", read, "one inquiry file, and beside it the files that it names", "one_inquiry")
    try:
        text = known.pop(inquiries[0]).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(inquiries[0], "bytes that are no text", "the file in UTF-8", "not_utf8") from None
    return Begun(name=inquiries[0], text=text, files=known, why=f"taken in from {inquiries[0]}")


def clean(name: str) -> str:
    """A path inside the folder; InputError for one that leads elsewhere, and for a kind that no inquiry names."""
    parts = [part for part in name.replace("\\", "/").split("/") if part not in ("", ".")]
    path = "/".join(parts)
    if ".." in parts or ":" in path or len(path) > 200 or not path.isprintable():
        raise InputError("files", name[:80], "a path inside the folder of the inquiry", "evidence_outside")
    if not path.lower().endswith(KINDS):
        raise InputError("files", name[:80], f"a file that ends in one of {', '.join(KINDS)}", "file_kind")
    return path


def unzipped(name: str, content: bytes) -> list[tuple[str, bytes]]:
    """The files of a zip, whose sizes are looked at before anything is opened."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            inside = [each for each in packed.infolist() if not each.is_dir()]
            if len(inside) > MOST_FILES + 1 or sum(each.file_size for each in inside) > MOST_BYTES:
                write = f"at most {MOST_FILES} files of {MOST_BYTES // 1_000_000} MB in all"
                raise InputError(name, f"a zip of {len(inside)} files", write, "too_large")
            return [(each.filename, packed.open(each).read(each.file_size)) for each in inside]
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, OSError):
        raise InputError(name, "no zip that can be opened", "a zip that this desk exported", "no_zip") from None


@ROUTES.get("/inquiries/{name}/export")
def export(request: Request, name: str, number: int | None = None) -> Response:
    """The inquiry as the command line takes it: its file, zipped with those that it names where there are any."""
    own = opened_here(desk_of(request), name, number)
    text = own.revision.text.encode("utf-8")
    if not own.files:
        return download(text, FILE, "application/yaml")
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        for path, content in {FILE: text, **own.files}.items():
            packed.writestr(zipfile.ZipInfo(path, (1980, 1, 1, 0, 0, 0)), content)
    return download(stream.getvalue(), f"{own.kept.name}.zip", "application/zip")


def download(content: bytes, name: str, kind: str) -> Response:
    """Content that the browser keeps as a file, under a name that may hold any letter."""
    plain = "".join(letter if letter.isascii() and (letter.isalnum() or letter in "._- ") else "_" for letter in name)
    names = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, '')}"
    return Response(content, media_type=kind, headers={"Content-Disposition": names})


@ROUTES.post("/inquiries/{name}/marks")
def marked(
    request: Request,
    name: str,
    state: Annotated[str, Form()],
    tags: Annotated[str, Form()] = "",
    form_key: Annotated[str, Form()] = "",
) -> Response:
    """State and tags."""
    checked(request, form_key)
    try:
        with desk_of(request).store.writing() as connection:
            mark(connection, name, who_of(request), state=state, tags=tags)
    except ValueError:
        raise InputError("state", state, "one of the states of the list", "unknown") from None
    return RedirectResponse(f"/inquiries/{name}", 303)


@ROUTES.post("/inquiries/{name}/away")
def away(
    request: Request, name: str, put: Annotated[bool, Form()] = True, form_key: Annotated[str, Form()] = ""
) -> Response:
    """Off the desk, or back on it."""
    checked(request, form_key)
    with desk_of(request).store.writing() as connection:
        put_away(connection, name, who_of(request), away=put)
    return RedirectResponse("/" if put else f"/inquiries/{name}", 303)
