"""The comparison of two studies put together."""

from millhand.errors import ToolError
from millhand.model.difference import Difference, Moved, Side, Told
from millhand.stages.difference.changes import changes
from millhand.stages.difference.effects import Both, shared_out
from millhand.trace import Solved


def difference(first: Side, second: Side, solved: tuple[Solved, Solved]) -> Difference:
    """What differs, and what it moved. `solved`: how the load bounds of each study follow their facts."""
    if first.currency != second.currency:
        raise ToolError(
            f"the studies are in {first.currency} and {second.currency}: put them into one currency (shop.currency and "
            "money.exchange_rate of their inquiries), then compare.", code="two_currencies",
        )  # fmt: skip
    looked = dict.fromkeys(name for name in (first.subject, second.subject) if name is not None)
    return Difference(
        currency=first.currency, first=told(first), second=told(second), changes=tuple(changes(first, second)),
        moved=tuple(moved(name, (first, second), solved) for name in looked),
        with_cells=bool(first.cells and second.cells),
    )  # fmt: skip


def told(side: Side) -> Told:
    """One side in a few words."""
    return Told(name=side.name, file=side.file, version=side.version, seed=side.seed, answer=side.answer,
                winner=side.winner, title=side.titles.get(side.winner, side.winner), subject=side.subject)  # fmt: skip


def moved(concept: str, sides: tuple[Side, Side], solved: tuple[Solved, Solved]) -> Moved:
    """One concept's figures in both studies and what moved them; where one study has none, that in words."""
    one, other = (next((each for each in side.priced if each.concept == concept), None) for side in sides)
    if one is not None and other is not None:
        return shared_out(Both(sides=sides, priced=(one, other), solved=solved))
    found = [side.facts[each.npv] if each else None for side, each in zip(sides, (one, other), strict=True)]
    backs = [
        side.facts[each.payback_months] if each and each.payback_months else None
        for side, each in zip(sides, (one, other), strict=True)
    ]
    lacking = "first" if one is None else "second"
    return Moved(
        concept=concept, title=sides[0].titles.get(concept) or sides[1].titles[concept], npv=(found[0], found[1]),
        payback_months=(backs[0], backs[1]), whole=None,
        reason=f"The {lacking} study has no figures for it: it cannot work there, or is not among its ways.",
    )  # fmt: skip
