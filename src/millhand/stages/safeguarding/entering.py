"""How somebody goes in to clear a jam, step by step, with the figures that stand behind the steps."""

from collections.abc import Iterator

from millhand.model.safety import EntryStep, Holding, WaysOut
from millhand.stages.safeguarding.distances import stopping
from millhand.stages.safeguarding.placed import Placed
from millhand.stages.safeguarding.post import fits
from millhand.stages.safeguarding.regions import own_speed

GATED = ("fence", "curtain")


def entering(at: Placed, held: Holding, ways: WaysOut | None) -> tuple[EntryStep, ...]:
    """The steps of cells with these words; one whose figure is not known is told without it, or left out."""
    return tuple(_steps(at, held, ways))


def _steps(at: Placed, held: Holding, ways: WaysOut | None) -> Iterator[EntryStep]:
    """Each step that applies."""
    known = figures(at, held, ways)
    for rule in at.rules.steps:
        if not any(fits(rule.when, words) for words in at.words):
            continue
        figure = known.get(rule.figure)
        if rule.figure and figure is None:
            if rule.without:
                yield EntryStep(words=rule.without, who=rule.who)
            continue
        yield EntryStep(words=rule.words, who=rule.who, figure=figure)


def nearest(at: Placed) -> str | None:
    """The least gap to the fence, also where it ends at a stand that is filled; None without a fence."""
    gap = at.layout.fence_gap if at.layout is not None else ""
    own = (gap, f"concepts.{at.post.concept.id}.layout.fence.ends.held")
    return min((each for each in own if each in at.sheet), key=at.sheet.value, default=None) if gap else None


def figures(at: Placed, held: Holding, ways: WaysOut | None) -> dict[str, str | None]:
    """The figures that a step may name, by their names in the catalogue."""
    device = "gate_reaction_s" if at.post.guard.id in GATED else "scanner_reaction_s"
    stop = stopping(at.post, device, own_speed(at.post)[0], "entering")
    walked = at.post.apply("walked_m", "entering.walked", time_s=stop, speed_m_s=at.post.figure("person_speed_m_s"))
    return {
        "stopping": stop.id, "walked": walked.id, "gate_gap": nearest(at),
        "reduced_speed": at.post.figure("reduced_speed_m_s").id, "clear": at.post.figure("clear_s").id,
        "way_out": ways.longest if ways is not None else None,
    }  # fmt: skip
