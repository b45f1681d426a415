"""What the call sheet does beyond its fields: one more operation or group of machines."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import Response

from millhand.errors import InputError
from millhand.web.desk import changed, of_item, open_inquiry
from millhand.web.pages import checked, desk_of, who_of
from millhand.web.routes.inquiry import after
from millhand.web.sheet import fresh_item

ROUTES = APIRouter(prefix="/inquiries/{name}", include_in_schema=False)


@ROUTES.post("/more")
def more(request: Request, name: str, path: Annotated[str, Form()], form_key: Annotated[str, Form()] = "") -> Response:
    """One more at the end of a list, on the inquiry as it is now: nobody's change can be in the way of an addition."""
    checked(request, form_key)
    own = open_inquiry(desk_of(request), name)
    fresh = fresh_item(own.paper, path)
    if fresh is None:
        raise InputError("path", path[:40], "a list that the call sheet adds to", "unknown")
    number, item = fresh
    base = own.revision.number
    taken = changed(desk_of(request), name, of_item(path, item, base), who_of(request))
    return after(request, name, taken, (base, f"/inquiries/{name}#field-{path}.{number}.name"))
