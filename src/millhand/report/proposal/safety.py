"""What the safety person asks of the proposed cell: levels, going in, ways and stops, what is lifted in."""

from collections.abc import Iterator

from millhand.model.safety import Brought, Delivery, EntryStep, Holding, SafetyAnswers, WaysOut
from millhand.report.proposal.ground import Ground, asked_for, ends, figure, terms, there
from millhand.report.proposal.near_fence import fenced, too_near
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
from millhand.report.safeguarding import letter
from millhand.report.safety import JUDGED, form_of

STANDARD = "ISO 13849-1:2015"


def answers(ground: Ground) -> SafetyAnswers | None:
    """Those for the cell that the proposal is about."""
    made, subject = ground.study.safeguarding, ground.subject
    if made is None or made.answers is None or subject is None or made.answers.concept != subject.concept.id:
        return None
    return made.answers


def questions(ground: Ground, topic: str, asks: tuple[Brought, ...]) -> Table:
    """What stays open on a topic: who answers it, what he writes down, and what the concept assumes until then."""
    head = "brought.question" if ground.offered else "brought.found"
    heads = (Column(head=head, width=1.0), Column(head="brought.who", width=0.6),
             Column(head="brought.write", width=0.75), Column(head="brought.until", width=1.1))  # fmt: skip
    rows = tuple(terms(each.question, each.who, each.write, each.until) for each in asks)
    return Table(columns=heads, rows=rows, caption=Say(key=f"brought.of_{topic}"))


def left_open(ground: Ground, made: SafetyAnswers, topic: str) -> Iterator[Block]:
    """The table of what stays open on a topic; none where a study has nothing of it."""
    if topic in made.open:
        yield questions(ground, topic, made.open[topic])


# --- levels ---


def levels(ground: Ground) -> Section | None:
    """Each safety function, how the risk graph was answered for it, and the level that follows; why, where it may come
    to be built."""
    made = answers(ground)
    if made is None:
        return None
    rows, reasons = [], []
    for each in made.functions:
        judged = (figure(each.judged[key], "tally", "value") for key in JUDGED)
        does = Joined(items=(Term(text=each.title), Term(text=each.does)), between=": ")
        rows.append((does, *judged, lettered(ground, each.level), lettered(ground, each.assumed)))
        because = tuple(Term(text=each.reasons[key]) for key in JUDGED)
        asked = tuple(Term(text=question(ground, each.judged[key])) for key in JUDGED)
        reasons.append((Term(text=each.title), Joined(items=because, between="; "), Joined(items=asked, between=" ")))
    heads = (Column(head="level.function", width=1.0), *(Column(head=f"level.{key}", align="center") for key in JUDGED),
             Column(head="level.level", align="center"), Column(head="level.taken", align="center"))  # fmt: skip
    why = (Column(head="level.name", width=0.32), Column(head="level.because", width=1.0),
           Column(head="level.ask", width=1.0))  # fmt: skip
    return Section(
        key="level",
        blocks=(
            Caution(items=(Say(key="level.caution"),)),
            Paragraph(item=Joined(items=tuple(by_graph(ground, made)), between=" ")),
            Table(columns=heads, rows=tuple(rows)),
            *((Table(columns=why, rows=tuple(reasons), caption=Say(key="level.judged")),) if ground.offered else ()),
            *left_open(ground, made, "level"),
        ),
    )


def question(ground: Ground, judged: str) -> str:
    """What would replace an answer to the graph; of a counted one, what is asked of the judged one behind it."""
    fact = ground.facts[judged]
    behind = ground.facts[dict(fact.inputs).get("judged", judged)]
    return fact.question or behind.question or ""


def lettered(ground: Ground, level: str) -> Item:
    """A level as a letter; nothing where a study of before says none."""
    return Given(text=letter(ground.facts[level])) if level else EMPTY


