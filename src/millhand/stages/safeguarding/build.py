"""One cell with one way to guard it: what fits, what it must keep, how the arm moves then."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.model.catalogue import Safeguards
from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.layout import Layout
from millhand.model.phases import PhaseCell
from millhand.model.safeguarding import Distance, Obstacle, Question, Region
from millhand.model.safety import HazardAt
from millhand.stages.safeguarding.distances import distances
from millhand.stages.safeguarding.floor import floor
from millhand.stages.safeguarding.post import Post, fits
from millhand.stages.safeguarding.regions import clamped_hand, speed_near
from millhand.stages.safeguarding.zones import always_slow, slow_at_times, with_zones
from millhand.trace import Sheet

Words = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Where a cell stands: as it is guarded, and inside a fence; the country whose rules count, who passes."""

    stands: Layout
    fenced: Layout
    country: str
    people_pass: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Guarding:
    """What follows from a way to guard a cell, before anything is simulated."""

    cell: Cell
    near: str  # stop, slow, touch
    speed: Fact | None
    kept: tuple[Distance, ...]
    floor: Fact
    phases: tuple[PhaseCell, ...] = ()


def guarded(
    post: Post, cell: Cell, ground: Ground, met: tuple[Region, ...], obstacles: Sequence[Obstacle],
    phases: tuple[PhaseCell, ...] = (),
) -> Guarding:  # fmt: skip
    """The cell, and that of each phase of its lots, as this guard lets it run, with the distances that it keeps."""
    guard = post.guard
    contact = post.limits_force and not any(each.kills for each in obstacles)
    near = {"stop": "stop", "contact": "slow" if contact else "stop", "none": "touch"}[guard.inside]
    slow = speed_near(post, met, contact=contact or near == "touch")
    kept = distances(post, slow, ground.country)
    return Guarding(
        cell=run_so(post, cell, ground, slow, near),
        near=near,
        speed=slow if guard.passing or near == "touch" else None,
        kept=kept,
        floor=floor(post, ground.stands, ground.fenced, in_front(post, kept, near)),
        phases=tuple(
            replace(each, cell=run_so(in_phase(post, each), each.cell, ground, slow, near)) for each in phases
        ),
    )


def in_phase(post: Post, phase: PhaseCell) -> Post:
    """The same guard, with facts of its own for one phase of a lot."""
    return replace(post, concept=replace(post.concept, id=f"{post.concept.id}.phases.{phase.operation}"))


def run_so(post: Post, cell: Cell, ground: Ground, slow: Fact, near: str) -> Cell:
    """The cell with the moves and the zones of its guard."""
    if post.guard.moves == "contact":
        return always_slow(post, cell, ground.stands, slow)
    made = slow_at_times(post, cell, ground.stands, slow) if post.guard.passing else cell
    return with_zones(post, made, inside=near, passing=post.guard.passing and ground.people_pass)


def in_front(post: Post, kept: tuple[Distance, ...], near: str) -> tuple[Distance, ...]:
    """The distances that must stay clear of people: of the curtain, and of the stop field where the arm must stop."""
    if post.guard.id == "curtain":
        return tuple(each for each in kept if "curtain" in each.words)
    if post.guard.id == "scanner" and near == "stop":
        return tuple(each for each in kept if "stop field" in each.words)
    return ()


def obstacles(rules: Safeguards, of: Sequence[Words], sheet: Sheet) -> tuple[Obstacle, ...]:
    """What speaks against contact with these parts and machines."""
    hand = f"[[{clamped_hand(sheet).id}|force]]"
    return tuple(
        Obstacle(id=rule.id, words=rule.words.replace("{hand}", hand), kills=rule.kills, question=rule.question)
        for rule in rules.contact
        if any(fits(rule.when, words) for words in of)
    )


def flags(rules: Safeguards, of: Sequence[Words]) -> tuple[Question, ...]:
    """What becomes of the machine's own guarding."""
    return tuple(
        Question(words=rule.words, question=rule.question, until=rule.until)
        for rule in rules.machine
        if any(fits(rule.when, words) for words in of)
    )


def hazards(rules: Safeguards, of: Sequence[Words]) -> tuple[HazardAt, ...]:
    """The rows of the list that fit one of these cells, in the order of the tasks."""
    return tuple(_hazards(rules, of))


def _hazards(rules: Safeguards, of: Sequence[Words]) -> Iterator[HazardAt]:
    for each in rules.hazards:
        if any(fits(each.when, words) for words in of):
            yield HazardAt(task=each.task, hazard=each.hazard, ask=each.ask, until=each.until)
