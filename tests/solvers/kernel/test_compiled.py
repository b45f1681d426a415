"""From a cell to arrays, and what is refused by name."""

from typing import Any

import pytest

from millhand.errors import InputError, NotYet
from millhand.intake.cell import cell_from
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.sources import source_number
from tests.reference_variants import reference_form
from tests.solvers.kernel.shop import arm_cell


def test_the_reference_cell_as_arrays() -> None:
    """Times in milliseconds, machines behind the drawers, the arm with a hand free for exchanges."""
    c = compiled(cell_from(reference_form()))

    assert c.station_names == ("drawers", "m1", "m2", "m3", "gauge", "out")
    assert c.stations.kind == (0, 1, 1, 1, 1, 3)
    assert c.attendants.swaps == (1, 0)
    assert c.size.day == 86_400_000
    assert c.ways.times[:4] == (0, 3000, 4000, 5000)
    assert {120_000, 18_000, 4_500, 12_000} <= set(c.spans.fixed)


def test_each_source_of_chance_has_its_number() -> None:
    """Stops of three machines, misses at the drawers, repairs by caller, refills; good parts by station."""
    sources = set(compiled(cell_from(reference_form())).spans.streams)

    assert {
        3_001_000,
        3_002_000,
        3_003_000,
        19_000_000,
        7_000_002,
        7_000_003,
        7_000_004,
        7_001_000,
        2_001_000,
    } <= sources


def changed(change: str, value: Any) -> dict[str, Any]:
    """The arm's cell with one entry changed; the path is written with slashes."""
    form = arm_cell(2)
    here: Any = form
    *path, last = change.split("/")
    for step in path:
        here = here[int(step)] if isinstance(here, list) else here.setdefault(step, {})
    here[int(last) if isinstance(here, list) else last] = value
    return form


def test_what_cannot_be_computed_is_refused_by_name() -> None:
    """The error names the thing and where it stands."""
    with pytest.raises(NotYet, match="an attended station with a buffer of its own before it") as raised:
        compiled(cell_from(changed("stations/m1", {"kind": "process", "place": "m1", "attended": True, "in_queue": 1})))

    assert raised.value.where == "/stations/m1/in_queue"


def test_the_rule_cycle_gives_way_with_a_word(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no cycle is known, the reader is told which rule chose instead."""

    def none_known(*_: object, **__: object) -> None:
        raise NotYet("a cycle for this cell")

    monkeypatch.setattr("millhand.solvers.kernel.compile_cycle.best_cycle", none_known)
    form = arm_cell(2)
    form["dispatch"]["arm"] = {"rule": "cycle", "fallback": "nearest"}

    assert compiled(cell_from(form)).left_out == (
        "arm: no cycle of this cell is known; it chooses by its fallback, nearest",
    )


def test_a_part_lies_at_the_last_place_of_its_machine() -> None:
    """Of two machines one has a buffer before it: the other works on the part that came for the step of the buffer, and
    has it at the step of the machine, where it also has its time."""
    form = arm_cell(2)
    form["stations"]["m1"]["in_queue"] = 1
    c = compiled(cell_from(form))
    before, machine, plain = (c.station_names.index(name) for name in ("m1 in", "m1", "m2"))
    count = c.size.stations

    assert set(c.steps.at[c.steps.at_from[1] : c.steps.at_to[1]]) == {before, plain}
    assert set(c.steps.at[c.steps.at_from[2] : c.steps.at_to[2]]) == {machine}
    assert [c.steps.lies[count + s] for s in (before, plain)] == [1, 2]
    assert [c.steps.time[2 * count + s] >= 0 for s in (before, machine, plain)] == [False, True, True]


def test_nobody_exchanges_where_parts_go_by_themselves() -> None:
    """A machine that puts its part into a buffer of its own has nothing to exchange, whatever its row says."""
    form = arm_cell(1, hands=2)
    form["stations"]["m1"]["out_queue"] = 1

    assert compiled(cell_from(form)).attendants.swaps == (0,)


def test_numbers_of_sources_have_room() -> None:
    """Kind, first and second never run into each other; too large a cell is refused."""
    assert source_number(7, 12, 501) == 7_012_501
    with pytest.raises(NotYet, match="more than 400 stations"):
        source_number(1, 1000, 0)


def test_a_station_that_nobody_serves_is_an_error() -> None:
    """Said by the reader of the file already."""
    form = arm_cell(2)
    form["handling"][2]["at"] = ["m1"]

    with pytest.raises((InputError, Exception), match="m2"):
        compiled(cell_from(form))
