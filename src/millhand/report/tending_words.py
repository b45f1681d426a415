"""Words for where parts are lost and for the ways to tend, the same in the terminal and on the page."""

from collections.abc import Callable

from millhand.model.tending import Tending, TendingWay

CAUSES = {
    "breaks": "breaks",
    "handover": "handover, starting up, tidying",
    "absence": "absence with nobody standing in",
    "away": "called away from the machines",
    "stops": "short stops, until they are cleared",
    "wear": "tool changes and chips",
    "long_stops": "breakdowns and their repair",
    "scrap": "scrap",
    "set_ups": "set-ups between lots",
    "unexplained": "what nothing here explains",
}
TENDS = {"own": "each his own machines", "together": "helping each other"}
COVERS = {
    "none": "breaks not covered",
    "each_other": "covering each other's breaks",
    "relief": "breaks covered from elsewhere",
}
LOSS_RULE = (
    "Taken out one at a time: today's cell simulated without that cause over the same weeks; they share time, so they "
    "do not add up. Stops, tools and chips: the time is that in which somebody works on them, the parts count the wait "
    "for him too. From the machines down each loss is a share of what is left, to the parts that are shipped."
)
WAYS_RULE = (
    "Parts off the machines, simulated over the same weeks with absence, handover, stops and calls away. Machines "
    "wait: share of their time with somebody there. Who covers for a colleague tends all the machines; covering from "
    "elsewhere is paid like the operator's hours."
)


def way(row: TendingWay, tending: Tending, term: Callable[[str], str] = str) -> str:
    """One way in the words of a language; who tends is said only where there is more than one operator to ask about."""
    several = len({each.tend for each in tending.ways}) > 1
    words = [term(TENDS[row.tend])] if several else []
    return ", ".join([*words, term(COVERS[row.break_cover])]) + (f" ({term('today')})" if row.today else "")
