"""Where the arm comes nearer to its fence than the distances of the guard ask: said where either of them is told."""

from collections.abc import Iterator

from millhand.model.safeguarding import Distance, Guarded
from millhand.report.proposal.ground import Ground, asked_for, there
from millhand.report.proposal.records import Block, Caution, Item, Joined, Say, Term
from millhand.stages.safeguarding.distances import FROM_FENCE

THROUGH = ".reach_through_mesh"  # the mesh of the fence


def own_row(ground: Ground) -> Guarded | None:
    """The way in which the proposed cell is guarded."""
    made, subject = ground.study.safeguarding, ground.subject
    if made is None or subject is None or subject.concept.safeguarding is None:
        return None
    own = subject.concept.safeguarding.title
    rows = (row for each in made.cells if each.concept == subject.concept.id for row in each.rows)
    return next((each for each in rows if not each.misfit and own.startswith(each.title)), None)


def fenced(ground: Ground) -> bool:
    """Whether a fence is drawn round the proposed cell."""
    layout = ground.subject.layout if ground.subject else None
    return layout is not None and layout.drawn is not None and any(
        each.name == "fence" for each in layout.drawn.pieces
    )  # fmt: skip


def missed(ground: Ground, row: Guarded, gap: str) -> tuple[Distance, ...]:
    """The distances that the drawn layout does not keep."""
    return tuple(
        each for each in row.distances
        if each.fact.endswith(FROM_FENCE) and ground.value(each.fact) > ground.value(gap)
    )  # fmt: skip


def too_near(ground: Ground) -> tuple[Distance, ...]:
    """The same of the proposed cell; none where nothing is drawn or nothing is fenced."""
    row, layout = own_row(ground), ground.subject.layout if ground.subject else None
    if row is None or layout is None or not layout.fence_gap:
        return ()
    return missed(ground, row, layout.fence_gap)


def ends(ground: Ground) -> dict[str, Item] | None:
    """What is left where the fence ends at a stand that is filled or emptied, and the longest distance that is asked
    for; None where that is kept."""
    gap, asked = ground.of_concept("layout.fence.ends.held"), ground.of_concept("layout.fence.asked")
    if gap is None or asked is None or not fenced(ground) or ground.value(gap) >= ground.value(asked):
        return None
    return {"gap": there(gap), "asked": asked_for(asked)}


def near_fence(ground: Ground) -> Iterator[Block]:
    """What is asked, what the layout leaves, and what settles it; nothing where the layout keeps all of it."""
    short, layout = too_near(ground), ground.subject.layout if ground.subject else None
    if layout is None or not short:
        return
    asked = tuple(Joined(items=(Term(text=each.words), asked_for(each.fact)), between=" ") for each in short)
    slots: dict[str, Item] = {"gap": there(layout.fence_gap), "asked": Joined(items=asked, between="; ")}
    items: list[Item] = [Say(key="guard.near", slots=slots)]
    out = ground.of_concept("feasibility.over_fence.further_out")
    if out is not None and any(each.fact.endswith(".fence.over") for each in short):
        items.append(Say(key="guard.near_over", slots={"out": asked_for(out)}))
    yield Caution(items=(*items, Say(key="guard.near_settled")))
