"""Rule `cycle` where parts were lost and nothing moves any more: somebody does one thing that is not in its turn.

That is the next thing of the ordinary choice, of the attendants in file order. Then all go on in their turns. As long
as no part was lost nobody does: then what is waited for will come, with the hours of a machine say.
"""

from millhand.solvers.kernel.codes import C_SCRAPPED
from millhand.solvers.kernel.events.choice import deliver, fetch
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.traits import in_turn


@seldom
def unblocks(c: Record, k: Record, now: int) -> None:
    """One thing by one attendant, where anybody can do any."""
    if k.counts[C_SCRAPPED] == 0:
        return
    for a in range(c.attendants):
        if in_turn(c, a) and does_next(c, k, a, now):
            return


@inner
def does_next(c: Record, k: Record, a: int, now: int) -> bool:
    """Put down what is in hand, or fetch what can be put down somewhere."""
    k.a_in_turn[a] = 0
    k.a_came[a] = -1
    if k.a_holds[a] and deliver(c, k, a, now):
        return True
    if k.a_holds[a] < c.a_hands[a] and fetch(c, k, a, now):
        k.a_stray[a] = 1
        return True
    return False
