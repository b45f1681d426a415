"""The risks that remain with a change by hand, by rules in data."""

from millhand.report.proposal.ground import Ground
from millhand.report.proposal.introduced import by_hand
from millhand.report.proposal.records import Column, Item, Joined, Paragraph, Say, Section, Table, Term
from millhand.report.proposal.risks import EVEN, rules
from millhand.stages.concepts import fits

RULES = "hand_risks.toml"


def remaining(ground: Ground) -> Section | None:
    """What stays after everything that the change brings, with its owner and the answer to it."""
    made = by_hand(ground)
    if made is None or ground.subject is None:
        return None
    case = ground.subject.case
    chance = case.hurdle_chance if case else None
    words = {
        "moving": "yes" if made.moving else "no", "fills": made.fills or "none", "takes": made.takes,
        "freed_use": ground.study.inquiry.people.freed_use.value,
        "sure": "no" if chance is not None and ground.value(chance) < EVEN else "yes",
    }  # fmt: skip
    rows: list[tuple[Item, ...]] = [
        (Say(key=f"remain.{each.id}"), Say(key=f"risk.owner_{each.owner}"), Say(key=f"remain.{each.id}_answer"))
        for each in rules(RULES)
        if fits(each.when, words)
    ]
    if ground.subject.concept.question:
        asked = Joined(items=(Say(key="remain.rests"), Term(text=ground.subject.concept.question)), between=" ")
        rows.insert(0, (asked, Say(key="risk.owner_both"), Say(key="remain.rests_answer")))
    heads = (Column(head="risk.what", width=1.0), Column(head="risk.owner"), Column(head="risk.answer", width=1.1))
    return Section(
        key="remain", blocks=(Paragraph(item=Say(key="remain.words")), Table(columns=heads, rows=tuple(rows)))
    )
