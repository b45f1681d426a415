"""The safety functions of a cell, each with its answers to the risk graph and the level that follows."""

from collections.abc import Iterator, Mapping

from millhand.model.fact import Fact
from millhand.model.safety import GeneralLevel, SafetyFunction
from millhand.stages.safeguarding.exposure import COUNTED, because, frequency
from millhand.stages.safeguarding.placed import Placed
from millhand.stages.safeguarding.post import fits
from millhand.trace import found


def safety_functions(at: Placed) -> tuple[SafetyFunction, ...]:
    """That of the guard first, then those that cells with these words have besides."""
    return tuple(_functions(at))


def _functions(at: Placed) -> Iterator[SafetyFunction]:
    """One after the other."""
    guard = at.post.guard
    yield _function(at, guard.title, guard.function, guard.judged, "")
    for rule in at.rules.functions:
        if any(fits(rule.when, words) for words in at.words):
            yield _function(at, rule.title, rule.does, rule.judged, rule.id)


def _function(at: Placed, title: str, does: str, told: Mapping[str, Fact], name: str) -> SafetyFunction:
    """One function with its level; of those of the guard F is counted. `name`: of the guard's own it is empty."""
    judged = dict(told)
    if not name or name in COUNTED:
        judged["frequency"] = frequency(at.post, at.result.performance, told["frequency"])
    level = at.post.apply("required_level", f"level.{name}" if name else "level", **judged)
    general = at.rules.general
    assumed = max((level, found(at.sheet, general.level)), key=lambda each: each.value) if general else level
    return SafetyFunction(
        title=title, does=does, judged={key: each.id for key, each in judged.items()},
        reasons={key: because(each, told[key]) for key, each in judged.items()}, level=level.id, assumed=assumed.id,
    )  # fmt: skip


def general_level(at: Placed) -> GeneralLevel | None:
    """What the general standard asks of all of them."""
    rule = at.rules.general
    if rule is None:
        return None
    return GeneralLevel(level=found(at.sheet, rule.level).id, standard=rule.standard, category=rule.category)
