"""People's hours of a year at the advised cell by kind, which add up to all that they still spend; what a shift makes
if the arm stands while somebody fills; how often a lot ends while nobody is there."""

from millhand.model.fact import Fact
from millhand.stages.acceptance.bench import Bench
from millhand.trace import found

DUTIES = (("stops", ("clear", "arm_fault")), ("tools", ("tools",)), ("chips", ("chips",)), ("refill", ("refill",)))
ABSENCE = "absence_"  # so begin the duties that stand for somebody who did not come


def by_year(bench: Bench) -> None:
    """As facts `introduction.year.*`: the hours that the study counts, of the parts that it counts them for."""
    top, output = f"concepts.{bench.result.concept.id}.performance", bench.performance.output
    behind = ("tended_parts_per_y", "good_share", "loads_per_h", "inside_s", "duties_s")
    if output is None or any(f"{top}.{each}" not in bench.sheet for each in behind):
        return
    shares = {name: each.mean for name, each in output.duty_share.items() if not name.startswith(ABSENCE)}
    kinds = {kind: sum(shares.pop(name, 0.0) for name in names) for kind, names in DUTIES}
    for kind, share in {**kinds, "else": sum(shares.values())}.items():
        if share > 0.0:
            in_a_year(bench, kind, duty_of(bench, kind, share))
    in_a_year(bench, "parts", bench.sheet[f"{top}.inside_s"])


def duty_of(bench: Bench, kind: str, share: float) -> Fact:
    """Time a part of one duty, from the share of the simulated weeks that somebody spends on it."""
    top, output = f"concepts.{bench.result.concept.id}.performance", bench.performance.output
    assert output is not None
    words = f"simulation, seed {output.seed}, {output.replications} replications, of cell {output.cell}"
    counted = Fact(id=bench.id(f"year.{kind}_share"), value=share, unit="1", basis="computed", source=words)
    timed = bench.result.timing
    assert timed is not None
    return bench.apply(
        "duty_s", f"year.{kind}_s", work_share=found(bench.sheet, counted),
        loads_per_h=bench.sheet[f"{top}.loads_per_h"], parts_per_load=bench.sheet[timed.operations[-1].parts_per_load],
    )  # fmt: skip


def in_a_year(bench: Bench, kind: str, work: Fact) -> None:
    """Hours a year of a work that is done on each part that the study counts people's hours for."""
    top = f"concepts.{bench.result.concept.id}.performance"
    bench.apply(
        "work_h_per_y", f"year.{kind}_h",
        parts_per_y=bench.sheet[f"{top}.tended_parts_per_y"], good_share=bench.sheet[f"{top}.good_share"],
        work_s_per_part=work,
    )  # fmt: skip


def if_it_stands(bench: Bench) -> None:
    """Good parts of a mean shift if the arm stood while somebody fills, at the least."""
    if bench.id("refill_h") in bench.sheet:
        bench.apply(
            "parts_with_stands", "shift_if_it_stands",
            parts_per_shift=bench.sheet[bench.performance.parts_per_shift], stands_h=bench.sheet[bench.id("refill_h")],
            covered_h=bench.sheet["shifts.covered_h"], shifts=bench.sheet["shifts.per_week"],
        )  # fmt: skip


def lots_alone(bench: Bench) -> None:
    """In which share of the nights a lot ends; nothing where one family has the machines, or nobody is away."""
    own, part = bench.performance, bench.inquiry.parts[0]
    if own.parts_alone is not None and own.unattended_per_h and part.families.value > 1.0:
        bench.apply("lot_ends_share", "lot_ends", run_parts=bench.sheet[own.parts_alone], lot=part.lot_size)
