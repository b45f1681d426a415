"""Which role each page and each question of the interface needs: one line for each, read by the guard.

A route that stands nowhere here is for owners alone, so that a line that was forgotten opens nothing; a test misses it.
"""

from collections.abc import Iterable

from starlette.routing import BaseRoute, Match
from starlette.types import Scope

from millhand.store.accounts import ENGINEER, OWNER, READER

ANYBODY = ""
NEEDED = {
    ANYBODY: (
        "GET /enter",
        "POST /enter",
        "GET /static/report.css",
        "GET /static/charts.js",
    ),
    READER: (
        "GET /",
        "GET /password",
        "POST /password",
        "GET /programs",
        "POST /programs",
        "POST /programs/end",
        "POST /leave",
        "GET /inquiries/{name}",
        "GET /inquiries/{name}/form",
        "GET /inquiries/{name}/text",
        "GET /inquiries/{name}/questions",
        "GET /inquiries/{name}/files",
        "GET /inquiries/{name}/files/{path:path}",
        "GET /inquiries/{name}/history",
        "GET /inquiries/{name}/aside/{number}",
        "GET /inquiries/{name}/export",
        "GET /pieces/{piece}",
        "GET /studies/{piece}/{copy}/files",
        "GET /studies/{piece}/{copy}/files/{path:path}",
        "GET /studies/{piece}/{copy}/{part}",
        "GET /studies/{piece}/{copy}/way-{concept}",
        "GET /studies/{piece}/{copy}/whatif",
        "GET /studies/{piece}/{copy}/whatif/figures",
        "GET /studies/{piece}/{copy}/whatif/simulated",
        "GET /studies/{piece}/{copy}/proposal",
        "GET /studies/{piece}/{copy}/proposal/pages",
        "GET /studies/{piece}/{copy}/proposal/proposal.pdf",
        "GET /studies/{piece}/{copy}/proposal/report.html",
        "GET /studies/{piece}/{copy}/proposal/page-{number}.png",
        "GET /studies/{piece}/{copy}/questions.xlsx",
        "GET /company",
        "GET /company/logo",
        "GET /inquiries/{name}/concepts",
        "GET /inquiries/{name}/concepts/plan",
        "GET /inquiries/{name}/concepts/plan/answer",
        "GET /inquiries/{name}/concepts/plan/simulated",
        "GET /inquiries/{name}/questions.xlsx",
        "GET /inquiries/{name}/list",
        "GET /inquiries/{name}/proposals",
        "GET /issued",
        "GET /issued/{name}",
        "GET /issued/{name}/files/{path:path}",
        "GET /api/pieces/{piece}/{copy}/proposal.pdf",
        "GET /api/pieces/{piece}/{copy}/report.html",
        "GET /api/issued",
        "GET /api/issued/{name}",
        "GET /api/issued/{name}/files/{path:path}",
        "GET /api/company",
        "GET /api/inquiries/{name}/questions.xlsx",
        "GET /api/inquiries/{name}/list",
        "GET /api/inquiries/{name}/files/{path:path}",
        "GET /api/inquiries/{name}/concepts/plan",
        "GET /api/pieces/{piece}/{copy}/whatif",
        "GET /api/openapi.json",
        "GET /api/inquiries",
        "GET /api/inquiries/{name}",
        "GET /api/inquiries/{name}/text",
        "GET /api/inquiries/{name}/questions",
        "GET /api/inquiries/{name}/revisions",
        "GET /api/pieces/{piece}",
        "GET /api/pieces/{piece}/{copy}/{path:path}",
    ),
    ENGINEER: (
        "POST /inquiries",
        "POST /inquiries/files",
        "POST /inquiries/{name}/marks",
        "POST /inquiries/{name}/away",
        "POST /inquiries/{name}/field",
        "POST /inquiries/{name}/item",
        "POST /inquiries/{name}/more",
        "POST /inquiries/{name}/item/out",
        "POST /inquiries/{name}/text",
        "POST /inquiries/{name}/undo",
        "POST /inquiries/{name}/files",
        "POST /inquiries/{name}/files/out",
        "POST /inquiries/{name}/back",
        "POST /inquiries/{name}/work",
        "POST /inquiries/{name}/concepts",
        "POST /inquiries/{name}/concepts/out",
        "POST /inquiries/{name}/concepts/plan",
        "POST /inquiries/{name}/answers",
        "POST /inquiries/{name}/answers/take",
        "POST /inquiries/{name}/list/file",
        "POST /inquiries/{name}/list/keep",
        "POST /studies/{piece}/customer/issue",
        "POST /pieces/{piece}/cancel",
        "POST /api/pieces/{piece}/issue",
        "PATCH /api/inquiries/{name}/files",
        "POST /api/inquiries/{name}/concepts",
        "PUT /api/inquiries/{name}/concepts/plan",
        "POST /api/inquiries/{name}/answers",
        "PUT /api/inquiries/{name}/list",
        "POST /api/inquiries",
        "PUT /api/inquiries/{name}/text",
        "PATCH /api/inquiries/{name}/field",
        "POST /api/inquiries/{name}/item",
        "POST /api/inquiries/{name}/undo",
        "PUT /api/inquiries/{name}/marks",
        "POST /api/inquiries/{name}/revisions/{number}/back",
        "POST /api/inquiries/{name}/work",
        "POST /api/pieces/{piece}/cancel",
    ),
    OWNER: (
        "POST /company",
        "PUT /api/company",
        "GET /accounts",
        "POST /accounts",
        "POST /accounts/{name}/role",
        "POST /accounts/{name}/password",
        "POST /accounts/{name}/out",
        "GET /audit",
        "GET /api/accounts",
        "POST /api/accounts",
        "PUT /api/accounts/{name}/role",
        "PUT /api/accounts/{name}/password",
        "DELETE /api/accounts/{name}",
        "GET /api/audit",
    ),
}
BY_ROUTE = {route: role for role, routes in NEEDED.items() for route in routes}
STATIC = "/static"


def needed(routes: Iterable[BaseRoute], scope: Scope) -> str:
    """The role of the first route that fits, as the app takes it. Where none fits, strangers are not told so."""
    for route in routes:
        if route.matches(scope)[0] == Match.FULL:
            path = getattr(route, "path", "")
            return ANYBODY if path == STATIC else BY_ROUTE.get(f"{scope['method']} {path}", OWNER)
    return READER if scope["method"] in ("GET", "HEAD") else OWNER
