"""The plan of a change by hand: the machines, what it brings, and the round as it is today and as it is then."""

from collections.abc import Iterator

from millhand.report.drawing import Thing, layers_of
from millhand.report.drawing_svg import scale_of
from millhand.report.hand_plan import HandPlan, hand_things
from millhand.report.marks import marks_of
from millhand.report.proposal.ground import Ground, figure
from millhand.report.proposal.introduced import by_hand
from millhand.report.proposal.plan import LETTERS, WIDTH
from millhand.report.proposal.records import Beside, Item, Joined, Legend, Paragraph, Picture, Say, Section, Sign
from millhand.stages.layout.ground import numbered

SIGNS = ("brought", "stores", "round today", "round")


def rounds(ground: Ground) -> Section | None:
    """Its picture with a legend; nothing where no change by hand is advised."""
    things = hand_things_of(ground)
    if not things or not ground.long:
        return None
    picture = Picture(name="rounds", alt=Say(key="round.alt"), caption=Say(key="round.plan"))
    signs = tuple(Sign(layer=each, item=meaning(ground, each)) for each in layers_of(things) if each in SIGNS)
    words = Paragraph(item=Joined(items=tuple(said(ground)), between=" "))
    return Section(key="round", blocks=(Beside(left=(picture,), right=(Legend(signs=signs), words), share=0.58),))


def hand_things_of(ground: Ground) -> tuple[Thing, ...]:
    """What is drawn, with letters of the height that print asks for; nothing where it is not known."""
    made, layout = by_hand(ground), ground.subject.layout if ground.subject else None
    machines = tuple(each for each in layout.spots if each.name.startswith("machine_")) if layout else ()
    if made is None or not machines:
        return ()
    marks, letters = marks_of(ground.study), 0.1
    faces = dict(sides(ground))
    raw = any(part.condition.value != "moulded" for part in ground.study.inquiry.parts)
    for _ in range(4):
        things = hand_things(HandPlan(
            machines=machines, faces=faces, marks=marks, letters=letters, raw=raw,
            brought=made.takes != "arrangement", fills=made.fills,
        ))  # fmt: skip
        letters = LETTERS / scale_of(things, WIDTH)
    return things


def sides(ground: Ground) -> Iterator[tuple[str, str]]:
    """The side that each machine looks to, where the shop said it."""
    told = {(each.machine, each.number): each.faces.value for each in ground.study.inquiry.places}
    for place, machine, number in numbered(ground.study.inquiry):
        if (machine.name, number) in told:
            yield place, told[machine.name, number]


def meaning(ground: Ground, layer: str) -> Item:
    """What a stroke stands for in this change."""
    made = by_hand(ground)
    key = layer.replace(" ", "_")
    if layer == "round" and made is not None and made.fills:
        return Say(key=f"round.{key}_{made.fills}")
    return Say(key=f"round.{key}")


def said(ground: Ground) -> Iterator[Item]:
    """How far it is between two places, how many boxes a shift, and how sure the picture is."""
    made, layout = by_hand(ground), ground.subject.layout if ground.subject else None
    if layout is not None and layout.distances:
        yield Say(key="round.way", slots={"way": figure(next(iter(layout.distances.values())), "metres", "value")})
    if made is not None and made.boxes is not None:
        yield Say(key="round.count", slots={"count": figure(made.boxes.a_shift, "count")})
    yield Say(key="round.sure")
