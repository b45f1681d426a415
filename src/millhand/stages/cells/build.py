"""One door to the cells: whoever tends, today's process and each concept become a Cell here."""

from millhand.model.catalogue import Catalogue
from millhand.model.cell import Cell
from millhand.model.concept import Concept
from millhand.model.gridded import gridded
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.timing import Timing
from millhand.stages.cells.arm import arm_cell
from millhand.stages.cells.hand import hand_cell
from millhand.stages.cells.shared import Draft
from millhand.trace import Sheet


def cell(
    inquiry: Inquiry, concept: Concept, layout: Layout, timing: Timing, catalogue: Catalogue, sheet: Sheet
) -> Cell:
    """The Cell of one concept, each of its numbers tied by `origins` to the fact it came from."""
    draft = Draft(inquiry=inquiry, timing=timing, figures=catalogue.figures, sheet=sheet)
    made = arm_cell(draft, concept, layout) if concept.kind == "cell" else hand_cell(draft, concept, catalogue)
    return gridded(made)  # so that the file written from it reads back as the same cell
