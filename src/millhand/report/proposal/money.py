"""The sections about money: the price, the business case, and at which figures the answer turns."""

from collections.abc import Iterator

from millhand.model.case import Case, CashLine
from millhand.model.estimate import PriceLine
from millhand.report.comparison import moving, usual_ends
from millhand.report.proposal.as_drawn import open_points
from millhand.report.proposal.ask import in_other_money
from millhand.report.proposal.behind import behind
from millhand.report.proposal.budget import budget
from millhand.report.proposal.ground import (
    Ground,
    amounts_in,
    asked_for,
    ends,
    fact_name,
    figure,
    short,
    with_travel,
)
from millhand.report.proposal.introduced import uncounted
from millhand.report.proposal.middles import middle, without_alone
from millhand.report.proposal.orders import cases, orders
from millhand.report.proposal.orders import turning as turning_orders
from millhand.report.proposal.records import (
    Block,
    Column,
    Figure,
    Given,
    Item,
    Joined,
    Paragraph,
    Picture,
    Say,
    Section,
    Table,
    Term,
)
from millhand.report.proposal.repeated import filled, under_groups
from millhand.report.turning import turning_facts

FEW = 4  # lines of a price that need no kinds over them
NEAREST = 4  # break-evens on two pages
GROUPS = ("equipment", "work", "contingency")
MILESTONES = ("order", "delivery")
SAVING = {"labour": "labour", "extra_output": "output", "extra_alone_output": "alone", "lost_output": "lost"}
EXTRA = ("extra_output", "extra_alone_output")
RUNNING = ("upkeep", "insurance", "energy", "floor", "fingers", "programming")  # lines of a running cost
OF_SAVING = ("saving_labour", "saving_output", "saving_alone")  # rows of what the saving is made of
MIDDLES = {"payback_naive": "naive", "saving_only": "saving"}  # rows whose middle has another name


def price(ground: Ground) -> Section | None:
    """The price with its class; in the long form line by line."""
    if ground.subject is None or ground.subject.estimate is None:
        return None
    estimate = ground.subject.estimate
    usual = usual_ends(ground.facts, ground.subject)
    slots: dict[str, Item] = {"price": Figure(fact=estimate.installed, form="money")}
    blocks: list[Block] = []
    if usual:
        slots |= {name: Figure(fact=each, form="money") for name, each in zip(("low", "high"), usual, strict=True)}
    told: list[Item] = [Say(key="price.words" if usual else "price.plain", slots=slots)]
    own = "price.own" if ground.cell else "price.own_by_hand"
    if estimate.own and ground.facts[estimate.own].value > 0.0:
        told.append(Say(key=own, slots={"own": Figure(fact=estimate.own, form="money")}))
    if not ground.long:
        return Section(key="price", blocks=(Paragraph(item=Joined(items=tuple(told), between=" ")),))
    blocks.append(Paragraph(item=told[0]))
    blocks.append(price_lines(ground))
    words = tuple(of_the_lines(ground))
    blocks += [Paragraph(item=Joined(items=words, between=" "))] if words else []
    blocks += [*(Paragraph(item=each) for each in told[1:]), *all_in(ground)]
    return Section(key="price", blocks=tuple(blocks))


def all_in(ground: Ground) -> Iterator[Block]:
    """Price and the shop's own work in one sum, by columns that whoever reads can add up; what a layout that keeps its
    distances asks for besides."""
    estimate = ground.subject.estimate if ground.subject else None
    if estimate is not None and ground.of_concept("estimate.all_in") is not None:
        lines = (
            ("installed", "estimate.usual_low", estimate.installed, "estimate.usual_high"),
            ("own_line", "estimate.own_low", estimate.own, "estimate.own_high"),
            ("all_in", "estimate.all_in_low", ground.of_concept("estimate.all_in"), "estimate.all_in_high"),
        )
        rows = tuple(
            (Say(key=f"price.{name}"), *(figure(each, "money_whole", "bare")
                                         for each in (ground.of_concept(low), likely, ground.of_concept(high))))
            for name, low, likely, high in lines
        )  # fmt: skip
        heads = (Column(head="price.what", width=1.0),
                 *(Column(head=f"price.{each}", align="right") for each in ("least", "likely", "most")))  # fmt: skip
        shares = {name: figure(share_of(ground, name), "percent", "value") for name in ("low", "high")}
        yield Table(
            columns=heads, rows=rows, sums=(len(rows) - 1,), caption=Say(key="price.all_in_words", slots=shares)
        )
        yield from budget(ground)
    yield from wider(ground)


