"""What it takes to bring the advised way into the shop, as the study found it, and what several sections tell of it."""

from collections.abc import Iterator

from millhand.model.introduction import ByHand, Care, Introduction
from millhand.report.proposal.attending import told
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.records import Block, Bullets, Column, Figure, Item, Joined, Say, Section, Table
from millhand.stages.feasibility.endings import WET

DUTIES = ("stops", "tools", "chips", "refill")
BY_YEAR = ("refill", "stops", "tools", "chips", "else", "parts")  # then changeovers
TENDED = "performance.tended_parts_per_y"
FEWEST, ALIKE = 3, 0.001  # rows of such a table; hours that differ by a smaller share are one
GUARDS = ("fence", "light_curtain", "scanner", "force_limiting")


def brought(ground: Ground) -> Introduction | None:
    """Of what the proposal is about; None where that is not advised."""
    made = ground.study.decision.introduction
    return made if made is not None and ground.subject and made.concept == ground.subject.concept.id else None


def by_hand(ground: Ground) -> ByHand | None:
    """The same of a change by hand."""
    made = brought(ground)
    return made.by_hand if made else None


def uncounted(ground: Ground) -> bool:
    """Whether something moves by power for which no running cost stands in the case."""
    made, case = by_hand(ground), ground.subject.case if ground.subject else None
    return bool(made and made.moving and case and ground.value(case.year.running) == 0.0)


def chips(ground: Ground) -> bool:
    """Whether a machine of the job makes chips, so that somebody sees to them and to its tools."""
    return any(each.kind.value in WET for each in ground.study.inquiry.machines)


def judged(ground: Ground) -> str:
    """Of what the columns of a change by hand are: with tools and chips where there are some."""
    return "same_judged" if chips(ground) else "same_judged_plain"


def training(ground: Ground) -> Iterator[Item]:
    """How long each kind of person is trained, and by whom."""
    made = brought(ground)
    for each in made.training if made else ():
        yield Say(key=f"intro.training_{each.who}", slots=ranged("hours", each.hours, "hours"))


def ranged(name: str, fact: str, form: str) -> dict[str, Item]:
    """A figure and its range, each for its place in a sentence."""
    return {name: Figure(fact=fact, form=form, part="value"), "range": Figure(fact=fact, form=form, part="ends")}


def hours(ground: Ground) -> Iterator[Item]:
    """Who sees to faults, tools, chips and parts, and how many hours of a mean shift that takes."""
    made = brought(ground)
    found = {each.kind: spent(each) for each in made.care} if made else {}
    duties = [found[kind] for kind in DUTIES if kind in found]
    if duties:
        yield Say(key="intro.duties", slots={"hours": Joined(items=tuple(duties))})
    if "other" in found:
        yield Say(key="intro.gauging", slots={"hours": found["other"]})


def by_year(ground: Ground) -> Iterator[Block]:
    """People's hours of a year by kind, and their sum; nothing where they are not known apart, or do not add up because
    no more are counted than people have today."""
    own, parts = ground.subject.performance if ground.subject else None, ground.of_concept(TENDED)
    if brought(ground) is None or own is None or parts is None:
        return
    known = [(kind, next(ground.known(f"introduction.year.{kind}_h"), None)) for kind in BY_YEAR]
    lots = ground.of_concept("performance.changeovers_h")
    told = [(kind, each) for kind, each in (*known, ("lots", lots)) if each is not None and ground.value(each) > 0.0]
    whole = ground.value(own.operator_h_per_y)
    if len(told) < FEWEST or abs(sum(ground.value(each) for _, each in told) - whole) > ALIKE * whole:
        return
    rows = [(Say(key=f"intro.year_{kind}"), Figure(fact=each, form="tally", part="value")) for kind, each in told]
    rows.append((Say(key="intro.year_whole"), Figure(fact=own.operator_h_per_y, form="tally", part="value")))
    heads = (Column(head="intro.year_kind", width=1.0), Column(head="intro.year_hours", align="right"))
    slots = {"parts": Figure(fact=parts, form="parts", part="value")}
    yield Table(columns=heads, rows=tuple(rows), sums=(len(rows) - 1,), caption=Say(key="intro.years", slots=slots))


def spent(care: Care) -> Item:
    """One kind of work with its hours of a shift."""
    return Say(
        key=f"intro.care_{care.kind}",
        slots={"hours": Figure(fact=care.hours, form="hours" if care.kind == "other" else "minutes", part="value")},
    )


def standing(ground: Ground) -> Section | None:
    """Loading by hand while the cell stands; nothing where no cell is advised."""
    items = tuple(standby(ground))
    return Section(key="stands", blocks=(Bullets(items=items),)) if items else None


def standby(ground: Ground) -> Iterator[Item]:
    """How that is done, how long it takes to change over, what guards whoever loads, and who decides."""
    made = brought(ground)
    if made is None or made.standby is None or ground.subject is None:
        return
    own, guard = made.standby, ground.subject.concept.safeguarding
    today: dict[str, Item] = {"today": Figure(fact=own.today, form="parts", part="value")}
    yield Say(key="intro.standby", slots=ranged("time", own.switch_s, "minutes") | today)
    if guard is not None and guard.id in GUARDS:
        yield Say(key=f"intro.standby_{guard.id}")
    if own.way_m is not None and ground.value(own.way_m) > 0.0:
        yield from told(ground, "intro.standby_way", {"way": (own.way_m, "metres")})
    else:
        yield Say(key="intro.standby_no_way")
    yield Say(key="intro.standby_who")
