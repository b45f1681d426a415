"""What if: figures of a study moved by hand, what comes of them at once, and a moment later by simulation."""

import math
from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from millhand.model.fact import Fact
from millhand.report.view import listed_at, middle
from millhand.stages.maps import Point
from millhand.web.asking import Asked, Told
from millhand.web.pages import desk_of, page
from millhand.web.routes.studies import study
from millhand.web.worker import COPIES

ROUTES = APIRouter(prefix="/studies/{piece}/{copy}/whatif", include_in_schema=False)
STEPS = 100  # of a slider


def asked_of(request: Request) -> dict[str, float]:
    """The figures in the address, as their facts count them; what is no number is left out."""
    found = {}
    for name, text in request.query_params.items():
        try:
            value = float(text)
        except ValueError:
            continue
        if math.isfinite(value):
            found[name] = value
    return found


def told(request: Request, piece: str, copy: str, *, simulate: bool) -> Told | None:
    """What comes of the figures in the address; of the customer's copy, as its record has them."""
    if copy not in COPIES:
        raise KeyError(copy)
    return desk_of(request).asking.ask(Asked(piece, asked_of(request), simulate, copy))


@ROUTES.get("")
def whole(request: Request, piece: str, copy: str) -> Response:
    """The page with a slider for each figure."""
    found = told(request, piece, copy, simulate=False)
    known = {"part": "whatif", "rows": rows(found, asked_of(request)), "figures": figures(found, simulated=False)}
    return page(request, "whatif.html.j2", study(request, piece, copy) | known)


@ROUTES.get("/figures")
def at_once(request: Request, piece: str, copy: str) -> Response:
    """What comes of it at once; the piece of the page asks for the simulated figures by itself."""
    found = told(request, piece, copy, simulate=False)
    known = {
        "piece_id": piece,
        "copy": copy,
        "figures": figures(found, simulated=False),
        "rows": rows(found, asked_of(request)),
    }
    answer = page(request, "whatif_figures.html.j2", known | {"query": request.url.query, "news": True})
    answer.headers["HX-Replace-Url"] = f"/studies/{piece}/{copy}/whatif?{request.url.query}"
    return answer


@ROUTES.get("/simulated")
def by_simulation(request: Request, piece: str, copy: str) -> Response:
    """The same with the cell and today run anew."""
    found = told(request, piece, copy, simulate=True)
    known: dict[str, Any] = {"piece_id": piece, "copy": copy, "rows": [], "query": "", "news": False}
    known["figures"] = figures(found, simulated=True)
    return page(request, "whatif_figures.html.j2", known)


def rows(found: Told | None, changes: Mapping[str, float]) -> list[dict[str, Any]]:
    """Each figure that can be moved: its ends, where it stands, in the reader's unit."""
    made = []
    for each in found.levers if found is not None else ():
        value = min(max(changes.get(each.fact.id, each.fact.value), each.low), each.high)
        made.append(
            {
                "id": each.fact.id, "title": title_of(each.fact), "low": each.low, "high": each.high,
                "step": (each.high - each.low) / STEPS, "value": value, "moved": value != each.fact.value,
                "shown": listed_at(each.fact, value, currency=found.currency if found else ""),
                "own": listed_at(each.fact, each.fact.value, currency=found.currency if found else ""),
                "basis": each.fact.basis,
            }
        )  # fmt: skip
    return made


def title_of(fact: Fact) -> str:
    """What a figure is called beside its slider."""
    return fact.title or ("installed price" if fact.id.endswith(".estimate.installed") else fact.id)


def figures(found: Told | None, *, simulated: bool) -> dict[str, Any] | None:
    """Payback and worth before and after, in words; None where the study has none."""
    if found is None:
        return None
    after = spoken(found.point, found.currency) if found.point is not None else None
    months, hurdle = (found.point.payback_months if found.point else math.inf), found.hurdle.value
    return {
        "concept": found.concept, "before": spoken(found.before, found.currency), "after": after,
        "simulated": simulated, "hurdle": middle(found.hurdle, "months"), "meets": months <= hurdle,
    }  # fmt: skip


def spoken(point: Point, currency: str) -> dict[str, str]:
    """One pair of figures as the reader sees it."""

    def fact(value: float, unit: str) -> Fact:
        return Fact(id="whatif", value=value, unit=unit, basis="computed", source="what if")

    never = not math.isfinite(point.payback_months)
    months = "never in the years counted" if never else middle(fact(point.payback_months, "month"), "months")
    return {"payback": months, "worth": middle(fact(point.npv_money, "money"), "money_2", currency=currency)}
