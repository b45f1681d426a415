"""What the safety person asks of one cell: delivery, holding, going in, ways, functions; and the facts behind it."""

from collections.abc import Iterator, Mapping

from millhand.model.safety import Brought, SafetyAnswers
from millhand.stages.safeguarding.build import hazards
from millhand.stages.safeguarding.delivery import delivery
from millhand.stages.safeguarding.entering import entering
from millhand.stages.safeguarding.functions import general_level, safety_functions
from millhand.stages.safeguarding.holding import holding
from millhand.stages.safeguarding.placed import Placed
from millhand.stages.safeguarding.ways import ways_out


def safety_answers(at: Placed) -> SafetyAnswers:
    """All of it for one placed cell with its own guard."""
    held, ways = holding(at), ways_out(at)
    return SafetyAnswers(
        concept=at.post.concept.id, delivery=delivery(at), holding=held, entering=entering(at, held, ways), ways=ways,
        functions=safety_functions(at), general=general_level(at), hazards=hazards(at.catalogue.safeguards, at.words),
        open=left_open(at),
    )  # fmt: skip


def left_open(at: Placed) -> Mapping[str, tuple[Brought, ...]]:
    """What cells with these words leave open besides, by topic."""
    found: dict[str, tuple[Brought, ...]] = {}
    for rule in at.rules.open:
        if any(rule.fits(words) for words in at.words):
            found[rule.topic] = (*found.get(rule.topic, ()), rule.ask)
    return found


def facts_of(made: SafetyAnswers) -> Iterator[str]:
    """The id of every fact that the answers name."""
    put, ways = made.delivery, made.ways
    named = [put.heaviest, put.whole, put.moment, put.anchor, put.support, put.pressed, made.holding.time]
    named += [fact for each in put.lifts for fact in (each.mass, each.pressure)]
    named += [put.floor.demand, put.floor.limit, put.floor.margin] if put.floor else []
    named += [each.figure for each in made.entering]
    if ways is not None:
        named += [ways.needed, ways.stops, ways.places, ways.gates, ways.panels, ways.longest]
        named += [each.width for each in ways.ways]
    named += [fact for each in made.functions for fact in (each.level, each.assumed, *each.judged.values())]
    named += [made.general.level] if made.general else []
    yield from (each for each in named if each)
