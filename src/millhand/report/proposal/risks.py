"""The risks that apply, by rules in data: from the inquiry's words, the cell's choices and the study's own verdicts."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from millhand.model.verdict import Verdict
from millhand.report.comparison import spoken
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.records import Column, Figure, Item, Joined, Paragraph, Say, Section, Table, Term
from millhand.stages.concepts import fits, inquiry_words

NEAR = 0.1  # margin of a check that holds, below which measures on site may turn it
FENCE = "over_fence"  # the fence is drawn no further out than this check asks for, so it never has much room
EVEN = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """One rule: who owns the risk, the words for which it applies, and where acceptance tries the answer to it."""

    id: str
    owner: str  # supplier, shop, both
    when: Mapping[str, tuple[str, ...]]
    test: str = ""  # before shipping, on site, or nowhere


@cache
def rules(name: str = "risks.toml") -> tuple[Risk, ...]:
    """Every rule in the order of a file."""
    text = (files("millhand.report.proposal") / name).read_text(encoding="utf-8")
    return tuple(
        Risk(
            id=risk,
            owner=each["owner"],
            when={key: tuple(of) for key, of in each.get("when", {}).items()},
            test=each.get("test", ""),
        )
        for risk, each in tomllib.loads(text).items()
    )


def risks(ground: Ground) -> Section | None:
    """Each risk that applies with its owner and the answer to it."""
    if ground.subject is None or not ground.cell:
        return None
    rows = tuple(
        (words_of(ground, each), Say(key=f"risk.owner_{each.owner}"), Say(key=f"risk.{each.id}_answer"))
        for each in met(ground)
    )
    heads = (Column(head="risk.what", width=1.0), Column(head="risk.owner"), Column(head="risk.answer", width=1.1))
    words_key = "risk.words" if ground.offered else "risk.words_found"
    return Section(key="risk", blocks=(Paragraph(item=Say(key=words_key)), Table(columns=heads, rows=rows)))


def met(ground: Ground) -> Iterator[Risk]:
    """The rules that apply to the cell."""
    words = traits(ground)
    yield from (each for each in rules() if fits(each.when, words))


def tried(ground: Ground) -> Iterator[tuple[Item, ...]]:
    """A row of the acceptance tests for each risk whose answer is tried there."""
    yes, no = Say(key="accept.yes"), Say(key="page.none")
    for each in met(ground):
        if each.test:
            where = (yes, no) if each.test == "before" else (no, yes)
            yield Say(key=f"accept.risk_{each.id}"), *where, Say(key=f"accept.risk_{each.id}_goal")


def words_of(ground: Ground, risk: Risk) -> Item:
    """A risk in words; that of little room names each such check with what is left of its limit."""
    if risk.id != "tight":
        return Say(key=f"risk.{risk.id}")
    checks = tuple(
        Say(key="risk.tight_check", slots={
            "check": Term(text=spoken(each.check)), "left": Figure(fact=each.margin, form="percent", part="value"),
            "demand": Figure(fact=each.demand, part="value"), "limit": Figure(fact=each.limit, part="value"),
        })
        for each in tight(ground)
    )  # fmt: skip
    return Say(key="risk.tight", slots={"checks": Joined(items=checks)})


def tight(ground: Ground) -> list[Verdict]:
    """Checks that hold with little room, the least first; a count that is met in full has nothing that is measured."""
    assert ground.subject is not None

    def counted(each: Verdict) -> bool:
        return ground.facts[each.limit].unit == "1" and ground.value(each.limit) == ground.value(each.demand)

    near = (each for each in ground.subject.verdicts if each.holds and ground.value(each.margin) < NEAR)
    measured = (each for each in near if not counted(each) and each.check != FENCE)
    return sorted(measured, key=lambda each: ground.value(each.margin))


def traits(ground: Ground) -> dict[str, str]:
    """What a rule may ask about."""
    assert ground.subject is not None
    inquiry, concept = ground.study.inquiry, ground.subject.concept
    machine, verdicts, case = inquiry.machines[0], ground.subject.verdicts, ground.subject.case
    chance = case.hurdle_chance if case else None
    return inquiry_words(inquiry) | {
        "control": machine.control.value, "warranty": machine.warranty.value,
        "people_pass": inquiry.wishes.people_pass.value, "freed_use": inquiry.people.freed_use.value,
        "alone": "yes" if inquiry.wishes.unattended_s.value > 0.0 else "no",
        "presenter": concept.presenter.id if concept.presenter else "none",
        "works": "some" if concept.works else "none",
        "offered": "yes" if ground.offered else "no",
        "coarse": "yes" if any(each.coarse for each in verdicts) else "no",
        "tight": "yes" if tight(ground) else "no",
        "sure": "no" if chance is not None and ground.value(chance) < EVEN else "yes",
    }  # fmt: skip
