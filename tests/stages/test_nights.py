"""What ended the nights alone: causes of the simulation put together by kind, as facts beside the cell's other ones."""

from dataclasses import replace

import pytest

from millhand.model.performance import Alone, Figure, Output
from millhand.solvers.kernel.telling import HOURS_OVER
from millhand.stages.performance.nights import note_nights, runs_a_week, shares_of
from tests.stages.test_shared_people import scope

NONE = Figure(mean=0.0, low=0.0, high=0.0)
WEEK_S = 604_800.0
BY = {
    "presenter empty": 0.4, HOURS_OVER: 0.2, "arm1 misses its pick": 0.1, "machine_1 stop": 0.05,
    "machine_2 stop": 0.05, "machine_2 tool": 0.04, "machine_1 chips": 0.03, "outfeed full": 0.02,
    "what nobody can end": 0.01,
}  # fmt: skip


def nights(count: int, through: float = 0.1) -> Alone:
    """So many of them."""
    return Alone(absences=count, ran_through=through, until_end_s={}, parts=NONE, first_need={}, ended_by=BY)


def output(alone: Alone | None, weeks: int = 4) -> Output:
    """So many weeks."""
    return Output(
        cell="c", seed=1, replications=weeks, horizon_s=WEEK_S, parts_per_h=NONE, good_per_h=NONE, alone=alone
    )


def test_causes_are_put_together_by_kind_and_add_up_to_one() -> None:
    """Both machines in one; a night through which the cell ran ends by its hours."""
    found = shares_of(nights(20))

    assert found == pytest.approx(
        {
            "over": 0.3,
            "empty": 0.4,
            "arm": 0.1,
            "machine": 0.1,
            "tools": 0.04,
            "chips": 0.03,
            "full": 0.02,
            "other": 0.01,
        }
    )
    assert sum(found.values()) == pytest.approx(1.0)
    assert "over" in shares_of(nights(20, through=0.0))


def test_they_stand_as_facts_that_name_their_simulation() -> None:
    """The number of nights and a share for each kind."""
    about = scope(output(nights(20)))
    note_nights(about)
    top = f"concepts.{about.concept.id}.performance.nights"

    assert runs_a_week(about) == 5
    assert about.sheet.value(f"{top}.count") == 20.0
    assert about.sheet.value(f"{top}.empty") == pytest.approx(0.4)
    assert about.sheet[f"{top}.machine"].source.endswith(about.cell_hash)


@pytest.mark.parametrize("alone", [None, nights(41)])
def test_breaks_among_the_absences_are_no_nights(alone: Alone | None) -> None:
    """More absences a week than days on which people leave: nothing is told, as where nobody is ever away."""
    about = scope(replace(output(alone)))
    note_nights(about)

    assert not [each.id for each in about.sheet if ".nights." in each.id]
