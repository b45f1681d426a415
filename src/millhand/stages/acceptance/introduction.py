"""What it takes to bring the advised way into the shop: training, people's hours, and what a change by hand needs."""

from collections.abc import Iterator

from millhand.formulas.hours import WEEK_H
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.introduction import Care, Introduction, Standby, Training
from millhand.model.performance import Performance
from millhand.model.study import Result
from millhand.stages.acceptance.bench import Bench
from millhand.stages.acceptance.by_hand import by_hand
from millhand.stages.acceptance.by_year import DUTIES, by_year, if_it_stands, lots_alone
from millhand.trace import Sheet, found


def introduction(
    advised: Result | None, today: Result, terms: tuple[Inquiry, Catalogue], sheet: Sheet
) -> Introduction | None:
    """Of the advised way; None where that is today's, or where nothing was worked out."""
    if advised is None or advised.performance is None or advised.concept.kind == "today":
        return None
    bench = Bench(
        result=advised, performance=advised.performance, inquiry=terms[0], catalogue=terms[1], sheet=sheet
    )  # fmt: skip
    made = by_hand(bench) if advised.concept.kind == "by_hand" else None
    spends = tuple(care(bench))
    if made is None:
        by_year(bench)
        if_it_stands(bench)
        lots_alone(bench)
    return Introduction(
        concept=advised.concept.id,
        care=spends,
        training=tuple(training(bench, made.takes if made else None)),
        by_hand=made,
        standby=None if made else standby(bench, today.performance),
    )


def training(bench: Bench, takes: str | None) -> Iterator[Training]:
    """How long whoever loads, looks after a cell or programs it is trained."""
    if takes is not None:
        yield Training(who="loads", hours=bench.figure(f"by_hand_{takes}_training_h").id)
        return
    yield Training(who="attends", hours=bench.figure("training_attend_h").id)
    yield Training(who="programs", hours=bench.figure("training_program_h").id)


def care(bench: Bench) -> Iterator[Care]:
    """Hours of a mean shift: duties as simulated, then all care of the machines, other work, and waiting."""
    output, people = bench.performance.output, bench.performance.people
    if output is not None:
        for kind, names in DUTIES:
            share = sum(output.duty_share[name].mean for name in names if name in output.duty_share)
            if share > 0.0:
                yield Care(kind=kind, hours=spent(bench, kind, share).id)  # type: ignore[arg-type]
    for kind, hours in (people.a_shift if people else {}).items():
        yield Care(kind=kind, hours=hours)  # type: ignore[arg-type]


def spent(bench: Bench, kind: str, share: float) -> Fact:
    """Hours of a mean shift of a share of the week."""
    output, shifts = bench.performance.output, bench.sheet["shifts.per_week"]
    assert output is not None
    source = f"simulation, seed {output.seed}, {output.replications} weeks, of cell {output.cell}"
    hours = share * WEEK_H / shifts.value
    return found(bench.sheet, Fact(id=bench.id(f"{kind}_h"), value=hours, unit="h", basis="computed", source=source))


def standby(bench: Bench, today: Performance | None) -> Standby | None:
    """How the machines are loaded by hand while the cell stands: no faster than today."""
    if today is None:
        return None
    sheet, layout = bench.sheet, bench.result.layout
    doors = [each.width for each in (layout.walks if layout else ()) if each.place.startswith("machine_")]
    return Standby(
        switch_s=bench.figure("hand_loading_switch_s").id,
        way_m=min(doors, key=sheet.value) if doors else None,
        today=today.parts_per_shift,
    )
