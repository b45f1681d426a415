"""A study as JSON: one flat map of facts, every record around it holding ids, cells by hash and file."""

import dataclasses
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from millhand.errors import ToolError
from millhand.model.canonical import canonical, content_hash, plain
from millhand.model.cell import Cell
from millhand.model.fact import Choice, Fact
from millhand.model.phases import PhaseCell
from millhand.model.study import Result, Study
from millhand.model.walk import facts_in

FILE_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]*\Z")


def study_as_json(study: Study) -> str:
    """The canonical text of study.json: the same study gives the same bytes."""
    return canonical(study_plain(study))


def study_plain(study: Study) -> dict[str, Any]:
    """The study as dicts and lists: facts and choices once, in two maps, and their ids everywhere else."""
    written = {
        field.name: None if field.name in ("tending", "safeguarding") else with_ids(getattr(study, field.name))
        for field in dataclasses.fields(study)
    }
    written["facts"] = plain(all_facts(study))
    written["choices"] = plain(all_choices(study))
    written["results"] = [result_plain(result) for result in study.results]
    if study.tending is not None:
        cells = [{"name": each.name, "cell": cell_reference(each.name, each.cell)} for each in study.tending.cells]
        written["tending"] = with_ids(replace(study.tending, cells=())) | {"cells": cells}
    if study.safeguarding is not None:
        runs = [
            {"name": each.name, "cell": cell_reference(each.name, each.cell)} for each in study.safeguarding.simulated
        ]
        written["safeguarding"] = with_ids(replace(study.safeguarding, simulated=())) | {"simulated": runs}
    return written


def all_facts(study: Study) -> dict[str, Fact]:
    """The study's map, with what only stands in its records (a component's unused figures) added behind it."""
    return dict(study.facts) | {
        fact.id: fact for fact in nested(study) if isinstance(fact, Fact) and is_new(fact, study.facts)
    }


def all_choices(study: Study) -> dict[str, Choice]:
    """The same for words."""
    return dict(study.choices) | {
        choice.id: choice for choice in nested(study) if isinstance(choice, Choice) and is_new(choice, study.choices)
    }


def nested(study: Study) -> Iterator[Fact | Choice]:
    """What stands inside the records beside the map."""
    yield from facts_in(study.inquiry)
    for result in study.results:
        yield from facts_in(result.concept)
        yield from facts_in(result.estimate)


def is_new(fact: Fact | Choice, known: Mapping[str, Fact] | Mapping[str, Choice]) -> bool:
    """True where the map lacks the id; one with another value there is our own failure (ranges are the map's)."""
    if fact.id not in known:
        return True
    if known[fact.id].value != fact.value:
        raise ToolError(f"the study holds two different facts under the id {fact.id}.", code="fact_twice")
    return False


def result_plain(result: Result) -> dict[str, Any]:
    """One result, its cell as hash and file."""
    written = {
        field.name: with_ids(getattr(result, field.name))
        for field in dataclasses.fields(result)
        if field.name not in ("cell", "phases")
    }
    written["phases"] = [phase_plain(each) for each in result.phases]
    written["cell"] = None if result.cell is None else cell_reference(result.concept.id, result.cell)
    return {field.name: written[field.name] for field in dataclasses.fields(result)}


def phase_plain(phase: PhaseCell) -> dict[str, Any]:
    """One phase of a lot, its cell as hash and file."""
    written = {name: with_ids(getattr(phase, name)) for name in ("name", "operation", "timing", "schedule")}
    return written | {"cell": cell_reference(phase.name, phase.cell)}


def cell_reference(concept: str, cell: Cell) -> dict[str, str]:
    """Where a cell is written, and the hash by which performance and schedule name it."""
    return {"hash": content_hash(cell), "file": cell_file(concept)}


def cell_file(concept: str) -> str:
    """The file of a concept's cell, relative to the study."""
    return f"cells/{file_name(concept)}.json"


def file_name(concept: str) -> str:
    """A concept's id, which names its files."""
    if not FILE_NAME.match(concept):
        raise ToolError(f"the concept id {concept!r} cannot name a file.", code="file_name")
    return concept


def with_ids(value: Any) -> Any:
    """Records, tuples and maps as dicts and lists, each fact and choice inside as its id."""
    if isinstance(value, Fact | Choice):
        return value.id
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: with_ids(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): with_ids(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [with_ids(item) for item in value]
    return value