def share_of(ground: Ground, end: str) -> str | None:
    """How far below or above its likely value such an estimate ends as a rule."""
    usual = ground.of_concept(f"estimate.usual_{end}")
    return dict(ground.facts[usual].inputs).get("accuracy_share") if usual else None


def wider(ground: Ground) -> Iterator[Block]:
    """What the layout asks for that keeps what this one does not: metres, floor and money of the fence where they are
    known, the rest by whoever names it."""
    top = "safeguarding.wider"
    out, fence, floor, money = (ground.of_concept(f"{top}.{each}") for each in ("out", "fence", "floor", "price"))
    if out is not None and fence is not None and floor is not None and money is not None:
        slots: dict[str, Item] = {
            "out": asked_for(out), "fence": asked_for(fence), "floor": figure(floor, "area", "value"),
            "price": figure(money, "money_2", "value"), "ends": figure(money, "money_2", "ends"),
        }  # fmt: skip
        yield Paragraph(item=Say(key="price.wider_fence", slots=slots))
    elif any(open_points(ground)):
        yield Paragraph(item=Say(key="price.wider"))


def of_the_lines(ground: Ground) -> Iterator[Item]:
    """What is in another line's price, and from when the prices are."""
    assert ground.subject is not None
    assert ground.subject.estimate is not None
    free = {each.id for each in ground.subject.estimate.lines if ground.facts[each.amount.id].value == 0.0}
    names = tuple(short(each.component) for each in ground.subject.concept.options if each.component.id in free)
    if names:
        yield Say(key="price.within", slots={"names": Joined(items=names)})
    if len(list(ground.known("money.price_age", "money.escalation"))) == 2:
        year = ground.subject.estimate.prices_of
        yield Say(key="price.moved_of" if year else "price.moved", slots={
            "year": Given(text=year),
            "age": Figure(fact="money.price_age", form="years", part="value"),
            "share": Figure(fact="money.escalation", form="percent", part="value"),
        })  # fmt: skip


def price_lines(ground: Ground) -> Table:
    """Every line of the price by its group, and the sum."""
    assert ground.subject is not None
    assert ground.subject.estimate is not None
    estimate = ground.subject.estimate
    lines: list[tuple[Item, tuple[Item, ...]]] = [
        (Say(key=f"price.group_{line.group}"), (of_line(ground, line), figure(line.amount.id, "money_whole", "bare"),
                                                ends(ground, line.amount.id, "money")))
        for group in GROUPS for line in estimate.lines
        if line.group == group and not line.internal and ground.facts[line.amount.id].value != 0.0
    ]  # fmt: skip
    under, groups = under_groups(lines) if len(lines) > FEW else (tuple(row for _, row in lines), ())
    rows = (*under, (Say(key="price.sum"), figure(estimate.installed, "money_whole", "bare"), Given(text="")))
    columns = (Column(head="price.line", width=1.0), Column(head="price.likely", align="right"),
               Column(head="price.range", align="right"))  # fmt: skip
    return Table(columns=columns, rows=rows, sums=(len(rows) - 1,), groups=groups, caption=amounts_in(ground))


