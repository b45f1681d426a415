"""The sections that stand in both forms: what a hurried owner reads on two pages."""

from collections.abc import Iterator

from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.part import Operation, Part
from millhand.model.pool import kinds_in
from millhand.report.comparison import loss_key, today_figures, usual_ends
from millhand.report.proposal.alone import left_alone, nights, nobody_alone, paced, stays_so, unmade
from millhand.report.proposal.as_drawn import at_plan, in_short
from millhand.report.proposal.attending import set_up, several_cells, with_breaks
from millhand.report.proposal.ground import Ground, called, concept_item, ends, figure, short, with_travel
from millhand.report.proposal.introduced import by_hand
from millhand.report.proposal.leading import leads
from millhand.report.proposal.middles import middle, what_it_is, without_alone
from millhand.report.proposal.near_fence import fenced
from millhand.report.proposal.plan import plan_blocks
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
    KeyFigure,
    KeyFigures,
    Paragraph,
    Say,
    Section,
    Table,
    Term,
)
from millhand.report.proposal.short_told import beside_its_range, cell_instead, not_met, rests_on, told_rows

PAIR = (Column(head="", width=0.0), Column(head="", width=1.0))
COMPONENTS = ("presenter", "outfeed", "arm", "mount", "gripper", "safeguarding")
LIGHT_KG = 1.0  # lighter parts are told in grams


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
    more += () if ground.long else tuple(cell_instead(ground))
    return Section(
        key="answer",
        blocks=(
            Paragraph(item=Say(key=f"answer.{told}", slots=slots), strong=True),
            KeyFigures(items=tuple(key_figures(ground))),
            *((Paragraph(item=Joined(items=more, between=" ")),) if more else ()),
            *leads(ground),
            *in_short(ground),
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
        note=Say(key="key.today", slots={"was": figure(was.parts_per_shift if was else None, "parts")}),
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


def job(ground: Ground) -> Section:
    """What the shop said, so that it can say where it was misunderstood."""
    inquiry = ground.study.inquiry
    rows: list[tuple[Item, ...]] = [
        (Say(key="job.machines"), machine_item(each)) for each in kinds_in(inquiry.machines)
    ]
    rows += [(Say(key="job.part"), part_item(each)) for each in inquiry.parts]
    rows += [
        (Say(key="job.orders"), Joined(items=tuple(orders_item(each) for each in inquiry.parts), between="; ")),
        (Say(key="job.shifts"), with_breaks(ground, shifts_item(inquiry))),
        *told_rows(inquiry),
        (Say(key="job.wishes"), Joined(items=tuple(wishes(inquiry)), between="; ")),
    ]
    words: list[Item] = [*(part_list(ground) if ground.long else ()), Say(key="job.check")]
    return Section(key="job", blocks=(Table(columns=PAIR, rows=tuple(rows)), *(Paragraph(item=each) for each in words)))


def part_list(ground: Ground) -> Iterator[Item]:
    """How much of the shop's part list the cell can load."""
    mix = ground.study.part_mix
    if mix is not None and mix.able and ground.subject is not None and mix.concept == ground.subject.concept.id:
        yield Say(key="job.part_list", slots={
            "count": Figure(fact=mix.count, form="count"), "share": Figure(fact=mix.able, form="percent", part="value"),
        })  # fmt: skip


def machine_item(machine: Machine) -> Item:
    """How many of which kind, and how they open and clamp."""
    kind: Item = Say(key="job.kind", slots={"kind": Term(text=machine.kind.value)})
    kind = EMPTY if machine.name.lower() == machine.kind.value else kind
    slots: dict[str, Item] = {
        "count": Figure(fact=machine.count.id, form="count"), "name": called(machine.name),
        "kind": kind, "door": Say(key=f"door.{machine.door.value}"),
        "clamping": Say(key=f"clamping.{machine.clamping.value}"),
        "control": Say(key=f"control.{machine.control.value}"),
    }  # fmt: skip
    return Say(key="job.machine", slots=slots)


def part_item(part: Part) -> Item:
    """What it is, how large, how heavy, and the time of its operations."""
    operations = tuple(operation_item(each) for each in part.operations)
    heavy = "grams" if part.raw_mass_kg.value < LIGHT_KG else "mass"  # a box holds many, whose rounded masses add up
    slots: dict[str, Item] = {
        "name": called(part.name), "condition": Term(text=part.condition.value),
        "material": Term(text=part.material.value), "size": size_item(part),
        "raw": Figure(fact=part.raw_mass_kg.id, form=heavy),
        "finished": Figure(fact=part.finished_mass_kg.id, form=heavy),
        "operations": Joined(items=operations, between="; "),
    }  # fmt: skip
    return Say(key="job.part_words", slots=slots)


def size_item(part: Part) -> Item:
    """Its three sides; of a round one the diameter and the length."""
    length, width, height = (
        Figure(fact=each.id, form="mm", part="bare")
        for each in (part.raw.length_m, part.raw.width_m, part.raw.height_m)
    )
    if part.shape.value == "round" and part.raw.width_m.value == part.raw.height_m.value:
        return Say(key="job.round", slots={"across": width, "length": length})
    return Joined(items=(length, width, height), between=" × ")


def operation_item(operation: Operation) -> Item:
    """Its name, its time, from where to where that was taken, and how many parts one cycle makes."""
    time, word = Figure(fact=operation.time_s.id, form="seconds"), Say(key=f"time_is.{operation.time_is.value}")
    count = operation.parts_per_cycle
    key = "job.of_cycle_one" if count.value == 1.0 else "job.of_cycle"
    parts = Say(key=key, slots={"count": Figure(fact=count.id, form="count", part="value")})
    said = Say(key="job.operation", slots={"name": called(operation.name), "time": time, "word": word, "parts": parts})
    return Say(key="job.two_vises", slots={"words": said}) if operation.sides.value == "two_vises" else said


def orders_item(part: Part) -> Item:
    """How many a year, in which lots, in how many families."""
    slots: dict[str, Item] = {
        "name": called(part.name), "orders": Figure(fact=part.orders_per_y.id, form="parts"),
        "lot": Figure(fact=part.lot_size.id, form="parts"), "families": Figure(fact=part.families.id, form="count"),
    }  # fmt: skip
    return Say(key="job.orders_words", slots=slots)


def shifts_item(inquiry: Inquiry) -> Item:
    """The shifts by name, and who works in them."""
    slots: dict[str, Item] = {
        "names": Joined(items=tuple(called(each.name) for each in inquiry.shifts)),
        "operators": Figure(fact=inquiry.people.operators.id, form="count"),
        "days": Figure(fact=inquiry.shop.work_days_per_y.id, form="count"),
    }
    return Say(key="job.shifts_words", slots=slots)


def wishes(inquiry: Inquiry) -> Iterator[Item]:
    """What the shop wants of an answer."""
    yield Say(key="job.hurdle", slots={"months": Figure(fact=inquiry.wishes.hurdle_months.id, form="months")})
    if inquiry.wishes.unattended_s.value > 0.0:
        yield Say(key="job.unattended", slots={"hours": Figure(fact=inquiry.wishes.unattended_s.id, form="hours")})
    if inquiry.wishes.budget is not None:
        yield Say(key="job.budget", slots={"money": Figure(fact=inquiry.wishes.budget.id, form="money")})
    yield Say(key=f"job.integrator_{inquiry.wishes.integrator.value}")


def today(ground: Ground) -> Section | None:
    """What loading by hand yields and costs now, in figures that the shop recognises."""
    result = ground.today
    if result is None or result.performance is None:
        return None
    told, inquiry = today_figures(ground.study, result), ground.study.inquiry
    slots: dict[str, Item] = {
        "made": Figure(fact=result.performance.parts_per_shift, form="parts"),
        "told": Figure(fact=inquiry.today.parts_per_shift.id, form="parts"),
        "hours": Figure(fact=result.performance.operator_h_per_y, form="hours"),
        "year": Figure(fact=result.performance.parts_per_y, form="parts"),
    }
    blocks: list[Block] = [Paragraph(item=Say(key="today.words", slots=slots))]
    more: list[Item] = []
    if told.get("cost") in ground.facts:
        more.append(Say(key="today.cost", slots={"cost": Figure(fact=str(told["cost"]), form="money")}))
    if told.get("loss") in ground.facts:
        loss = str(told["loss"])
        more.append(Say(key=f"today.{loss_key(ground.value(loss))}", slots={"loss": Figure(fact=loss, form="percent")}))
    together = next(ground.known(f"concepts.{result.concept.id}.performance.together.share"), None)
    if ground.long and together is not None:
        ends_of = {"share": figure(together, "percent", "value"), "ends": figure(together, "percent", "ends")}
        more.append(Say(key="today.at_once", slots=ends_of))
    if more:
        blocks.append(Paragraph(item=Joined(items=tuple(more), between=" ")))
    return Section(key="today", blocks=tuple(blocks))


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
    return Section(key="output", title="output.title_plan", blocks=tuple(plan_blocks(ground, output_blocks(ground))))


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
        rows.append(
            (Say(key=f"output.{key}"), figure(before or None, form, "bare"), figure(now, form, "bare"),
             ends(ground, now, form))
        )  # fmt: skip
    told = "output.proposed" if ground.proposed else "output.nearest"
    columns = (Column(head="output.measure", width=1.0), Column(head="output.today", align="right"),
               Column(head=told, align="right"), Column(head="output.range", align="right"))  # fmt: skip
    words: list[Item] = [Say(key=f"output.{same(ground)}")] if ground.long else []
    words += paced(ground)
    words += [stays_so(ground)] if new.unattended_per_h else []
    words += nobody_alone(ground) if ground.long else not_met(ground)
    words += left_alone(ground)
    words += unmade(ground) if ground.long else ()
    below: tuple[Block, ...] = (Bullets(items=tuple(words)),) if words and ground.long else ()
    below = (Paragraph(item=Joined(items=tuple(words), between=" ")),) if words and not ground.long else below
    return Table(columns=columns, rows=tuple(rows)), *below, *(nights(ground) if ground.long else ())


def same(ground: Ground) -> str:
    """Of what the two columns are: of one simulation, of one with a judged effect in it, or of a bound."""
    performance = ground.subject.performance if ground.subject else None
    if performance is not None and performance.output is None:
        return "same_bound" if ground.cell else "same_judged"
    return "same" if ground.cell else "same_judged"


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
        heads = ground.of_case("freed_heads")
        if heads is not None:
            items.append(Say(key="people.heads", slots={"heads": Figure(fact=heads, form="count")}))
        items.append(Say(key=f"people.use_{ground.study.inquiry.people.freed_use.value}"))
    if ground.cell:
        items += several_cells(ground) if ground.long else ()
        items += (Say(key="people.duties"),) if ground.offered else ()
    elif ground.long:
        items += set_up(ground)
    return Section(key="people", blocks=(Bullets(items=tuple(items)),))


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
    own = {"by_hand_c": "by_hand_c_own"} if made is not None and made.takes == "arrangement" else {}
    steps = [f"{told}_{letter}" for letter in "abcdef"[:count]]
    return Section(
        key="next",
        blocks=(
            Bullets(items=tuple(Say(key=f"next.{own.get(each, each)}") for each in steps), numbered=True),
        ),
    )  # fmt: skip
