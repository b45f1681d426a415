"""`millhand formula [NAME [k=v ...]]`: list the formulas, explain one, or evaluate it with values that take units."""

import inspect
import math
import re
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from itertools import groupby
from typing import Any, get_type_hints

import click

from millhand.errors import InputError, InputErrors
from millhand.formulas import REGISTER, SAME, SUFFIXES, Formula
from millhand.formulas.register import limits_words
from millhand.intake.text import read_quantity
from millhand.model.canonical import canonical

# Unit of a formula: the kind of quantity that its values may be written as, and the unit's size in that kind's SI unit.
KINDS = {
    "s": ("time", 1.0), "min": ("time", 60.0), "h": ("time", 3600.0), "d": ("time", 86_400.0),
    "months": ("months", 1.0), "y": ("years", 1.0),
    "m": ("position", 1.0), "m2": ("area", 1.0), "m3": ("volume", 1.0), "m/s": ("speed", 1.0), "rad": ("angle", 1.0),
    "kg": ("mass", 1.0), "N": ("force", 1.0), "Pa": ("pressure", 1.0),
    "1/h": ("frequency", 1.0), "1/min": ("frequency", 60.0), "1/s": ("frequency", 3600.0),
    "1": ("share", 1.0), "%": ("share", 0.01), "parts": ("parts", 1.0), "parts/y": ("parts_per_y", 1.0),
    "d/y": ("days_per_y", 1.0), "money": ("money", 1.0), "money/h": ("money_per_h", 1.0),
    "money/y": ("money_per_y", 1.0), "money/part": ("money_per_part", 1.0),
}  # fmt: skip
NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
WORDS_OF_TRUTH = {"yes": True, "true": True, "no": False, "false": False}


@click.command(name="formula")
@click.argument("name", required=False)
@click.argument("values", nargs=-1, metavar="[K=V]...")
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
def command(name: str | None, values: Sequence[str], as_json: bool) -> None:
    """List the formulas, explain one by its NAME, or evaluate it.

    Values may carry units, which are turned into those of the formula: 'travel=750mm' or 'stopping_s=320 ms'. A plain
    number is in the formula's own unit. Several values of one input stand between commas. The ending of an input's
    name, such as '_m', may be left out.
    """
    if name is None:
        click.echo(canonical([described(each) for each in REGISTER.values()]) if as_json else listing(), nl=False)
        return
    formula = found(name)
    if values:
        result = evaluated(formula, values)
        click.echo(canonical(result) if as_json else answer(formula, result), nl=False)
    else:
        click.echo(canonical(described(formula)) if as_json else explanation(formula), nl=False)


def found(name: str) -> Formula:
    """The formula of that name; an InputError with the nearest names where there is none."""
    if name in REGISTER:
        return REGISTER[name]
    near = get_close_matches(name, REGISTER, n=3, cutoff=0.5) or [each for each in REGISTER if name in each][:3]
    write = f"a name of the list, such as {', '.join(near)}" if near else "a name that 'millhand formula' lists"
    raise InputError("formula", name, write, "unknown_formula")


def listing() -> str:
    """Every formula with its unit and first line, by subject."""
    lines = []
    by_subject = sorted(REGISTER.values(), key=lambda each: (each.function.__module__, each.name))
    for module, formulas in groupby(by_subject, key=lambda each: each.function.__module__):
        lines.append(module.rpartition(".")[2].replace("_", " "))
        lines += [f"  {each.name} [{each.unit}]: {each.words}" for each in formulas]
    return "\n".join(lines) + "\n"


def described(formula: Formula) -> dict[str, Any]:
    """All that the register knows of one formula, for machines; an open end of a range is null."""
    return {
        "name": formula.name,
        "words": formula.words,
        "unit": formula.unit,
        "inputs": [
            {"name": name, "unit": unit, "low": low, "high": high}
            for name, unit in formula.units.items()
            for low, high in [formula.valid.get(name, (-math.inf, math.inf))]
        ],
        "source": formula.source,
        "caution": formula.caution,
    }


def explanation(formula: Formula) -> str:
    """What a formula gives, from what, within which limits, from which source."""
    words = inspect.getdoc(formula.function) or ""
    lines = [f"{formula.name} [{formula.unit}]", "", words.partition("\n>>>")[0].rstrip(), "", "inputs"]
    for name, unit in formula.units.items():
        limits = f", {limits_words(*formula.valid[name])}" if name in formula.valid else ""
        lines.append(f"  {name} [{unit}]{limits}")
    lines += ["", f"source: {formula.source}"]
    return "\n".join(lines + ([f"caution: {formula.caution}"] if formula.caution else [])) + "\n"


