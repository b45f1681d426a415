"""The cell looked at closely: its cycle element by element, its guarding, and what is asked of its safety."""

from collections.abc import Iterator, Mapping

from millhand.model.performance import MachineWait
from millhand.model.safeguarding import Distance, Guarded
from millhand.report.cycle import Cycle, cycles
from millhand.report.proposal.alone import machines
from millhand.report.proposal.attending import told
from millhand.report.proposal.ground import Ground, asked_for, called, figure, terms, there
from millhand.report.proposal.near_fence import fenced, near_fence, own_row, too_near
from millhand.report.proposal.near_people import part_held, side_rows, sides
from millhand.report.proposal.records import (
    EMPTY,
    Block,
    Bullets,
    Caution,
    Column,
    Figure,
    Given,
    Item,
    Joined,
    Paragraph,
    Say,
    Section,
    Table,
    Term,
)
from millhand.report.proposal.repeated import under_groups
from millhand.report.proposal.safety import left_open
from millhand.report.safeguarding import letter
from millhand.stages.safeguarding.distances import FROM_FENCE

NEAR = ("stop", "slow")  # what the arm does in the inner of two fields
HEIGHT = "catalogue.fence_height_m"  # of the fence as priced
SHOWN_S = 0.05  # sums of times that differ by less are one


def cycle(ground: Ground) -> Section | None:
    """What the machine stands for and what the arm does besides, on one load."""
    if ground.subject is None or not ground.cell:
        return None
    blocks: list[Block] = []
    besides = False
    for each in cycles(ground.subject):
        besides = besides or any(ground.value(one.time) > 0.0 for one in each.alone)
        caption = called(each.operation) if each.operation else EMPTY
        sides = (("standing", each.standing), ("alone", each.alone))
        under, groups = under_groups([
            (Say(key=f"cycle.{side}"), (Term(text=one.name), Figure(fact=one.time, form="seconds")))
            for side, elements in sides for one in elements if ground.value(one.time) > 0.0
        ])  # fmt: skip
        rows: list[tuple[Item, ...]] = list(under)
        first = len(rows)
        for name, fact_id in (("gap", each.times.gap), ("work", each.times.work), ("process", each.times.process)):
            key = "work_between" if name == "work" and between(ground, each) else name
            rows.append((Say(key=f"cycle.{key}"), Figure(fact=fact_id, form="seconds")))
        heads = (Column(head="cycle.element", width=1.0), Column(head="cycle.time", align="right"))
        sums = tuple(range(first, len(rows)))
        blocks.append(Table(columns=heads, rows=tuple(rows), caption=caption, sums=sums, groups=groups))
        if each.wait is not None:
            blocks.append(Paragraph(item=waiting(ground, each.wait)))
    if not blocks:
        return None
    blocks += at_once(ground)
    words = Say(key="cycle.words_alone" if besides else "cycle.words")
    return Section(key="cycle", blocks=(Paragraph(item=words), *blocks))


def between(ground: Ground, made: Cycle) -> bool:
    """Whether the arm is bound for all rows but those before and after it in which the machine is alone: its door, the
    end of its program and its restart."""
    rows = sum(ground.value(one.time) for one in (*made.standing, *made.alone))
    alone = ground.value(made.times.lead) + ground.value(made.times.tail)
    return alone > 0.0 and abs(rows - alone - ground.value(made.times.work)) < SHOWN_S


def at_once(ground: Ground) -> Iterator[Block]:
    """How often two machines or more wait together, beside how often they do today."""
    share = ground.of_concept("performance.together.share")
    if share is None or ground.today is None:
        return
    was = next(ground.known(f"concepts.{ground.today.concept.id}.performance.together.share"), None)
    yield Paragraph(item=Say(key="cycle.at_once" if was else "cycle.at_once_alone", slots={
        "share": figure(share, "percent", "value"), "ends": figure(share, "percent", "ends"),
        "weeks": figure(ground.of_concept("performance.together.weeks"), "count", "value"),
        "today": figure(was, "percent", "value"),
    }))  # fmt: skip


