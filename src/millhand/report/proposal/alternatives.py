"""The other ways: what each would bring, why it was not chosen, and what the same cell costs with one thing changed."""

from collections.abc import Iterator
from itertools import islice

from millhand.model.concept import Component, Concept
from millhand.model.decision import Offer
from millhand.model.study import Result
from millhand.report.comparison import at_bound, fallen, in_sight, living, result_of, spoken
from millhand.report.proposal.ground import Ground, amounts_in, by_arm, concept_item, figure, of_today
from millhand.report.proposal.leading import drawn_of
from millhand.report.proposal.records import (
    Block,
    Bullets,
    Column,
    Figure,
    Item,
    Joined,
    Paragraph,
    Say,
    Section,
    Table,
    Term,
)
from millhand.report.proposal.repeated import by_letter, filled
from millhand.report.view import bare

CHOICES = ("presenter", "outfeed", "mount", "arm", "gripper", "safeguarding")
MOST = 8


def alternatives(ground: Ground) -> Section | None:
    """Ways that can work beside the proposed one, then the nearest miss at each check that ended some."""
    seen = shown(ground)
    made = [row for name in seen if (row := alternative(ground, result_of(ground.study, name)))]
    given = [row[-1] for row in made]
    reasons, meant = by_letter(given, always=any(isinstance(each, Joined) for each in given))
    rows = tuple((*row[:-1], each) for row, each in zip(made, reasons, strict=True))
    names = ("shift", "price", "payback", "half", "npv", "half_npv")
    heads = (Column(head="alt.way", width=1.0), *(Column(head=f"alt.{each}", align="right") for each in names),
             Column(head="alt.why", width=0.0 if meant else 0.6))  # fmt: skip
    told = ["alt.basis", *(("alt.basis_options",) if twice(ground, seen) else ())]
    told += ["alt.basis_rule"] if ground.proposed and ground.offered else []
    basis = (*(Say(key=each) for each in told), *on_top(ground)) if ground.long else ()
    caption = Joined(items=(amounts_in(ground), *basis), between=" ")
    blocks: list[Block] = [filled(Table(columns=heads, rows=rows, caption=caption)), *meant]
    sooner = (each for name in seen for each in by_hand_sooner(ground, result_of(ground.study, name)))
    blocks += [Paragraph(item=each) for each in islice(sooner, 1)]
    missed = tuple(nearest_misses(ground))
    by_reach = any(row[0] == Term(text=spoken("reach")) for row in missed)
    if missed:
        columns = (Column(head="alt.check", width=0.5), Column(head="alt.nearest", width=1.0),
                   Column(head="alt.demand", align="right"), Column(head="alt.limit", align="right"))  # fmt: skip
        blocks.append(
            Table(columns=columns, rows=missed, caption=Say(key="alt.fell_reach" if by_reach else "alt.fell"))
        )
    return Section(key="alt", blocks=tuple(blocks))


def shown(ground: Ground) -> tuple[str, ...]:
    """The ways in sight, and what the paper is about even where it loses to all of them."""
    seen, own = in_sight(ground.study), ground.subject.concept.id if ground.subject else ""
    return seen if own in seen or not own else (*seen, own)


def twice(ground: Ground, seen: tuple[str, ...]) -> bool:
    """Whether one of the ways stands among the options as well."""
    if ground.subject is None or not ground.cell:
        return False
    found = (result_of(ground.study, name) for name in seen)
    return any(each is not None and any(option(ground, ground.subject, each)) for each in found)


def on_top(ground: Ground) -> Iterator[Item]:
    """When the proposed cell is back for what it costs more than the best change by hand."""
    case = ground.subject.case if ground.subject and ground.proposed and ground.cell else None
    months = (case.further or {}).get("payback_over_hand_months") if case else None
    way = months.partition(".over_")[2].rpartition(".")[0] if months else ""
    hand = result_of(ground.study, way) if way else None
    if months in ground.facts and hand is not None:
        yield Say(key="alt.basis_on_top", slots={
            "way": concept_item(hand.concept), "on_top": figure(months, "months", "value"),
        })  # fmt: skip


def alternative(ground: Ground, result: Result | None) -> tuple[Item, ...]:
    """One way with its figures and why it is not the proposed one."""
    if result is None:
        return ()
    bought = result.estimate if result.concept.kind != "today" else None
    case = result.case if result.concept.kind != "today" else None
    payback = case.payback_months if case else None
    name = concept_item(result.concept)
    return (
        Joined(items=(name, Say(key="alt.at_bound")), between=" ") if at_bound(result) else name,
        figure(*of_today(ground, result.performance.parts_per_shift if result.performance else None), "bare"),
        figure(bought.installed if bought else None, "money", "bare"),
        figure(payback, "months", "bare"),
        figure(drawn_of(ground, result, "payback_p50") if case else None, "months", "bare"),
        figure(case.npv if case else None, "money_2", "bare"),
        figure(drawn_of(ground, result, "npv_p50") if case else None, "money_2", "bare"),
        why(ground, result),
    )


