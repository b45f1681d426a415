"""Which parts run in the cell and which do not; without a list, the limits that a new part is held against."""

from collections.abc import Callable, Iterator

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
        yield families(mix)
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
        yield Paragraph(item=Say(key="fit.sets_over", slots=counts))


def families(mix: PartMix) -> Table:
    """One row a family."""

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
    return Table(columns=heads, rows=tuple(row(each) for each in mix.families[:MOST]), caption=Say(key="fit.runs"))


def left(ground: Ground, mix: PartMix) -> Table:
    """One row a part: the limit that it misses, where that is a number with what it asks for."""

    def row(each: LeftPart) -> tuple[Item, ...]:
        hours, *numbers = each.figures
        demand, limit = numbers[:2] if len(numbers) > 1 else (None, None)
        return (
            called(each.name), why(each), figure(demand, "", "value"), figure(limit, "", "value"),
            Figure(fact=hours, form="hours", part="bare"),
        )  # fmt: skip

    heads = (Column(head="fit.part"), Column(head="fit.reason", width=1.0), Column(head="fit.demand", align="right"),
             Column(head="fit.limit", align="right"), Column(head="fit.hours", align="right"))  # fmt: skip
    known = [each for each in mix.left[:MOST] if each.figures and all(one in ground.facts for one in each.figures)]
    return Table(columns=heads, rows=tuple(row(each) for each in known), caption=Say(key="fit.left"))


def why(each: LeftPart) -> Item:
    """The check that a part misses, or the words of the rule that speaks against it."""
    if each.check == "route":
        return Say(key="fit.route")
    return Term(text=each.words or reason(each))


def limits(ground: Ground) -> Iterator[Block]:
    """The limits by kind, the tightest of each kind first."""
    told = ground.study.decision.part_limits
    own = f"concepts.{ground.subject.concept.id}." if ground.subject else ""
    if not told or not all(each in ground.facts for limit in told for each in limit.at):
        return
    if not any(each.startswith(own) for limit in told for each in limit.at):
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
    tests: dict[str, Callable[[PartFamily, float], bool]] = {
        "grip_force": lambda each, most: ground.value(each.heaviest) > most,
        "finger_room": lambda each, least: ground.value(each.longest) < least,
    }
    for limit in rows:
        past = tests.get(limit.check)
        names = [each.name for each in known if past is not None and past(each, ground.value(limit.at[0]))]
        if names:
            yield Say(key=f"fit.beyond_{limit.check}", slots={"names": Given(text=", ".join(names))})


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