def waiting(ground: Ground, wait: MachineWait) -> Item:
    """How long a machine stands for the arm once everything happens together, with its interval."""
    return Say(key="cycle.waits", slots={
        "share": Figure(fact=wait.share, form="percent", part="value"),
        "ends": Figure(fact=wait.share, form="percent", part="ends"),
        "time": Figure(fact=wait.a_load, form="whole_seconds", part="value"),
        "other": Say(key="cycle.waits_other") if machines(ground) > 1.0 else EMPTY,
    })  # fmt: skip


def guarding(ground: Ground) -> Section | None:
    """How the cell is guarded as a concept, what the machine's own guarding loses, and where an assessment begins."""
    made = ground.study.safeguarding
    if made is None or ground.subject is None or not ground.cell:
        return None
    said: tuple[str, ...] = ("guard.concept", "guard.sign", "report.answered.until")
    said = said if ground.offered else ("guard.finding", *said)
    blocks: list[Block] = [Caution(items=tuple(Say(key=each) for each in said))]
    row = own_row(ground)
    if row is not None:
        blocks += list(guard_blocks(ground, row))
    if made.machine:
        rows = tuple(terms(each.words, each.question, each.until) for each in made.machine)
        heads = tuple(Column(head=f"guard.{name}", width=1.0) for name in ("changes", "ask", "until"))
        blocks.append(Table(columns=heads, rows=rows, caption=Say(key="guard.machine")))
    own = made.answers if made.answers and made.answers.concept == ground.subject.concept.id else None
    met = (own.hazards if own else ()) or made.hazards
    if met:
        listed, tasks = under_groups([
            (Term(text=each.task), terms(each.hazard, each.ask, each.until)) for each in met
        ])  # fmt: skip
        columns = (
            Column(head="guard.hazard", width=0.9),
            Column(head="guard.ask", width=1.0),
            Column(head="guard.until", width=1.1),
        )
        blocks.append(Table(columns=columns, rows=listed, caption=Say(key="guard.hazards"), groups=tasks))
    blocks += list(left_open(ground, own, "guard")) if own else []
    return Section(key="guard", blocks=tuple(blocks))


def guard_blocks(ground: Ground, row: Guarded) -> Iterator[Block]:
    """What the function does, the level that the risk graph asks for, and the distances."""
    items: list[Item] = [Say(key="guard.way", slots={"way": Term(text=row.title), "function": Term(text=row.function)})]
    if row.level is not None:
        level = Given(text=letter(ground.facts[row.level]))
        items.append(Say(key="guard.level", slots={"level": level}))
    if row.floor is not None:
        items.append(floor_of(ground, row.floor))
    items += reckoned(ground, row)
    yield Bullets(items=tuple(items))
    rows = (*(distance_row(ground, each) for each in row.distances), *side_rows(ground))
    figures = ("report.answered.likely", "report.answered.asked", *(("guard.drawn",) if fenced(ground) else ()))
    heads = (Column(head="guard.distance", width=1.0), Column(head="guard.rule"),
             *(Column(head=each, align="right") for each in figures))  # fmt: skip
    measured = Say(key="guard.measured" if fenced(ground) else "guard.measured_field")
    yield Table(columns=heads, rows=tuple(each[: len(heads)] for each in rows), caption=measured)
    if row.near in NEAR and row.speed is not None:
        yield Paragraph(item=Joined(items=tuple(in_fields(ground, row)), between=" "))
    yield from part_held(ground)
    yield from rests(ground, row)
    yield from near_fence(ground)
    yield from sides(ground)


def in_fields(ground: Ground, row: Guarded) -> Iterator[Item]:
    """What the arm does in its fields as assumed, which of the distances count, and what people in them cost."""
    yield from (Say(key=f"guard.near_{row.near}"), Say(key="guard.near_which"))
    made = ground.subject.performance.attended_per_h if ground.subject and ground.subject.performance else None
    yield from told(ground, "guard.near_output", {"hours": (row.near_h, "hours"), "parts": (made, "few_parts")})


