"""The HTTP interface to the files of an inquiry, to wishes for concepts, to one placed by hand, and to 'what if'."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from math import isfinite, nan
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, Response

from millhand.errors import InputError
from millhand.report.moved_plan import Shown
from millhand.stages.maps import Point
from millhand.web.asking import Asked
from millhand.web.pages import desk_of
from millhand.web.questioning import decoded
from millhand.web.routes.api import WRONG, Base, Name, answered
from millhand.web.routes.concepts import ASKED, noted, placed, told
from millhand.web.routes.desk import clean
from millhand.web.routes.inquiry import changed_files, file
from millhand.web.wishes import wish_of

ROUTES = APIRouter(prefix="/api", responses={**WRONG, 503: {"description": "It cannot be worked out just now."}})
Copy = Literal["own", "customer"]
KEYS = ", ".join(sorted(ASKED))
ABOUT = f"""What comes of a concept with its pieces where the wish has them: checks, times, output, plan as SVG.

`wish`: a key and what it is, as in `wish=arm_x=1.2 m`, each as often as wanted. Keys: {KEYS}.
"""
Pairs = Annotated[list[str], Query(max_length=60)]
MaybePairs = Annotated[list[str] | None, Query(max_length=60)]


@dataclass(frozen=True, kw_only=True)
class NewFiles:
    """Files of an inquiry that come or go, from revision `base`: paths with their content in base64."""

    base: Base
    add: dict[str, str] = field(default_factory=dict)
    out: list[str] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True)
class NewWish:
    """That a concept of a study is to be looked at closely or left out, from revision `base`."""

    base: Base
    of: str
    treatment: Literal["kept", "left_out"] = "kept"
    by: str = ""
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class NewPlaced:
    """A concept as it stands, from revision `base`; the keys of `wish` are those of the question about it."""

    base: Base
    wish: dict[str, str]


@ROUTES.patch("/inquiries/{name}/files")
def put_files(request: Request, name: Name, sent: NewFiles, response: Response) -> dict[str, Any]:
    """Files that come, and files that go; these stay with the older revisions."""
    new = {clean(path): decoded(content, "/add") for path, content in sent.add.items()}
    made = changed_files(request, name, sent.base, new, tuple(sent.out))
    return answered(request, name, made.aside, response)


@ROUTES.get("/inquiries/{name}/files/{path:path}", response_class=Response)
def one_file(request: Request, name: Name, path: str) -> Response:
    """One file of the inquiry."""
    return file(request, name, path)


@ROUTES.post("/inquiries/{name}/concepts")
def wish(request: Request, name: Name, sent: NewWish, response: Response) -> dict[str, Any]:
    """One more wish; it is taken out again as an item of the list `concepts`."""
    said = {"of": sent.of, "is": sent.treatment, "by": sent.by, "reason": sent.reason}
    return answered(request, name, noted(request, name, sent.base, said).aside, response)


@ROUTES.put("/inquiries/{name}/concepts/plan")
def keep_placed(request: Request, name: Name, sent: NewPlaced, response: Response) -> dict[str, Any]:
    """Write a concept as it stands into the inquiry, in the place of the wish of its name."""
    known_keys(sent.wish)
    return answered(request, name, placed(request, name, sent.base, wish_of(sent.wish)).aside, response)


@ROUTES.get("/inquiries/{name}/concepts/plan", description=ABOUT)
def ask_placed(request: Request, name: Name, wish: Pairs, simulate: bool = False) -> dict[str, Any]:
    """What comes of a concept with its pieces where the wish has them."""
    asked = parted(wish, "wish", "of=… or arm_x=1.2 m")
    known_keys(asked)
    about = told(request, name, asked, simulate=simulate)
    return {"errors": about["errors"], "against": about["against"], "shown": as_json(about["shown"])}


@ROUTES.get("/pieces/{piece}/{copy}/whatif")
def what_if(
    request: Request, piece: Name, copy: Copy, to: MaybePairs = None, simulate: bool = False
) -> dict[str, Any] | None:
    """Payback and worth of a study with figures moved; null where it has no case.

    `to`: a figure and its value in the unit of its fact, as in `to=people.wage=31`, each as often as wanted.
    """
    changes = {key: number_in(text) for key, text in parted(to or [], "to", "people.wage=31").items()}
    found = desk_of(request).asking.ask(Asked(piece, changes, simulate, copy))
    if found is None:
        return None
    known = {each.fact.id for each in found.levers}
    for key in changes:
        if key not in known:
            raise InputError("to", key[:80], f"one of {', '.join(sorted(known))}", "no_lever")
    return {
        "concept": found.concept, "currency": found.currency, "hurdle_months": found.hurdle.value,
        "simulated": simulate,
        "before": point_of(found.before), "after": point_of(found.point),
        "figures": [
            {"fact": each.fact.id, "value": each.fact.value, "unit": each.fact.unit, "low": each.low, "high": each.high}
            for each in found.levers
        ],
    }  # fmt: skip


def parted(pairs: list[str], where: str, example: str) -> dict[str, str]:
    """Pairs of key and text; InputError for one without a key."""
    found = {}
    for each in pairs:
        key, sign, text = each.partition("=")
        if not (key and sign):
            raise InputError(where, each[:80], f"a key, =, and what it is, such as {example}", "no_pair")
        found[key] = text
    return found


def known_keys(asked: Mapping[str, str]) -> None:
    """InputError for a key that says nothing about a concept."""
    for key in asked:
        if key not in ASKED:
            raise InputError("wish", key[:80], f"one of {KEYS}", "no_key")


def number_in(text: str) -> float:
    """A finite number; InputError for any other text."""
    try:
        value = float(text)
    except ValueError:
        value = nan
    if not isfinite(value):
        raise InputError("to", text[:40], "a number with a point, in the unit of the fact", "not_a_number")
    return value


def point_of(point: Point | None) -> dict[str, float | None] | None:
    """Payback and worth; a payback of null never comes in the years counted."""
    if point is None:
        return None
    months = point.payback_months
    return {"payback_months": months if isfinite(months) else None, "npv_money": point.npv_money}


def as_json(found: Shown | None) -> dict[str, Any] | None:
    """A concept as it stands: its plan as SVG, its pieces, checks, times and output as the page says them."""
    if found is None:
        return None
    plan = str(found.plan) if found.plan is not None else None
    return asdict(found) | {"plan": plan, "legend": [words for _, words in found.legend]}
