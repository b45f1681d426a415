"""Rounds told ahead and events that take the short cut give the books of the loop that asks all its questions."""

import json

import numpy as np
import pytest

from millhand.errors import InputError, InputErrors, ToolError
from millhand.intake.cell import cell_from
from millhand.solvers.kernel import running
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts, counts_of
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.records import packed, shape_of, started
from millhand.solvers.kernel.running import Finished, finished_run, run_on
from tests.properties.test_twin import same
from tests.tended_cells import tended_form
from tests.twin.known import twin_refuses

HOURS, SEED, REPLICATION = 8.3, 7, 3
NUMBERS, IN_THE_TWIN = range(400), range(800, 880)


def cells(numbers: range) -> "list[tuple[int, Compiled]]":
    """The valid cells of these numbers, compiled."""
    found = []
    for number in numbers:
        try:
            found.append((number, compiled(cell_from(tended_form(number)))))
        except (InputError, InputErrors):
            continue
    return found


def books(c: Compiled, patch: pytest.MonkeyPatch, *, asks_all: bool) -> Counts | str:
    """All that a run counts, with the short cut or without, or the code of the error that ends it."""
    shape = shape_of(c)
    record, loop = packed(c, shape), running.loop_for(shape)
    if asks_all:
        record.tended = 0
    run = Finished(c=c, k=started(record, shape, seed=SEED).view(np.recarray)[0])
    run.k.replication = REPLICATION
    patch.setattr(running, "ready", lambda _c, **_: (shape, record, loop))
    try:
        run_on(run, round(HOURS * 3600 / c.grid_s))
    except ToolError as trouble:
        return trouble.code
    return counts_of(run)


def test_the_short_cut_changes_no_figure(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hundreds of random rows of machines: every count, state time, cycle time, stock and the number of events."""
    tended = [(number, c) for number, c in cells(NUMBERS) if packed(c, shape_of(c)).tended]
    rounds = [number for number, c in tended if packed(c, shape_of(c)).t_rounds]
    short = [books(c, monkeypatch, asks_all=False) for _, c in tended]
    whole = [books(c, monkeypatch, asks_all=True) for _, c in tended]
    differ = [number for (number, _), one, other in zip(tended, short, whole, strict=True) if one != other]

    assert len(tended) > 250
    assert len(rounds) > 50
    assert not differ


def test_rows_of_machines_run_the_same_in_the_plain_twin() -> None:
    """The twin knows no short cut: it was written from the rules of meaning."""
    tried = 0
    for number in IN_THE_TWIN:
        form = tended_form(number)
        try:
            cell = cell_from(form)
        except InputErrors:
            continue
        if twin_refuses(cell):
            continue
        tried += 1
        assert same(cell, hours=2.5, seed=7), json.dumps(form)

    assert tried > 40


def test_a_round_of_nothing_but_nothing_ends_with_a_clear_word() -> None:
    """All times are nothing: the run says that it does not get on instead of going round for ever."""
    form = tended_form(3)
    form |= {"attendants": {"first": {"kind": "arm", "hands": 2, "home": "rack", "moves": "ways"}}, "duties": {}}
    form["stations"] = {
        "raw": {"kind": "supply", "place": "rack", "capacity": None},
        "m1": {"kind": "process", "place": "m1"},
        "done": {"kind": "sink", "place": "rack", "capacity": None},
    }
    form["places"] = {"rack": {}, "m1": {}}
    form["moves"] = {"ways": {"places": ["rack", "m1"], "empty_s": [[0, 0], [0, 0]]}}
    form["handling"] = [
        {"who": ["first"], "at": ["raw"], "pick": {"hold_s": 0}},
        {"who": ["first"], "at": ["m1"], "place": {"hold_s": 0}, "swap": {"hold_s": 0}},
        {"who": ["first"], "at": ["done"], "place": {"hold_s": 0}},
    ]
    form["parts"] = {"part": {"route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": 0}, {"at": ["done"]}]}}
    form["dispatch"] = {"first": {"rule": "first_to_finish"}}
    for key in ("zones", "calendars"):
        form.pop(key, None)
    c = compiled(cell_from(form))

    with pytest.raises(ToolError) as trouble:
        finished_run(c, 1000, seed=SEED, replication=0)
    assert trouble.value.code == "no_progress"
