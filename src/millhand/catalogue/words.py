"""What the catalogue says in words and short lists: rules, changes by hand, the words of components."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from millhand.model.catalogue import HandChange, MovingThing, OptionRule, Rule
from millhand.model.fact import Fact

DATA = Path(__file__).parent / "data"
JUDGED = "judged, no source"


def data_of(name: str) -> Mapping[str, Any]:
    """One of the built-in TOML files."""
    return tomllib.loads((DATA / name).read_text(encoding="utf-8"))


def component_words() -> dict[str, dict[str, str]]:
    """The words of each built-in component."""
    return {component: dict(words) for component, words in data_of("words.toml").items()}


def rules() -> tuple[Rule, ...]:
    """Why combinations make no sense, in the order in which they are tried."""
    return tuple(
        Rule(id=name, when={key: tuple(values) for key, values in each["when"].items()}, words=each["words"])
        for name, each in data_of("rules.toml").items()
    )


def option_rules() -> tuple[OptionRule, ...]:
    """Where a cell needs what besides its choices."""
    return tuple(
        OptionRule(
            id=name, per=each["per"], words=each["words"],
            when={key: tuple(values) for key, values in each["when"].items()},
        )
        for name, each in data_of("options.toml").items()
    )  # fmt: skip


SPOKEN = {"machines_per_operator": "machines that one operator tends"}  # effects whose name alone says too little


def hand_changes(currency: str) -> tuple[HandChange, ...]:
    """The cheap changes of the manual process, in the order of the file."""
    return tuple(hand_change(name, each, currency) for name, each in data_of("hand_changes.toml").items())


def hand_change(name: str, each: Mapping[str, Any], currency: str) -> HandChange:
    """One change by hand out of its table."""
    where = f"hand_changes.toml, [{name}], {each.get('source', JUDGED)}"
    effects, moving = each.get("effects", {}), data_of("moving.toml")
    title = each["title"]
    price = ranged(f"{name}.price", each["price"], currency, where, f"{title}: price")
    return HandChange(
        id=name,
        title=title,
        kinds=tuple(each["kinds"]),
        when=each["when"],
        question=each["question"],
        effects={
            effect: replace(
                ranged(
                    f"{name}.{effect}", ends, "1", where, f"{title}: {SPOKEN.get(effect, effect.replace('_', ' '))}"
                ),
                question=each["question"],
            )
            for effect, ends in effects.items()
        },
        hours=each.get("hours", ""),
        steps=tuple(each.get("steps", ())),
        price=price,
        per=each.get("per", "machine"),
        takes=each.get("takes", "arrangement"),
        fills=each.get("fills", ""),
        moving=tuple(MovingThing(id=thing, **moving[thing]) for thing in each.get("moving", ())),
    )


def ranged(name: str, ends: list[float], unit: str, source: str, title: str) -> Fact:
    """A figure of a change by hand with its range; exact where both ends are the same."""
    low, value, high = map(float, ends)
    exact = Fact(
        id=f"catalogue.{name}", value=value, unit=unit, basis="assumed", source=source, title=title,
    )  # fmt: skip
    return exact if low == high else replace(exact, low=low, high=high, shape="triangular")
