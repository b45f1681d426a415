"""What freed hours are worth where the shop said what becomes of them: each fate its hours and its money."""

from millhand.model.fact import Fact
from millhand.stages.case.ledger import Ledger
from millhand.trace import apply


def labour_of_fates(ledger: Ledger, freed: Fact) -> Fact:
    """The worth of all fates together; whole posts alone count as not hired, what is not usable counts nothing."""
    sheet, fates = ledger.sheet, ledger.inquiry.people.freed
    assert fates is not None
    whole = tuple(share for share in (*fates.shares.values(), fates.not_usable) if share is not None)
    amounts = []
    for name, share in fates.shares.items():
        hours = apply(
            sheet, "fate_h_per_y", ledger.id(f"fates.{name}_h"), freed_h_per_y=freed, share=share, shares=whole
        )
        at = ledger.id(f"fates.{name}")
        worth = fates.worths.get(name)
        if worth is None:
            head = sheet["shifts.head_h_per_y"]
            posts = apply(
                sheet, "whole_heads_h_per_y", ledger.id(f"fates.{name}_posts_h"), open_h_per_y=hours, head_h_per_y=head
            )
            amounts.append(apply(sheet, "wages_money_per_y", at, worked_h_per_y=posts, wage_money_per_h=ledger.wage))
        else:
            amounts.append(
                apply(
                    sheet, "fate_money_per_y", at,
                    fate_h_per_y=hours, wage_money_per_h=ledger.wage, worth_share=worth,
                )
            )  # fmt: skip
    return apply(
        sheet, "labour_of_fates_money_per_y", ledger.id("labour"),
        freed_h_per_y=freed, wage_money_per_h=ledger.wage, amounts_money=tuple(amounts),
    )  # fmt: skip
