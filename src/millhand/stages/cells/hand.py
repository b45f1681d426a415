"""The cell of a process that people tend, as today or better by hand."""

from collections.abc import Mapping
from dataclasses import replace

from millhand.model.catalogue import Catalogue, HandChange
from millhand.model.cell import Attendant, Calendar, Cell, CellPart, Dispatch, MoveTable, Place, Step
from millhand.model.concept import Concept
from millhand.model.duty import Duty, Trigger
from millhand.model.fact import Fact
from millhand.model.handling import Handling, Visit
from millhand.model.station import Station
from millhand.model.timing import OperationTiming
from millhand.stages.cells.hand_hours import heads_by_shift, pauses_by_hand, spread_of, stands_in
from millhand.stages.cells.people_away import after, called_away, hours_lost
from millhand.stages.cells.shared import (
    Draft,
    calendar,
    clear_name,
    fills_itself,
    kinds,
    machine_station,
    manned,
    served,
    shift_intervals,
    stations_of,
)
from millhand.stages.cells.work_spans import load_values, with_bound, work_span
from millhand.trace import apply


def hand_cell(draft: Draft, concept: Concept, catalogue: Catalogue) -> Cell:
    """Operators between rack and machines: exchanges outside, the inside work where the finished part is put."""
    change = next((each for each in catalogue.hand_changes if each.id == concept.change), None)
    machines = served(draft)
    operators = _each_to_his_own(draft, _operators(draft, change), change)
    stations = {
        "rack": Station(kind="supply", place="rack", capacity=None),
        **{name: machine_station(draft, name, machine, None) for name, machine in machines.items()},
        "done": Station(kind="sink", place="rack", capacity=None),
    }
    return Cell(
        name=f"{draft.inquiry.name}: {concept.title}",
        places={"rack": Place(), **{name: Place() for name in machines}},
        calendars={name: hours for name, (_, hours) in operators.items()},
        stations=stations,
        attendants={name: attendant for name, (attendant, _) in operators.items()},
        moves={"walk": _walks(draft, tuple(machines))},
        handling=_handling(draft, tuple(operators)),
        parts={draft.timing.part: _route(draft)},
        duties=_away(draft, change) | after(_duties(draft, tuple(operators))),
        dispatch={name: Dispatch(rule="longest_waiting") for name in operators},
        origins=draft.origins,
    )


def _operators(draft: Draft, change: HandChange | None) -> dict[str, tuple[Attendant, Calendar]]:
    """One attendant for each head of the fullest shift, present in the shifts that have so many heads."""
    heads = heads_by_shift(draft.inquiry, change)
    found: dict[str, tuple[Attendant, Calendar]] = {}
    for number in range(1, max(heads.values(), default=1) + 1):
        hours = [
            piece
            for shift in manned(draft.inquiry)
            if heads[shift.name] >= number
            for piece in shift_intervals(shift, pauses=pauses_by_hand(draft.inquiry, shift, number, change))
        ]
        name = f"operator{number}"
        faults = called_away(draft, name)
        found[name] = (
            Attendant(kind="operator", hands=2, home="rack", moves_full="walk", calendar=name, faults=faults),
            calendar(hours, "finish_element"),
        )
    return found


def _away(draft: Draft, change: HandChange | None) -> dict[str, Duty]:
    """Absences and handovers of each operator, in the shifts that have so many heads."""
    heads, found = heads_by_shift(draft.inquiry, change), dict[str, Duty]()
    for number in range(1, max(heads.values(), default=1) + 1):
        shifts = [shift for shift in manned(draft.inquiry) if heads[shift.name] >= number]
        found |= hours_lost(draft, f"operator{number}", number, shifts, "rack")
    return found


def _each_to_his_own(
    draft: Draft, operators: Mapping[str, tuple[Attendant, Calendar]], change: HandChange | None
) -> dict[str, tuple[Attendant, Calendar]]:
    """Each operator with machines of his own, where the shop has it so and it comes out even; else all serve all.

    Even: as many machines for each, and as many heads in each shift. Stops, tools and chips are still seen to by
    whoever is free. Who stands in for others serves all.
    """
    machines = tuple(served(draft))
    each = round(draft.inquiry.people.machines_per_operator.value * spread_of(change))
    uneven = len(operators) < 2 or len(draft.timing.operations) > 1 or each * len(operators) != len(machines)
    changing = len(set(heads_by_shift(draft.inquiry, change).values())) > 1
    if uneven or changing or stands_in(draft.inquiry, change):
        return dict(operators)
    return {
        name: (replace(who, take_from=("rack", *own), put_to=(*own, "done")), hours)
        for number, (name, (who, hours)) in enumerate(operators.items())
        for own in (machines[number * each : (number + 1) * each],)
    }