def of_line(ground: Ground, line: PriceLine) -> Item:
    """What a line is for, and of how many pieces it is where they are more than one; of a track how long it is, as its
    price follows the travel."""
    words = with_travel(ground, line.words) if line.id == "mount" else Term(text=line.words)
    amount = ground.facts.get(line.amount.id, line.amount)
    counts = [each for name, each in amount.inputs if name == "counts[]"]
    if not counts or all(ground.value(each) == 1.0 for each in counts):
        return words
    told = Joined(items=tuple(Figure(fact=each, form="tally", part="value") for each in counts), between=" + ")
    return Say(key="price.pieces", slots={"what": words, "count": told})


def milestones(ground: Ground) -> Iterator[Item]:
    """Which share of the price is due when, as the case counts it."""
    for name in MILESTONES:
        for fact_id in ground.known(f"catalogue.milestone_{name}_share"):
            yield Say(key=f"price.at_{name}", slots={"share": Figure(fact=fact_id, form="percent")})
    yield Say(key="price.rest")


def cost(ground: Ground) -> Section | None:
    """What the cell costs who builds it, and the margin: for the house alone."""
    estimate = ground.subject.estimate if ground.subject else None
    if estimate is None or not estimate.cost or not estimate.margin:
        return None
    told = (("cost", estimate.cost), ("margin", estimate.margin), ("price", estimate.installed))
    rows = tuple((Say(key=f"cost.{name}"), figure(each, "money"), ends(ground, each, "money")) for name, each in told)
    columns = (Column(head="cost.line", width=1.0), Column(head="cost.likely", align="right"),
               Column(head="cost.range", align="right"))  # fmt: skip
    return Section(key="cost", internal=True, blocks=(Table(columns=columns, rows=rows, sums=(2,)),))


def case(ground: Ground) -> Section | None:
    """What it earns against today, how soon and how surely, and what would turn the answer."""
    if ground.subject is None or ground.subject.case is None:
        return None
    side_by_side = tuple(cases(ground))
    apart = () if ground.long or not side_by_side else ("payback", "chance")  # they stand in the table of cases
    # charts go to heads and feet of pages: named early, they leave words enough to fill up what is between them
    blocks: list[Block] = [measured(ground, apart), *(pictures(ground) if ground.long else ())]
    drawn = ground.subject.case.hurdle_chance is not None
    outside = any(lies_outside(ground, fact_id) for fact_id in drawn_figures(ground.subject.case))
    told = Say(key=f"case.likely_{'plain' if not drawn else 'outside' if outside else 'is'}")
    words = (told, *once(ground)) if ground.long else ()
    if ground.long and not side_by_side:
        words = (*words, *without_alone(ground))
    if words:
        blocks.append(Paragraph(item=Joined(items=words, between=" ")))
    sums = tuple(behind(ground)) if ground.long else ()
    blocks += [Paragraph(item=Joined(items=sums, between=" "))] if sums else []
    turning = tuple(break_evens(ground))
    shown = turning if ground.long else turning[:NEAREST]
    if turning:
        heads = (Column(head="turn.figure", width=1.0), Column(head="turn.counted", align="right"),
                 Column(head="turn.at", align="right"))  # fmt: skip
        met = "met" if ground.value(ground.subject.case.hurdle_balance) >= 0.0 else "missed"
        blocks.append(Table(columns=heads, rows=shown, caption=Say(key=f"turn.{met}")))
    blocks = [*blocks, *side_by_side] if ground.long else [*side_by_side, *blocks]
    ordered = {each.orders_per_y.id for each in ground.study.inquiry.parts}
    if ground.long or not side_by_side:
        blocks += orders(ground)
    elif not any(isinstance(cell, Figure) and cell.fact in ordered for each in shown for cell in each):
        blocks += turning_orders(ground)
    return Section(key="case", blocks=tuple(blocks))


