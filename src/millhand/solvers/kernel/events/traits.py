"""What a cell may have nothing of at all, settled when the loop is compiled.

Each answer is a column of the cell's record that has one place or none. The compiler knows how long it is and leaves
out all code behind an answer that is False; interpreted, the same function looks at the same column. True only says
that the cell may have some: its own numbers tell whether it does.
"""

from millhand.solvers.kernel.events.jit import Record, inner


@inner
def logs(k: Record) -> bool:
    """True where this run writes down what happens; a run that has no room for lines never does."""
    return len(k.log) > 0 and k.logging > 0


@inner
def has_rails(c: Record) -> bool:
    """Attendants that share a rail."""
    return len(c.has_rails) > 0


@inner
def has_cycles(c: Record) -> bool:
    """Attendants that do what a schedule says, in its order."""
    return len(c.has_cycles) > 0


@inner
def has_windows(c: Record) -> bool:
    """Stays that are limited."""
    return len(c.has_windows) > 0


@inner
def has_batches(c: Record) -> bool:
    """Loads of several parts."""
    return len(c.has_batches) > 0


@inner
def has_self_moving(c: Record) -> bool:
    """Stations that take in or put out by themselves."""
    return len(c.has_self_moving) > 0


@inner
def has_uses(c: Record) -> bool:
    """Loads that use up something besides their part."""
    return len(c.has_uses) > 0


@inner
def has_lots(c: Record) -> bool:
    """Lots, changeovers, or several part types."""
    return len(c.has_lots) > 0


@inner
def has_gates(c: Record) -> bool:
    """Gates, whose next part has to wait for its turn."""
    return len(c.has_gates) > 0


@inner
def has_slowing(c: Record) -> bool:
    """Attendants that go more slowly while a person stands near, or at a pace of their own."""
    return len(c.has_slowing) > 0


@inner
def has_warming(c: Record) -> bool:
    """Stations that have to warm up."""
    return len(c.has_warming) > 0


@inner
def has_wear(c: Record) -> bool:
    """Stations or attendants that wear something out."""
    return len(c.has_wear) > 0


@inner
def has_halts(c: Record) -> bool:
    """Attendants that fail or are stopped from outside, or stations that are held."""
    return len(c.has_halts) > 0


@inner
def has_hours(c: Record) -> bool:
    """Stations with hours of their own."""
    return len(c.has_hours) > 0


@inner
def has_stores(c: Record) -> bool:
    """Stations where parts may be set down and fetched again."""
    return len(c.has_stores) > 0


@inner
def has_moments(c: Record) -> bool:
    """Faults that come by the clock or with a load, not with the time of work."""
    return len(c.has_moments) > 0


@inner
def has_unlike(c: Record) -> bool:
    """Machines side by side of which some have a buffer of their own where others have none."""
    return len(c.has_unlike) > 0


@inner
def has_endless(c: Record) -> bool:
    """Machines with endless slots, of which some stand here."""
    return len(c.has_endless) > 0


@inner
def has_stocks(c: Record) -> bool:
    """Supplies, stores and outfeeds of which some have stops, wear or hours of their own."""
    return len(c.has_stocks) > 0


@inner
def may_stand(c: Record, s: int) -> bool:
    """Whether this is one of them."""
    return has_stocks(c) and c.s_stands[s] > 0


@inner
def in_turn(c: Record, a: int) -> bool:
    """True for an attendant that does what its list says, in its order."""
    return has_cycles(c) and c.op_to[a] > c.op_from[a]


@inner
def is_halted(c: Record, k: Record, a: int) -> bool:
    """True for an attendant that is stopped from outside or has failed."""
    return has_halts(c) and k.a_halted[a] != 0


@inner
def is_held(c: Record, k: Record, s: int) -> bool:
    """True for a station that something else stops."""
    return has_halts(c) and k.s_held[s] != 0