def by_hand_sooner(ground: Ground, result: Result | None) -> Iterator[Item]:
    """A change by hand that brings its money back before the proposed cell does: why it is not advised instead."""
    own = ground.subject.case if ground.subject else None
    if result is None or result.concept.kind != "by_hand" or not ground.cell or not ground.proposed:
        return
    case, price = result.case, result.estimate
    if case is None or price is None or own is None or not case.payback_months or not own.payback_months:
        return
    sooner = ground.value(case.payback_months) < ground.value(own.payback_months)
    if sooner and ground.value(case.npv) < ground.value(own.npv):
        yield Say(key="alt.hand", slots={
            "way": concept_item(result.concept), "price": Figure(fact=price.installed, form="money"),
            "payback": figure(case.payback_months, "months", "value"),
            "worth": Figure(fact=case.npv, form="money_2", part="value"),
        })  # fmt: skip


def why(ground: Ground, result: Result) -> Item:
    """The reason; where a way is worth less, by what: parts, parts alone, price, people, running cost."""
    told = reason(ground, result)
    base = ground.subject
    if told == "even" and base is not None:
        return even(ground, base, result)
    if told == "never" and makes_more(ground, result):
        return Say(key="alt.why_never_ordered")
    if told != "worth" or base is None or base.case is None or result.case is None:
        return Say(key=f"alt.why_{told}")
    mine, other, here, there = base.performance, result.performance, base.estimate, result.estimate
    pairs = [(mine.parts_per_y, other.parts_per_y, "less_parts", "parts")] if mine and other else []
    if mine and other and mine.unattended_per_h:
        alone = "less_alone" if other.unattended_per_h else "no_alone"
        pairs.append((mine.parts_alone or "", other.parts_alone or "", alone, "parts"))
    pairs += [(here.installed, there.installed, "more_price", "money")] if here and there else []
    pairs += [(mine.operator_h_per_y, other.operator_h_per_y, "more_hours", "hours")] if mine and other else []
    pairs.append((base.case.year.running, result.case.year.running, "more_running", "money_2"))
    seen = [
        Say(key=f"alt.{name}")
        for a, b, name, form in pairs
        if speaks(ground, (a, b) if name.startswith("more") else (b, a), form)
    ]  # fmt: skip
    what = Joined(items=tuple(seen[: 2 if ground.long else 1]))
    if holds_its_middle(ground, result):
        order = Say(key="alt.why_likely", slots={"what": what}) if seen else Say(key="alt.why_order")
        return Joined(items=(order, Say(key="alt.drawn")), between=" ") if ground.long else order
    return Say(key="alt.why_worth_of", slots={"what": what}) if seen else Say(key="alt.why_worth")


def makes_more(ground: Ground, result: Result) -> bool:
    """Whether a way makes more than today of which no part more is sold, for all that are ordered are made today."""
    extra = next(ground.known(f"concepts.{result.concept.id}.case.extra_parts"), None)
    today, new = ground.today.performance if ground.today else None, result.performance
    if extra is None or today is None or new is None or ground.value(extra) > 0.0:
        return False
    return speaks(ground, (today.parts_per_shift, new.parts_per_shift), "parts")


def even(ground: Ground, base: Result, other: Result) -> Item:
    """A way that prints the same worth at likely values: what half of the cases say of it where they differ."""
    here, there = (drawn_of(ground, each, "npv_p50") for each in (base, other))
    if here is None or there is None or bare(ground.facts[here], "money_2") == bare(ground.facts[there], "money_2"):
        return Say(key="alt.why_even")
    if ground.value(there) < ground.value(here):
        return Say(key="alt.why_even_less")
    if not ground.long:
        return Say(key="alt.why_even")
    return Joined(items=(Say(key="alt.why_even"), Say(key="alt.drawn")), between=". ")


def holds_its_middle(ground: Ground, result: Result) -> bool:
    """Whether half of the draws of a way lie as high as the proposed way's or higher, as far as is printed."""
    here, there = (drawn_of(ground, each, "npv_p50") for each in (ground.subject, result) if each is not None)
    return here is not None and there is not None and not speaks(ground, (there, here), "money_2")


def speaks(ground: Ground, pair: tuple[str, str], form: str) -> bool:
    """Whether the second figure is more than the first, and shows it: what prints alike is no reason to name."""
    few, many = (ground.facts.get(each) for each in pair)
    if few is None or many is None:
        return many is not None and many.value > 0.0
    return many.value > few.value and bare(many, form) != bare(few, form)