def measured(ground: Ground, apart: tuple[str, ...]) -> Table:
    """The measures of the case but those that stand apart; what one is made of, indented below it."""
    share: dict[str, Item] = {
        name: figure(next(ground.known(f"catalogue.{fact}"), None), form, "value")
        for name, fact, form in (
            ("share", "upkeep_share", "percent"), ("new_parts", "new_families_per_y", "count"),
            ("new_hours", "programming_family_h", "hours"), ("new_stands", "programming_stands_share", "percent"),
        )
    }  # fmt: skip
    share["naive_hours"] = figure(ground.of_case("naive.hours"), "hours", "value")
    told = [each for each in measures(ground) if each[0] not in apart]
    rows = tuple((Say(key=f"case.{name}", slots=share), one, half(ground, name), ends) for name, one, ends in told)
    columns = (Column(head="case.measure", width=1.0), Column(head="case.likely", align="right"),
               Column(head="case.half", align="right"), Column(head="case.range", align="right"))  # fmt: skip
    parts = tuple(number for number, (name, *_) in enumerate(told) if "_of_" in name or name in OF_SAVING)
    return filled(Table(columns=columns, rows=rows, parts=parts))


def drawn_figures(one: Case) -> Iterator[str]:
    """Those of the case that a range of draws stands beside."""
    wanted = (
        one.payback_months,
        one.payback_from_order_months,
        one.discounted_payback_months,
        one.npv,
        one.saving_per_y,
    )
    yield from (each for each in wanted if each)


def lies_outside(ground: Ground, fact_id: str) -> bool:
    """Whether a likely value lies outside the range beside it."""
    fact = ground.facts[fact_id]
    return fact.low is not None and fact.high is not None and not fact.low <= fact.value <= fact.high


def once(ground: Ground) -> Iterator[Item]:
    """That no amount counts twice, over how many years and at which rate; whose the hours of maintenance are."""
    if ground.cell:
        yield Say(key="case.once", slots={
            "years": ground.years, "rate": figure(ground.study.inquiry.money.rate.id, "percent", "value"),
        })  # fmt: skip


def half(ground: Ground, name: str) -> Item:
    """Where half of the cases lie, or a dash where that is not known."""
    form = "money_2" if name in ("npv", "saving", "saving_only", "running") else "months"
    return figure(middle(ground, MIDDLES.get(name, name)), form, "value")


def pictures(ground: Ground) -> Iterator[Block]:
    """What moves the payback most, and the flows of the years."""
    assert ground.subject is not None
    assert ground.subject.case is not None
    moved = drivers(ground)
    if ground.subject.case.payback_months is not None and moved:
        words = Joined(items=(Say(key="case.drivers_caption"), *beyond_bars(ground)), between=" ")
        yield Picture(name="drivers", alt=Say(key="case.drivers_alt"), caption=words)
    if ground.subject.case.rows:
        yield Picture(
            name="cash",
            alt=Say(key="case.cash_alt"),
            caption=Joined(items=tuple(of_the_flows(ground)), between=" "),
        )


def of_the_flows(ground: Ground) -> Iterator[Item]:
    """What the chart of the years shows, why its bars differ, and what the last of them holds."""
    yield Say(key="case.cash_caption", slots={"currency": Given(text=ground.study.inquiry.shop.currency)})
    rises = list(ground.known("money.wage_growth", "money.escalation"))
    if len(rises) > 1:
        wages, prices = (figure(each, "percent", "value") for each in rises)
        case = ground.subject.case if ground.subject else None
        runs = case is not None and ground.value(case.year.running) > 0.0
        yield Say(key="case.cash_growth" if runs else "case.cash_wages", slots={"wages": wages, "prices": prices})
    left = ground.of_case("residual")
    if left is not None and ground.value(left) > 0.0:
        yield Say(key="case.cash_residual", slots={"residual": figure(left, "money_2", "value")})


def beyond_bars(ground: Ground) -> Iterator[Item]:
    """Where half of the cases lie, if no figure alone moves the payback that far."""
    half = middle(ground, "payback")
    ends = [each for one in moving(ground.study) for each in (one.at_low, one.at_high)]
    if half is not None and all(ends) and max(ground.value(each) for each in ends if each) < ground.value(half):
        yield Say(key="case.drivers_beyond", slots={"half": figure(half, "months", "value")})


