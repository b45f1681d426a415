"""How visits and slots of events are numbered; where kinds of slots begin is known when the loop is compiled."""

from millhand.solvers.kernel.events.jit import Record, inner


@inner
def visit_of(row: int, kind: int) -> int:
    """The visit of a row of handling."""
    return 4 * row + kind


@inner
def kind_of(visit: int) -> int:
    """Pick, place or swap; of no visit something else."""
    return visit & 3


@inner
def row_of(visit: int) -> int:
    """The row of handling that a visit follows."""
    return visit >> 2


@inner
def clock_slot(c: Record) -> int:
    """Where the clocks of duties begin among the slots of events: after the attendants."""
    return len(c.a_arm)


@inner
def station_slot(c: Record) -> int:
    """Where the stations begin."""
    return len(c.a_arm) + len(c.clock_duty)


@inner
def fault_slot(c: Record) -> int:
    """Where the faults begin."""
    return len(c.a_arm) + len(c.clock_duty) + len(c.s_kind)


@inner
def calendar_slot(c: Record) -> int:
    """Where the calendars begin."""
    return len(c.a_arm) + len(c.clock_duty) + len(c.s_kind) + len(c.f_owner)