def reason(ground: Ground, result: Result) -> str:
    """Why a way is not the proposed one, in a word."""
    if ground.subject is not None and result.concept.id == ground.subject.concept.id:
        return "proposed" if ground.proposed else "nearest"
    if result.concept.kind == "today":
        return "measure"
    if result.case is None or result.case.payback_months is None:
        return "never"
    if ground.value(result.case.hurdle_balance) < 0.0:
        return "late"
    if ground.subject is not None and ground.subject.case is not None:
        worth = (bare(ground.facts[each.npv], "money_2") for each in (ground.subject.case, result.case))
        if len(set(worth)) == 1:
            return "even"
        more = ground.value(result.case.npv) > ground.value(ground.subject.case.npv)
        return "on_top" if more and ground.study.decision.answer == "by_hand" else "worth"
    return "worth"


def nearest_misses(ground: Ground) -> Iterator[tuple[Item, ...]]:
    """Of each check that ended ways the one that came nearest to passing, with demand and limit."""
    best: dict[str, tuple[float, tuple[Item, ...]]] = {}
    for row, verdict in fallen(ground.study):
        result = result_of(ground.study, row.concept)
        if verdict is None or result is None:
            continue
        margin = ground.value(verdict.margin)
        told = (Term(text=spoken(verdict.check)), concept_item(result.concept), figure(verdict.demand, "", "value"),
                figure(verdict.limit, "", "value"))  # fmt: skip
        if verdict.check not in best or margin > best[verdict.check][0]:
            best[verdict.check] = (margin, told)
    yield from (told for _, told in best.values())


def options(ground: Ground) -> Section | None:
    """Cells that differ from the proposed one in one choice (a guard follows its arm), priced as a whole."""
    if ground.subject is None or not ground.cell:
        return None
    found = [result_of(ground.study, row.concept) for row in living(ground.study)]
    rows = [row for result in found if result is not None for row in option(ground, ground.subject, result)][:MOST]
    besides = tuple(offer(ground, each) for each in ground.study.decision.offers) if ground.proposed else ()
    more: tuple[Block, ...] = (Paragraph(item=Say(key="option.besides")), Bullets(items=besides)) if besides else ()
    if not rows:
        return Section(key="option", blocks=more) if more else None
    heads = (Column(head="option.change", width=1.0), Column(head="option.price", align="right"),
             Column(head="option.shift", align="right"), Column(head="option.payback", align="right"),
             Column(head="option.half", align="right"))  # fmt: skip
    return Section(
        key="option",
        blocks=(
            Paragraph(item=Say(key="option.words")),
            filled(Table(columns=heads, rows=tuple(rows), caption=amounts_in(ground))),
            *more,
        ),
    )


def offer(ground: Ground, each: Offer) -> Say:
    """A work that the arm could do besides, with what it would cost and free."""
    slots: dict[str, Item] = {
        "work": Term(text=f"{each.short} by the arm"),
        "price": Figure(fact=each.price, form="money_2"),
        "time": Figure(fact=each.time, form="seconds"),
        "freed": Figure(fact=each.freed, form="hours"),
        "left": figure(next(ground.known(f"catalogue.{each.work}.left_to_people_share"), None), "percent", "value"),
    }
    return Say(key="option.offer", slots=slots)


def changed(base: Concept, other: Concept) -> Say | None:
    """What alone is different in another cell: one choice, or what the arm does besides loading; None: more than that,
    or nothing."""
    pairs = [(name, getattr(base, name), getattr(other, name)) for name in CHOICES]
    new = [there for _, here, there in pairs if there is not None and (here is None or here.id != there.id)]
    more, less = works_beyond(other, base), works_beyond(base, other)
    if sharing_of(base) != sharing_of(other):
        return None
    if not new and bool(more) != bool(less):
        change = Joined(items=tuple(by_arm(each) for each in more or less))
        return Say(key="option.with" if more else "option.without", slots={"change": change})
    one = len(new) == 1 or (len(new) == 2 and {each.kind for each in new} == {"arm", "safeguarding"})
    if not one or more or less:
        return None
    return Say(key="option.with", slots={"change": Joined(items=tuple(Term(text=each.title) for each in new))})


def sharing_of(concept: Concept) -> str:
    """How two arms share a track; "" where there is one arm."""
    return concept.sharing.id if concept.sharing is not None else ""


def works_beyond(concept: Concept, other: Concept) -> list[Component]:
    """What the arm of one cell does besides loading and that of the other does not."""
    done = {each.id for each in other.works}
    return [each for each in concept.works if each.id not in done]


def option(ground: Ground, base: Result, other: Result) -> Iterator[tuple[Item, ...]]:
    """The row of another cell where one choice alone is different."""
    if other.concept.kind != "cell" or other.estimate is None or other.performance is None or other.case is None:
        return
    told = changed(base.concept, other.concept)
    if told is not None:
        yield (
            told,
            Figure(fact=other.estimate.installed, form="money", part="bare"),
            Figure(fact=other.performance.parts_per_shift, form="parts", part="bare"),
            figure(other.case.payback_months, "months", "bare"),
            figure(drawn_of(ground, other, "payback_p50"), "months", "bare"),
        )
