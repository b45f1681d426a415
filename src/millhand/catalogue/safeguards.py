"""What the catalogue says about safeguarding: choices, where they fit, what rules them out, hazards by task."""

from collections.abc import Mapping
from typing import Any

from millhand.catalogue.safety import safety_rules
from millhand.catalogue.words import data_of
from millhand.model.catalogue import Guard, GuardRule, Hazard, Safeguards
from millhand.model.fact import Fact

FILE = "safeguarding.toml"
JUDGED = ("severity", "frequency", "avoidance")


def safeguards() -> Safeguards:
    """The whole file, in its order."""
    data = data_of(FILE)
    return Safeguards(
        choices=tuple(guard(name, each) for name, each in data["choices"].items()),
        misfits=guard_rules(data["misfits"]),
        contact=guard_rules(data["contact"]),
        machine=guard_rules(data["machine"]),
        hazards=tuple(
            Hazard(
                id=name, task=each["task"], when=when(each), hazard=each["hazard"], ask=each["ask"], until=each["until"]
            )
            for name, each in data["hazards"].items()
        ),
        safety=safety_rules(),
    )


def guard(name: str, each: Mapping[str, Any]) -> Guard:
    """One choice out of its table."""
    return Guard(
        id=name,
        component=each["component"],
        title=each["title"],
        moves=each["moves"],
        inside=each["inside"],
        passing=each["passing"] == "yes",
        function=each["function"],
        judged={key: judged(name, each["title"], key, each[key]) for key in JUDGED},
        reasons={key: each[key][1] for key in JUDGED},
    )


def judged(name: str, title: str, key: str, row: tuple[int, str, str]) -> Fact:
    """One answer to the risk graph as a fact, with its words and the question that would replace it."""
    value, words, question = row
    return Fact(
        id=f"catalogue.safeguarding.{name}.{key}", value=float(value), unit="1", basis="assumed",
        source=f"{FILE}, [choices.{name}], judged, no source", note=words, question=question, title=f"{title}: {key}",
    )  # fmt: skip


def guard_rules(tables: Mapping[str, Mapping[str, Any]]) -> tuple[GuardRule, ...]:
    """The rules of one kind."""
    return tuple(
        GuardRule(
            id=name, when=when(each), words=each["words"], kills=each.get("kills", False),
            question=each.get("question", ""), until=each.get("until", ""),
        )
        for name, each in tables.items()
    )  # fmt: skip


def when(each: Mapping[str, Any]) -> Mapping[str, tuple[str, ...]]:
    """The words that a row asks for, each with the values for which it holds."""
    return {key: tuple(values) for key, values in each.get("when", {}).items()}
