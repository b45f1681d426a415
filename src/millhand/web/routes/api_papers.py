"""The HTTP interface to proposals, company details, question sheets and part lists."""

from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from millhand.errors import InputError
from millhand.intake.part_list_heads import FIELDS
from millhand.report.part_mix import PART_HEADS, part_cells
from millhand.store import work
from millhand.store.companies import details, keep_details
from millhand.store.issued import Issued, all_issued, issued, issued_file, issued_names
from millhand.web.company import KEYS, checked_details, typed_in
from millhand.web.desk import changed, of_text, open_inquiry
from millhand.web.issuing import REPORT, Asked, company_for, letter_of, send_out
from millhand.web.listing import Looked, Mapped, mapped_in
from millhand.web.pages import desk_of, who_of
from millhand.web.papering import Wanted
from millhand.web.questioning import decoded, questions_now, take_answers
from millhand.web.routes.api import WRONG, Base, Name, Words
from millhand.web.routes.desk import clean, download
from millhand.web.routes.part_list import agreed, looked_at, taken_in
from millhand.web.routes.studies import KINDS, kind_of

ROUTES = APIRouter(prefix="/api", responses={**WRONG, 503: {"description": "It cannot be made just now."}})
Language = Annotated[Literal["en", "de"], Query()]
Form = Annotated[Literal["short", "long"], Query()]
Day = Annotated[date, Query(description="the date on it", examples=["2027-01-31"])]
Copy = Literal["own", "customer"]
Rows = Annotated[int, Query(ge=0, le=100_000)]
MOST_SHOWN = 100


@dataclass(frozen=True, kw_only=True)
class ToIssue:
    """How an issued proposal is wanted."""

    language: Literal["en", "de"] = "en"
    form: Literal["short", "long"] = "short"
    on: date | None = None


@dataclass(frozen=True, kw_only=True)
class NewCompany:
    """Every detail as the company file holds it; lines of address and contact parted by line breaks.

    `logo`: a PNG or JPEG in base64, left out for the one before, 'out' for none.
    """

    details: dict[str, str]
    logo: str = ""


@dataclass(frozen=True, kw_only=True)
class Filled:
    """A filled question sheet, made from revision `base`: an XLSX file in base64."""

    base: Base
    sheet: str


@dataclass(frozen=True, kw_only=True)
class NewList:
    """What is said about the part list, made from revision `base`.

    `content`: the file in base64, where it is a new one. `leave_out`: consent to go on without that many bad rows.
    """

    base: Base
    file: str
    content: str = ""
    sheet: str = ""
    decimal: Literal["", "point", "comma"] = ""
    columns: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    leave_out: Rows = 0


def day_in(on: date | None) -> date:
    """The date on a paper: today where none is said; InputError for one that no calendar of trade has."""
    day = on or date.today()
    if not 1970 <= day.year <= 2200:
        raise InputError("on", day.isoformat(), "a date from 1970 to 2200, such as 2027-01-31", "date")
    return day


@ROUTES.get("/pieces/{piece}/{copy}/proposal.pdf", response_class=Response)
def proposal(
    request: Request, piece: Name, copy: Copy, language: Language = "en", form: Form = "short", on: Day | None = None
) -> Response:
    """The proposal of a study as it would be now; without a number, for nothing is issued."""
    own = desk_of(request)
    with own.store.reading() as connection:
        inquiry = work.work(connection, piece).inquiry
    asked = Asked(language=language, form=form, on=day_in(on))
    wanted = Wanted(piece, copy, letter_of(asked, company_for(own, inquiry)[0]))
    return download(own.papering.pdf(wanted), "proposal.pdf", KINDS["pdf"])


@ROUTES.get("/pieces/{piece}/{copy}/report.html", response_class=Response)
def report(request: Request, piece: Name, copy: Copy, language: Language | None = None) -> Response:
    """The whole study as one page: as it was written with the study, or in the language that is asked for."""
    own = desk_of(request)
    with own.store.reading() as connection:
        done = work.work(connection, piece)
        written = done.wishes.get("language", "en")
        kept = work.file_of(connection, piece, copy, REPORT) if language in (None, written) else b""
    if not kept:
        asked = Asked(language=language or written, form="short", on=day_in(None))
        kept = own.papering.report(Wanted(piece, copy, letter_of(asked, company_for(own, done.inquiry)[0])))
    return download(kept, REPORT, KINDS["html"])


@ROUTES.post("/pieces/{piece}/issue", status_code=201)
def issue(request: Request, piece: Name, sent: ToIssue) -> dict[str, Any]:
    """Issue the customer's copy of a study's proposal under the next number; it is kept as it goes out."""
    with desk_of(request).store.reading() as connection:
        own = work.work(connection, piece)
    asked = Asked(language=sent.language, form=sent.form, on=day_in(sent.on))
    return told(send_out(desk_of(request), own, asked, who_of(request)))


def told(each: Issued) -> dict[str, Any]:
    """An issued proposal as JSON."""
    return {**asdict(each), "asked": each.wishes}


