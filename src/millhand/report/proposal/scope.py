"""What is in the price and what is not: one list of all that other sections speak of, by the lines of the estimate."""

import tomllib
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from millhand.model.estimate import Estimate
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.introduced import by_hand
from millhand.report.proposal.near_fence import ends, fenced, too_near
from millhand.report.proposal.records import (
    Block,
    Bullets,
    Caution,
    Column,
    Item,
    Joined,
    Paragraph,
    Say,
    Section,
    Table,
    Term,
)
from millhand.stages.estimate.build import SITE

WHEN: Mapping[str, Callable[[Ground], bool]] = {
    "fence": fenced,
    "gated": lambda ground: fenced(ground) or guard_of(ground) == "light_curtain",
    "alone": lambda ground: bool(
        ground.subject and ground.subject.performance and ground.subject.performance.unattended_per_h
    ),
    "overhead": lambda ground: bool(ground.subject and ground.subject.layout and ground.subject.layout.overhead),
    "near_fence": lambda ground: bool(too_near(ground)),
    "fence_ends": lambda ground: ends(ground) is not None,
    "clamping": lambda ground: any(each.clamping.value.startswith("hand") for each in ground.study.inquiry.machines),
    "clamped": lambda ground: any(
        each.clamping.value.endswith(("vise", "chuck")) for each in ground.study.inquiry.machines
    ),
    "bought": lambda ground: ground.study.inquiry.wishes.integrator.value != "own",
    "scanner": lambda ground: guard_of(ground) == "scanner",
    "blow_off": lambda ground: has(ground, "blow_off"),
    "dress_pack": lambda ground: has(ground, "dress_pack"),
    "door": lambda ground: any(each.door.value == "hand" for each in ground.study.inquiry.machines),
}


FOUND = ("list", "confirm", "t_assessment", "t_service", "who_supplier", "who_offer")


def guard_of(ground: Ground) -> str:
    """The id of the guard of what the proposal is about; "" where it has none."""
    guard = ground.subject.concept.safeguarding if ground.subject else None
    return guard.id if guard is not None else ""


def has(ground: Ground, option: str) -> bool:
    """Whether what the proposal is about has this besides its choices."""
    return bool(ground.subject and any(each.component.id == option for each in ground.subject.concept.options))


@cache
def things() -> tuple[dict[str, Any], ...]:
    """The list as it is written down."""
    text = (files("millhand.report.proposal") / "scope.toml").read_text(encoding="utf-8")
    return tuple(tomllib.loads(text)["thing"])


def scope(ground: Ground) -> Section | None:
    """The whole list of a cell; of a change by hand what its estimate leaves out."""
    estimate = ground.subject.estimate if ground.subject else None
    if estimate is None or not estimate.excluded:
        return None
    caution = Caution(items=(Say(key="excluded.words"),))
    if not ground.cell:
        items: list[Item] = [Term(text=each) for each in estimate.excluded]
        made = by_hand(ground)
        asked = Paragraph(item=Say(key="excluded.by_hand", slots={
            "duties": Say(key="doing.title"), "terms": Say(key="terms.title"),
        }))  # fmt: skip
        words = (asked,) if made is not None and made.moving else ()
        return Section(key="excluded", blocks=(Bullets(items=tuple(items)), *words, caution))
    heads = (Column(head="excluded.thing", width=1.0), Column(head="excluded.state"),
             Column(head="excluded.by", width=0.9))  # fmt: skip
    blocks: list[Block] = [
        Paragraph(item=said(ground, "list")),
        Table(columns=heads, rows=tuple(rows(ground, estimate))),
        caution,
    ]
    return Section(key="excluded", blocks=tuple(blocks), title="excluded.both")


def rows(ground: Ground, estimate: Estimate) -> Iterator[tuple[Item, ...]]:
    """What is in, then what is not, each with its line or with who settles it."""
    met = [each for each in things() if all(WHEN[one](ground) for one in each.get("when", ()))]
    held = {each["name"]: lines_of(ground, estimate, each) for each in met}
    for each in met:
        if held[each["name"]]:
            state = said(ground, "confirm" if each.get("confirm") else "in")
            yield said(ground, f"t_{each['name']}"), state, Joined(items=held[each["name"]])
    for each in met:
        if not held[each["name"]]:
            out, by = Say(key="excluded.out"), said(ground, f"who_{each['who']}")
            yield said(ground, f"t_{each['name']}"), out, by
    for words in estimate.excluded:
        who = "who_site" if words == SITE and estimate.own else "who_order"
        yield Term(text=words), Say(key="excluded.out"), Say(key=f"excluded.{who}")


def said(ground: Ground, name: str) -> Say:
    """The text of the list; where nothing is offered, the one that names no offer and no section of one."""
    return Say(key=f"excluded.{name}_found" if name in FOUND and not ground.offered else f"excluded.{name}")


def lines_of(ground: Ground, estimate: Estimate, thing: Mapping[str, Any]) -> tuple[Item, ...]:
    """The lines of the price that hold a thing: those of them that cost something."""
    return tuple(
        Term(text=line.words)
        for line in estimate.lines
        if line.id in thing.get("lines", ()) and not line.internal and ground.facts[line.amount.id].value != 0.0
    )
