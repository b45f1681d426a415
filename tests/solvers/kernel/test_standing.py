"""A run that stands for ever says so, and who waits for whom; one that somebody may still set going does not."""

import pytest

from millhand.errors import ToolError
from tests.solvers.kernel.shop import Form, arm_cell, counts_of, run_of


def buffered(*, swap_only: bool = False, **own: int) -> Form:
    """An arm with two hands and a machine with buffers of its own."""
    form = arm_cell(1, hands=2, time_s=30.0)
    form["stations"]["m1"] |= own
    form["dispatch"]["arm"]["rule"] = "nearest"
    form["handling"][2].pop("pick" if swap_only else "swap")
    return form


def test_a_part_that_waits_for_the_buffer_of_a_locked_machine_is_told() -> None:
    """The arm holds a raw part for a buffer that is no outfeed: only the machine takes out of it."""
    words = (
        "arm holds a part that waits for m1 in; m1 in is full and waits for m1; m1 holds a finished part that waits "
        "for m1 out; m1 out is full and nobody has a row to pick there"
    )
    with pytest.raises(ToolError, match=f"Deadlock at [0-9]+ s: {words}"):
        run_of(buffered(swap_only=True, in_queue=1, out_queue=1), 1.0)


def test_a_buffer_that_no_row_empties_is_told_also_with_empty_hands() -> None:
    """The arm puts nothing down any more and holds nothing; the parts that are done never come out."""
    with pytest.raises(ToolError, match=r"arm holds nothing; m1 holds .* m1 out is full and nobody has a row to pick"):
        run_of(buffered(swap_only=True, out_queue=1), 1.0)


def test_a_full_outfeed_is_no_deadlock() -> None:
    """Somebody may empty it, whatever waits before it: the run goes on standing, as it does without buffers."""
    form = buffered(in_queue=1, out_queue=1)
    form["stations"]["done"]["capacity"] = 3

    assert counts_of(run_of(form, 1.0))["parts"] == 3
