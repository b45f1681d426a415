"""Concepts by wish on the desk: what an address says, as an item of the inquiry's text, and what comes of it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from urllib.parse import urlencode

from millhand.cache import results_folder
from millhand.catalogue.components import read_catalogue
from millhand.catalogue.only import KINDS
from millhand.catalogue.wished import refuse_unknown_names
from millhand.errors import InputError, InputErrors
from millhand.intake.fields import FILE, Paper
from millhand.intake.yaml_edit import quoted
from millhand.intake.yaml_put import with_item, without_item
from millhand.intake.yaml_tree import Listing, Scalar, Table, tree_of
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry, Wished
from millhand.run import LocalRunner
from millhand.stood import Stood, stood

CONCEPTS = "concepts"
PIECES = ("arm", "presenter", "outfeed")
MOST_WORKS = 12
TURNS = ("", "east", "north", "west", "south")
NOT_WORD = re.compile(r"[^a-z0-9]+")
TRIED = "tried_here"  # the name of a wish that has none yet


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A concept as an address says it: what it begins from, other parts, where pieces stand, in words as typed."""

    base: str = ""
    name: str = ""
    parts: Mapping[str, str]
    places: Mapping[str, tuple[str, str, str]]  # piece: east, north, turned; one of east and north may lack
    by: str = ""
    reason: str = ""
    works: tuple[str, ...] = ()

    def item(self) -> dict[str, str]:
        """As an item of the inquiry's list, each value on one line."""
        said = {"name": quoted(self.name or TRIED), "is": "kept"}
        if self.base:
            said["of"] = quoted(self.base)
        said |= {f"{key}": quoted(value) for key, value in self.parts.items() if value}
        if self.works:
            said["by_arm"] = f"[{', '.join(map(quoted, self.works))}]"
        stands = [self.stand(piece) for piece in PIECES if piece in self.places]
        if stands:
            said["pinned"] = f"[{', '.join(stands)}]"
        return said | {key: quoted(value) for key, value in (("by", self.by), ("reason", self.reason)) if value}

    def stand(self, piece: str) -> str:
        """One piece at its place."""
        east, north, turned = self.places[piece]
        told = {"x": east, "y": north, "turned": turned if piece != "arm" else ""}
        said = (f"{key}: {quoted(text)}" for key, text in told.items() if text)
        return f"{{{', '.join((f'what: {piece}', *said))}}}"

    def halves(self) -> tuple[InputError, ...]:
        """What is said of pieces that have one of their two measures alone."""
        write = "both, how far east and how far north; or neither, then the search places it"
        return tuple(
            InputError(piece, f"{east or north} alone", write, "place_half")
            for piece, (east, north, _) in self.places.items() if not (east and north)
        )  # fmt: skip


def wish_of(asked: Mapping[str, str]) -> Wish:
    """What an address or a form says."""
    places = {}
    works = tuple(each.strip()[:60] for each in asked.get("by_arm", "").split(",") if each.strip())[:MOST_WORKS]
    for piece in PIECES:
        east, north = (asked.get(f"{piece}_{axis}", "").strip() for axis in ("x", "y"))
        turned = asked.get(f"{piece}_turned", "")
        if east or north:
            places[piece] = (east[:40], north[:40], turned if turned in TURNS else "")
    return Wish(
        base=asked.get("of", "").strip()[:300], name=word_of(asked.get("name", "")),
        parts={kind: asked.get(kind, "").strip()[:60] for kind in KINDS}, places=places, works=works,
        by=asked.get("by", "").strip()[:200], reason=asked.get("reason", "").strip()[:200],
    )  # fmt: skip


def word_of(text: str) -> str:
    """A name as the inquiry takes it."""
    word = NOT_WORD.sub("_", text.lower()).strip("_")[:40]
    return word if not word[:1].isdigit() else f"c_{word}"


def with_wish(text: str, item: dict[str, str]) -> str:
    """The text with this wish, in the place of the one of the same name in that very text."""
    for number, name in reversed(tuple(enumerate(names_in(text)))):
        if quoted(name) == item["name"]:
            text = without_item(text, CONCEPTS, number)
    return with_item(text, CONCEPTS, item)


def names_in(text: str) -> tuple[str, ...]:
    """What the wishes of a text are called, in its order; '' for one without a name."""
    found = tree_of(text.encode("utf-8"), FILE).entries.get(CONCEPTS)
    items = found.items if isinstance(found, Listing) else ()
    names = (each.entries.get("name") if isinstance(each, Table) else None for each in items)
    return tuple(each.text if isinstance(each, Scalar) else "" for each in names)


def free_name(name: str, taken: tuple[str, ...]) -> str:
    """A name that no wish has."""
    return next(each for each in (name, *(f"{name}_{n}" for n in range(2, 1000))) if each not in taken)


def addressed(paper: Paper) -> list[tuple[Wished, str]]:
    """Each wish of an inquiry with its address, numbers as the inquiry writes them."""
    comma = paper.opened is not None and paper.opened.manner.comma
    return [(each, urlencode(fields_of(each, comma=comma))) for each in concepts_in(paper)]


def fields_of(wish: Wished, *, comma: bool = False) -> dict[str, str]:
    """The address of a wish that the inquiry has."""
    found = {"of": wish.base, "name": wish.name, "by": wish.by, "reason": wish.reason, "by_arm": ", ".join(wish.works)}
    found |= {kind: getattr(wish.parts, kind)[0].name for kind in KINDS if getattr(wish.parts, kind)}
    for each in wish.pinned:
        found |= {
            f"{each.what.value}_{axis}": written_m(fact.value, comma=comma)
            for axis, fact in zip("xy", (each.x_m, each.y_m), strict=True)
        }
        if each.turned is not None:
            found[f"{each.what.value}_turned"] = each.turned.value
    return {key: value for key, value in found.items() if value}


def written_m(value: float, *, comma: bool) -> str:
    """A place as the inquiry writes it."""
    return f"{value:.9f}".rstrip("0").rstrip(".").replace(".", "," if comma else ".") + " m"


@cache
def catalogue() -> Catalogue:
    """The catalogue, read once in a process."""
    return read_catalogue()


@cache
def runner() -> LocalRunner:
    """Who runs shifts here, with what earlier runs kept."""
    return LocalRunner(cache=results_folder())


def worked_out(inquiry: Inquiry, name: str, *, simulate: bool) -> Stood | list[str]:
    """In the process that answers: what comes of one wish, or what is wrong with its names."""
    try:
        refuse_unknown_names(inquiry, catalogue().components)
    except InputErrors as trouble:
        return [str(each) for each in trouble.errors]
    return stood(inquiry, catalogue(), name, simulate=simulate, runner=runner())


def concepts_in(paper: Paper) -> tuple[Wished, ...]:
    """The wishes of an inquiry that can be read."""
    return paper.inquiry.concepts if paper.inquiry is not None else ()
