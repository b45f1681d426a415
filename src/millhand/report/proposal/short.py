"""The sections that stand in both forms: what a hurried owner reads on two pages."""

from collections.abc import Iterator

from millhand.report.comparison import loss_key, today_figures, usual_ends
from millhand.report.proposal.alone import (
    alone_in_short,
    left_alone,
    nights,
    nobody_alone,
    ordered,
    paced,
    stays_so,
    unmade,
)
from millhand.report.proposal.as_drawn import at_plan, in_short
from millhand.report.proposal.attending import set_up, several_cells
from millhand.report.proposal.ground import Ground, concept_item, ends, figure, of_today, short, with_travel
from millhand.report.proposal.introduced import by_hand, judged
from millhand.report.proposal.leading import leads
from millhand.report.proposal.middles import middle, what_it_is, without_alone
from millhand.report.proposal.near_fence import fenced
from millhand.report.proposal.not_now import turns_alone
from millhand.report.proposal.plan import plan_blocks
from millhand.report.proposal.records import (
    PAIR,
    Block,
    Bullets,
    Caution,
    Column,
    Figure,
    Given,
    Item,
    Joined,
    KeyFigure,
    KeyFigures,
    Paragraph,
    Say,
    Section,
    Table,
    Term,
)
from millhand.report.proposal.short_told import beside_its_range, not_met, rests_on
from millhand.report.proposal.short_ways import ways

COMPONENTS = ("presenter", "outfeed", "arm", "mount", "gripper", "safeguarding")


def answer(ground: Ground) -> Section:
    """The answer in one sentence, and the four figures that everybody looks for."""
    job, told = Given(text=ground.study.inquiry.name), ground.study.decision.answer
    if ground.subject is None:
        return Section(key="answer", blocks=(Paragraph(item=Say(key="answer.none", slots={"job": job}), strong=True),))
    made = ground.subject.concept
    told_as = Term(text=made.title.removeprefix("by hand: ")) if told == "by_hand" else concept_item(made)
    slots: dict[str, Item] = {"job": job, "concept": told_as}
    more = (
        *rests_on(ground),
        *(what_it_is(ground) if ground.long else beside_its_range(ground)),
        *without_alone(ground),
    )
    return Section(
        key="answer",
        blocks=(
            Paragraph(item=Say(key=f"answer.{told}", slots=slots), strong=True),
            KeyFigures(items=tuple(key_figures(ground))),
            *((Paragraph(item=Joined(items=more, between=" ")),) if more else ()),
            *leads(ground),
            *in_short(ground),
            *(() if ground.long else ways(ground)),
        ),
    )  # fmt: skip


def key_figures(ground: Ground) -> Iterator[KeyFigure]:
    """Price, payback, parts a shift, parts of a run alone or people's hours."""
    result = ground.subject
    if result is None or result.case is None or result.performance is None or result.estimate is None:
        return
    usual = [Figure(fact=each, form="money") for each in usual_ends(ground.facts, result)]
    between = (
        Say(key="report.tiles.between", slots={"low": usual[0], "high": usual[1]}) if usual else Say(key="key.all")
    )
    yield KeyFigure(
        label=Say(key="key.price"), figure=Figure(fact=result.estimate.installed, form="money"),
        note=between,
    )  # fmt: skip
    yield payback_figure(ground, result.case.payback_months)
    was = ground.today.performance if ground.today else None
    yield KeyFigure(
        label=Say(key="key.shift"), figure=Figure(fact=result.performance.parts_per_shift, form="parts"),
        note=Say(key="key.today", slots={"was": figure(*of_today(ground, was.parts_per_shift if was else None))}),
    )  # fmt: skip
    if result.performance.parts_alone and result.performance.unattended_per_h:
        yield KeyFigure(
            label=Say(key="key.alone"), figure=Figure(fact=result.performance.parts_alone, form="parts"),
            note=Say(key="key.range", slots={"range": figure(result.performance.parts_alone, "parts", "ends")}),
        )  # fmt: skip
    elif was is not None:
        yield KeyFigure(
            label=Say(key="key.people"), figure=Figure(fact=result.performance.operator_h_per_y, form="hours"),
            note=Say(key="key.today", slots={"was": Figure(fact=was.operator_h_per_y, form="hours")}),
        )  # fmt: skip


def payback_figure(ground: Ground, payback: str | None) -> KeyFigure:
    """After how many months the money is back, or that it does not come back."""
    label = Say(key="key.payback")
    if payback is None:
        never = Say(key="key.never", slots={"years": ground.years})
        return KeyFigure(label=label, figure=never, note=Say(key="key.payback_none"))
    half = middle(ground, "payback")
    slots: dict[str, Item] = {"range": figure(payback, "months", "ends")}
    chance = ground.subject.case.hurdle_chance if ground.subject and ground.subject.case else None
    if half and chance:
        hurdle = ground.study.inquiry.wishes.hurdle_months.id
        slots |= {"hurdle": figure(hurdle, "months", "value"), "chance": figure(chance, "chance")}
    key = "key.half_chance" if half and chance else "key.half" if half else "key.range"
    span = Say(key=key, slots=slots)
    return KeyFigure(label=label, figure=figure(half or payback, "months", "value"), note=span)


