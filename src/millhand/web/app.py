"""The web app: pages, the HTTP interface, static files, and what is said where something is wrong."""

from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from sqlalchemy.exc import DataError, OperationalError
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import DEFAULT_EXCLUDED_CONTENT_TYPES, GZipMiddleware
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.staticfiles import StaticFiles

from millhand.errors import InputError, InputErrors, ToolError
from millhand.report.html import script, style
from millhand.store.opening import Store
from millhand.web.addresses import own_addresses
from millhand.web.asking import Asking
from millhand.web.desk import Desk
from millhand.web.folders import Reader
from millhand.web.guard import AWAY, Gate, Guard
from millhand.web.pages import page
from millhand.web.papering import Papering
from millhand.web.routes import (
    accounts,
    answers,
    api,
    api_accounts,
    api_concepts,
    api_papers,
    company,
    concepts,
    desk,
    entering,
    inquiry,
    papers,
    part_list,
    sheet,
    studies,
    whatif,
)
from millhand.web.routes.studies import KINDS
from millhand.web.running import Running

JUST_NOW = ("not_made", "not_answered", "number_busy")  # what comes right by asking again
PACKED = 5  # of 9: what a page of facts gains above it is little, and takes as long again
NOT_PACKED = (*DEFAULT_EXCLUDED_CONTENT_TYPES, KINDS["pdf"], KINDS["xlsx"], "application/octet-stream")
STATIC = Path(__file__).parent / "static"


def made(store: Store, *, port: int, others: Mapping[str, str] | None = None) -> FastAPI:
    """The app on an open store; it is closed with the server.

    others: it serves others, by accounts, under these host names, each with its origin; else this machine alone.
    """
    own = Desk(store=store, reader=Reader(), running=Running(store=store), asking=Asking(store=store),
               papering=Papering(store=store))  # fmt: skip
    gate = Gate(store=store, origins=others or own_addresses(port), others=others is not None)

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        """Studies run for as long as the server does."""
        own.running.start()
        yield
        own.running.stop()
        own.reader.close()
        own.asking.close()
        own.papering.close()

    app = FastAPI(
        title="millhand", version="1", docs_url=None, redoc_url=None, openapi_url="/api/openapi.json",
        lifespan=lifespan, description="All that the pages do, for programs. Send a bearer token with each request.",
    )  # fmt: skip
    app.state.desk, app.state.gate = own, gate
    for routes in (
        entering, accounts, company, desk, inquiry, concepts, answers, part_list, sheet, whatif, papers, studies,
        api_papers, api_concepts, api_accounts, api,
    ):  # fmt: skip
        app.include_router(routes.ROUTES)
        gate.routes += routes.ROUTES.routes
    app.add_api_route("/static/report.css", report_style, include_in_schema=False)
    app.add_api_route("/static/charts.js", chart_script, include_in_schema=False)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    gate.routes += [each for each in app.routes if getattr(each, "path", None)]
    app.add_exception_handler(HTTPException, on_http)
    app.add_exception_handler(RequestValidationError, on_invalid)
    app.add_exception_handler(InputError, on_input)
    app.add_exception_handler(InputErrors, on_input)
    app.add_exception_handler(KeyError, on_missing)
    app.add_exception_handler(OverflowError, on_missing)  # a number that no database holds names nothing
    app.add_exception_handler(ToolError, on_tool)
    app.add_exception_handler(DataError, on_data)
    app.add_exception_handler(UnicodeError, on_data)
    app.add_exception_handler(OperationalError, on_away)
    # The cookie is sent from no other site, so that nobody learns from the length of what is packed.
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=PACKED, exclude_content_types=NOT_PACKED)
    app.add_middleware(Guard, gate=gate)
    return app


def report_style() -> Response:
    """The style sheet of reports, which pages of a study share."""
    return Response(str(style()), media_type="text/css")


def chart_script() -> Response:
    """The script that reads the charts of a report out, which pages of a study share."""
    return Response(str(script()), media_type="text/javascript")


def problem(request: Request, status: int, errors: list[dict[str, str]]) -> Response:
    """What is wrong, as the caller reads it: each with its place, what was read, what to write."""
    if request.url.path.startswith("/api/"):
        return JSONResponse({"errors": errors}, status)
    return page(request, "problem.html.j2", {"errors": errors}, status=status)


async def on_http(request: Request, trouble: Exception) -> Response:
    """A page that is not there, a way that it cannot be asked."""
    assert isinstance(trouble, HTTPException)
    if request.method == "HEAD":
        return PlainTextResponse("", trouble.status_code)
    words = str(trouble.detail)
    return problem(request, trouble.status_code, [{"code": f"http_{trouble.status_code}", "words": words}])


async def on_invalid(request: Request, trouble: Exception) -> Response:
    """A request that lacks something, or holds what it should not."""
    assert isinstance(trouble, RequestValidationError)
    errors = [
        {"code": "request", "where": "/" + "/".join(map(str, each["loc"])), "words": str(each["msg"])}
        for each in trouble.errors()
    ]
    return problem(request, 422, errors)


async def on_input(request: Request, trouble: Exception) -> Response:
    """Input that cannot be used, in the words of the command line."""
    errors = trouble.errors if isinstance(trouble, InputErrors) else [trouble]
    return problem(request, 422, [as_told(each) for each in errors if isinstance(each, InputError)])


async def on_tool(request: Request, trouble: Exception) -> Response:
    """A failure of the tool itself, in its words."""
    assert isinstance(trouble, ToolError)
    status = 503 if trouble.code in JUST_NOW else 422
    return problem(request, status, [{"code": trouble.code, "words": str(trouble)}])


async def on_missing(request: Request, _: Exception) -> Response:
    """An inquiry, a revision or a file that is not there."""
    return problem(request, 404, [{"code": "not_there", "words": "There is no such thing on this desk."}])


async def on_data(request: Request, _: Exception) -> Response:
    """What no text of a database can hold."""
    words = "There are signs in it that cannot be kept, such as a NUL."
    return problem(request, 422, [{"code": "not_kept", "words": words}])


async def on_away(request: Request, _: Exception) -> Response:
    """A database that is not there for a while."""
    return problem(request, 503, [{"code": "no_database", "words": AWAY}])


def as_told(error: InputError) -> dict[str, str]:
    """An error as JSON."""
    return {"code": error.code, "where": error.where, "read": error.read, "write": error.write, "words": str(error)}
