"""Distances to what moves with a change by hand, as far as the published tables that the formulas hold say them."""

from collections.abc import Iterator

from millhand.formulas.separation import OPENINGS, crush_gap_m, opening_distance_m
from millhand.model.fact import Fact
from millhand.model.safeguarding import Distance
from millhand.stages.acceptance.bench import Bench
from millhand.trace import found

REACHING, GAPS = "ISO 13857:2019", "ISO 13854:2017"
SLOT = "guard_opening_m"
WIDEST_M = max(OPENINGS)  # beyond it a table for arms says nothing
BODY_PARTS = ("finger", "hand", "arm", "foot")


def distances(bench: Bench) -> tuple[Distance, ...]:
    """Through the slots of a guard, through the opening where parts come out, and gaps that do not crush."""
    slot = bench.figure(SLOT)
    return (
        printed(bench, "slot", opening_distance_m(slot.value, shape="slot"), f"{slot.id}: iso13857, table 4, slot"),
        *outlet(bench),
        *(
            printed(bench, f"gap_{each}", crush_gap_m(each), "iso13854, table of least gaps", rule=GAPS)
            for each in BODY_PARTS
        ),
    )


def outlet(bench: Bench) -> Iterator[Distance]:
    """Behind the opening that the largest part leaves through; nothing where that is wider than the table goes."""
    sizes = [min((part.raw.length_m, part.raw.width_m, part.raw.height_m), key=lambda each: each.value)
             for part in bench.inquiry.parts]  # fmt: skip
    largest = max(sizes, key=lambda each: each.value)
    if largest.value < WIDEST_M:
        metres = opening_distance_m(WIDEST_M, shape="slot")
        yield printed(bench, "outlet", metres, f"{largest.id}: iso13857, table 4, widest slot of the table")


WORDS = {
    "slot": "from a guard with such slots to what moves behind it",
    "outlet": "from the opening where parts come out, at most 120 mm wide, to what moves behind it",
    "gap_finger": "gap in which no finger is crushed",
    "gap_hand": "gap in which no hand is crushed",
    "gap_arm": "gap in which no arm is crushed",
    "gap_foot": "gap in which no foot is crushed",
}


def printed(bench: Bench, name: str, metres: float, source: str, rule: str = REACHING) -> Distance:
    """A distance that a table gives for the fact's words, with no sum behind it."""
    fact = Fact(
        id=bench.id(f"distance_{name}"), value=metres, unit="m", basis="computed", source=f"follows from {source}",
        title=WORDS[name],
    )  # fmt: skip
    return Distance(words=WORDS[name], rule=rule, fact=found(bench.sheet, fact).id)
