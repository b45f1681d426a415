"""How many such cells one person could look after, from the calls that the simulation counted."""

from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.performance import PeopleTime
from millhand.stages.performance.shared import ABSENCE, Scope, simulated_words

NO_CALLS = (ABSENCE, "handover_")  # duties that stand for hours in which somebody is not there, or not at the cell
POST = "shifts.at_machines_h_per_y"


def shared(scope: Scope, people: PeopleTime, work: Fact) -> PeopleTime:
    """The same with the share of a post that the cell takes, how many cells one person could look after and, where the
    inquiry says that there are others, the hours of his post that fall to this one; without a simulation as it was."""
    if scope.output is None:
        return people
    output, words = scope.output, simulated_words(scope.output)
    calls = sum(each.mean for name, each in output.duties.items() if not name.startswith(NO_CALLS))
    share = sum(each.mean for name, each in output.duty_share.items() if not name.startswith(NO_CALLS))
    if calls <= 0.0 or share <= 0.0 or output.attended_share <= 0.0:
        return people
    often = scope.solved("calls_per_h", calls, "1/h", words)
    takes = scope.apply(
        "call_takes_s", "call_takes",
        work_share=scope.solved("calls_share", share, "1", words), calls_per_h=often,
    )  # fmt: skip
    busy = scope.apply("busy_share", "busy", work_h_per_y=work, post_h_per_y=scope.of(POST))
    cells = scope.apply(
        "cells_for_one", "cells_for_one", call_s=takes, calls_per_h=often,
        there_share=scope.solved("there_share", output.attended_share, "1", words), busy_share=busy,
        most_busy_share=scope.figures["most_busy_share"], most_waiting_share=scope.figures["most_waiting_share"],
    )  # fmt: skip
    return replace(people, busy=busy.id, cells=cells.id, post=_post(scope, busy, cells))


def _post(scope: Scope, busy: Fact, cells: Fact) -> str | None:
    """Hours a year of the post that fall to this cell; None where nobody said that there are others."""
    others = scope.inquiry.people.other_cells
    if others is None:
        return None
    return scope.apply(
        "shared_post_h_per_y", "post_h", post_h_per_y=scope.of(POST), busy_share=busy, cells=cells, other_cells=others
    ).id
