"""The cells of a concept in each phase of a lot that goes through the same machines several times."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.phases import PhaseCell
from millhand.stages.cells.build import cell
from millhand.stages.passes import in_phase
from millhand.stages.timing.build import timing
from millhand.trace import Sheet


def phases_of(
    inquiry: Inquiry, concept: Concept, layout: Layout, catalogue: Catalogue, sheet: Sheet
) -> tuple[PhaseCell, ...]:
    """The concept where it stands, while all of a lot is in one operation: its times there, and its cell; none where
    parts come to the machines once."""
    return tuple(_phases(inquiry, concept, layout, catalogue, sheet))


def _phases(
    inquiry: Inquiry, concept: Concept, layout: Layout, catalogue: Catalogue, sheet: Sheet
) -> Iterator[PhaseCell]:
    """One after the other, each with facts of its own under the concept's."""
    for phase in inquiry.parts[0].operations[0].phases:
        own, name = in_phase(inquiry, phase), phase.operation.name
        alone = replace(concept, id=f"{concept.id}.phases.{name}")
        times = timing(own, alone, layout, catalogue, sheet)
        made = cell(own, alone, layout, times, catalogue, sheet)
        made = replace(made, name=f"{made.name}, {name}")
        yield PhaseCell(name=alone.id, operation=name, timing=times, cell=made)
