"""Which parts run in the cell and which do not; without a list, the limits that a new part is held against."""

from collections.abc import Iterator

from millhand.model.decision import PartLimit
from millhand.model.part_mix import LeftPart, PartFamily, PartMix
from millhand.report.comparison import spoken
from millhand.report.part_mix import reason
from millhand.report.proposal.attending import told
from millhand.report.proposal.ground import Ground, called, figure
from millhand.report.proposal.records import (
    Block,
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
from millhand.report.proposal.repeated import filled, first_of, under_groups
from millhand.stages.tried import of_cell, past, tried

MOST = 10  # families, and parts left to people, that a page names
OPENS = ("vise", "chuck")  # clampings that open by so much
FORMS = {"mass": "mass", "size": "mm", "bore": "mm", "span": "mm"}


def fit(ground: Ground) -> Section | None:
    """The part list's families and what is left, the limits of a next part, and what it costs."""
    if not ground.cell:
        return None
    blocks = (*listed(ground), *limits(ground), *cost(ground))
    if blocks:
        blocks = (*blocks, *undescribed(ground), *alone(ground))
    return Section(key="fit", blocks=blocks) if blocks else None


def undescribed(ground: Ground) -> Iterator[Block]:
    """Families that are a number alone: who says of each whether it fits, and what holds until then."""
    parts = ground.study.inquiry.parts
    if own_mix(ground) is None and len(parts) == 1 and parts[0].families.value > 1.0:
        said = Say(key="fit.open", slots={"families": figure(parts[0].families.id, "count", "value")})
        gripper = ground.subject.concept.gripper if ground.subject else None
        each = () if gripper is None or "fingers" in gripper.words else (Say(key="fit.open_fingers"),)
        yield Paragraph(item=Joined(items=(said, *each), between=" "))


def alone(ground: Ground) -> Iterator[Block]:
    """Which of them run with nobody there: the one that is set up, for a changeover waits for somebody."""
    if ground.subject and ground.subject.performance and ground.subject.performance.unattended_per_h:
        yield Paragraph(item=Say(key="fit.alone"))


def own_mix(ground: Ground) -> PartMix | None:
    """The part list beside this very cell."""
    mix, subject = ground.study.part_mix, ground.subject
    return mix if mix is not None and subject is not None and mix.concept == subject.concept.id else None


def listed(ground: Ground) -> Iterator[Block]:
    """Families that run, then the parts that are left to people with what stops them."""
    mix = own_mix(ground)
    if mix is None:
        return
    if mix.families:
        yield Paragraph(item=Say(key="fit.runs_words", slots={"count": Figure(fact=mix.count, form="count")}))
        yield families(ground, mix)
        yield from sets(ground, mix)
    if mix.left:
        yield Paragraph(item=Say(key="fit.left_words"))
        yield left(ground, mix)
        if any(each.check == "payload" for each in mix.left[:MOST]):
            yield Paragraph(item=Say(key="fit.payload"))
    if max(len(mix.families), len(mix.left)) > MOST:
        yield Paragraph(item=Say(key="fit.more"))


def sets(ground: Ground, mix: PartMix) -> Iterator[Block]:
    """Where the price holds more sets of fingers than the list asks for, how many of each."""
    if mix.needed_sets is None or mix.priced_sets is None:
        return
    if ground.value(mix.needed_sets) < ground.value(mix.priced_sets):
        counts: dict[str, Item] = {"needed": Figure(fact=mix.needed_sets, form="count"),
                                   "priced": Figure(fact=mix.priced_sets, form="count")}  # fmt: skip
        line, less = ground.of_concept("estimate.fingers"), next(ground.known("part_mix.needed_sets_price"), None)
        money: dict[str, Item] = {"line": figure(line, "money", "value"), "less": figure(less, "money", "value")}
        asked = Say(key="fit.sets_less", slots=money) if line and less else Say(key="fit.sets_asked")
        yield Paragraph(item=Joined(items=(Say(key="fit.sets_over", slots=counts), asked), between=" "))


def families(ground: Ground, mix: PartMix) -> Table:
    """One row a family: those that run as priced, then those that are tried first."""

    def row(each: PartFamily) -> tuple[Item, ...]:
        held = Joined(items=(Term(text=each.shape), Say(key=f"fit.{each.grip}")))
        return (
            called(each.name), held, Figure(fact=each.count, form="count"), Figure(fact=each.heaviest, form="mass"),
            Figure(fact=each.longest, form="mm"), Figure(fact=each.share, form="percent", part="value"),
        )  # fmt: skip

    figures = ("parts", "heaviest", "longest", "share")
    heads = (
        Column(head="fit.family_head"),
        Column(head="fit.held", width=1.0),
        *(Column(head=f"fit.{each}", align="right") for each in figures),
    )
    first = tried(own_limits(ground), mix.families, ground.value)
    shown = sorted(mix.families[:MOST], key=lambda each: each in first)
    names = [Say(key="fit.tried_first" if each in first else "fit.as_priced") for each in shown]
    under, groups = under_groups([(name, row(each)) for name, each in zip(names, shown, strict=True)])
    rows, groups = (under, groups) if first else (tuple(row(each) for each in shown), ())
    return Table(columns=heads, rows=rows, caption=Say(key="fit.runs"), groups=groups)


def left(ground: Ground, mix: PartMix) -> Table:
    """One row a part under the reason that it shares with others: the limit that it misses, where that is a number."""

    def row(each: LeftPart) -> tuple[Item, ...]:
        hours, *numbers = each.figures
        demand, limit = numbers[:2] if len(numbers) > 1 else (None, None)
        return (
            called(each.name), figure(demand, "", "value"), figure(limit, "", "value"),
            Figure(fact=hours, form="hours", part="bare"),
        )  # fmt: skip

    heads = (Column(head="fit.part", width=1.0), *(Column(head=f"fit.{each}", align="right")
             for each in ("demand", "limit", "hours")))  # fmt: skip
    known = [each for each in mix.left[:MOST] if each.figures and all(one in ground.facts for one in each.figures)]
    reasons = [each for _, each in first_of([why(part) for part in known])]
    under, groups = under_groups([(each, row(part)) for each in reasons for part in known if why(part) == each])
    return filled(Table(columns=heads, rows=under, caption=Say(key="fit.left"), groups=groups))


def why(each: LeftPart) -> Item:
    """The check that a part misses, or the words of the rule that speaks against it."""
    if each.check == "route":
        return Say(key="fit.route")
    return Term(text=each.words or reason(each))


def own_limits(ground: Ground) -> tuple[PartLimit, ...]:
    """The limits of what the paper is about; none where the study holds those of another cell, or not all figures."""
    told = ground.study.decision.part_limits
    if ground.subject is None or not all(each in ground.facts for limit in told for each in limit.at):
        return ()
    return of_cell(told, ground.subject.concept.id)


def limits(ground: Ground) -> Iterator[Block]:
    """The limits by kind, the tightest of each kind first."""
    told = own_limits(ground)
    if not told:
        return
    order = {kind: place for place, kind in enumerate(dict.fromkeys((each.what, each.end) for each in told))}
    rows = sorted(told, key=lambda each: (order[each.what, each.end], ground.value(each.at[0])))
    heads = (Column(head="fit.what", width=1.0), Column(head="fit.set_by", width=0.7),
             Column(head="fit.now", align="right"), Column(head="fit.at", align="right"))  # fmt: skip
    mix = own_mix(ground)
    known = mix.families if mix is not None else ()
    yield Paragraph(item=Say(key="fit.words_list" if known else "fit.words"))
    yield Table(columns=heads, rows=(*(limit_row(each) for each in rows), *clamping_row(ground)))
    yield from clamping(ground)
    beyond = (*carried(ground), *beyond_limits(ground, known, rows))
    if beyond:
        yield Paragraph(item=Joined(items=beyond, between=" "))


def clamped(ground: Ground) -> tuple[str, ...]:
    """How the machines hold the part, where a vise or a chuck does."""
    kinds = (each.clamping.value for each in ground.study.inquiry.machines)
    return tuple(each for each in kinds if each.endswith(OPENS))


def opens(kinds: tuple[str, ...]) -> Say:
    """What opens: vise, chuck, or both."""
    met = {each.rpartition("_")[2] for each in kinds}
    return Say(key=f"fit.what_{met.pop() if len(met) == 1 else 'both'}")


def clamping_row(ground: Ground) -> Iterator[tuple[Item, ...]]:
    """The opening of vise or chuck as a limit that no check knows: who answers it."""
    kinds = clamped(ground)
    if kinds:
        now = "new" if any(each.startswith("hand") for each in kinds) else "now"
        ends = ("", "_by", f"_{now}", "_at")
        yield tuple(Say(key=f"fit.clamping{end}", slots={} if end else {"what": opens(kinds)}) for end in ends)


def carried(ground: Ground) -> Iterator[Item]:
    """What hangs on the arm beside the part, where the payload is limited."""
    top = "feasibility.payload"
    known = dict(ground.facts[demand].inputs) if (demand := ground.of_concept(f"{top}.demand")) else {}
    yield from told(ground, "fit.payload_of", {
        "gripper": (known.get("gripper_kg"), "mass"), "fingers": (ground.of_concept(f"{top}.fingers"), "mass"),
        "parts": (ground.of_concept(f"{top}.parts"), "mass"), "demand": (demand, "mass"),
        "limit": (ground.of_concept(f"{top}.limit"), "mass"),
    })  # fmt: skip


def clamping(ground: Ground) -> Iterator[Block]:
    """What is to be answered of that opening, and what holds until then."""
    kinds = clamped(ground)
    if kinds:
        new = (Say(key="fit.clamping_powered"),) if any(each.startswith("hand") for each in kinds) else ()
        words = Say(key="fit.clamping_words", slots={"what": opens(kinds)})
        yield Paragraph(item=Joined(items=(words, *new), between=" "))


def beyond_limits(ground: Ground, known: tuple[PartFamily, ...], rows: list[PartLimit]) -> Iterator[Item]:
    """Families past a limit that fingers made for them move, and that the list therefore does not leave to people."""
    said = []
    for limit in rows:
        names = [each.name for each in past(limit, known, ground.value)]
        if names:
            said.append(Say(key=f"fit.beyond_{limit.check}", slots={"names": Given(text=", ".join(names))}))
    yield from (*said, *((Say(key="fit.beyond"),) if said else ()))


def limit_row(limit: PartLimit) -> tuple[Item, ...]:
    """What is limited, by which check, what it is now, and up to where it may go."""
    what = f"fit.size_{limit.end}" if limit.what == "size" else f"fit.{limit.what}"
    by = Say(key="fit.pockets") if limit.check == "pockets" else Term(text=spoken(limit.check))
    return Say(key=what), by, sides(limit.present, FORMS[limit.what]), sides(limit.at, FORMS[limit.what])


def sides(fact_ids: tuple[str, ...], form: str) -> Item:
    """One figure, or the sides of a part with one unit behind them."""
    bare = [Figure(fact=each, form=form, part="bare") for each in fact_ids[:-1]]
    return Joined(items=(*bare, Figure(fact=fact_ids[-1], form=form, part="value")), between=" × ")


def cost(ground: Ground) -> Iterator[Block]:
    """What a further family takes: programming, a set of fingers; of an insert of the presenter nothing is known."""
    hours = next(ground.known("catalogue.programming_family_h"), None)
    if hours is None:
        return
    slots: dict[str, Item] = {"hours": Figure(fact=hours, form="hours", part="value"), "fingers": Given(text="")}
    fingers = ground.of_concept("part_limits.finger_set")
    if fingers is not None:
        slots["fingers"] = Figure(fact=fingers, form="money_2", part="value")
    words: list[Item] = [Say(key="fit.family" if fingers else "fit.family_hours", slots=slots), Say(key="fit.insert")]
    yield Paragraph(item=Joined(items=tuple(words), between=" "))
