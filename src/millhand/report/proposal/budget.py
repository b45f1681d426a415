"""The budget that the shop named, held against all that is paid before the first part is made."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground, figure
from millhand.report.proposal.records import Item, Paragraph, Say


def budget(ground: Ground) -> Iterator[Paragraph]:
    """Whether likely and upper end of price and own work together are within it; nothing where none was named."""
    wish, likely, most = (
        ground.study.inquiry.wishes.budget, ground.of_concept("estimate.all_in"),
        ground.of_concept("estimate.all_in_high"),
    )  # fmt: skip
    if wish is None or likely is None or most is None:
        return
    key = "within" if ground.value(most) <= wish.value else "likely" if ground.value(likely) <= wish.value else "over"
    slots: dict[str, Item] = {
        "budget": figure(wish.id, "money", "value"), "likely": figure(likely, "money", "value"),
        "most": figure(most, "money", "value"),
    }  # fmt: skip
    yield Paragraph(item=Say(key=f"price.budget_{key}", slots=slots))
