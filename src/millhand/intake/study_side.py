"""A study that was written before, as one of the two sides of a comparison."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from millhand.errors import InputError, InputErrors
from millhand.formulas import REGISTER
from millhand.intake.cell import read_cell
from millhand.intake.study_file import choices_in_file, facts_in_file, study_in_file
from millhand.model.cell import Cell
from millhand.model.difference import Priced, Side


def side_of(path: Path) -> Side:
    """The study in a folder or in its study.json, with the cells that stand beside it; InputErrors where it is none."""
    file = path / "study.json" if path.is_dir() else path
    try:
        side = side_in(study_in_file(path), file)
    except (KeyError, TypeError, AttributeError):
        raise InputErrors([refused(file, "a study with something missing")]) from None
    strange = sorted({fact.formula for fact in side.facts.values() if fact.formula} - REGISTER.keys())
    if strange:
        raise InputErrors([refused(file, f"the formula {strange[0]}, which this version does not have")])
    return side


def refused(file: Path, read: str) -> InputError:
    """The error of a study that this version cannot work out again."""
    return InputError(
        str(file), read, "a study of this version: run `millhand study` on its inquiry again", "study_file"
    )


def side_in(study: Mapping[str, Any], file: Path) -> Side:
    """What the file holds, and the cells beside it."""
    priced = tuple(priced_in(study))
    return Side(
        name=str(study["inquiry"]["name"]), file=str(file), version=str(study["version"]), seed=int(study["seed"]),
        currency=str(study["inquiry"]["shop"]["currency"]), answer=str(study["decision"]["answer"]),
        winner=str(study["decision"]["winner"]), subject=subject_in(study, {each.concept for each in priced}),
        titles={each["concept"]["id"]: each["concept"]["title"] for each in study["results"]},
        facts=facts_in_file(study), choices=choices_in_file(study), priced=priced,
        cells=dict(cells_beside(study, file.parent)),
    )  # fmt: skip


def priced_in(study: Mapping[str, Any]) -> Iterator[Priced]:
    """Every concept with a case against today."""
    for result in study["results"]:
        case = result["case"]
        if case is not None and result["concept"]["kind"] != "today":
            yield Priced(concept=result["concept"]["id"], npv=case["npv"], payback_months=case["payback_months"])


def subject_in(study: Mapping[str, Any], priced: set[str]) -> str | None:
    """The concept whose money is looked at: the winner, else the first in the ranking with a case."""
    ranking = sorted((each for each in study["decision"]["ranking"] if each["place"]), key=lambda each: each["place"])
    names = (study["decision"]["winner"], *(each["concept"] for each in ranking))
    return next((name for name in names if name in priced), None)


def cells_beside(study: Mapping[str, Any], folder: Path) -> Iterator[tuple[str, Cell]]:
    """The cell behind each load bound, where its file stands beside the study and can be read."""
    for result in study["results"]:
        performance, cell = result["performance"], result["cell"]
        file = folder / cell["file"] if cell is not None else None
        if performance is None or file is None or not performance["bound_loads_per_h"] or not file.is_file():
            continue
        try:
            yield performance["bound_loads_per_h"], read_cell(file)
        except InputErrors:  # of another version: what its bound does stands among what was simulated anew
            continue