def drivers(ground: Ground) -> tuple[str, ...]:
    """The facts that move the payback, the strongest first."""
    return tuple(each.fact for each in moving(ground.study))


def measures(ground: Ground) -> Iterator[tuple[str, Item, Item]]:
    """The measures of the case with their ranges."""
    assert ground.subject is not None
    assert ground.subject.case is not None
    one = ground.subject.case

    def row(name: str, fact_id: str | None, form: str) -> tuple[str, Item, Item]:
        if fact_id is None:
            never = Say(key="case.never", slots={"years": ground.years})
            return name, never if "payback" in name else Say(key="page.none"), Say(key="page.none")
        return name, figure(fact_id, form, "value"), ends(ground, fact_id, form, "ends")

    yield row("payback", one.payback_months, "months")
    lead = ground.subject.estimate.order_to_hand_over_s if ground.subject.estimate else ""
    if lead and ground.value(lead) > 0.0:
        yield row("payback_order", one.payback_from_order_months, "months")
    if ground.long:
        yield row("payback_discounted", one.discounted_payback_months, "months")
    yield row("npv", one.npv, "money_2")
    more = any(line.id in EXTRA and round(ground.value(line.amount)) != 0 for line in one.lines)
    yield ("saving" if more or not ground.long else "saving_only", *row("saving", one.saving_per_y, "money_2")[1:])
    if ground.long:
        yield from (row(f"saving_{SAVING[line.id]}", line.amount, "money_2") for line in saved(ground, one))
        if uncounted(ground):
            yield "running_open", Say(key="case.not_counted"), Say(key="page.none")
        else:
            yield row("running", one.year.running, "money_2")
            told = {"upkeep": "upkeep_told"} if ground.study.inquiry.money.upkeep is not None else {}  # and no share
            yield from (
                row(f"running_of_{told.get(name, name)}", fact_id, "money_2") for name, fact_id in spent(ground, one)
            )
    if one.hurdle_chance is not None:
        yield "chance", Figure(fact=one.hurdle_chance, form="chance"), Say(key="page.none")
    if ground.long and one.irr is not None and one.payback_months is not None:
        yield row("irr", one.irr, "percent")
    if ground.long and one.naive_payback_months is not None:
        yield row("payback_naive", one.naive_payback_months, "months")


def saved(ground: Ground, case: Case) -> tuple[CashLine, ...]:
    """What the saving of a steady year is made of, where that is more than freed work."""
    parts = tuple(
        line for line in case.lines if line.id in SAVING and round(ground.value(line.amount)) != 0
    )  # fmt: skip
    return parts if len(parts) > 1 else ()


def spent(ground: Ground, case: Case) -> Iterator[tuple[str, str]]:
    """What the running cost is made of, by the sum behind it."""
    for _, fact_id in ground.facts[case.year.running].inputs:
        name = fact_id.rpartition(".")[2]
        if ground.cell and name in RUNNING and ground.value(fact_id) != 0.0:
            yield name, fact_id


def break_evens(ground: Ground) -> Iterator[tuple[Item, ...]]:
    """Each figure alone: what is counted with, and at which value the hurdle is met or missed; the nearest first."""
    assert ground.subject is not None
    for fact in turning_facts(ground.facts, ground.subject.concept.id):
        lever = ground.facts[fact.inputs[0][1]]
        price = lever.id == (ground.subject.estimate.installed if ground.subject.estimate else "")
        name = Say(key="turn.price") if price else fact_name(lever)
        if price:
            yield name, Figure(fact=lever.id, form="money"), Figure(fact=fact.id, form="money")
            continue
        if in_other_money(ground, lever.id) or (lever.basis == "computed" and lever.title is None):
            continue  # the installed price stands for the one, and nobody can tell the other
        yield name, Figure(fact=lever.id, part="value"), Figure(fact=fact.id, like=lever.id, part="value")
