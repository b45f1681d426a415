"""Which plain numbers are shares: the inquiry's own keys say so, other figures by their name."""

from collections.abc import Iterator

from millhand.intake.form import Entry, Group, Number, Several
from millhand.intake.form_work import INQUIRY
from millhand.intake.inquiry_facts import BEFORE
from millhand.model.fact import Fact


def shares(entries: tuple[Entry, ...]) -> Iterator[str]:
    """The keys of all numbers of the inquiry that are shares."""
    for entry in entries:
        if isinstance(entry, Group | Several):
            yield from shares(entry.entries)
        elif isinstance(entry, Number) and entry.dimension == "share":
            yield entry.key


SHARES = frozenset(shares(INQUIRY.entries))


def is_share(fact: Fact) -> bool:
    """Whether a fact is read in per cent: 0.15 of a price is 15 % of it, a friction of 0.15 is not.

    >>> is_share(Fact(id="people.on_cost", value=0.3, unit="1", basis="given", source="x"))
    True
    """
    name = fact.id.removesuffix(BEFORE).rpartition(".")[2]
    return fact.unit == "1" and (name in SHARES or "share" in name.split("_"))