def _walks(draft: Draft, machines: tuple[str, ...]) -> MoveTable:
    """From rack to machine and from machine to machine, as the timing has it."""
    places = ("rack", *machines)
    rows = []
    for i, a in enumerate(places):
        row = []
        for j, b in enumerate(places):
            pair = " ".join(name.replace("rack", "presenter") for name in (a, b))
            walk = draft.of(draft.timing.travel[pair]) if a != b else None
            if walk is not None:
                draft.note(f"/moves/walk/empty_s/{i}/{j}", walk)
            row.append(walk.value if walk is not None else 0.0)
        rows.append(tuple(row))
    return MoveTable(places=places, empty_s=tuple(rows))


def _handling(draft: Draft, who: tuple[str, ...]) -> tuple[Handling, ...]:
    """Rack, then each operation's machines, then the place of finished parts with the inside work in it."""
    rows = [
        Handling(who=who, at=("rack",), pick=Visit(hold_s=draft.seconds("/handling/0/pick/hold_s", _nothing(draft))))
    ]
    for operation in draft.timing.operations:
        at, row = stations_of(draft, operation), f"/handling/{len(rows)}"
        exchange, outside = draft.of(operation.exchange), exchange_values(draft, operation)
        if fills_itself(served(draft)[at[0]]):
            rows.append(
                Handling(who=who, at=at, pick=Visit(hold_s=work_span(draft, f"{row}/pick/hold_s", exchange, outside)))
            )
            continue
        rows.append(
            Handling(
                who=who,
                at=at,
                pick=Visit(hold_s=work_span(draft, f"{row}/pick/hold_s", exchange, outside, 0.5)),
                place=Visit(hold_s=work_span(draft, f"{row}/place/hold_s", exchange, outside, 0.5)),
                swap=Visit(hold_s=work_span(draft, f"{row}/swap/hold_s", exchange, outside)),
            )
        )
    inside = load_values(draft.inquiry, "inside", at=[each.operation for each in draft.timing.operations])
    hold = work_span(draft, f"/handling/{len(rows)}/place/hold_s", _inside(draft), inside)
    rows.append(Handling(who=who, at=("done",), place=Visit(hold_s=hold)))
    return tuple(rows)


def exchange_values(draft: Draft, operation: OperationTiming) -> tuple[float, ...]:
    """Equally likely times of one exchange, with what of the machine's run holds the hands."""
    values = load_values(draft.inquiry, "outside", at=[operation.operation])
    if operation.bound is None:
        return values
    return with_bound(values, draft.of(operation.exchange).value, draft.of(operation.bound).value)


def _inside(draft: Draft) -> Fact:
    """The inside work of all operations, done where the finished part is put."""
    others = tuple(draft.of(operation.other) for operation in draft.timing.operations)
    if len(others) == 1:
        return others[0]
    return apply(draft.sheet, "attendant_work_s", f"concepts.{draft.timing.concept}.cells.inside", elements_s=others)


def _nothing(draft: Draft) -> Fact:
    """Taking a raw part from the rack lies in the elements already."""
    return draft.of(draft.timing.operations[0].lead)


def _route(draft: Draft) -> CellPart:
    """Rack, the operations in order, done."""
    steps = [Step(at=("rack",))]
    for number, operation in enumerate(draft.timing.operations, start=1):
        steps.append(operation_step(draft, operation, number))
    return CellPart(route=(*steps, Step(at=("done",))))


def operation_step(draft: Draft, operation: OperationTiming, number: int) -> Step:
    """One operation as a step of the route; yield is counted when parts are sold, not drawn here."""
    pointer, process = f"/parts/{draft.timing.part}/route/{number}", draft.of(operation.process)
    own = next(each for each in draft.inquiry.parts[0].operations if each.name == operation.operation)
    step = Step(at=stations_of(draft, operation), time_s=draft.seconds(f"{pointer}/time_s", process))
    if own.take_out_within_s is None:
        return step
    name = f"concepts.{draft.timing.concept}.cells.{own.name}.stay"
    stay = apply(draft.sheet, "attendant_work_s", name, elements_s=(process, own.take_out_within_s))
    draft.note(f"{pointer}/stay_max_s", stay)
    return replace(step, stay_max_s=stay.value)


def _duties(draft: Draft, who: tuple[str, ...]) -> dict[str, Duty]:
    """Stops first, then tools, then chips; all at the machine, by whoever is free."""
    stops = {clear_name(draft, machine): machine.stops.short_takes_s for machine in kinds(draft)}
    return {
        name: Duty(
            trigger=Trigger(kind="fault"), who=who, priority=1, holds="station",
            takes=draft.seconds(f"/duties/{name}/takes", takes),
        )
        for name, takes in stops.items()
    } | {
        "tools": Duty(
            trigger=Trigger(kind="wear"), who=who, priority=2, holds="station",
            takes=draft.seconds("/duties/tools/takes", draft.tool_change),
        ),
        "chips": Duty(
            trigger=Trigger(kind="wear"), who=who, priority=3, holds="station",
            takes=draft.seconds("/duties/chips/takes", draft.figures["chips_empty_s"]),
        ),
    }  # fmt: skip
