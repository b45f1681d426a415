"""One operator and his machines: what one, two, three ... of them would give, in step and by chance, side by side.

In step: the best cycle of today's cell with so many machines, from the scheduler. By chance: machines that call at
random and queue, the exact finite-source models. All of it is computed beside a study that is done, from its facts.
"""

from dataclasses import replace

from millhand.model.catalogue import Catalogue
from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Study
from millhand.model.timing import Timing
from millhand.model.walk import facts_in, with_facts
from millhand.road import cycle, visited
from millhand.run import LocalRunner, Nobody, Runner, Watch, watched
from millhand.stages.cells.build import cell
from millhand.stages.concepts import concepts
from millhand.stages.layout import layout
from millhand.stages.servicing import bench, looked_at, serviced, summed
from millhand.stages.timing.build import timing
from millhand.trace import Sheet, needed


def with_servicing(
    done: Study, inquiry: Inquiry, catalogue: Catalogue, *, runner: Runner | None = None, watch: Watch | None = None
) -> Study:
    """The study with what fewer or more machines an operator would give, and the facts of that in its map."""
    asked = visited(inquiry)
    sheet = Sheet((*facts_in(asked), *facts_in(catalogue)))
    times = timed(asked, catalogue, sheet)
    shared = bench(asked, times, operator_money(done, sheet), done.results[0].cell, sheet)
    counts = looked_at(shared, asked)
    cells = [with_machines(asked, catalogue, count) for count in counts]
    made = (runner or LocalRunner()).map(cycle, cells)
    schedules = tuple(watched(watch or Nobody(), "machines", made, total=len(cells)))
    rows = tuple(serviced(shared, *pair) for pair in zip(counts, schedules, strict=True))
    whole = summed(shared, asked, rows)
    new = needed(sheet.facts, [fact_id for fact_id in sheet.facts if fact_id.startswith("servicing.")])
    return replace(
        done, facts={**done.facts, **{key: new[key] for key in new if key not in done.facts}}, servicing=whole
    )


def timed(inquiry: Inquiry, catalogue: Catalogue, sheet: Sheet) -> Timing:
    """How long one load takes today."""
    today = concepts(inquiry, catalogue)[0]
    return timing(inquiry, today, layout(inquiry, today, catalogue, sheet), catalogue, sheet)


def with_machines(inquiry: Inquiry, catalogue: Catalogue, count: int) -> Cell:
    """Today's cell with so many machines of each kind, all of them tended by one operator."""
    kinds = len(inquiry.machines)
    new = {machine.count.id: exact(machine.count, count) for machine in inquiry.machines}
    new |= {shift.operators.id: exact(shift.operators, 1) for shift in inquiry.shifts}
    people = inquiry.people
    new |= {people.operators.id: exact(people.operators, 1)}
    new |= {people.machines_per_operator.id: exact(people.machines_per_operator, count * kinds)}
    changed = replace(with_facts(inquiry, new), places=())
    sheet = Sheet((*facts_in(changed), *facts_in(catalogue)))
    today = concepts(changed, catalogue)[0]
    stands = layout(changed, today, catalogue, sheet)
    times = timing(changed, today, stands, catalogue, sheet)
    return cell(changed, today, stands, times, catalogue, sheet)


def exact(fact: Fact, value: float) -> Fact:
    """The fact with another value, as if it were certain."""
    return replace(fact, value=float(value), low=None, high=None, shape="point")


def operator_money(done: Study, sheet: Sheet) -> Fact | None:
    """What an hour of the operator costs in the study; None where it made nothing that could cost."""
    cost = next((f for f in done.facts.values() if f.formula == "labour_money_per_part" and ".today." in f.id), None)
    if cost is None:
        return None
    wage = done.facts[dict(cost.inputs)["money_per_h"]]
    sheet.extend([] if wage.id in sheet else [wage])
    return wage
