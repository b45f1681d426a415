"""One concept being priced: how a line is written, and sums of lines."""

from dataclasses import dataclass

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Component, Concept
from millhand.model.estimate import PriceLine
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.trace import Sheet, apply, found


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """One concept being priced, and the factor from the catalogue's money to the inquiry's."""

    sheet: Sheet
    inquiry: Inquiry
    concept: Concept
    catalogue: Catalogue
    factor: Fact

    def id(self, name: str) -> str:
        """The fact id of one figure of this concept's estimate."""
        return f"concepts.{self.concept.id}.estimate.{name}"

    def line(self, name: str, words: str, price: Fact, counts: tuple[Fact, ...] = ()) -> PriceLine:
        """A line of equipment or bought work: a catalogue price, times pieces where there may be several."""
        found(self.sheet, price)
        if counts:
            amount = apply(
                self.sheet, "priced_pieces_money", self.id(name),
                amount_money=price, counts=counts, price_factor=self.factor,
            )  # fmt: skip
        else:
            amount = apply(self.sheet, "priced_money", self.id(name), amount_money=price, price_factor=self.factor)
        return PriceLine(id=name, words=words, group="equipment", amount=amount)

    def share(self, name: str, words: str, whole: Fact) -> PriceLine:
        """A line of bought work: a share of a price that covers several, so that all of them rise and fall together."""
        amount = apply(
            self.sheet, "share_of_price_money", self.id(name),
            amount_money=found(self.sheet, whole), share=self.figure(f"{name}_share"), price_factor=self.factor,
        )  # fmt: skip
        return PriceLine(id=name, words=words, group="work", amount=amount)

    @property
    def own(self) -> bool:
        """Whether the shop builds the cell with its own work."""
        return self.inquiry.wishes.integrator.value == "own"

    def part(self, name: str) -> Component:
        """A component of the catalogue by its id."""
        return self.catalogue.components[name]

    def figure(self, name: str) -> Fact:
        """A figure of the catalogue, written into the sheet because a sum will rest on it."""
        return found(self.sheet, self.catalogue.figures[name])

    def zero(self, name: str, unit: str = "money") -> Fact:
        """A figure that is nought because of what the concept is."""
        why = f"follows from the concept's kind, {self.concept.kind}"
        return found(self.sheet, Fact(id=self.id(name), value=0.0, unit=unit, basis="computed", source=why))


def total(quote: Quote, name: str, lines: tuple[PriceLine, ...]) -> Fact:
    """The sum of some lines."""
    if not lines:
        return quote.zero(name)
    return apply(quote.sheet, "sum_money", quote.id(name), amounts_money=tuple(line.amount for line in lines))
