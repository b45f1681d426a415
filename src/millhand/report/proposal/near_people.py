"""How near the arm comes to gates and to where people fill and empty, as drawn, beside what is asked for there."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground, asked_for, figure, there
from millhand.report.proposal.near_fence import ends, fenced
from millhand.report.proposal.records import Block, Caution, Given, Item, Joined, Paragraph, Say
from millhand.report.safety import form_of
from millhand.stages.safeguarding.distances import OLD  # gates go by the edition that walking up to a guard goes by

WALKED = ".entering.walked"  # while the arm comes to a stand
STANDS = "introduction.shift_if_it_stands"
OVER_M = 0.0005  # less than a millimetre: over it
BESIDE = {"presenter": ("filling", "fill"), "outfeed": ("emptying", "empty")}  # a row of the table, a sentence


def walked(ground: Ground) -> str | None:
    """How far somebody walks from a gate that he opens until the arm stands."""
    made, subject = ground.study.safeguarding, ground.subject
    if made is None or made.answers is None or subject is None or made.answers.concept != subject.concept.id:
        return None
    return next((each.figure for each in made.answers.entering if each.figure and each.figure.endswith(WALKED)), None)


def near(ground: Ground, what: str) -> str | None:
    """What is left to gates or to a strip where people stand with a part in the hand; `part`: how far that goes out."""
    return ground.of_concept(f"layout.people_gap.{what}" if what == "part" else f"layout.people_gap.{what}.held")


def side_rows(ground: Ground) -> Iterator[tuple[Item, ...]]:
    """Gate and sides that are filled and emptied, as rows of the distances: asked for, then as drawn."""
    gate, walk, none = near(ground, "gates"), walked(ground), Say(key="page.none")
    at_ends = ends(ground)
    if at_ends is not None:
        yield (Say(key="guard.ends_row"), Say(key="guard.as_above"), at_ends["asked"], at_ends["asked"],
               at_ends["gap"])  # fmt: skip
    if walk is not None and fenced(ground):
        yield (Say(key="guard.gate"), Given(text=OLD), asked_for(walk),
               asked_for(walk, "high"), there(gate))  # fmt: skip
    for place, (row, _) in BESIDE.items():
        gap = near(ground, place)
        if gap is not None:
            yield Say(key=f"guard.{row}"), Say(key="guard.assessed"), none, none, there(gap)


def part_held(ground: Ground) -> Iterator[Block]:
    """That the part in the hand is taken off each drawn gap, and how much it takes; nothing where no gap is told."""
    part = near(ground, "part")
    if part is not None:
        yield Paragraph(item=Say(key="guard.drawn_part", slots={"part": asked_for(part)}))


def sides(ground: Ground) -> Iterator[Block]:
    """What the drawn layout leaves at the gates and on the sides that are filled and emptied, and what settles it."""
    at_ends = ends(ground)
    beside = (Say(key="guard.ends", slots=at_ends),) if at_ends is not None else ()
    said = (*at_gates(ground), *beside, *at_sides(ground))
    if said:
        yield Caution(items=said)


def at_gates(ground: Ground) -> Iterator[Item]:
    """Whether the gap behind a gate, the held part taken off, is longer than the walk until the arm stands, by the far
    end of that walk."""
    gate, walk = near(ground, "gates"), walked(ground)
    if gate is None or walk is None:
        return
    most = ground.facts[walk].high or ground.value(walk)
    slots = {"gap": there(gate), "walk": asked_for(walk), "most": asked_for(walk, "high")}
    yield Say(key="guard.gate_kept" if ground.value(gate) > most else "guard.gate_short", slots=slots)
    known = dict(ground.facts[walk].inputs)
    if {"time_s", "speed_m_s"} <= known.keys():
        time, speed = known["time_s"], known["speed_m_s"]
        yield Say(key="guard.walked", slots={
            "speed": figure(speed, form_of(ground.facts[speed]), "value"), "time": figure(time, "stop_time", "value"),
            "longest": figure(time, "stop_time", "most"), "walk": asked_for(walk), "most": asked_for(walk, "high"),
        })  # fmt: skip


def at_sides(ground: Ground) -> Iterator[Item]:
    """How near the arm comes to where somebody fills or empties; which device keeps them apart nobody has said."""
    for place, (_, key) in BESIDE.items():
        gap = near(ground, place)
        if gap is None:
            continue
        over = ground.value(gap) < OVER_M
        told = Say(key=f"guard.{key}_over" if over else f"guard.{key}", slots={"gap": there(gap)})
        stands = place == "presenter" and stands_at_filling(ground)
        counted = Say(key="guard.fill_stands") if stands else if_it_stands(ground, place)
        yield Joined(items=(told, Say(key="guard.fill_open"), counted), between=" ")


def if_it_stands(ground: Ground, place: str) -> Say:
    """What a shift makes at least if the arm stands while somebody fills, where the study holds that."""
    stands = next(ground.known(STANDS), None) if place == "presenter" else None
    made = ground.subject.performance.parts_per_shift if ground.subject and ground.subject.performance else None
    if stands is None or made is None:
        return Say(key="guard.fill_anew_open")
    return Say(key="guard.fill_anew", slots={
        "stands": figure(stands, "parts", "value"), "made": figure(made, "parts", "value"),
    })  # fmt: skip


def stands_at_filling(ground: Ground) -> bool:
    """Whether the simulated arm stands already while somebody fills: he fills inside the cell."""
    presenter = ground.subject.concept.presenter if ground.subject else None
    return presenter is not None and presenter.words.get("refill") == "inside"
