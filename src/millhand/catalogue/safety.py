"""What the catalogue has for whoever answers for safety: functions, steps to go in, how grippers hold, questions."""

from collections.abc import Mapping
from typing import Any

from millhand.catalogue.words import data_of
from millhand.formulas.guarding import LEVELS
from millhand.model.fact import Fact
from millhand.model.safety import Brought, GeneralRule, HoldRule, OpenRule, SafetyRules, StepRule, WatchRule

FILE = "safety.toml"
JUDGED = ("severity", "frequency", "avoidance")


def safety_rules() -> SafetyRules:
    """The whole file, in its order."""
    data = data_of(FILE)
    return SafetyRules(
        functions=tuple(_function(name, each) for name, each in data["functions"].items()),
        general=_general(data["general"]),
        steps=tuple(_step(name, each) for name, each in data["entering"].items()),
        holding={name: _hold(name, each) for name, each in data["holding"].items()},
        delivery={name: Brought(**each) for name, each in data["delivery"].items()},
        ways={name: Brought(**each) for name, each in data["ways"].items()},
        open=tuple(
            OpenRule(id=name, topic=each["topic"], when=_when(each), ask=_ask(each))
            for name, each in data["open"].items()
        ),
    )


def _function(name: str, each: Mapping[str, Any]) -> WatchRule:
    """One safety function."""
    judged = {key: _judged(name, each["title"], key, each[key]) for key in JUDGED}
    return WatchRule(id=name, title=each["title"], does=each["does"], when=_when(each), judged=judged)


def _general(each: Mapping[str, Any]) -> GeneralRule:
    """What the general standard asks of every function."""
    level = Fact(
        id="catalogue.safety.general.level", value=float(LEVELS.index(each["level"]) + 1), unit="1", basis="assumed",
        source=f"{FILE}, [general], {each['seen']}", question=each["question"], title=each["title"],
    )  # fmt: skip
    return GeneralRule(level=level, standard=each["standard"], category=each["category"])


def _step(name: str, each: Mapping[str, Any]) -> StepRule:
    """One step."""
    return StepRule(
        id=name, words=each["words"], who=each["who"], figure=each.get("figure", ""), without=each.get("without", ""),
        when=_when(each),
    )  # fmt: skip


def _hold(name: str, each: Mapping[str, Any]) -> HoldRule:
    """One way to hold."""
    return HoldRule(id=name, title=each["title"], lasts=each["lasts"], words=each["words"], ask=_ask(each))


def _ask(each: Mapping[str, Any]) -> Brought:
    """The question of a row, with who answers it and what holds until then."""
    return Brought(**{key: each[key] for key in ("question", "who", "write", "until")})


def _judged(name: str, title: str, key: str, row: tuple[int, str, str]) -> Fact:
    """One answer to the risk graph as a fact, with its words and the question that would replace it."""
    value, words, question = row
    return Fact(
        id=f"catalogue.safety.{name}.{key}", value=float(value), unit="1", basis="assumed",
        source=f"{FILE}, [functions.{name}], judged, no source", note=words, question=question, title=f"{title}: {key}",
    )  # fmt: skip


def _when(each: Mapping[str, Any]) -> Mapping[str, tuple[str, ...]]:
    """The words that a row asks for, each with the values for which it holds."""
    return {key: tuple(values) for key, values in each.get("when", {}).items()}
