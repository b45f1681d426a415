"""A part list beside the study made by hand, whose cell is put together of the catalogue's components."""

from dataclasses import replace
from functools import cache

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.inquiry import Inquiry
from millhand.model.part_list import BadCell, ListColumn, ListedPart, PartList
from millhand.model.study import Result, Study
from millhand.model.walk import facts_in, with_facts
from millhand.part_mix import with_part_mix
from millhand.stages.concepts import Choices, cell_concept
from tests.report.fixture_study import ARM
from tests.report.fixture_study import study as fixture

CHOICES = {
    "presenter": "drawers", "outfeed": "back_to_tray", "mount": "pedestal", "arm": "fenced_20",
    "gripper": "parallel_single", "safeguarding": "fence",
}  # fmt: skip
BRACKET = ListedPart(
    name="PL-1", row=2, where="parts.csv, row 2", shape="prismatic", grip="outside", length_m=0.12, width_m=0.08,
    height_m=0.04, bore_m=None, raw_mass_kg=2.4, finished_mass_kg=None, time_s=360.0, orders_per_y=600.0,
    lot_size=12.0, machines=("Mill 3",),
)  # fmt: skip
COLUMNS = (ListColumn(field="length", head="L 1 [mm]", where="parts.csv:1:3", unit="mm", by_hand=True),)


@cache
def catalogue() -> Catalogue:
    """The built-in one."""
    return read_catalogue()


def part(row: int, **other: object) -> ListedPart:
    """The bracket of the inquiry in another row, with something else about it."""
    return replace(BRACKET, row=row, name=f"PL-{row}", where=f"parts.csv, row {row}", **other)  # type: ignore[arg-type]


def asked(*parts: ListedPart, left_out: tuple[BadCell, ...] = ()) -> Inquiry:
    """The inquiry of the study with a list of these parts."""
    listed = PartList(file="parts.csv", sheet="", columns=COLUMNS, unread=(), gaps=(), parts=parts, left_out=left_out)
    return replace(fixture().inquiry, part_list=listed)


@cache
def bare_study(gripper: str = "parallel_single", presenter: str = "drawers") -> Study:
    """The study with a cell of the catalogue, without a list."""
    known, book = fixture(), catalogue()
    picked = CHOICES | {"gripper": gripper, "presenter": presenter}
    choices = Choices(**{choice: book.components[name] for choice, name in picked.items()})
    concept = with_facts(cell_concept(choices, known.inquiry, book), known.facts)
    results = tuple(with_concept(each, concept) if each.concept.id == ARM else each for each in known.results)
    own = {fact.id: fact for fact in facts_in(concept)}
    return replace(known, results=results, facts={**own, **known.facts})  # type: ignore[arg-type]


def with_concept(result: Result, concept: Concept) -> Result:
    """The fixture's cell with other components, timed for the fixture's part."""
    part_ = fixture().inquiry.parts[0]
    assert result.timing is not None
    operations = tuple(replace(each, operation=part_.operations[0].name) for each in result.timing.operations)
    return replace(
        result, concept=replace(concept, id=ARM, title=result.concept.title),
        timing=replace(result.timing, part=part_.name, operations=operations),
    )  # fmt: skip


def mixed(
    *parts: ListedPart,
    left_out: tuple[BadCell, ...] = (),
    gripper: str = "parallel_single",
    presenter: str = "drawers",
) -> Study:
    """The study with the answer to a list."""
    inquiry = asked(*parts, left_out=left_out)
    return with_part_mix(replace(bare_study(gripper, presenter), inquiry=inquiry), inquiry, catalogue())
