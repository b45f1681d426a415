"""Small cells made from numbers, for tests: machines in a row, or side by side, served by one attendant."""

from collections.abc import Sequence
from dataclasses import dataclass

from millhand.model.cell import Attendant, Cell, CellPart, Dispatch, MoveTable, Place, Step
from millhand.model.handling import Handling, Visit
from millhand.model.span import Span
from millhand.model.station import Station


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """The numbers of one such cell; `side_by_side`: every machine does the whole job, in the first of `times_s`."""

    times_s: Sequence[float]
    hold_s: float = 1.0
    step_s: float = 2.0
    constant: bool = False
    hands: int = 1
    turn_s: float = 0.0
    machines: int | None = None
    longest_s: Sequence[float | None] = ()
    tail_s: float = 0.0
    order: tuple[str, ...] = ()

    @property
    def names(self) -> list[str]:
        """The machines."""
        return [f"m{number + 1}" for number in range(self.machines or len(self.times_s))]


def span(seconds: float) -> Span:
    """A time that is always the same."""
    return Span(mean_s=float(seconds))


def visit(seconds: float, *, tail_s: float = 0.0) -> Visit:
    """A visit of so many seconds."""
    return Visit(hold_s=span(seconds), tail_s=span(tail_s))


def travel(row: Row) -> MoveTable:
    """Places in a line, one step between neighbours, or the same way between any two."""
    places = ["i", *row.names, "o"]
    table = tuple(
        tuple(row.step_s * (min(1, abs(a - b)) if row.constant else abs(a - b)) for b in range(len(places)))
        for a in range(len(places))
    )
    return MoveTable(places=tuple(places), empty_s=table)


def route(row: Row) -> tuple[Step, ...]:
    """From the supply over the machines to the sink."""
    if row.machines is not None:
        return (Step(at=("i",)), Step(at=tuple(row.names), time_s=span(row.times_s[0])), Step(at=("o",)))
    longest = list(row.longest_s) or [None] * len(row.times_s)
    inner = [
        Step(at=(name,), time_s=span(time), stay_max_s=most)
        for name, time, most in zip(row.names, row.times_s, longest, strict=True)
    ]
    return (Step(at=("i",)), *inner, Step(at=("o",)))


def row_cell(row: Row) -> Cell:
    """The cell of a row."""
    stations = {
        "i": Station(kind="supply", place="i", capacity=None),
        "o": Station(kind="sink", place="o", capacity=None),
    }
    stations |= {name: Station(kind="process", place=name) for name in row.names}
    hold = visit(row.hold_s)
    swap = visit(2 * row.hold_s, tail_s=row.tail_s) if row.hands > 1 else None
    machine = Handling(
        who=("arm",), at=tuple(row.names), pick=hold, place=visit(row.hold_s, tail_s=row.tail_s), swap=swap
    )
    return Cell(
        name="a row",
        places={name: Place() for name in ("i", *row.names, "o")},
        stations=stations,
        attendants={
            "arm": Attendant(kind="arm", hands=row.hands, turn_s=row.turn_s, home="i", moves_full="line"),
        },
        moves={"line": travel(row)},
        handling=(
            Handling(who=("arm",), at=("i",), pick=hold),
            Handling(who=("arm",), at=("o",), place=hold),
            machine,
        ),
        parts={"part": CellPart(route=route(row))},
        dispatch={"arm": Dispatch(rule="order", order=row.order)} if row.order else {},
    )
