"""What the plan as it is drawn does not keep: said on the first page and at the plan, in few words."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground, asked_for, there
from millhand.report.proposal.near_fence import THROUGH, ends, fenced, own_row, too_near
from millhand.report.proposal.records import Block, Item, Joined, Paragraph, Say, Term
from millhand.report.proposal.safety import answers


def in_short(ground: Ground) -> Iterator[Block]:
    """One line for the first page, and where it is read."""
    short = "short" if any(open_points(ground)) else "short_ends"
    if short == "short" or ends(ground):
        where = Say(key="concept.title" if ground.proposed else "concept.title_nearest")
        more = tuple(mesh(ground)) if ground.long else ()  # two pages have it a few lines below
        if short == "short_ends" and ground.long:
            more = (Say(key="drawn.behind_gates", slots={"guard": Say(key="guard.title")}),)
        yield Paragraph(item=Joined(items=(Say(key=f"drawn.{short}", slots={"where": where}), *more), between=" "))


def mesh(ground: Ground) -> Iterator[Item]:
    """That fingers reach through the mesh what moves, where the drawn fence stands so near."""
    layout = ground.subject.layout if ground.subject else None
    for each in too_near(ground):
        if layout is not None and each.fact.endswith(THROUGH):
            beyond = layout.fence_gap and ground.value(layout.fence_gap) < 0.0
            yield Say(key="drawn.mesh_beyond" if beyond else "drawn.mesh", slots={
                "asked": asked_for(each.fact), "gap": there(layout.fence_gap)})  # fmt: skip


def at_plan(ground: Ground) -> Iterator[Block]:
    """What the fence keeps; what is not kept, what price and floor are of, and where it is told in full."""
    points, at_ends = tuple(open_points(ground)), ends(ground)
    if at_ends:
        points = (*points, Say(key="drawn.ends", slots=at_ends))
    said: list[Item] = list(kept(ground)) if ground.long else []
    if points:
        said.append(Say(key="drawn.words", slots={"points": Joined(items=points, between="; ")}))
        said += () if ground.long else mesh(ground)
        said.append(Say(key="drawn.where", slots={"guard": Say(key="guard.title"), "ways": Say(key="ways.title")})
                    if ground.long else Say(key="drawn.long"))  # fmt: skip
    if said:
        yield Paragraph(item=Joined(items=tuple(said), between=" "))


def kept(ground: Ground) -> Iterator[Item]:
    """That the fence stands where its distances hold, where it does."""
    layout, asked = ground.subject.layout if ground.subject else None, ground.of_concept("layout.fence.asked")
    if asked is not None and layout is not None and fenced(ground) and not too_near(ground):
        yield Say(key="drawn.kept", slots={"gap": there(layout.fence_gap), "asked": asked_for(asked)})


def open_points(ground: Ground) -> Iterator[Item]:
    """The fence too near, ways too narrow, fields that no drawn floor holds: what a layout could keep."""
    layout = ground.subject.layout if ground.subject else None
    if layout is None:
        return
    if too_near(ground):
        beyond = layout.fence_gap and ground.value(layout.fence_gap) < 0.0
        yield Say(key="drawn.fence_beyond" if beyond else "drawn.fence", slots={"gap": there(layout.fence_gap)})
    yield from narrow(ground)
    yield from fields(ground)


def narrow(ground: Ground) -> Iterator[Item]:
    """The narrowest of the ways that are narrower than they are held against."""
    made = answers(ground)
    if made is None or made.ways is None:
        return
    short = [each for each in made.ways.ways if not each.holds]
    if short:
        least = min(short, key=lambda each: ground.value(each.width))
        yield Say(key="drawn.ways", slots={
            "place": Term(text=least.place), "width": there(least.width),
            "needed": asked_for(made.ways.needed),
        })  # fmt: skip


def fields(ground: Ground) -> Iterator[Item]:
    """How far the longest field of a cell without a fence goes, or how far out its curtain stands: not drawn. Nobody
    passes a curtain, so that the arm has no speed near people behind it."""
    row = own_row(ground)
    if row is None or fenced(ground):
        return
    timed = [each for each in row.distances if each.end == "high"]
    if timed:
        most = max(timed, key=lambda each: ground.facts[each.fact].high or ground.value(each.fact))
        yield Say(
            key="drawn.curtain" if row.speed is None else "drawn.fields", slots={"far": asked_for(most.fact, "high")}
        )
