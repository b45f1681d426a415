"""The job as it was understood: machines, parts, orders, shifts and wishes, in both forms."""

from collections.abc import Iterator

from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.part import Operation, Part
from millhand.model.pool import kinds_in
from millhand.report.proposal.attending import with_breaks
from millhand.report.proposal.ground import Ground, called, figure
from millhand.report.proposal.records import EMPTY, PAIR, Figure, Item, Joined, Paragraph, Say, Section, Table, Term
from millhand.report.proposal.short_rests import rests
from millhand.report.proposal.short_told import told_rows

LIGHT_KG = 1.0  # lighter parts are told in grams


def job(ground: Ground) -> Section:
    """What the shop said, so that it can say where it was misunderstood."""
    inquiry = ground.study.inquiry
    rows: list[tuple[Item, ...]] = [
        (Say(key="job.machines"), machine_item(each)) for each in kinds_in(inquiry.machines)
    ]
    rows += [(Say(key="job.part"), part_item(each, ground.long)) for each in inquiry.parts]
    rows += [
        (Say(key="job.orders"), Joined(items=tuple(orders_item(each) for each in inquiry.parts), between="; ")),
        *([(Say(key="job.shifts"), with_breaks(ground, shifts_item(inquiry)))] if ground.long else ()),
        *told_rows(inquiry),
        (Say(key="job.wishes"), Joined(items=tuple(wishes(inquiry)), between="; ")),
    ]
    words: list[Item] = [*(part_list(ground) if ground.long else ()), Say(key="job.check")]
    more = () if ground.long else tuple(rests(ground))
    table = Table(columns=PAIR, rows=tuple(rows))
    return Section(key="job", blocks=(table, *more, *(Paragraph(item=each) for each in words)))


def part_list(ground: Ground) -> Iterator[Item]:
    """How much of the shop's part list the cell can load."""
    mix = ground.study.part_mix
    if mix is not None and mix.able and ground.subject is not None and mix.concept == ground.subject.concept.id:
        first = next(ground.known("part_mix.tried_share"), None)
        yield Say(key="job.part_list_tried" if first else "job.part_list", slots={
            "count": Figure(fact=mix.count, form="count"), "share": Figure(fact=mix.able, form="percent", part="value"),
            "tried": figure(first, "percent", "value"), "fit": Say(key="fit.title"),
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


def part_item(part: Part, every: bool = True) -> Item:
    """What it is, how large, how heavy, and the time of its operations; `every`: with how many parts a cycle makes
    where that is one."""
    operations = tuple(operation_item(each, every) for each in part.operations)
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


def operation_item(operation: Operation, every: bool = True) -> Item:
    """Its name, its time, from where to where that was taken, and how many parts one cycle makes."""
    time, word = Figure(fact=operation.time_s.id, form="seconds"), Say(key=f"time_is.{operation.time_is.value}")
    count = operation.parts_per_cycle
    key = "job.of_cycle_one" if count.value == 1.0 else "job.of_cycle"
    parts = Say(key=key, slots={"count": Figure(fact=count.id, form="count", part="value")})
    slots: dict[str, Item] = {"name": called(operation.name), "time": time, "word": word, "parts": parts}
    said = Say(key="job.operation" if every or count.value != 1.0 else "job.operation_one", slots=slots)
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
