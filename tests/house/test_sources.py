"""Each formula names its source, and each source is listed once with how it was seen."""

import importlib
import tomllib
from collections.abc import Mapping
from functools import cache
from typing import Any

import millhand.formulas
from millhand.formulas.register import REGISTER, Formula
from tests.house.source_text import SOURCE, TOP, files, over_each

SUBJECTS = [path.stem for path in files(SOURCE / "formulas") if path.stem not in ("__init__", "register")]
for subject in SUBJECTS:
    importlib.import_module(f"millhand.formulas.{subject}")


def test_the_register_knows_every_subject() -> None:
    """A file that only its own test imports would be missing where a study asks for its formulas."""
    subjects = {each.__name__.rpartition(".")[2] for each in millhand.formulas.SUBJECTS}
    lacking = {path.stem for path in files(SOURCE / "formulas") if "\n@formula(" in path.read_text(encoding="utf-8")}

    assert lacking <= subjects


@cache
def listed() -> Mapping[str, Any]:
    """The sources by key."""
    return tomllib.loads((TOP / "docs" / "sources.toml").read_text(encoding="utf-8"))


@over_each(REGISTER.values())
def test_the_source_of_a_formula_is_listed_with_how_it_was_seen(formula: Formula) -> None:
    """The key before the comma stands in docs/sources.toml, with a title and the word how it was seen."""
    source = listed().get(formula.source.partition(",")[0].strip())

    assert source is not None, f"{formula.name}: {formula.source}"
    assert source["title"]
    assert source["seen"]


@over_each(REGISTER.values())
def test_a_formula_says_its_source_where_it_stands(formula: Formula) -> None:
    """The docstring names the same key as the register, so that the reader of the code finds the page."""
    assert formula.source.partition(",")[0] in (formula.function.__doc__ or ""), formula.name


def test_every_subject_brings_formulas() -> None:
    """A file in formulas/ that registers nothing is named here: shared limits only."""
    bringing = {formula.function.__module__.rpartition(".")[2] for formula in REGISTER.values()}

    assert set(SUBJECTS) - bringing <= {"limits"}