def distance_row(ground: Ground, each: Distance) -> tuple[Item, ...]:
    """A distance with its rule, likely and asked for, and what the drawn layout leaves where that is known."""
    gap = ground.subject.layout.fence_gap if ground.subject and ground.subject.layout else ""
    drawn = gap if gap and each.fact.endswith(FROM_FENCE) else each.fact if each.fact == HEIGHT else None
    return (
        Term(text=each.words),
        Given(text=each.rule),
        asked_for(each.fact),
        asked_for(each.fact, each.end),
        there(drawn),
    )


def rests(ground: Ground, row: Guarded) -> Iterator[Block]:
    """The opening of the mesh and the heights of the hazard that the distances rest on."""
    mesh = next(ground.known("catalogue.fence_mesh_m"), None)
    top = next((dict(ground.facts[each.fact].inputs).get("top_m") for each in row.distances
                if each.fact.endswith(".fence.over")), None)  # fmt: skip
    if mesh and top and any(each.fact.endswith(".reach_through_mesh") for each in row.distances):
        slots: dict[str, Item] = {"mesh": figure(mesh, "", "value"), "top": figure(top, "", "value")}
        yield Paragraph(item=Say(key="guard.rests", slots=slots))


def floor_of(ground: Ground, floor: str) -> Item:
    """The floor, and what it is the floor of: inside a fence, or of the pieces as drawn, by which money is counted."""
    if fenced(ground):
        key = "guard.floor" if too_near(ground) else "guard.floor_kept"
        return Say(key=key, slots={"area": Figure(fact=floor, form="area")})
    layout = ground.subject.layout if ground.subject else None
    counted = layout.floor_area if layout is not None and layout.floor_area in ground.facts else floor
    return Say(key="guard.floor_open", slots={"area": Figure(fact=counted, form="area")})


def reckoned(ground: Ground, row: Guarded) -> Iterator[Item]:
    """What the distances to a field rest on: the person, the arm near him, and how long a stop takes."""
    given = dict(pair for each in row.distances for pair in ground.facts[each.fact].inputs)
    stops = (
        name for each in row.distances for key, name in ground.facts[each.fact].inputs
        if key == "stopping_s" and "robot_speed_m_s" not in dict(ground.facts[each.fact].inputs)
    )  # fmt: skip
    person, stop = given.get("human_speed_m_s"), next(stops, None)
    if person is None or stop is None or row.speed is None:
        return
    yield Say(key="guard.reckoned", slots={
        "person": figure(person, "", "value"), "arm": figure(row.speed, "", "value"),
        "time": figure(stop, "stop_time", "value"), "most": figure(stop, "stop_time", "most"),
    })  # fmt: skip
    yield from of_fields(ground, row)


def of_fields(ground: Ground, row: Guarded) -> Iterator[Item]:
    """What else the distances of the two fields add up from, and that these two are counted with."""
    inner = next((each.fact for each in row.distances if each.fact.endswith(".stop_field")), None)
    known = dict(ground.facts[inner].inputs) if inner else {}
    if {"stopping_path_m", "allowances_m"} <= known.keys():
        path = known["stopping_path_m"]
        yield Say(key="guard.reckoned_fields", slots={
            "path": asked_for(path), "path_most": asked_for(path, "high"),
            "allowances": asked_for(known["allowances_m"]),
        })  # fmt: skip
        yield from at_slow_speed(known)
        yield Say(key="guard.governs")


def at_slow_speed(known: Mapping[str, str]) -> Iterator[Item]:
    """How long the arm takes to stop from the speed that it has in the outer field: without it nobody can add up where
    the inner one begins. `known`: what that distance was worked out from, by name."""
    if {"robot_speed_m_s", "reaction_s", "stopping_s"} <= known.keys():
        reaction, braking = known["reaction_s"], known["stopping_s"]
        yield Say(key="guard.reckoned_slow", slots={
            "arm": figure(known["robot_speed_m_s"], "", "value"),
            "reaction": figure(reaction, "stop_time", "value"), "reaction_most": figure(reaction, "stop_time", "most"),
            "braking": figure(braking, "stop_time", "value"), "braking_most": figure(braking, "stop_time", "most"),
        })  # fmt: skip
