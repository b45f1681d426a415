"""No formula without a known value, and no known value that would let a formula drift by a thousandth."""

import importlib
import re
import tomllib
from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any

from millhand.formulas import REGISTER, Formula
from tests.checks import Check, assert_holds, holds
from tests.house.source_text import TESTS, TOP, files, over_each, short, text

SOURCES = tomllib.loads((TOP / "docs" / "sources.toml").read_text(encoding="utf-8"))
FILES = [
    path
    for folder in ("published", "agreement", "formulas")
    for path in files(TESTS / folder)
    if "\nCHECKS" in text(path)
]


def declared() -> list[Check]:
    """The checks of every test file that declares CHECKS."""
    modules = [importlib.import_module(short(path).removesuffix(".py").replace("/", ".")) for path in FILES]
    return [check for module in modules for check in module.CHECKS if isinstance(check, Check)]


CHECKS = declared()


def scaled(result: Any) -> Any:
    """A result a thousandth too large, element by element, counts too."""
    if isinstance(result, Sequence):
        return type(result)(scaled(element) for element in result)  # type: ignore[call-arg]
    return result * 1.001


def drifted(formula: Formula) -> Callable[..., Any]:
    """The formula, a thousandth too large."""

    def function(**inputs: float) -> Any:
        return scaled(formula.function(**inputs))

    return function


@over_each(REGISTER.values())
def test_a_drift_of_a_thousandth_is_noticed(formula: Formula) -> None:
    """At least one check of the formula fails when its result is scaled by 1.001."""
    checks = [check for check in CHECKS if check.formula == formula.name]

    assert checks, f"{formula.name} has no check"
    assert not all(holds(check, drifted(formula)) for check in checks), f"{formula.name}: no check notices"


def test_every_check_holds_as_it_stands() -> None:
    """Unscaled, each check passes: the drift test above cannot pass by broken checks."""
    for check in CHECKS:
        assert_holds(check)


def test_checks_stay_inside_the_valid_range() -> None:
    """No known value is taken from where the formula says that it does not hold, unless the check says why."""
    wrong = {
        str(check): found
        for check in CHECKS
        if bool(found := REGISTER[check.formula].outside(check.inputs)) != bool(check.beyond)
    }

    assert not wrong


@over_each(REGISTER.values())
def test_a_valid_range_is_data_about_the_formula(formula: Formula) -> None:
    """Each range names a parameter of the formula, runs upwards, and flags what lies beyond it."""
    assert set(formula.valid) <= set(formula.units)
    for name, (low, high) in formula.valid.items():
        assert low < high, name
        assert formula.outside({name: low - 1.0}), name
        assert not formula.outside({name: low}), name


def test_each_source_of_a_check_is_listed_and_used() -> None:
    """Keys of checks and formulas stand in docs/sources.toml, and none stands there in vain."""
    used = {check.key for check in CHECKS} | {formula.source.partition(",")[0] for formula in REGISTER.values()}
    published = "\n".join(text(path) for path in files(TESTS / "published"))
    used |= {key for key in SOURCES if re.search(rf"\b{key}\b", published)}

    assert used <= set(SOURCES), used - set(SOURCES)
    assert set(SOURCES) - used <= {"marvel2017", "iso10218_1", "iso10218_2", "nemhauser1978"}, set(SOURCES) - used


@over_each(SOURCES)
def test_a_source_says_all_that_is_asked(key: str) -> None:
    """Authors, title, year, edition, what was taken and how it was seen."""
    assert set(SOURCES[key]) >= {"authors", "title", "year", "edition", "taken", "seen"}
    assert all(str(value).strip() for value in SOURCES[key].values())


def test_where_the_known_values_come_from_is_counted() -> None:
    """Outside print carries the register where there is any: hundreds of figures, most of them read in place."""
    seen = Counter(check.seen for check in CHECKS)

    assert seen["seen in published text"] >= 150, seen
    assert seen["from memory, not re-read"] >= 60, seen


def test_a_wrong_value_does_not_hold() -> None:
    """A check with another digit fails, so does one whose printed error comes out, and one that knows nothing."""
    known = {"formula": "standard_time_s", "inputs": {"normal_s": 1.0, "allowance_share": 0.15}, "key": "hie2001"}
    function = REGISTER["standard_time_s"].function

    assert holds(Check(**known, seen="own computation", printed="1.15"), function)  # type: ignore[arg-type]
    assert not holds(Check(**known, seen="own computation", printed="1.16"), function)  # type: ignore[arg-type]
    assert not holds(Check(**known, seen="own computation", expected=1.1501), function)  # type: ignore[arg-type]
    assert not holds(  # an erratum whose printed digits come out after all
        Check(**known, seen="own computation", printed="1.15", expected=1.15, erratum="none"),  # type: ignore[arg-type]
        function,
    )
    assert not holds(Check(**known, seen="own computation"), function)  # type: ignore[arg-type]
