"""The sums behind a saving: hours today and then, what an hour costs and how much of it counts; parts and what is left
of each."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground, figure
from millhand.report.proposal.records import Item, Say

OUTPUTS = ("extra_output", "extra_alone_output")  # lines of the case, with somebody there and with nobody


def behind(ground: Ground) -> Iterator[Item]:
    """One sentence for each line of the saving that is not nought, read off the sum that it follows from."""
    case = ground.subject.case if ground.subject else None
    lines = {each.id: each.amount for each in case.lines} if case else {}
    labour = lines.get("labour")
    if labour is not None and round(ground.value(labour)) != 0:
        sums = inputs(ground, labour)
        hours = inputs(ground, sums.get("freed_h_per_y", ""))
        if {"today_h_per_y", "still_h_per_y"} <= hours.keys() and {"wage_money_per_h", "usable_share"} <= sums.keys():
            yield Say(key="case.behind_labour", slots={
                "today": figure(hours["today_h_per_y"], "hours", "value"),
                "still": figure(hours["still_h_per_y"], "hours", "value"),
                "freed": figure(sums["freed_h_per_y"], "hours", "value"),
                "wage": figure(sums["wage_money_per_h"], "money", "value"),
                "share": figure(sums["usable_share"], "percent", "value"),
                "amount": figure(labour, "money", "value"),
            })  # fmt: skip
    for name in OUTPUTS:
        amount = lines.get(name)
        sums = inputs(ground, amount or "")
        known = {"changed_parts_per_y", "contribution_per_part"} <= sums.keys()
        if amount and known and round(ground.value(amount)) != 0:
            yield Say(key=f"case.behind_{name}", slots={
                "parts": figure(sums["changed_parts_per_y"], "parts", "value"),
                "each": figure(sums["contribution_per_part"], "money", "value"),
                "amount": figure(amount, "money", "value"),
            })  # fmt: skip


def inputs(ground: Ground, fact_id: str) -> dict[str, str]:
    """What a figure was worked out from, by the names of its formula."""
    return dict(ground.facts[fact_id].inputs) if fact_id in ground.facts else {}
