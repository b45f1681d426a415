"""Which demands contradict each other on a shared track, and what helps, held against the search state by state."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from millhand.errors import Contradiction
from millhand.model.cell import Cell, Step
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from tests.agreement.test_carried_at_once import with_short_stays
from tests.agreement.test_two_arms import MOST
from tests.track_oracle import best_on_track

ON_ONE_TRACK = "a1 and a2 keep their order and their distance on one track"
LONGER = re.compile(r"let (\w+) hold a part for at least (\d+) s")


def handing_on(number: int, *, at: int = 1) -> Cell:
    """A random cell in which the first arm brings the parts up to a step of the route and the second one takes over."""
    cell = with_short_stays(number)
    stops = [step.at[0] for step in next(iter(cell.parts.values())).route]
    own = {"a1": stops[: at + 1], "a2": stops[at:]}
    arms = {
        who: replace(arm, take_from=tuple(own[who][:-1]), put_to=tuple(own[who][1:]))
        for who, arm in cell.attendants.items()
    }
    return replace(cell, attendants=arms)


def with_stays(cell: Cell, longest_s: dict[str, float | None]) -> Cell:
    """The cell with other longest stays at some stations."""

    def changed(step: Step) -> Step:
        return replace(step, stay_max_s=longest_s[step.at[0]]) if step.at[0] in longest_s else step

    (name, part), *_ = cell.parts.items()
    return replace(cell, parts={name: replace(part, route=tuple(changed(step) for step in part.route))})


def told_of(cell: Cell) -> Contradiction:
    """What is said of a cell that allows no cycle."""
    with pytest.raises(Contradiction) as trouble:
        best_cycle(cell, effort=Effort(deterministic=1.0, most_sets=1))
    return trouble.value


@pytest.mark.parametrize(("number", "station"), [(43, "m1"), (581, "m1"), (264, "m2")])
def test_the_window_is_named_beside_the_track(number: int, station: str) -> None:
    """Without it there is a cycle, and with the stay that is said to help; with a second less there is none."""
    cell = handing_on(number, at=int(station[1:]))
    told = told_of(cell)
    windows = [step.at[0] for step in next(iter(cell.parts.values())).route if step.stay_max_s is not None]
    ((longer, least_s),) = [match.groups() for match in map(LONGER.match, told.cures) if match]
    alone = with_stays(cell, {other: None for other in windows if other != station})

    assert told.demands[0] == ON_ONE_TRACK
    assert [each.split(" holds ")[0] for each in told.demands[1:]] == [station] == [longer]
    assert best_on_track(alone, most=MOST) is None
    assert best_on_track(with_stays(cell, {station: None}), most=MOST) is not None
    assert best_on_track(with_stays(cell, {station: float(least_s)}), most=MOST) is not None
    assert best_on_track(with_stays(cell, {station: float(least_s) - 1}), most=MOST) is None


def test_the_page_says_it_as_it_is_said() -> None:
    """The words of docs/schedule.md are those of one of these cells."""
    page = " ".join(Path("docs/schedule.md").read_text(encoding="utf-8").split())

    assert str(told_of(handing_on(43))) in page


def test_a_window_that_is_not_to_blame_is_not_named() -> None:
    """Where the places leave no cycle, parts may stay as long as they like."""
    cell = next(cell for cell in map(with_short_stays, range(40)) if best_on_track(without(cell), most=MOST) is None)

    assert told_of(cell).demands == (ON_ONE_TRACK,)


def without(cell: Cell) -> Cell:
    """The cell with no longest stays."""
    return with_stays(cell, {step.at[0]: None for step in next(iter(cell.parts.values())).route})