def today(ground: Ground) -> Section | None:
    """What loading by hand yields and costs now, in figures that the shop recognises."""
    result = ground.today
    if result is None or result.performance is None:
        return None
    told, shipped = today_figures(ground.study, result), ground.study.inquiry.today.parts_per_shift
    slots: dict[str, Item] = {
        "made": figure(shipped.id, "count", "value"),
        "hours": Figure(fact=result.performance.operator_h_per_y, form="hours"),
        "year": Figure(fact=result.performance.parts_per_y, form="parts"),
    }
    words = Say(key="today.words" if shipped.basis != "assumed" else "today.words_assumed", slots=slots)
    more: list[Item] = []
    if told.get("cost") in ground.facts:
        more.append(Say(key="today.cost", slots={"cost": Figure(fact=str(told["cost"]), form="money")}))
    if told.get("loss") in ground.facts:
        loss = str(told["loss"])
        rates = {name: figure(told[name], "ratio", "bare") for name in ("modelled", "shipped")}
        more.append(Say(key=f"today.{loss_key(ground.value(loss))}", slots=rates | {
            "loss": Figure(fact=loss, form="percent")}))  # fmt: skip
    together = next(ground.known(f"concepts.{result.concept.id}.performance.together.share"), None)
    if ground.long and together is not None:
        ends_of = {"share": figure(together, "percent", "value"), "ends": figure(together, "percent", "ends")}
        more.append(Say(key="today.at_once", slots=ends_of))
    apart: list[Item] = [words, Joined(items=tuple(more), between=" ")] if more else [words]
    items: list[Item] = apart if ground.long else [Joined(items=(words, *more), between=" ")]
    return Section(key="today", blocks=tuple(Paragraph(item=each) for each in items))


def concept(ground: Ground) -> Section | None:
    """What the cell is made of, with its plan."""
    result = ground.subject
    if result is None or not ground.cell:
        return None
    title = "concept.title" if ground.proposed else "concept.title_nearest"
    rows: list[tuple[Item, Item]] = []
    for name in COMPONENTS:
        component = getattr(result.concept, name)
        if component is not None:
            told = with_travel(ground, component.title) if name == "mount" else Term(text=component.title)
            rows.append((Say(key=f"concept.{name}"), told))
    if result.concept.options:
        besides = tuple(short(each.component) for each in result.concept.options)
        rows.append((Say(key="concept.option"), Joined(items=besides)))
    floor = tuple(floor_of(ground, result.layout.floor_area)) if result.layout is not None else ()
    parts: list[Block] = [in_a_row(rows, floor)]
    if ground.long:
        parts = [Table(columns=PAIR, rows=tuple(rows)), *(Paragraph(item=each) for each in floor)]
    parts += at_plan(ground)
    return Section(key="concept", title=title, blocks=(*parts, *(plan_blocks(ground) if ground.long else ())))


def floor_of(ground: Ground, area: str) -> Iterator[Item]:
    """The floor that the whole takes; nothing where nobody knows it."""
    if area:
        yield Say(
            key="concept.floor_fenced" if fenced(ground) else "concept.floor",
            slots={"area": Figure(fact=area, form="area")},
        )


def in_a_row(rows: list[tuple[Item, Item]], more: tuple[Item, ...]) -> Block:
    """Names and what they are, one behind the other, and a word more."""
    named = Joined(items=tuple(Joined(items=each, between=": ") for each in rows), between="; ")
    return Paragraph(item=Joined(items=(named, *more), between=". "))


def placed(ground: Ground) -> bool:
    """Whether there is a plan."""
    layout = ground.subject.layout if ground.subject else None
    return ground.cell and layout is not None and layout.drawn is not None


def planned(ground: Ground) -> Section | None:
    """On two pages: what comes out beside the plan; nothing where there is none."""
    if ground.long or not placed(ground):
        return None
    table, *words = output_blocks(ground)
    return Section(key="output", title="output.title_plan", blocks=(*plan_blocks(ground, (table,)), *words))


def output(ground: Ground) -> Section | None:
    """What comes out, where it does not stand beside the plan."""
    if not ground.long and placed(ground):
        return None
    blocks = output_blocks(ground)
    return Section(key="output", blocks=blocks) if blocks else None


