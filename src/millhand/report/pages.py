"""A study as pages of a web app: the sections of report.html a few at a time, and every fact on a page of its group.

A page is what stands inside `main`; figures lead to the page of their fact by addresses that are relative to it.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from millhand.model.fact import Fact
from millhand.model.study import Result, Study
from millhand.report.citations import cited
from millhand.report.comparison import rows
from millhand.report.html import body, head, in_reach, rendered
from millhand.report.marks import Marks, marks_of, place
from millhand.report.origins import formulas_used, groups
from millhand.report.placed import views
from millhand.report.turning import turning_rows

HREF = re.compile(r'href="#(f-[^"]*|formula-[^"]*|way-[^"]*)"')
SECTION = re.compile(r'href="#([a-z-]+)"')
MOST = 250  # facts on one page
FORMULAS = "formulas"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """One page: its name in addresses, its title, and the templates that it is made of."""

    name: str
    title: str
    parts: tuple[str, ...]


CHAPTERS = (
    Chapter(name="answer", title="Answer", parts=("recommendation",)),
    Chapter(name="today", title="Today", parts=("today",)),
    Chapter(name="ways", title="Ways compared", parts=("comparison", "tradeoff")),
    Chapter(name="cell", title="The cell", parts=("cell", "checks", "safeguarding", "sizing")),
    Chapter(name="running", title="The cell running", parts=()),  # made of the simulation, see running.py
    Chapter(name="parts", title="Parts", parts=("part_mix",)),
    Chapter(name="money", title="Money", parts=("money", "turning", "maps")),
    Chapter(name="sureness", title="How sure", parts=("sureness",)),
    Chapter(name="open", title="What is open", parts=("unknowns",)),
)


def study_pages(study: Study, *, text: str) -> dict[str, str]:
    """Every page by its name, `headline` and the list of `facts` among them; `text`: its study.json."""
    marks = replace(marks_of(study), ways=True)
    known = {"study": study, "inquiry": study.inquiry, "m": marks} | head(study, text) | body(study, marks)
    known |= {"turning": turning_rows(study, marks)}
    pages = {}
    for chapter in CHAPTERS:
        parts = [f"{part}.html.j2" for part in chapter.parts if shown(part, study, known)]
        if parts:
            pages[chapter.name] = str(rendered("page.html.j2", known | {"parts": parts}))
    pages["headline"] = str(rendered("page.html.j2", known | {"parts": ["headline.html.j2"]}))
    pages |= way_pages(study, marks)
    pages |= fact_pages(marks.facts, marks)
    return with_addresses(pages)


def shown(part: str, study: Study, known: Mapping[str, Any]) -> bool:
    """Whether a study has something to show in a section."""
    has = {
        "tradeoff": study.decision.tradeoff, "cell": known["cell"] or known["missed"], "part_mix": study.part_mix,
        "safeguarding": study.safeguarding, "sizing": study.sizing, "maps": study.maps,
        "sureness": study.decision.sureness, "turning": known["turning"] or study.decision.sureness,
    }  # fmt: skip
    return part not in has or bool(has[part])


def way_pages(study: Study, marks: Marks) -> dict[str, str]:
    """Each concept with its checks and margins, where it stands, its plan and its cycle."""
    beside = {each.concept: each for each in rows(study)}
    return {
        place(each.concept.id): str(
            rendered(
                "page.html.j2",
                {
                    "parts": ["way.html.j2"], "study": study, "inquiry": study.inquiry, "m": marks, "result": each,
                    "row": beside[each.concept.id], "views": views(each, marks) if lives_or_kept(each) else None,
                },
            )
        )
        for each in study.results if each.concept.id in beside
    }  # fmt: skip


def lives_or_kept(result: Result) -> bool:
    """Whether a plan is worth its place: of what can work, and of what somebody wants to see."""
    return result.cell is not None or bool(result.concept.wish)


def fact_pages(facts: Mapping[str, Fact], marks: Marks) -> dict[str, str]:
    """All facts, some hundred on a page, with a page of the formulas and a list of these pages."""
    formulas = formulas_used(facts)
    known = {"here": facts, "m": marks}
    pages = {
        name: str(rendered("facts.html.j2", known | {"head": head_words, "facts": own}))
        for name, head_words, own in packets(facts)
    }
    pages[FORMULAS] = str(
        rendered(
            "formulas.html.j2", known | {"formulas": formulas, "sources": cited(formulas), "choices": marks.choices}
        )
    )
    listed = [(name, words, len(own)) for name, words, own in packets(facts)]
    pages["facts"] = str(rendered("fact_list.html.j2", known | {"listed_pages": listed}))
    return pages


def packets(facts: Mapping[str, Fact]) -> Iterator[tuple[str, str, list[Fact]]]:
    """Name, heading and facts of each page of facts."""
    number = 0
    for words, own in groups(facts).items():
        for start in range(0, len(own), MOST):
            number += 1
            further = f", from {own[start].id}" if start else ""
            yield f"facts-{number}", words + further, own[start : start + MOST]


def with_addresses(pages: Mapping[str, str]) -> dict[str, str]:
    """The pages with addresses that lead from one to the other, a concept's to its own page where it has one."""
    places = {
        found: name
        for name, page in pages.items()
        for found in re.findall(r'\bid="(f-[^"]*|formula-[^"]*|way-[^"]*|[a-z-]+)"', page)
    }

    def address(match: re.Match[str]) -> str:
        """The address of a place that stands on some page."""
        page = places.get(match[1])
        if match[1] in pages and match[1].startswith("way-"):
            return f'href="{match[1]}"'
        return f'href="{page}#{match[1]}"' if page else f'href="#{match[1]}"'

    return {name: in_reach(SECTION.sub(address, HREF.sub(address, page))) for name, page in pages.items()}