@ROUTES.get("/issued")
def all_of_them(request: Request, inquiry: Words = "") -> list[dict[str, Any]]:
    """Every issued proposal, or those of one inquiry, the newest first."""
    with desk_of(request).store.reading() as connection:
        return [told(each) for each in all_issued(connection, inquiry)]


@ROUTES.get("/issued/{name}")
def one(request: Request, name: Name) -> dict[str, Any]:
    """One of them with its files."""
    with desk_of(request).store.reading() as connection:
        return told(issued(connection, name)) | {"files": list(issued_names(connection, name))}


@ROUTES.get("/issued/{name}/files/{path:path}", response_class=Response)
def one_file(request: Request, name: Name, path: str) -> Response:
    """One file, byte by byte as it went out."""
    with desk_of(request).store.reading() as connection:
        return download(
            issued_file(connection, name, path),
            path.rpartition("/")[2],
            kind_of(path),
        )


@ROUTES.get("/company")
def company(request: Request) -> dict[str, Any]:
    """The details of the company that proposals are on."""
    with desk_of(request).store.reading() as connection:
        own = details(connection)
    return {"details": typed_in(own.text), "logo": own.form}


@ROUTES.put("/company")
def put_company(request: Request, sent: NewCompany) -> dict[str, Any]:
    """New details, all of them or none."""
    own = desk_of(request)
    unknown = next((key for key in sent.details if key not in KEYS), None)
    if unknown is not None:
        raise InputError("details", unknown[:40], f"one of {', '.join(sorted(KEYS))}", "unknown_key")
    with own.store.reading() as connection:
        before = details(connection)
    logo = ("", b"out") if sent.logo == "out" else ("", b"")
    if sent.logo not in ("", "out"):
        logo = ("logo.png", decoded(sent.logo, "logo"))
    new = checked_details(own.reader, sent.details, logo, before)
    with own.store.writing() as connection:
        keep_details(connection, new, who_of(request))
    return company(request)


@ROUTES.get("/inquiries/{name}/questions.xlsx", response_class=Response)
def sheet(request: Request, name: Name) -> Response:
    """The open questions as a sheet to fill in."""
    return download(questions_now(desk_of(request), name), "questions.xlsx", KINDS["xlsx"])


@ROUTES.post("/inquiries/{name}/answers")
def answers(request: Request, name: Name, sent: Filled, response: Response) -> dict[str, Any]:
    """Take the answers of a filled sheet in: all of them, or none where a cell is wrong."""
    found, taken = take_answers(desk_of(request), name, sent.base, decoded(sent.sheet, "sheet"), who_of(request))
    response.status_code = 409 if taken.aside else 200
    return {
        "taken": found.taken, "already": found.already, "notes": found.notes, "base": taken.revision,
        "kept_aside": taken.aside,
    }  # fmt: skip


@ROUTES.get("/inquiries/{name}/list")
def part_list(request: Request, name: Name) -> dict[str, Any]:
    """The part list as it is read now, and each cell that cannot be."""
    own = open_inquiry(desk_of(request), name)
    mapped = mapped_in(own.revision.text)
    return list_told(looked_at(desk_of(request), own, mapped), mapped)


def list_told(looked: Looked, mapped: Mapped) -> dict[str, Any]:
    """A list as JSON: its columns, the first parts under their heads, and what is bad."""
    listed = looked.listed
    errors = [{"code": e.code, "where": e.where, "read": e.read, "write": e.write} for e in looked.errors]
    rows = (
        [dict(zip(PART_HEADS, part_cells(each), strict=True)) for each in listed.parts[:MOST_SHOWN]] if listed else []
    )
    return {
        "mapped": asdict(mapped), "heads": looked.heads, "bad_rows": looked.bad_rows, "errors": errors, "first": rows,
        "parts": len(listed.parts) if listed else 0,
        "columns": [asdict(each) for each in listed.columns] if listed else [],
        "left_out": [asdict(each) for each in listed.left_out[:MOST_SHOWN]] if listed else [],
    }  # fmt: skip


@ROUTES.put("/inquiries/{name}/list")
def put_list(request: Request, name: Name, sent: NewList, response: Response) -> dict[str, Any]:
    """Keep a file, which column is which, and consent to bad rows where that many there are."""
    own, base, path = desk_of(request), sent.base, clean(sent.file)
    unknown = next((key for key in (*sent.columns, *sent.units) if key not in FIELDS), None)
    if unknown is not None:
        raise InputError("columns", unknown[:40], f"one of {', '.join(FIELDS)}", "unknown_key")
    if sent.content:
        base, aside = taken_in(own, name, base, (path, decoded(sent.content, "content")), who_of(request))
        if aside:
            response.status_code = 409
            return {"base": base, "kept_aside": True}
    at = open_inquiry(own, name, base)
    mapped = Mapped(file=path, sheet=sent.sheet, decimal=sent.decimal, columns=sent.columns, units=sent.units)
    text = agreed(own, at, mapped, str(sent.leave_out) if sent.leave_out else "")
    taken = changed(own, name, of_text(text, at.revision.number, "part list: columns"), who_of(request))
    response.status_code = 409 if taken.aside else 200
    return part_list(request, name) | {"base": taken.revision, "kept_aside": taken.aside}