def answer(formula: Formula, result: Mapping[str, Any]) -> str:
    """The evaluated formula in words, its inputs as they were understood."""
    lines = [f"{name} = {with_unit(value, formula.units[name])}" for name, value in result["inputs"].items()]
    value = result["why_none"] if result["value"] is None else with_unit(result["value"], formula.unit)
    lines += [f"{formula.name} = {value}", f"source: {formula.source}"]
    lines += [f"outside what the formula is valid for: {words}" for words in result["outside"]]
    return "\n".join(lines + ([f"caution: {formula.caution}"] if formula.caution else [])) + "\n"


def with_unit(value: Any, unit: str) -> str:
    """A number with nine digits and its unit, several between commas, words as they are."""
    if isinstance(value, str | bool):
        return value if isinstance(value, str) else "yes" if value else "no"
    text = ", ".join(f"{each:.9g}" for each in (value if isinstance(value, Sequence) else (value,)))
    return text if unit in ("1", SAME) else f"{text} {unit}"


def evaluated(formula: Formula, values: Sequence[str]) -> dict[str, Any]:
    """The inputs as understood and the value, with what lies outside the valid range."""
    inputs = read_inputs(formula, values)
    try:
        value = formula.function(**inputs)
    except (ValueError, KeyError, ArithmeticError, IndexError) as trouble:
        raise InputError(f"formula {formula.name}", " ".join(values), refusal(trouble), "outside_formula") from trouble
    never = value is None or (isinstance(value, float) and not math.isfinite(value))
    return {
        "formula": formula.name,
        "inputs": inputs,
        "value": None if never else value,
        "why_none": "none: no finite value meets it" if never else None,
        "unit": formula.unit,
        "outside": list(formula.outside(inputs)),
        "source": formula.source,
        "caution": formula.caution,
    }


def refusal(trouble: Exception) -> str:
    """What to write where a formula refuses: its own words, or that the value lies where nothing is defined."""
    if type(trouble) is ValueError and trouble.args and "math domain" not in str(trouble):
        return f"values that the formula covers: {trouble}"
    if isinstance(trouble, KeyError):
        return f"a word that the formula's table knows, not {trouble}"
    return "values for which the formula is defined; 'millhand formula NAME' says which"


def read_inputs(formula: Formula, values: Sequence[str]) -> dict[str, Any]:
    """Every input of the formula from 'k=v' texts; all that is wrong with them at once."""
    parameters = inspect.signature(formula.function).parameters
    kinds, texts, errors = get_type_hints(formula.function), dict[str, str](), list[InputError]()
    where = f"formula {formula.name}"
    for text in values:
        key, sign, written = text.partition("=")
        name = full_name(key.strip(), tuple(parameters))
        if not sign or name is None:
            errors.append(InputError(where, text, f"name=value with one of {', '.join(parameters)}", "unknown_input"))
        elif name in texts:
            errors.append(InputError(where, text, f"{name} once", "twice"))
        else:
            texts[name] = written.strip()
    missing = [key for key, each in parameters.items() if key not in texts and each.default is inspect.Parameter.empty]
    errors += [InputError(where, "nothing", f"{key}=... [{formula.units[key]}]", "missing_input") for key in missing]
    inputs: dict[str, Any] = {}
    for name in (name for name in parameters if name in texts):
        try:
            inputs[name] = read_value(texts[name], kinds[name], formula.units[name])
        except InputError as error:
            errors.append(InputError(f"{where}: {name}", error.read, error.write, error.code))
    if errors:
        raise InputErrors(errors)
    return inputs


def full_name(key: str, names: Sequence[str]) -> str | None:
    """The input's full name, from itself or from its name without the unit at its end; None where no one fits."""
    if key in names:
        return key
    fitting = [name for name in names if any(name == key + ending for ending in SUFFIXES)]
    return fitting[0] if len(fitting) == 1 else None


def read_value(text: str, kind: Any, unit: str) -> Any:
    """One input as its parameter wants it: a word, yes or no, several numbers, a number."""
    if kind is str:
        return text
    if kind is bool:
        if text.lower() not in WORDS_OF_TRUTH:
            raise InputError("", text, "yes or no", "not_yes_or_no")
        return WORDS_OF_TRUTH[text.lower()]
    if kind in (float, int):
        return read_number(text, unit)
    return tuple(read_number(each, unit) for each in text.split(","))


def read_number(text: str, unit: str) -> float:
    """A plain number in the formula's unit, or a quantity with its own unit turned into it."""
    text = text.strip().removesuffix(unit).strip() if unit not in KINDS else text.strip()
    if NUMBER.fullmatch(text):
        return float(text)
    if unit not in KINDS:
        raise InputError("", text, "a number" if unit == SAME else f"a number in {unit}", "not_a_quantity")
    kind, size = KINDS[unit]
    return read_quantity(text, kind).value / size
