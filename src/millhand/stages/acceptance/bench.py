"""What all that is said of bringing one way into the shop rests on."""

from dataclasses import dataclass

from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Performance
from millhand.model.study import Result
from millhand.trace import Sheet, apply, found


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The advised way with its output, and where facts are written."""

    result: Result
    performance: Performance
    inquiry: Inquiry
    catalogue: Catalogue
    sheet: Sheet

    def id(self, name: str) -> str:
        """The id of a fact of its introduction."""
        return f"introduction.{name}"

    def figure(self, name: str) -> Fact:
        """A figure of the catalogue, written into the sheet."""
        return found(self.sheet, self.catalogue.figures[name])

    def apply(self, formula: str, name: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
        """A registered formula of these facts."""
        return apply(self.sheet, formula, self.id(name), **inputs)
