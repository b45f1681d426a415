"""A study.json that was written before: its facts, and what it says where several jobs are put side by side."""

import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from millhand.errors import InputError, InputErrors
from millhand.intake.asked import Row, by_worth
from millhand.model.fact import Choice, Fact
from millhand.model.portfolio import Job, Option
from millhand.model.study import STUDY_FORMAT

BY_HAND_H = 40.0  # hours of the shop's own people for a change by hand: judged for the class, no source


def study_in_file(path: Path) -> Mapping[str, Any]:
    """What a study.json holds, named by itself or by its folder. InputErrors where it cannot be read, or is older."""
    file = path / "study.json" if path.is_dir() else path
    try:
        study = json.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise InputErrors([_bad(file, "no such file", "the folder that `millhand study --out` wrote")]) from None
    except (UnicodeDecodeError, json.JSONDecodeError):
        raise InputErrors([_bad(file, "no JSON", "the study.json that `millhand study --out` wrote")]) from None
    told = study.get("format") if isinstance(study, dict) else None
    if told != STUDY_FORMAT:
        write = f"a file of the format {STUDY_FORMAT}: run `millhand study` on its inquiry again"
        raise InputErrors([_bad(file, f"format {told!r}", write)])
    return dict(study)


def facts_in_file(study: Mapping[str, Any]) -> dict[str, Fact]:
    """The facts of a study in a file, in the order in which they were worked out."""
    return {
        name: Fact(**each | {"inputs": tuple(map(tuple, each["inputs"])), "outside": tuple(each["outside"])})
        for name, each in study["facts"].items()
    }


def choices_in_file(study: Mapping[str, Any]) -> dict[str, Choice]:
    """The words of a study in a file."""
    return {name: Choice(**each | {"options": tuple(each["options"])}) for name, each in study["choices"].items()}


def first_by_worth(found: Sequence[Row], study: Mapping[str, Any]) -> tuple[tuple[Row, ...], dict[str, Fact]]:
    """Questions in the order in which a study in a file asks, with the facts that their reasons name."""
    facts = facts_in_file(study)
    drivers = [each for each in study["decision"]["drivers"] if facts[each["swing"]].value > 0.0]
    swings = {each["fact"]: each["swing"] for each in drivers}
    return by_worth(found, study["decision"]["asks"], swings), facts


def job_of(path: Path) -> Job:
    """The job of a study: of its folder or of its study.json. InputErrors where it cannot be read."""
    study = study_in_file(path)
    return Job(
        name=str(study["inquiry"]["name"]),
        file=str(path / "study.json" if path.is_dir() else path),
        currency=str(study["inquiry"]["shop"]["currency"]),
        rate=float(study["facts"]["money.rate"]["value"]),
        options=tuple(_options(study)),
    )


def _bad(file: Path, read: str, write: str) -> InputError:
    """One error in its words."""
    return InputError(str(file), read, write, "study_file")


def _options(study: Mapping[str, Any]) -> Iterator[Option]:
    """Every concept with a place in the ranking that is worth more than going on as today."""
    facts = study["facts"]
    placed = {each["concept"] for each in study["decision"]["ranking"] if each["place"] is not None}
    for result in study["results"]:
        case, concept = result["case"], result["concept"]
        if case is None or concept["kind"] == "today" or concept["id"] not in placed:
            continue
        worth = float(facts[case["npv"]]["value"])
        payback = case["payback_months"]
        if worth > 0.0:
            yield Option(
                concept=concept["id"], title=concept["title"], npv=worth,
                outlay=float(facts[case["year"]["outlay"]]["value"]),
                payback_months=float(facts[payback]["value"]) if payback else None,
                own_h=own_hours(result["estimate"], facts) if concept["kind"] == "cell" else BY_HAND_H,
            )  # fmt: skip


def own_hours(estimate: Mapping[str, Any], facts: Mapping[str, Any]) -> float:
    """Hours of the shop's own people behind the lines of own work."""
    ids = [source for line in estimate["lines"] for name, source in facts[line["amount"]]["inputs"] if name == "work_h"]
    return float(sum(facts[fact_id]["value"] for fact_id in ids))
