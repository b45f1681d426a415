"""The last pages: the formulas behind the figures that the proposal shows, and their sources."""

import re
from collections.abc import Iterable, Iterator

from millhand.formulas import Formula
from millhand.report.citations import Source, cited, listed_sources
from millhand.report.origins import behind, cell_origins, formulas_used
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.records import (
    Beside,
    Block,
    Bullets,
    Caution,
    Column,
    Figure,
    Given,
    Item,
    Joined,
    KeyFigures,
    Legend,
    Paragraph,
    Picture,
    Say,
    Section,
    Table,
    Term,
)

UNIT = re.compile(r"(_per_(h|y|part|min))?_(s|m|h|d|kg|n|pa|m2|m_s|m_s2|money|share|months|rad)$|_per_(h|y|part|min)$")
STANDARDS = {
    "ISO 10218-2": "iso10218_2", "ISO 13849-1": "iso13849_1", "ISO 13854": "iso13854",
    "ISO 13855:2010": "iso13855_2010",
    "ISO 13855:2024": "iso13855_2024", "ISO 13857": "iso13857", "ISO/TS 15066": "isots15066",
    "ANSI B11.19": "ansib1119",
}  # fmt: skip
OWN = ("own_computation", "common_practice")  # sums, shares and rules of the trade: no print stands behind them


def appendix(ground: Ground, sections: Iterable[Section]) -> Section:
    """Formulas and sources behind these sections, worked out from the facts that they show."""
    sections = tuple(sections)
    shown = {each.fact for section in sections for item in items_of(section.blocks) for each in figures_in(item)}
    reached = behind(ground.facts, shown, cell_origins(ground.study))
    formulas = formulas_used({name: fact for name, fact in ground.facts.items() if name in reached})
    found: dict[str, tuple[Given, ...]] = {}
    for source in cited(formulas):
        if source.key not in OWN:  # two tables of one print are one row
            found[source.words] = (
                *found.get(source.words, ()), *(Given(text=each) for each in names(formulas, source.key)),
            )  # fmt: skip
    rows: tuple[tuple[Item, ...], ...] = tuple((Given(text=each), Joined(items=told)) for each, told in found.items())
    rows += tuple(
        (Given(text=source.words), Say(key="appendix.named"))
        for source in standards(sections) if Given(text=source.words) not in {row[0] for row in rows}
    )  # fmt: skip
    heads = (Column(head="appendix.source", width=2.0), Column(head="appendix.formula", width=0.9))
    return Section(
        key="appendix", appendix=True,
        blocks=(
            Paragraph(item=Say(key="appendix.words")),
            Table(columns=heads, rows=rows),
            Paragraph(item=Say(key="appendix.editions")),
        ),
    )  # fmt: skip


def standards(sections: Iterable[Section]) -> tuple[Source, ...]:
    """The standards that these sections name by number, each once."""
    said = {each.text for section in sections for item in items_of(section.blocks) for each in given_in(item)}
    sources = listed_sources()
    return tuple(sources[key] for words, key in STANDARDS.items() if any(words in each for each in said))


def given_in(item: Item) -> Iterator[Given | Term]:
    """Everything of an item that stands as it was written, and the study's own words."""
    if isinstance(item, Given | Term):
        yield item
    elif isinstance(item, Joined):
        yield from (given for each in item.items for given in given_in(each))
    elif isinstance(item, Say):
        yield from (given for each in item.slots.values() for given in given_in(each))


def names(formulas: Iterable[Formula], key: str) -> Iterator[str]:
    """The formulas out of one source: their names as words, without the unit at the end."""
    yield from (in_words(each.name) for each in formulas if each.source.partition(",")[0].strip() == key)


def in_words(name: str) -> str:
    """A formula's name before somebody who has no program in front of him.

    >>> in_words("ramped_move_s"), in_words("npv_money"), in_words("over_fence_distance_m")
    ('ramped move', 'npv', 'over fence distance')
    """
    return UNIT.sub("", name).replace("_", " ")


def items_of(blocks: Iterable[Block]) -> Iterator[Item]:
    """Every item of these blocks."""
    for block in blocks:
        if isinstance(block, Beside):
            yield from items_of((*block.left, *block.right))
        elif isinstance(block, Table):
            yield block.caption
            yield from (cell for row in block.rows for cell in row)
        elif isinstance(block, KeyFigures):
            yield from (item for each in block.items for item in (each.label, each.figure, each.note))
        elif isinstance(block, Picture):
            yield from (block.alt, block.caption)
        elif isinstance(block, Legend):
            yield from (each.item for each in block.signs)
        elif isinstance(block, Paragraph):
            yield block.item
        elif isinstance(block, Bullets | Caution):
            yield from block.items


def figures_in(item: Item) -> Iterator[Figure]:
    """Every figure of an item."""
    if isinstance(item, Figure):
        yield item
    elif isinstance(item, Joined):
        yield from (figure for each in item.items for figure in figures_in(each))
    elif isinstance(item, Say):
        yield from (figure for each in item.slots.values() for figure in figures_in(each))
