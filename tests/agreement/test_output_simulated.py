"""What stands on top of the simulation, on simulated cells: a run alone by its closed form, common random numbers, a
precision that is reached.

Seeds were fixed before the first run; three standard errors are allowed, as tests.agreement.test_queues has them.
"""

from collections.abc import Sequence
from functools import partial

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.replications import simulate
from millhand.solvers.output.comparison import common_numbers_gain, paired_difference
from millhand.solvers.output.first_stop import Cause, first_ends
from millhand.solvers.output.precision import until_precise
from tests.agreement.test_queues import SEED, Form, Size, chain_cell, exponential, far, figures, outputs, share
from tests.solvers.kernel.shop import arm_cell

ALONE = Size(replications=1000, hours=3)
PAIRED = Size(replications=12, hours=8)
LOAD_S, POCKETS = 100.0, 60


def left_alone() -> Form:
    """One machine that feeds itself out of sixty pockets; nobody is there who could clear its stops."""
    form = chain_cell((LOAD_S, 0), name="a machine alone")
    form["stations"]["raw"] |= {"capacity": POCKETS, "start": POCKETS}
    form["stations"]["s1"]["faults"] = [
        {"id": "stop", "on": "busy", "every": exponential(3 * 3600), "duty": "clear"},
        {"id": "fault", "on": "load", "p": 0.01, "duty": "clear"},
    ]
    form["calendars"] = {"day": {"period_s": 86_400, "on": [[86_000, 86_400]]}}
    form["attendants"] = {"person": {"kind": "operator", "calendar": "day"}}
    form["duties"] = {"clear": {"trigger": {"kind": "fault"}, "who": ["person"], "takes": 60, "holds": "station"}}
    return form


def test_a_machine_left_alone_makes_what_the_closed_form_says() -> None:
    """Stops in time and faults of a load end the run, or the presenter does: parts made, and runs that see no stop."""
    each = outputs(left_alone(), ALONE)
    found = {
        "parts": figures(each, lambda output: output.parts_per_h.mean * ALONE.hours),
        "emptied": figures(each, lambda output: float(share(output, "failed", "s1") == 0.0)),
    }

    causes = [
        Cause(name="presenter", parts=POCKETS),
        Cause(name="stop", per_h=1 / 3),
        Cause(name="fault", per_part=0.01),
    ]
    ends = first_ends(causes, part_s=LOAD_S, alone_h=ALONE.hours)

    assert not far(found, {"parts": ends.parts, "emptied": ends.causes["presenter"]})


def rates(form: Form, *, seed: int, first: int = 0, count: int = PAIRED.replications) -> Sequence[float]:
    """Parts an hour, replication by replication."""
    cell = cell_from(form)
    return [
        simulate(cell, hours=PAIRED.hours, replications=1, seed=seed, first=number).parts_per_h.mean
        for number in range(first, first + count)
    ]


def chancy(way_s: float) -> Form:
    """An arm and two machines whose loads take times that spread; only its ways differ."""
    return arm_cell(2, way_s=way_s, time_s={"dist": "lognormal", "mean_s": 100, "cv": 0.5})  # type: ignore[arg-type]


def test_common_numbers_tell_two_cells_apart() -> None:
    """The same seed in two cells that differ in the arm's ways: the interval takes a fraction of the replications."""
    quick, slow = rates(chancy(4.0), seed=SEED), rates(chancy(5.0), seed=SEED)

    assert common_numbers_gain(quick, slow) > 2.0
    assert paired_difference(quick, slow).low > 0.0


def test_a_cell_is_run_until_it_is_known_to_a_hundredth() -> None:
    """The loop asks for replications by number and ends with what as many at once would have given."""
    run = partial(rates, chancy(4.0), seed=SEED)
    found = until_precise(lambda first, count: run(first=first, count=count), precision=0.01, least=4, most=40)

    assert found.ended_by == "precision"
    assert found.figure.high - found.figure.mean <= 0.01 * found.figure.mean
    assert found.values == tuple(run(count=len(found.values)))
