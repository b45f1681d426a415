"""The part list of an inquiry: a file taken in, its columns matched, what is read so at once, bad rows with consent."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Request, UploadFile
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from millhand.errors import InputError, InputErrors
from millhand.intake.part_list import KINDS
from millhand.intake.part_list_heads import FIELDS, MEASURES
from millhand.intake.units import DIMENSIONS
from millhand.report.part_mix import PART_HEADS, part_cells
from millhand.store.inquiries import Begun
from millhand.store.revisions import files_of, keep, revision
from millhand.web.desk import Desk, Open, changed, of_text, open_inquiry, small_enough
from millhand.web.listing import Looked, Mapped, look_alone, mapped_from, mapped_in, text_with
from millhand.web.pages import checked, desk_of, page, who_of
from millhand.web.routes.desk import clean
from millhand.web.routes.inquiry import known, opened

ROUTES = APIRouter(prefix="/inquiries/{name}/list", include_in_schema=False)
FIRST, TOLD = 6, 60  # parts that are shown, bad cells that are told
NEEDED = ("length", "width", "height", "mass", "time", "quantity")


def looked_at(desk: Desk, own: Open, mapped: Mapped) -> Looked:
    """What a mapping reads out of the file; InputErrors as part of it."""
    if mapped.file not in own.files:
        return Looked()
    try:
        return desk.reader.alone(look_alone, text_with(own.revision.text, mapped), dict(own.files))
    except InputErrors as trouble:
        return Looked(errors=trouble.errors)


def shown(own: Open, mapped: Mapped, looked: Looked) -> dict[str, Any]:
    """What the page knows."""
    listed = looked.listed
    by_field = {each.field: each for each in listed.columns} if listed is not None else {}
    return {
        "mapped": mapped, "looked": looked, "listed": listed, "by_field": by_field, "list_fields": FIELDS,
        "part_heads": PART_HEADS, "part_rows": [part_cells(each) for each in listed.parts[:FIRST]] if listed else [],
        "bad": listed.left_out[:TOLD] if listed is not None else (), "needed": NEEDED,
        "list_units": {name: [unit for unit in DIMENSIONS[of].units if unit] for name, of in MEASURES.items()},
        "there": mapped.file in own.files, "as_kept": mapped_in(own.revision.text),
    }  # fmt: skip


@ROUTES.get("")
def part_list(request: Request, name: str) -> Response:
    """The page: as it is kept, or as the address says it should be read."""
    own = opened(request, name)
    kept = mapped_in(own.revision.text)
    typed = dict(request.query_params)
    mapped = mapped_from(typed, kept) if typed else kept
    return page(
        request, "part_list.html.j2", known(request, own) | shown(own, mapped, looked_at(desk_of(request), own, mapped))
    )


@ROUTES.post("/file")
def take_in(
    request: Request, name: str, file: Annotated[UploadFile, File()], base: Annotated[int, Form()],
    form_key: Annotated[str, Form()] = "",
) -> Response:  # fmt: skip
    """A file becomes the list of the inquiry; what was said about columns stays where it is the same file."""
    checked(request, form_key)
    path = clean(file.filename or "")
    made = taken_in(desk_of(request), name, base, (path, file.file.read()), who_of(request))
    return RedirectResponse(f"/inquiries/{name}/{f'aside/{made[0]}' if made[1] else 'list'}", 303)


def taken_in(desk: Desk, name: str, base: int, file: tuple[str, bytes], who: str) -> tuple[int, bool]:
    """Keep a file as the part list; the new revision, and whether somebody else was quicker."""
    path, content = file
    if not path.lower().endswith(KINDS):
        raise InputError("file", path[:80], "a CSV or XLSX file; other kinds must be saved as one of them", "file_kind")
    with desk.store.writing() as connection:
        text = revision(connection, name, base).text
        before = mapped_in(text)
        mapped = replace(before, consent=False) if before.file == path else Mapped(file=path)
        files = files_of(connection, name, base) | {path: content}
        new = text_with(text, mapped)
        small_enough(Begun(name="", text=new, files=files))
        made = keep(connection, name, base, new, files=files, by=(who, f"part list: {path}"[:200]))
    return made.number, made.aside


@ROUTES.post("/keep")
async def keep_mapping(request: Request, name: str) -> Response:
    """Keep which column is which, with consent to leave out as many rows as were shown."""
    sent = {key: str(value) for key, value in (await request.form()).items() if isinstance(value, str)}
    return await run_in_threadpool(kept_mapping, request, name, sent)


def kept_mapping(request: Request, name: str, sent: Mapping[str, str]) -> Response:
    """Keep what was chosen; InputError where other rows are bad by now than were agreed to."""
    checked(request, sent.get("form_key", ""))
    base = int(sent["base"]) if sent.get("base", "").isdecimal() else 0
    own = open_inquiry(desk_of(request), name, base or None)
    text = agreed(desk_of(request), own, mapped_from(sent, mapped_in(own.revision.text)), sent.get("leave_out", ""))
    taken = changed(desk_of(request), name, of_text(text, own.revision.number, "part list: columns"), who_of(request))
    return RedirectResponse(f"/inquiries/{name}/{f'aside/{taken.revision}' if taken.aside else 'list'}", 303)


def agreed(desk: Desk, own: Open, mapped: Mapped, rows: str) -> str:
    """The text with a mapping, and with the leave to go on without `rows` bad rows where that many there are."""
    if not rows:
        return text_with(own.revision.text, mapped)
    found = looked_at(desk, own, mapped).bad_rows
    if rows != str(found):
        write = f"the number of rows that cannot be read as it is chosen now: {found}; look at them first"
        raise InputError("leave_out", f"{rows[:12]} rows", write, "part_list_consent")
    return text_with(own.revision.text, replace(mapped, consent=found > 0))
