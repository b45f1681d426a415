"""What the call sheet does beyond its fields: one more operation or group of machines."""

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Form, Request
from starlette.responses import Response

from millhand.errors import InputError
from millhand.web.desk import changed, followed, of_item, open_inquiry
from millhand.web.folds import with_one
from millhand.web.following import shared_with
from millhand.web.pages import checked, desk_of, who_of
from millhand.web.routes.inquiry import after
from millhand.web.sheet import fresh_item

ROUTES = APIRouter(prefix="/inquiries/{name}", include_in_schema=False)


@ROUTES.post("/more")
def more(
    request: Request, name: str, path: Annotated[str, Form()], shares: Annotated[str, Form()] = "",
    unfolded: Annotated[str, Form()] = "", form_key: Annotated[str, Form()] = "",
) -> Response:  # fmt: skip
    """One more at the end of a list, on the inquiry as it is now: nobody's change can be in the way of an addition."""
    checked(request, form_key)
    own = open_inquiry(desk_of(request), name)
    fresh = fresh_item(own.paper, path, shares=bool(shares) and path == "machines")
    if fresh is None:
        raise InputError("path", path[:40], "a list that the call sheet adds to", "unknown")
    number, item = fresh
    base, first = own.revision.number, "machine" if path.endswith("operations") else "name"
    change = of_item(path, item, base)
    if shares and path == "machines":
        change = followed(change, shared_with(own.paper, item["name"]))
    taken = changed(desk_of(request), name, change, who_of(request))
    key = f"{'operation' if path.endswith('operations') else 'machines'}-{number + 1}"
    asked = quote(with_one(unfolded, key), "")
    back = f"/inquiries/{name}{f'?open={asked}' if asked else ''}#field-{path}.{number}.{first}"
    return after(request, name, taken, (base, back))
