"""What people who are not at the machines cost today, and how else the same machines could be tended.

Today's cell is simulated again with one thing taken out at a time, and with other ways to share the machines out and to
cover the breaks; as many weeks of the shop's calendar each, under the same chance. Beside a study that is done.
"""

from collections.abc import Sequence
from dataclasses import replace

from millhand.model.catalogue import Catalogue
from millhand.model.cell import Cell
from millhand.model.inquiry import Inquiry
from millhand.model.kept import output_of, output_text
from millhand.model.performance import Output
from millhand.model.study import Study
from millhand.model.tending import Tending, TendingCell
from millhand.model.walk import facts_in
from millhand.road import HOURS, visited, weeks
from millhand.run import LocalRunner, Nobody, Runner, Watch, watched
from millhand.solvers.kernel.replications import simulate
from millhand.stages.cells.build import cell
from millhand.stages.concepts import concepts
from millhand.stages.layout import layout
from millhand.stages.tending import SIMULATED, Bench, in_turn, made, taken_out, tended, ways, without
from millhand.stages.timing.build import timing
from millhand.trace import Sheet

Task = tuple[Cell, int, int]  # cell, weeks, seed


def with_tending(
    done: Study, inquiry: Inquiry, catalogue: Catalogue, *, runner: Runner | None = None, watch: Watch | None = None
) -> Study:
    """The study with where parts are lost and with other ways to tend, and the facts of that in its map.

    A study whose today was not simulated has nothing to hold that against, and stays as it is.
    """
    if SIMULATED not in done.facts:
        return done
    asked = visited(inquiry)
    causes, alone = tuple(without(asked)), replace(catalogue, components={}, hand_changes=())
    shops = (*ways(asked), *(each for _, each in causes))
    cells = [today_s_cell(each, alone) for each in shops]
    tasks = [(each, weeks(cells[0]), done.seed) for each in cells]
    texts = watched(watch or Nobody(), "ways to tend", (runner or LocalRunner()).map(run, tasks), total=len(tasks))
    outputs = [output_of(each) for each in texts]
    bench = Bench(inquiry=asked, sheet=Sheet(done.facts.values()), output=outputs[0])
    others = shops[: len(shops) - len(causes)]
    names = [
        *(f"tended-{each.people.tend.value}-{each.people.break_cover.value}" for each in others),
        *(f"without-{cause}" for cause, _ in causes),
    ]
    whole = replace(summed(bench, others, causes, outputs), cells=apart(names, cells))
    new = {key: fact for key, fact in bench.sheet.facts.items() if key not in done.facts}
    return replace(done, facts={**done.facts, **new}, tending=whole)


def summed(
    bench: Bench,
    others: tuple[Inquiry, ...],
    causes: tuple[tuple[str, Inquiry], ...],
    outputs: list[Output],
) -> Tending:
    """All rows of the page; the outputs of the ways come first."""
    base = made(bench, "today", bench.output)
    out = tuple(
        taken_out(bench, cause, output, base)  # type: ignore[arg-type]
        for (cause, _), output in zip(causes, outputs[len(others) :], strict=True)
    )
    rows = tuple(tended(bench, way, output) for way, output in zip(others, outputs, strict=False))
    return Tending(made=base.id, losses=(*out, *in_turn(bench, base)), ways=rows)


def apart(names: Sequence[str], cells: Sequence[Cell]) -> tuple[TendingCell, ...]:
    """The cells by name but today's, the first, which the study holds already."""
    known = zip(names[1:], cells[1:], strict=True)
    return tuple(TendingCell(name=name, cell=each) for name, each in known if each != cells[0])


def today_s_cell(inquiry: Inquiry, catalogue: Catalogue) -> Cell:
    """Today's process of an inquiry as a cell."""
    sheet = Sheet((*facts_in(inquiry), *facts_in(catalogue)))
    today = concepts(inquiry, catalogue)[0]
    stands = layout(inquiry, today, catalogue, sheet)
    return cell(inquiry, today, stands, timing(inquiry, today, stands, catalogue, sheet), catalogue, sheet)


def run(task: Task) -> str:
    """What one cell puts out, as text; may run in another process."""
    return output_text(simulate(task[0], hours=HOURS, replications=task[1], seed=task[2]))
