"""Concepts by wish on the desk: what an address says, as an item of the inquiry's text, and what comes of it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from millhand.cache import results_folder
from millhand.catalogue.components import read_catalogue
from millhand.catalogue.wished import refuse_unknown_names
from millhand.errors import InputErrors
from millhand.intake.fields import Paper
from millhand.intake.yaml_edit import quoted
from millhand.intake.yaml_put import with_item, without_item
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry, Wished
from millhand.run import LocalRunner
from millhand.stood import Stood, stood

CONCEPTS = "concepts"
PIECES = ("arm", "presenter", "outfeed")
PARTS = ("presenter", "outfeed", "mount", "arm", "gripper", "safeguarding", "sharing")
TURNS = ("", "east", "north", "west", "south")
PLACE = re.compile(r"[-+0-9.,a-z ]{1,40}")
NOT_WORD = re.compile(r"[^a-z0-9]+")
TRIED = "tried_here"  # the name of a wish that has none yet


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A concept as an address says it: what it begins from, other parts, where pieces stand, in words as typed."""

    base: str = ""
    name: str = ""
    parts: Mapping[str, str]
    places: Mapping[str, tuple[str, str, str]]  # piece: east, north, turned
    by: str = ""
    reason: str = ""
    work: str = ""

    def item(self) -> dict[str, str]:
        """As an item of the inquiry's list, each value on one line."""
        said = {"name": quoted(self.name or TRIED), "is": "kept"}
        if self.base:
            said["of"] = quoted(self.base)
        said |= {f"{key}": quoted(value) for key, value in self.parts.items() if value}
        if self.work:
            said["by_arm"] = quoted(self.work)
        stands = [self.stand(piece) for piece in PIECES if piece in self.places]
        if stands:
            said["pinned"] = f"[{', '.join(stands)}]"
        return said | {key: quoted(value) for key, value in (("by", self.by), ("reason", self.reason)) if value}

    def stand(self, piece: str) -> str:
        """One piece at its place."""
        east, north, turned = self.places[piece]
        lead = f", turned: {turned}" if turned and piece != "arm" else ""
        return f"{{what: {piece}, x: {quoted(east)}, y: {quoted(north)}{lead}}}"


def wish_of(asked: Mapping[str, str]) -> Wish:
    """What an address or a form says; what cannot be a place or a part is left out."""
    places = {}
    for piece in PIECES:
        east, north = (asked.get(f"{piece}_{axis}", "").strip() for axis in ("x", "y"))
        turned = asked.get(f"{piece}_turned", "")
        if east and north:
            places[piece] = (east[:40], north[:40], turned if turned in TURNS else "")
    return Wish(
        base=asked.get("of", "").strip()[:300], name=word_of(asked.get("name", "")),
        parts={kind: asked.get(kind, "").strip()[:60] for kind in PARTS}, places=places, work=asked.get("by_arm", ""),
        by=asked.get("by", "").strip()[:200], reason=asked.get("reason", "").strip()[:200],
    )  # fmt: skip


def word_of(text: str) -> str:
    """A name as the inquiry takes it."""
    word = NOT_WORD.sub("_", text.lower()).strip("_")[:40]
    return word if not word[:1].isdigit() else f"c_{word}"


def with_wish(text: str, item: dict[str, str], before: tuple[Wished, ...]) -> str:
    """The text with this wish, in the place of the one of the same name."""
    for number, each in reversed(tuple(enumerate(before))):
        if quoted(each.name) == item["name"]:
            text = without_item(text, CONCEPTS, number)
    return with_item(text, CONCEPTS, item)


def free_name(name: str, before: tuple[Wished, ...]) -> str:
    """A name that no wish has."""
    taken = {each.name for each in before}
    return next(each for each in (name, *(f"{name}_{n}" for n in range(2, 1000))) if each not in taken)


def fields_of(wish: Wished) -> dict[str, str]:
    """The address of a wish that the inquiry has."""
    found = {"of": wish.base, "name": wish.name, "by": wish.by, "reason": wish.reason}
    found |= {kind: getattr(wish.parts, kind)[0].name for kind in PARTS if getattr(wish.parts, kind)}
    for each in wish.pinned:
        found |= {
            f"{each.what.value}_{axis}": f"{fact.value:.9g} m"
            for axis, fact in zip("xy", (each.x_m, each.y_m), strict=True)
        }
        if each.turned is not None:
            found[f"{each.what.value}_turned"] = each.turned.value
    return {key: value for key, value in found.items() if value}


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
