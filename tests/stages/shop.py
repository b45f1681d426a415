"""An invented shop for the tests of stages: two mills and a bracket, any fact or word of it changed at will."""

from dataclasses import replace

from millhand.model.concept import Concept
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import MachinePlace
from millhand.model.timing import OperationTiming, Timing
from millhand.model.walk import facts_in, with_facts
from millhand.trace import Sheet
from tests.report.fixture_inquiry import inquiry
from tests.stages.short_road import catalogue as catalogue
from tests.stages.short_road import concept_of


def shop(**changes: float | str) -> Inquiry:
    """The shop with some facts and words changed; a name is the end of an id, dots written as two underscores."""
    whole = inquiry()
    new: dict[str, Fact | Choice] = {}
    for name, value in changes.items():
        (old,) = [each for each in facts_in(whole) if f".{each.id}".endswith("." + name.replace("__", "."))]
        new[old.id] = with_value(old, value)
    return with_facts(whole, new)


def with_value(old: Fact | Choice, value: float | str) -> Fact | Choice:
    """The fact with an exact value, or the word with another one."""
    if isinstance(old, Choice):
        return replace(old, value=str(value), options=(*old.options, str(value)))
    return replace(old, value=float(value), low=None, high=None, shape="point")


def placed(*spots: tuple[float, float, str]) -> Inquiry:
    """The shop with its machines where the shop says: x, y, side that the door looks to."""
    return replace(
        shop(),
        places=tuple(
            MachinePlace(
                machine="mill 3",
                number=number,
                x_m=Fact(id=f"places.{number}.x", value=x, unit="m", basis="given", source="test"),
                y_m=Fact(id=f"places.{number}.y", value=y, unit="m", basis="given", source="test"),
                faces=Choice(id=f"places.{number}.faces", value=faces, options=(faces,), basis="given", source="test"),
            )
            for number, (x, y, faces) in enumerate(spots, start=1)
        ),
    )


def concept(concept_id: str, of: Inquiry) -> Concept:
    """The concept of that id, which must be among those looked at."""
    return concept_of(of, concept_id, catalogue())


def exact(sheet: Sheet, fact_id: str, value: float, unit: str = "s") -> str:
    """An exact fact written into the sheet; its id."""
    sheet.add(Fact(id=fact_id, value=value, unit=unit, basis="given", source="test"))
    return fact_id


def timed(of: Inquiry, way: Concept, sheet: Sheet, *, process: float = 330.0, gap: float = 30.0, work: float = 45.0
          ) -> Timing:  # fmt: skip
    """A timing by hand: every operation with these seconds, its travel and phases left at nought."""
    nothing = exact(sheet, "test.nothing", 0.0)
    rows = tuple(
        OperationTiming(
            operation=operation.name,
            process=exact(sheet, f"test.{operation.name}.process", process),
            lead=nothing,
            exchange=nothing,
            tail=nothing,
            gap=exact(sheet, f"test.{operation.name}.gap", gap),
            other=nothing,
            travel=nothing,
            work=exact(sheet, f"test.{operation.name}.work", work),
            parts_per_load=operation.parts_per_cycle.id,
        )
        for operation in of.parts[0].operations
    )
    return Timing(concept=way.id, part=of.parts[0].name, operations=rows, places=())