def output_blocks(ground: Ground) -> tuple[Block, ...]:
    """What is made, with somebody there and alone, beside what is made today."""
    if ground.subject is None or ground.subject.performance is None:
        return ()
    new, was = ground.subject.performance, ground.today.performance if ground.today else None
    wanted = (
        ("shift", "parts_per_shift", "parts"), ("attended", "attended_per_h", "per_hour"),
        ("alone", "unattended_per_h", "per_hour"), ("parts_alone", "parts_alone", "parts"),
        ("attended_h", "attended_h_per_y", "hours"), ("alone_h", "unattended_h_per_y", "hours"),
        ("year", "parts_per_y", "parts"), ("people_h", "operator_h_per_y", "hours"),
    )  # fmt: skip
    rows: list[tuple[Item, ...]] = []
    for key, name, form in wanted:
        now = getattr(new, name)
        if not now or (name == "unattended_h_per_y" and ground.value(now) == 0.0):
            continue
        before = getattr(was, name) if was else None
        if before and ground.value(before) == 0.0:
            before = None
        told = of_today(ground, before or None, form)
        shown = figure(*told, "bare"), figure(now, form, "bare"), ends(ground, now, form)
        rows.append((Say(key=f"output.{key}"), *shown))
    then = "output.proposed" if ground.proposed else "output.nearest"
    columns = (Column(head="output.measure", width=1.0), Column(head="output.today", align="right"),
               Column(head=then, align="right"), Column(head="output.range", align="right"))  # fmt: skip
    in_short = (*not_met(ground), *alone_in_short(ground), *ordered(ground))
    words = tuple(output_words(ground)) if ground.long else in_short
    below: tuple[Block, ...] = (Bullets(items=words),) if words and ground.long else ()
    below = (Paragraph(item=Joined(items=words, between=" ")),) if words and not ground.long else below
    return Table(columns=columns, rows=tuple(rows)), *below, *(nights(ground) if ground.long else ())


def output_words(ground: Ground) -> Iterator[Item]:
    """What the table is of, what hours alone are, and which of the orders are made."""
    yield Say(key=f"output.{same(ground)}")
    yield from paced(ground)
    if ground.subject and ground.subject.performance and ground.subject.performance.unattended_per_h:
        yield stays_so(ground)
    yield from (*nobody_alone(ground), *left_alone(ground), *unmade(ground))


def same(ground: Ground) -> str:
    """Of what the two columns are: of one simulation, of one with a judged effect in it, or of a bound."""
    performance = ground.subject.performance if ground.subject else None
    if performance is not None and performance.output is None:
        return "same_bound" if ground.cell else judged(ground)
    return "same" if ground.cell else judged(ground)


def people(ground: Ground) -> Section | None:
    """What people do then, and how much of their time is freed and counted."""
    if ground.subject is None or ground.subject.performance is None or ground.subject.case is None:
        return None
    new, case = ground.subject.performance, ground.subject.case
    left = "people.left" if ground.cell else "people.left_by_hand"
    items: list[Item] = [Say(key=left, slots={"hours": Figure(fact=new.operator_h_per_y, form="hours")})]
    if ground.value(case.year.freed_h_per_y) > 0.0:
        usable = ground.study.inquiry.people.share_usable.id
        items.append(Say(key="people.freed", slots={
            "hours": Figure(fact=case.year.freed_h_per_y, form="hours"), "share": Figure(fact=usable, form="percent"),
        }))  # fmt: skip
        items += freed_for(ground)
    if ground.cell:
        items += several_cells(ground) if ground.long else ()
        items += (Say(key="people.duties"),) if ground.offered else ()
    elif ground.long:
        items += set_up(ground)
    if not ground.offered:
        found = (Paragraph(item=Say(key="people.found")), Bullets(items=tuple(items)))
        return Section(key="people", blocks=found, title="people.title_found")
    told = Bullets(items=tuple(items)) if ground.long else Paragraph(item=Joined(items=tuple(items), between=" "))
    return Section(key="people", blocks=(told,))


def freed_for(ground: Ground) -> Iterator[Item]:
    """How many whole posts the freed hours fill, and what they are for: part of a post fills none."""
    heads, use = ground.of_case("freed_heads"), ground.study.inquiry.people.freed_use.value
    whole = heads is not None and ground.value(heads) >= 1.0
    if heads is not None:
        key = "no_heads" if not whole else "heads" if use == "none" else "heads_named"
        yield Say(key=f"people.{key}", slots={"heads": Figure(fact=heads, form="count")})
    yield Say(key="people.use_vacancy_part" if use == "vacancy" and heads is not None and not whole
              else f"people.use_{use}")  # fmt: skip


def cautions(ground: Ground) -> Section:
    """What the figures are not."""
    of_cell = ("caution.aid", "caution.people", "caution.alone")
    keys = list(of_cell if ground.cell else ("caution.aid_by_hand", "caution.hand"))
    keys += ["caution.moves"] if (made := by_hand(ground)) and made.moving else []
    return Section(key="caution", blocks=(Caution(items=tuple(Say(key=key) for key in keys)),))


def following(ground: Ground) -> Section:
    """What happens next."""
    told = ground.study.decision.answer
    count, made = {"cell": 5, "by_hand": 4, "no": 3}[told], by_hand(ground)
    own = {} if turns_alone(ground) else {"no_b": "no_b_together"}
    own |= {"by_hand_c": "by_hand_c_own"} if made is not None and made.takes == "arrangement" else {}
    steps = [f"{told}_{letter}" for letter in "abcdef"[:count]]
    return Section(
        key="next",
        blocks=(
            Bullets(items=tuple(Say(key=f"next.{own.get(each, each)}") for each in steps), numbered=True),
        ),
    )  # fmt: skip