def by_graph(ground: Ground, made: SafetyAnswers) -> Iterator[Item]:
    """What the letters mean, what the general standard asks for besides, and what is assumed."""
    yield Say(key="level.words", slots={"standard": Given(text=STANDARD)})
    inside = ground.of_concept("safeguarding.inside_share")
    if inside is not None:
        key = "level.inside" if fenced(ground) else "level.inside_open"
        yield Say(key=key, slots={"share": figure(inside, "percent", "value")})
    if made.general is not None:
        said = made.general
        yield Say(key="report.answered.general", slots={
            "general": Given(text=said.standard), "level": lettered(ground, said.level),
            "category": Given(text=said.category),
        })  # fmt: skip


# --- going in ---


def going_in(ground: Ground) -> Section | None:
    """How the part is held without air and power, and how somebody goes in."""
    made = answers(ground)
    if made is None:
        return None
    rows: list[tuple[Item, ...]] = []
    for number, each in enumerate(made.entering, start=1):
        rows.append((Given(text=str(number)), Term(text=each.words), of_step(ground, each), Term(text=each.who)))
    heads = (Column(head="", align="right"), Column(head="enter.step", width=1.0),
             Column(head="enter.figure", align="right"), Column(head="enter.who", width=0.42))  # fmt: skip
    return Section(
        key="enter",
        blocks=(
            Caution(items=(Say(key="enter.caution"),)),
            Bullets(items=(*held(made.holding), *at_panel(ground))),
            questions(ground, "enter", (made.holding.ask, *made.open.get("enter", ()))),
            Table(columns=heads, rows=tuple(rows), caption=Say(key="enter.words")),
            *beside_fence(ground),
        ),
    )


def at_panel(ground: Ground) -> Iterator[Item]:
    """Where fields guard the cell, that its panel may stand inside one."""
    guard = ground.subject.concept.safeguarding if ground.subject else None
    if guard is not None and guard.id == "scanner":
        yield Say(key="enter.in_field")


def beside_fence(ground: Ground) -> Iterator[Block]:
    """Where the fence stands nearer than it should, a word of it, and where it is told in full."""
    if too_near(ground):
        yield Paragraph(item=Say(key="enter.near", slots={"where": Say(key="guard.title")}))


def of_step(ground: Ground, step: EntryStep) -> Item:
    """The figure behind a step with its range: the low end of a time that a part is held is what counts."""
    if step.figure is None:
        return EMPTY
    fact = ground.facts[step.figure]
    form = form_of(fact)
    value = figure(step.figure, form, "value")
    return value if fact.low is None else Say(
        key="enter.ranged", slots={"value": value, "ends": figure(step.figure, form, "bare_ends")}
    )  # fmt: skip


def held(holding: Holding) -> Iterator[Item]:
    """The way in which the end of arm holds; how long, nobody knows before its supplier has answered."""
    how = {"gripper": Term(text=holding.title), "how": Term(text=holding.how), "words": Term(text=holding.words)}
    yield Say(key="enter.holds", slots=how)
    if holding.time is not None:
        yield Say(key="enter.unknown")


# --- hours alone ---


def alone(ground: Ground) -> Section | None:
    """What is agreed before the cell runs with nobody there; nothing where that is not asked for."""
    made = answers(ground)
    if made is None or "alone" not in made.open:
        return None
    caution = Caution(items=(Say(key="run_alone.caution"),))
    return Section(key="run_alone", blocks=(caution, *left_open(ground, made, "alone")))


# --- ways ---


def ways(ground: Ground) -> Section | None:
    """Free widths, emergency stops to begin with, and the longest way out."""
    made = answers(ground)
    if made is None or made.ways is None:
        return None
    out = made.ways
    needed = asked_for(out.needed)
    rows = tuple(
        (Term(text=each.place), there(each.width), needed,
         Say(key="ways.wide" if each.holds else "ways.narrow"))
        for each in out.ways
    )  # fmt: skip
    heads = (Column(head="ways.place", width=1.0), Column(head="ways.width", align="right"),
             Column(head="ways.needed", align="right"), Column(head="ways.found"))  # fmt: skip
    return Section(
        key="ways",
        blocks=(
            Caution(items=(Say(key="ways.caution"),)),
            Table(columns=heads, rows=rows, caption=Say(key=f"ways.{'words_drawers' if drawers(ground) else 'words'}")),
            Bullets(items=tuple(counted(ground, out))),
            questions(ground, "ways", out.asks),
        ),
    )


