"""How near the arm comes to gates and to where people fill, as drawn, beside what is asked for there."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground, figure
from millhand.report.proposal.near_fence import fenced
from millhand.report.proposal.records import Block, Caution, Given, Item, Joined, Say

GATE_RULE = "ISO 13855:2010"
WALKED = ".entering.walked"  # while the arm comes to a stand
OVER_M = 0.0005  # less than a millimetre: over it


def walked(ground: Ground) -> str | None:
    """How far somebody walks from a gate that he opens until the arm stands."""
    made, subject = ground.study.safeguarding, ground.subject
    if made is None or made.answers is None or subject is None or made.answers.concept != subject.concept.id:
        return None
    return next((each.figure for each in made.answers.entering if each.figure and each.figure.endswith(WALKED)), None)


def side_rows(ground: Ground) -> Iterator[tuple[Item, ...]]:
    """Gate and side that is filled, as rows of the distances: asked for, then as drawn."""
    gate, filling = ground.of_concept("layout.people_gap.gates"), ground.of_concept("layout.people_gap.presenter")
    walk = walked(ground)
    if walk is not None and fenced(ground):
        yield (Say(key="guard.gate"), Given(text=GATE_RULE), figure(walk, "", "value"),
               figure(walk, "", "high"), figure(gate, "", "value"))  # fmt: skip
    if filling is not None:
        none = Say(key="page.none")
        yield Say(key="guard.filling"), Say(key="guard.assessed"), none, none, figure(filling, "", "value")


def sides(ground: Ground) -> Iterator[Block]:
    """What the drawn layout leaves at the gates and on the side that is filled, and what settles it."""
    said = (*at_gates(ground), *at_filling(ground))
    if said:
        yield Caution(items=said)


def at_gates(ground: Ground) -> Iterator[Item]:
    """Whether the gap behind a gate is longer than the walk until the arm stands, by the far end of that walk."""
    gate, walk = ground.of_concept("layout.people_gap.gates"), walked(ground)
    if gate is None or walk is None:
        return
    most = ground.facts[walk].high or ground.value(walk)
    yield Say(key="guard.gate_kept" if ground.value(gate) > most else "guard.gate_short", slots={
        "gap": figure(gate, "", "value"), "walk": figure(walk, "", "value"),
        "most": figure(walk, "", "high"),
    })  # fmt: skip


def at_filling(ground: Ground) -> Iterator[Item]:
    """How near the arm comes to where somebody fills; which device keeps them apart nobody has said."""
    filling = ground.of_concept("layout.people_gap.presenter")
    if filling is None:
        return
    over = ground.value(filling) < OVER_M
    told = Say(key="guard.fill_over" if over else "guard.fill", slots={"gap": figure(filling, "", "value")})
    yield Joined(items=(told, Say(key="guard.fill_open")), between=" ")
