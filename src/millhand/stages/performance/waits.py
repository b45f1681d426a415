"""How long the machines of a cell stand ready and wait to be served: shares of time that the simulation counted."""

from collections.abc import Sequence

from millhand.model.cell import Cell
from millhand.model.performance import MachineWait, Output
from millhand.stages.performance.shared import Scope, simulated_words, stations_of

WAITING = ("waiting", "waiting_low", "waiting_high")  # as the output names share and interval of a station


def waits(scope: Scope) -> tuple[MachineWait, ...]:
    """One record an operation; nothing where nothing was simulated."""
    output = scope.output
    if output is None or not output.effectiveness:
        return ()
    kinds = zip(scope.timing.operations, scope.machines, strict=True)
    return tuple(_wait(scope, output, timed.operation, stations_of(scope, machine.name)) for timed, machine in kinds)


def _wait(scope: Scope, output: Output, operation: str, stations: Sequence[str]) -> MachineWait:
    """The machines of one operation together. The mean of their intervals' ends holds at the least what it says."""
    each = [output.effectiveness.get(name, {}) for name in stations]
    open_ = sum(open_share(scope.cell, name) for name in stations)
    mean, low, high = (sum(figures.get(end, 0.0) for figures in each) for end in WAITING)
    words = f"95 % interval of the {simulated_words(output)}"
    loads = output.parts_per_h.mean
    return MachineWait(
        operation=operation,
        share=scope.solved(
            f"{operation}.waiting_share", mean / open_, "1", words, ends=(low / open_, high / open_)
        ).id,
        a_load=scope.solved(
            f"{operation}.waiting_s", 3600.0 * mean / loads if loads else 0.0, "s", words,
            ends=(3600.0 * low / loads, 3600.0 * high / loads) if loads else None,
        ).id,
    )  # fmt: skip


def open_share(cell: Cell, station: str) -> float:
    """The share of time in which a station may work at all."""
    name = cell.stations[station].calendar
    if name is None:
        return 1.0
    hours = cell.calendars[name]
    return sum(end - begin for begin, end in hours.on) / hours.period_s
