"""How many such cells one person could look after, in words with marks."""

from collections.abc import Mapping

from millhand.model.fact import Fact
from millhand.model.study import Result

CAUTION = (
    "Whether one person may be alone with several cells, and who comes when he needs help himself, is for the risk "
    "assessment and the local codes."
)


def shared_words(result: Result, facts: Mapping[str, Fact]) -> str:
    """The sentences about one cell; "" where it was not simulated, or nothing calls."""
    people = result.performance.people if result.performance is not None else None
    if people is None or people.busy is None or people.cells is None:
        return ""
    top = f"concepts.{result.concept.id}"
    words = (
        f"Its work fills [[{people.busy}|percent]] of one person's hours, in calls of "
        f"[[{top}.performance.call_takes|minutes]] and what is done in between. "
    )
    if facts[people.cells].value < 1.0:
        words += "That is more than one person can look after."
    else:
        words += (
            f"By the calls, the most of such cells that one person could look after is [[{people.cells}|count]], none "
            "of which waits for him more than [[catalogue.most_waiting_share|percent]] of its time."
        )
    if people.post is not None:
        words += (
            f" With the other cells that are told ([[people.other_cells|count]]), [[{people.post}|hours]] a year of a "
            f"post fall to this one, or [[{top}.case.shared_wages|money_2]] of wages, waiting shared; the case counts "
            "the work alone."
        )
    return words
