"""What the performance of hands and of arms share: the scope, the solver's facts, output after losses."""

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from millhand.formulas.hours import WEEK_H
from millhand.model.canonical import content_hash
from millhand.model.catalogue import HandChange
from millhand.model.cell import Cell
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.part import Operation
from millhand.model.performance import Output
from millhand.model.phases import PhaseCell
from millhand.model.schedule import Schedule
from millhand.model.timing import Timing
from millhand.solvers.cycle.bounds import load_bounds, rate_bound_per_h
from millhand.stages.performance.hours import Hours
from millhand.trace import Sheet, apply, found

SHARE = "phases.share"  # what the phases of a lot make of what the mean of them claims
SIMULATION, IN_TURN = "simulation,", "the cells of all phases beside cell"
ABSENCE = "absence_"  # so begin the duties that stand for somebody who did not come
TODAY = "concepts.today.performance.capacity_parts_per_y"
TODAY_H = "concepts.today.performance.operator_h_per_y"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """One concept's cell with what the simulation counted (None: not simulated, its load bound stands for it)."""

    inquiry: Inquiry
    concept: Concept
    timing: Timing
    cell: Cell
    cell_hash: str
    schedule: Schedule | None
    output: Output | None
    hours: Hours
    figures: Mapping[str, Fact]
    sheet: Sheet
    change: HandChange | None = None  # None: today, and a cell
    phases: tuple[PhaseCell, ...] = ()

    def id(self, name: str) -> str:
        """The fact id of one figure of this concept's performance."""
        return f"concepts.{self.concept.id}.performance.{name}"

    def apply(self, formula: str, name: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
        """A computed fact of this concept's performance."""
        return apply(self.sheet, formula, self.id(name), **inputs)

    def solved(
        self, name: str, value: float, unit: str, source: str, *, ends: tuple[float, float] | None = None,
        cells: tuple[Cell, ...] = (),
    ) -> Fact:  # fmt: skip
        """A solver's result, which names its cell and the facts that it was built from; ends: of its interval; cells:
        what it is of, where that is not the concept's cell alone."""
        of = cells or (self.cell,)
        sources = tuple(sorted({origin.fact for each in of for origin in each.origins.values()}))
        first = self.cell_hash if of[0] is self.cell else content_hash(of[0])
        low, high = ends or (None, None)
        fact = Fact(
            id=self.id(name), value=value, unit=unit, basis="computed", low=low, high=high,
            shape="point" if ends is None else "triangular",
            source=f"{source} of {self.simulated_cell(source)} {first}",
            inputs=tuple(("", each) for each in sources),
        )  # fmt: skip
        return found(self.sheet, fact)

    def simulated_cell(self, source: str) -> str:
        """How a result names what it is of: each phase of a lot is simulated on its own."""
        return IN_TURN if self.phases and SIMULATION in source else "cell"

    def of(self, fact_id: str) -> Fact:
        """A fact by id."""
        return self.sheet[fact_id]

    @property
    def operations(self) -> tuple[Operation, ...]:
        """The operations of the first part family."""
        return self.inquiry.parts[0].operations

    @property
    def machines(self) -> tuple[Machine, ...]:
        """The kind of machine of each operation."""
        named = {machine.name: machine for machine in self.inquiry.machines}
        return tuple(named[operation.machine] for operation in self.operations)

    @property
    def parts_per_load(self) -> Fact:
        """Parts in one machine load, of the last operation: what leaves the cell."""
        return self.of(self.timing.operations[-1].parts_per_load)


def bound_of(scope: Scope) -> Fact:
    """Loads an hour that the cell could make at most while it is staffed and open; of the mean of a lot's phases."""
    return scope.solved("bound_loads_per_h", rate_bound_per_h(scope.cell), "1/h", "load bound")


def bound_parts(scope: Scope, bound: Fact) -> Fact:
    """Parts an hour at the load bound."""
    return scope.apply(
        "parts_of_loads_per_h", "bound_parts_per_h", loads_per_h=bound, parts_per_load=scope.parts_per_load
    )


def pace_setters(cell: Cell) -> tuple[str, ...]:
    """Which resource sets the pace by its load, and the second where it is within 5 % of the first."""
    first, *rest = load_bounds(cell)
    near = [bound.resource for bound in rest if bound.steps >= 0.95 * first.steps]
    return tuple(called(cell, name) for name in (first.resource, *near[:1]))


def called(cell: Cell, resource: str) -> str:
    """What a reader calls a resource: who is the only operator, or the only arm, needs no number."""
    kinds = Counter(each.kind for each in cell.attendants.values())
    for name, each in cell.attendants.items():
        if kinds[each.kind] == 1:
            resource = re.sub(rf"\b{re.escape(name)}\b", each.kind, resource)
    return resource


def pace_words(cell: Cell) -> str:
    """The same in words."""
    return " and, close behind, ".join(pace_setters(cell))


def simulated_words(output: Output) -> str:
    """How a simulated figure names its run."""
    return f"{SIMULATION} seed {output.seed}, {output.replications} replications of {output.horizon_s / 3600:g} h,"


def achieved_rate(scope: Scope, bound: Fact) -> Fact:
    """Parts an attended hour: the bound times the share of it that the simulation achieved, or the bound itself."""
    covered = scope.of(scope.hours.covered_h)
    if scope.output is None:
        share = scope.solved("achieved", 1.0, "1", "not simulated: the load bound")
    else:
        by_hand = scope.concept.kind != "cell"  # a part that comes out just after people went home is theirs
        counted = scope.output.parts_per_h if by_hand else scope.output.counts["attended"]
        loads = counted.mean * WEEK_H / covered.value
        share = achieved_share(scope, loads / bound.value if bound.value else 0.0, simulated_words(scope.output))
    return scope.apply(
        "achieved_parts_per_h", "simulated_parts_per_h",
        bound_loads_per_h=bound, achieved=share, parts_per_load=scope.parts_per_load,
    )  # fmt: skip


def achieved_share(scope: Scope, share: float, source: str) -> Fact:
    """The share of the load bound that the simulation achieved.

    Where a change by hand says how much of the breaks the machines still stand, that is a figure with a range: the
    share outside the breaks is held, and what is lost in them follows the figure.
    """
    lost = effect_of(scope, "breaks_lost")
    if lost is None:
        return scope.solved("achieved", share, "1", source)
    manned = [shift for shift in scope.inquiry.shifts if shift.manned.value == "yes"]
    beside = scope.apply(
        "beside_breaks_share", "beside_breaks", breaks_lost=lost,
        breaks_s=tuple(scope.of(f"shifts.{shift.name}.breaks") for shift in manned),
        days=tuple(shift.days_per_week for shift in manned), covered_h=scope.of(scope.hours.covered_h),
    )  # fmt: skip
    outside = scope.solved("achieved_outside_breaks", share / beside.value, "1", source)
    return scope.apply("achieved_with_breaks", "achieved", outside_share=outside, beside_share=beside)


def availability(scope: Scope, *, with_arm: bool) -> Fact:
    """Long stops that the simulation leaves out: of each machine of the line, and with an arm of the whole cell."""
    stops = [machine.stops for machine in scope.machines]
    every, takes = [each.long_every_s for each in stops], [each.long_takes_s for each in stops]
    if with_arm:
        every.append(scope.figures["cell_stop_every_s"])
        takes.append(scope.figures["cell_stop_takes_s"])
    return scope.apply("joint_availability", "available", every_s=tuple(every), takes_s=tuple(takes))


def good_share(scope: Scope) -> Fact:
    """Share of parts that are good after all operations and were not left in a machine too long.

    The simulation draws no scrap but that of a window that was missed."""
    shares = tuple(operation.good for operation in scope.operations)
    late = (in_time(scope),) if scope.output is not None and scope.output.late_at else ()
    return scope.apply("joint_good_share", "good_share", good_shares=(*shares, *late))


def in_time(scope: Scope) -> Fact:
    """Share of the loads that were taken out of the machine within their window."""
    assert scope.output is not None
    words, late = simulated_words(scope.output), sum(each.mean for each in scope.output.late_at.values())
    return scope.apply(
        "in_time_share", "in_time",
        late_per_h=scope.solved("late_per_h", late, "1/h", words),
        loads_per_h=scope.solved("loads_per_h", scope.output.parts_per_h.mean, "1/h", words),
    )  # fmt: skip


def net_rate(scope: Scope, rate: Fact, loss: Fact, *, kept: Fact, available: Fact, most: tuple[Fact, ...]) -> Fact:
    """Good parts an attended hour after today's unexplained loss, as far as it stays, and the long stops."""
    return scope.apply(
        "net_parts_per_h", "net_parts_per_h",
        rate_parts_per_h=rate, loss_share=loss, kept_share=kept, available_share=available,
        good_share=good_share(scope), most_parts_per_h=most,
    )  # fmt: skip


def stations_of(scope: Scope, machine: str) -> tuple[str, ...]:
    """The stations of the cell that are machines of this kind, as the route of the part names them."""
    kinds = [each.name for each in scope.inquiry.machines for _ in range(round(each.count.value))]
    own = {f"machine_{number}" for number, kind in enumerate(kinds, start=1) if kind == machine}
    return next(step.at for step in scope.cell.parts[scope.timing.part].route if step.at[0] in own)


def changes_lots(scope: Scope) -> bool:
    """Whether one lot follows another: several families share the machines."""
    return scope.inquiry.parts[0].families.value > 1.0


def fewest(scope: Scope) -> Fact:
    """Machines at the narrowest place: a lot goes through every operation, and there a set-up costs most."""
    return min((machine.count for machine in scope.machines), key=lambda count: count.value)


def rate_with_changeovers(scope: Scope, steady: Fact, changeover: Fact) -> Fact:
    """Parts an attended hour when for each lot one machine stands for a changeover."""
    return scope.apply(
        "rate_with_changeovers_per_h", "rate_parts_per_h",
        rate_per_h=steady, changeover_s=changeover, lot=scope.inquiry.parts[0].lot_size, machines=fewest(scope),
    )  # fmt: skip


def tended_parts(scope: Scope, capacity: Fact) -> Fact:
    """Parts that people's hours are counted for.

    While nobody said what one more part is worth, more than today brings nothing, and so costs no hours either.
    """
    today, worth = scope.of(TODAY), any(part.contribution_per_part.value > 0.0 for part in scope.inquiry.parts)
    return scope.apply(
        "tended_parts_per_y", "tended_parts_per_y",
        capacity_parts_per_y=capacity if worth else today, today_parts_per_y=today, orders_parts_per_y=orders_of(scope),
    )  # fmt: skip


def orders_of(scope: Scope) -> tuple[Fact, ...]:
    """What is ordered in a year of each part family."""
    return tuple(part.orders_per_y for part in scope.inquiry.parts)


def as_ordered(scope: Scope, name: str, hours: Fact, capacity: Fact) -> Fact:
    """People's hours of a way by hand, today's among them: as long as there is something to make."""
    return scope.apply(
        "ordered_h_per_y", name, full_h=hours, orders_parts_per_y=orders_of(scope),
        capacity_parts_per_y=capacity, today_parts_per_y=scope.of(TODAY),
    )  # fmt: skip


def duties(scope: Scope) -> Fact:
    """People's time on the duties of the simulation, a part; an absence is nobody's time."""
    assert scope.output is not None
    words = simulated_words(scope.output)
    shares = [each.mean for name, each in scope.output.duty_share.items() if not name.startswith(ABSENCE)]
    share = scope.solved("duty_share", sum(shares), "1", words)
    loads = scope.solved("loads_per_h", scope.output.parts_per_h.mean, "1/h", words)
    return scope.apply("duty_s", "duties_s", work_share=share, loads_per_h=loads, parts_per_load=scope.parts_per_load)


def a_shift(scope: Scope, rate: Fact) -> Fact:
    """Parts of an average manned shift."""
    return scope.apply(
        "mean_parts_per_shift", "parts_per_shift",
        rate_parts_per_h=rate, covered_h=scope.of(scope.hours.covered_h), shifts=scope.of(scope.hours.shifts),
    )  # fmt: skip


# --- by hand ---


def effect_of(scope: Scope, name: str) -> Fact | None:
    """One figure of the change by hand; None where it does not touch that."""
    return scope.change.effects.get(name) if scope.change is not None else None


def set_up_of(scope: Scope) -> Fact:
    """The set-up between two lots: today's, or what a change by hand makes of it."""
    factor = effect_of(scope, "setup")
    today = scope.inquiry.today.setup_s
    return today if factor is None else scope.apply("changed_time_s", "set_up", time_s=today, factor=factor)


def nothing(scope: Scope, name: str) -> Fact:
    """Nought, as a sum of nothing."""
    return scope.apply("shifts_per_week", name, days=())
