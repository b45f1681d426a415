"""Whether a station takes a part as it stands: into its load, and without a changeover."""

from millhand.solvers.kernel.events.calls import call
from millhand.solvers.kernel.events.jit import Record, inner
from millhand.solvers.kernel.events.loads import fits_load
from millhand.solvers.kernel.events.traits import has_lots


@inner
def is_set_up_for(c: Record, k: Record, s: int, g: int) -> bool:
    """True where the station takes a part of step g as it stands: into its load, and without a changeover."""
    if not fits_load(c, k, s, g):
        return False
    if not has_lots(c) or not c.s_changes[s] or c.g_family[g] < 0:
        return True
    if k.s_next_family[s] >= 0:  # it waits for its changeover, or is being changed over
        return False
    return k.s_family[s] < 0 or c.change_slot[s, k.s_family[s], c.g_family[g]] < 0


@inner
def set_up_for(c: Record, k: Record, s: int, g: int, now: int) -> bool:
    """The same for an empty station, which is called to be changed over where nobody brings it its old family."""
    if is_set_up_for(c, k, s, g):
        return True
    if k.s_next_family[s] >= 0 or k.s_inside[s]:
        return False
    for x in range(c.step_from[s], c.step_to[s]):
        if k.g_in_hand[c.step[x]] and c.g_family[c.step[x]] == k.s_family[s]:
            return False
    k.s_next_family[s] = c.g_family[g]
    call(c, k, c.change_slot[s, k.s_family[s], c.g_family[g]], now)
    return False
