"""One placed cell as the answers for its safety look at it: its choices, its layout as rectangles, its verdicts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Drawn, Layout, Spot
from millhand.model.safety import SafetyRules
from millhand.model.study import Result
from millhand.model.verdict import Verdict
from millhand.solvers.placing.site import Rect
from millhand.stages.safeguarding.post import Post
from millhand.trace import Sheet, found

SOURCE = "placed on the floor by search"


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A concept that was worked out, with its own guard and the words that rules may ask for."""

    post: Post
    inquiry: Inquiry
    result: Result
    words: tuple[Mapping[str, str], ...]  # of each part at each machine

    @property
    def sheet(self) -> Sheet:
        """Where facts are written."""
        return self.post.sheet

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue."""
        return self.post.catalogue

    @property
    def rules(self) -> SafetyRules:
        """What the catalogue has for these answers."""
        return self.catalogue.safeguards.safety

    @property
    def mount(self) -> Component:
        """What the arm stands on or hangs from."""
        assert self.post.concept.mount is not None
        return self.post.concept.mount

    @property
    def gripper(self) -> Component:
        """The end of arm."""
        assert self.post.concept.gripper is not None
        return self.post.concept.gripper

    @property
    def layout(self) -> Layout | None:
        """Where it stands."""
        return self.result.layout

    @property
    def drawn(self) -> Drawn | None:
        """What is drawn of that."""
        return self.layout.drawn if self.layout is not None else None

    def verdict(self, check: str) -> Verdict | None:
        """What a check of the study found."""
        return next((each for each in self.result.verdicts if each.check == check), None)

    def of(self, component: Component, name: str) -> Fact | None:
        """A figure of a component, written into the sheet; None where it has none."""
        fact = component.figures.get(name)
        return found(self.sheet, fact) if fact is not None else None

    def seen(self, name: str, value: float, unit: str, source: str = SOURCE) -> Fact:
        """A figure read off the layout."""
        fact_id = f"concepts.{self.post.concept.id}.safeguarding.{name}"
        return found(self.sheet, Fact(id=fact_id, value=value, unit=unit, basis="computed", source=source))

    def spots(self, name: str) -> tuple[Spot, ...]:
        """The drawn pieces of a name, or of the name with a number."""
        pieces = self.drawn.pieces if self.drawn is not None else ()
        return tuple(each for each in pieces if each.name.rstrip("0123456789").rstrip(" _") == name)

    def rect(self, spot: Spot) -> Rect:
        """A spot as a rectangle."""
        at = (self.sheet.value(each) for each in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m))
        x, y, width, depth = at
        return Rect(name=spot.name, x_m=x, y_m=y, width_m=width, depth_m=depth)

    def stretches(self, name: str) -> Sequence[tuple[float, float, float, float]]:
        """The straight pieces of the fence, or its gates."""
        drawn = self.drawn.fence if self.drawn is not None else ()
        value = self.sheet.value
        return [
            (value(each.x_m), value(each.y_m), value(each.to_x_m), value(each.to_y_m))
            for each in drawn if each.name == name
        ]  # fmt: skip
