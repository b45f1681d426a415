"""Sections told in one language: what the template is given, all of it text by now."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from string import Formatter
from typing import Any

from millhand.errors import ToolError
from millhand.model.fact import Fact
from millhand.report.proposal.records import (
    Beside,
    Block,
    Bullets,
    Caution,
    Column,
    Document,
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
from millhand.report.proposal.swatches import swatch
from millhand.report.tongue import Tongue
from millhand.report.view import bare, listed, listed_at, middle, own_form, rounded, shown, span

Pieces = list[dict[str, Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Teller:
    """What everything is told with: the language, the facts, the money, and the pictures by their names."""

    tongue: Tongue
    facts: Mapping[str, Fact]
    currency: str
    pictures: Mapping[str, str]  # name: SVG
    internal: bool = False  # with what never leaves the house

    def figure(self, figure: Figure) -> str:
        """One figure as text."""
        fact = self.facts.get(figure.fact)
        if fact is None:
            raise ToolError(
                f"the proposal names the fact {figure.fact}, which the study does not hold.", code="no_fact"
            )
        if figure.like:
            fact = replace(self.facts[figure.like], value=fact.value, basis=fact.basis, low=None, high=None)
        return self.tongue.figure(printed(fact, figure, self.currency))

    def pieces(self, item: Item) -> Pieces:
        """Stretches of text in their order, each with whether it is a figure."""
        if isinstance(item, Figure):
            return [{"text": self.figure(item), "figure": True}]
        if isinstance(item, Given):
            return [{"text": item.text, "figure": False}] if item.text else []
        if isinstance(item, Term):
            return [{"text": self.tongue.term(item.text), "figure": False}]
        if isinstance(item, Joined):
            return list(self.joined(item))
        return list(self.said(item))

    def joined(self, item: Joined) -> Iterator[dict[str, Any]]:
        """The pieces of several items with what stands between them."""
        for number, each in enumerate(item.items):
            if number:
                yield {"text": item.between, "figure": False}
            yield from self.pieces(each)

    def said(self, say: Say) -> Iterator[dict[str, Any]]:
        """A text of the catalogue with its places filled."""
        for words, name, _, _ in Formatter().parse(self.tongue.text(say.key)):
            if words:
                yield {"text": words, "figure": False}
            if name is not None:
                yield from self.pieces(say.slots[name]) if name in say.slots else (self.listed(say, name),)

    def listed(self, say: Say, name: str) -> dict[str, Any]:
        """What the catalogue itself fills a place with: a list that several texts share."""
        if f"list.{name}" not in self.tongue.texts:
            raise ToolError(f"nothing fills {name} in the text {say.key}.", code="no_text")
        return {"text": self.tongue.text(f"list.{name}"), "figure": False}

    def plain(self, item: Item) -> str:
        """The same as one text."""
        return "".join(piece["text"] for piece in self.pieces(item))

    def block(self, block: Block) -> dict[str, Any]:
        """One block as the template takes it."""
        if isinstance(block, Paragraph):
            return {"kind": "paragraph", "pieces": self.pieces(block.item), "strong": block.strong}
        if isinstance(block, Bullets):
            return {"kind": "bullets", "items": [self.pieces(each) for each in block.items], "numbered": block.numbered}
        if isinstance(block, Caution):
            return {"kind": "caution", "items": [self.pieces(each) for each in block.items]}
        if isinstance(block, KeyFigures):
            return {"kind": "figures", "items": [
                {"label": self.plain(each.label), "figure": self.plain(each.figure), "note": self.plain(each.note)}
                for each in block.items
            ]}  # fmt: skip
        if isinstance(block, Picture):
            return {
                "kind": "picture", "svg": self.pictures[block.name], "alt": self.plain(block.alt),
                "caption": self.plain(block.caption), "width": block.width,
            }  # fmt: skip
        if isinstance(block, Legend):
            signs = [{"svg": swatch(each.layer), "pieces": self.pieces(each.item)} for each in block.signs]
            return {"kind": "legend", "signs": signs}
        if isinstance(block, Beside):
            sides = {name: [self.block(each) for each in side]
                     for name, side in (("left", block.left), ("right", block.right))}  # fmt: skip
            return {"kind": "beside", "share": block.share, **sides}
        return self.table(block)

    def table(self, table: Table) -> dict[str, Any]:
        """A table with its heads."""

        def column(each: Column) -> dict[str, Any]:
            head = self.tongue.text(each.head) if each.head else ""
            return {"head": head, "align": each.align, "width": each.width}

        return {
            "kind": "table", "columns": [column(each) for each in table.columns],
            "rows": [[self.pieces(cell) for cell in row] for row in table.rows],
            "caption": self.plain(table.caption), "sums": list(table.sums),
            "groups": list(table.groups), "parts": list(table.parts),
        }  # fmt: skip

    def section(self, section: Section) -> dict[str, Any]:
        """One section."""
        return {
            "title": self.tongue.text(section.title or f"{section.key}.title"), "appendix": section.appendix,
            "blocks": [self.block(each) for each in section.blocks],
        }  # fmt: skip

    def document(self, document: Document) -> dict[str, Any]:
        """The whole of it; what is internal is left out unless it is told for the house."""
        return {
            "lang": self.tongue.name, "title": self.plain(document.title),
            "head": [{"label": self.plain(label), "words": self.plain(words)} for label, words in document.head],
            "sections": [self.section(each) for each in document.sections if self.internal or not each.internal],
            "words": {name: self.tongue.text(f"page.{name}") for name in ("of", "caution")},
        }  # fmt: skip


def printed(fact: Fact, figure: Figure, currency: str) -> str:
    """One figure, rounded once, in the reader's unit."""
    form = figure.form or own_form(fact)
    if figure.part == "bare":
        return bare(fact, form)
    if figure.part in ("ends", "bare_ends"):
        return span(fact, form, currency=currency, unit=figure.part == "ends")
    if figure.part == "most":
        return middle(fact if fact.high is None else replace(fact, value=fact.high), form, currency=currency)
    if figure.part in ("low", "high"):
        end = fact.low if figure.part == "low" else fact.high
        value = fact.value if end is None else end
        return rounded(fact, value, form) if figure.form else listed_at(fact, value, currency=currency)
    if not figure.form:
        return listed(fact, currency=currency)
    return (middle if figure.part == "value" else shown)(fact, form, currency=currency)