def drawers(ground: Ground) -> bool:
    """Whether parts come in drawers."""
    presenter = ground.subject.concept.presenter if ground.subject else None
    return presenter is not None and "drawers" in presenter.id


def counted(ground: Ground, out: WaysOut) -> Iterator[Item]:
    """How the devices were counted, what the width rests on, how long the way out is."""
    told = ground.facts[out.needed].basis != "assumed"
    yield Say(key="ways.told") if told else Say(key="ways.assumed", slots={
        "ends": figure(out.needed, "asked", "ends"),
    })  # fmt: skip
    names = ("stops", "panels", "gates", "places")
    if not all(each.holds for each in out.ways):
        yield Say(key="ways.narrower", slots={"needed": asked_for(out.needed)})
    stops = "ways.stops" if ground.value(out.gates) > 0.0 else "ways.stops_open"
    yield Say(key=stops, slots={name: figure(getattr(out, name), "tally", "value") for name in names})
    if out.longest is not None:
        yield Say(key="ways.longest", slots={"way": asked_for(out.longest)})


# --- delivery ---


def delivery(ground: Ground) -> Section | None:
    """What is lifted, how heavy it is, and what the floor has to bear."""
    made = answers(ground)
    if made is None:
        return None
    put = made.delivery
    rows: list[tuple[Item, ...]] = [
        (Term(text=each.title), figure(each.mass, "lift", "value"), ends(ground, each.mass, "lift"),
         figure(each.pressure, "floor_load", "value"),
         ends(ground, each.pressure, "floor_load") if each.pressure else Say(key="page.none"))
        for each in put.lifts
    ]  # fmt: skip
    sums = (len(rows), len(rows) + 1)
    rows += [
        (Say(key=f"lift.{name}"), figure(mass, "lift", "value"), ends(ground, mass, "lift"), EMPTY, EMPTY)
        for name, mass in (("heaviest", put.heaviest), ("whole", put.whole))
    ]
    heads = (Column(head="lift.piece", width=1.0), Column(head="lift.mass", align="right"),
             Column(head="lift.ends", align="right"), Column(head="lift.pressure", align="right"),
             Column(head="lift.ends", align="right"))  # fmt: skip
    blocks: list[Block] = [
        Caution(items=(Say(key="lift.caution"),)),
        Table(columns=heads, rows=tuple(rows), sums=sums, caption=Say(key="lift.words")),
        Bullets(items=tuple(borne(put))),
        questions(ground, "lift", put.asks),
    ]
    return Section(key="lift", blocks=tuple(blocks))


def borne(put: Delivery) -> Iterator[Item]:
    """Moment and anchors or columns, then the floor against what it bears."""
    for name, fact, form in (("moment", put.moment, "tipping"), ("anchor", put.anchor, "kilonewtons"),
                             ("support", put.support, "kilonewtons")):  # fmt: skip
        if fact is not None:
            yield Say(key=f"lift.{name}", slots={"likely": figure(fact, form, "value"),
                                                 "ends": figure(fact, form, "ends")})  # fmt: skip
    if put.floor is not None:
        slots: dict[str, Item] = {"pressed": Figure(fact=put.floor.demand, form="floor_load", part="value"),
                                  "bears": Figure(fact=put.floor.limit, form="floor_load", part="value")}  # fmt: skip
        yield Say(key="lift.floor_holds" if put.floor.holds else "lift.floor_fails", slots=slots)
    elif put.pressed is not None:
        yield Say(key="lift.floor_open", slots={"pressed": figure(put.pressed, "floor_load", "value"),
                                                "ends": figure(put.pressed, "floor_load", "ends")})  # fmt: skip
