"""On two pages: the figures that the answer rests on and that stand nowhere else there, each told or assumed."""

from collections.abc import Iterator, Sequence

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.pool import kinds_in
from millhand.report.proposal.ground import Ground, figure
from millhand.report.proposal.records import EMPTY, Block, Column, Item, Joined, Say, Table

Row = tuple[Item, Item, Item]
HEADS = (("rests.what", "left", 1.0), ("rests.counted", "right", 0.0), ("ask.basis", "left", 0.0))


def rests(ground: Ground) -> Iterator[Block]:
    """Two columns of figures beside each other, so that they take half the height."""
    rows = tuple(rows_of(ground.study.inquiry))
    half = (len(rows) + 1) // 2
    right = (*rows[half:], *((EMPTY, EMPTY, EMPTY),) * (2 * half - len(rows)))
    heads = tuple(Column(head=head, align=align, width=width) for head, align, width in HEADS)  # type: ignore[arg-type]
    sides = zip(rows[:half], right, strict=True)
    yield Table(columns=(*heads, *heads), rows=tuple((*one, *other) for one, other in sides))


def rows_of(inquiry: Inquiry) -> Iterator[Row]:
    """The machines, the hours, the lots, the parts, the money."""
    machines, parts = tuple(kinds_in(inquiry.machines)), inquiry.parts
    work = [operation for part in parts for operation in part.operations]
    if sum(each.count.value for each in machines) > 1.0:
        yield row("spacing", [each.spacing_m for each in machines], "metres")
        yield row("walk", [inquiry.today.walk_s], "seconds")
    yield breaks(inquiry)
    yield row("days", [inquiry.shop.work_days_per_y], "count")
    yield row("setup", [inquiry.today.setup_s], "minutes")
    yield row("good", [each.good for each in work], "share")
    yield row("gauging", [each.gauge_every for each in work], "tally", "one_in")
    yield row("tools", [each.tool_life_parts for each in work], "tally", "parts")
    stops = [fact for each in machines for fact in (each.stops.short_every_s, each.stops.short_takes_s)]
    every, takes = shown(stops[::2], "hours"), shown(stops[1::2], "minutes")
    yield named("stops"), Say(key="rests.every", slots={"every": every, "takes": takes}), basis(stops)
    yield row("contribution", [each.contribution_per_part for each in parts], "money")
    money = [inquiry.money.rate, inquiry.money.horizon_y]
    slots: dict[str, Item] = {"rate": shown(money[:1], "percent"), "years": shown(money[1:], "years")}
    yield named("money"), Say(key="rests.over", slots=slots), basis(money)


def row(name: str, facts: Sequence[Fact], form: str, words: str = "") -> Row:
    """One figure, or one of each machine, operation or part where they differ."""
    value = shown(facts, form)
    return named(name), Say(key=f"rests.{words}", slots={"value": value}) if words else value, basis(facts)


def breaks(inquiry: Inquiry) -> Row:
    """The breaks of a shift, of each where they differ."""
    lengths = {tuple(each.length_s.value for each in shift.breaks): [each.length_s for each in shift.breaks]
               for shift in inquiry.shifts if shift.breaks}  # fmt: skip
    if not lengths:
        return named("breaks"), Say(key="rests.no_breaks"), EMPTY
    told = tuple(Joined(items=tuple(figure(each.id, "minutes", "value") for each in some), between=" + ")
                 for some in lengths.values())  # fmt: skip
    return (
        named("breaks"),
        Joined(items=told, between="; "),
        basis([each for some in lengths.values() for each in some]),
    )


def named(name: str) -> Item:
    """What a figure is called."""
    return Say(key=f"rests.{name}")


def shown(facts: Sequence[Fact], form: str) -> Item:
    """Their values, once where they are alike."""
    alike = len({each.value for each in facts}) == 1
    return Joined(
        items=tuple(figure(each.id, form, "value") for each in (facts[:1] if alike else facts)), between=" / "
    )


def basis(facts: Sequence[Fact]) -> Item:
    """Whether somebody said them; of some that somebody said and some that nobody did, both words."""
    found = dict.fromkeys(each.basis for each in facts)
    return Joined(items=tuple(Say(key=f"ask.basis_{each}") for each in found))
