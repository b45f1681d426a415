"""The best cycle of arms on one track: its motions keep the distance, its arcs alone do too, and nothing is shorter."""

from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from millhand.intake.cell import read_cell
from millhand.model.cell import Cell
from millhand.solvers.cycle.rails.rail_events import Woven, woven
from millhand.solvers.cycle.rails.rail_rounds import Round
from millhand.solvers.cycle.steady import steady
from millhand.solvers.cycle.tours.graph import Lag, least_period, longest_times, numbered
from tests.solvers.cycle.rail_brute import Tiny, least_period_s
from tests.solvers.cycle.rail_line import Tanks, best, cell_of, events
from tests.solvers.cycle.rail_paths import Leg, least_distance_m

LINE = Tanks(at_m=(0, 2, 4, 6, 8, 10), times_s=(10, 12, 9, 14), park_m=(-2, 12))
CROWDED = Tanks(
    at_m=(2.5, 0, 4.5, 3.0, 2, 6.5), times_s=(7, 15, 4, 9), park_m=(-2.5, 9), keep_m=2.5, hold_s=2, settle_s=1
)
UNEVEN = Tanks(at_m=(0, 1.5, 4.5, 5.5), times_s=(6, 11), park_m=(-1.5, 7), keep_m=1.5, per_m_s=2.3, settle_s=1)
ODD = Tanks(
    at_m=(0, 2, 0), times_s=(3,), park_m=(-1, 3),
    empty_s=((0, 1, 1, 1, 1), (3, 0, 1, 1, 1), (3, 1, 0, 2, 3), (3, 1, 2, 0, 3), (3, 3, 3, 2, 0)),
)  # fmt: skip
THREE = Tanks(
    at_m=(0, 1, 3, 4, 6), times_s=(5, 8, 6), park_m=(-1, 7, -2, 8), arms=3, homes=("p2", "s2", "p3"), keep_m=1
)
WORK, SIX_WORK = 0.8, 6.0  # what a search may spend; more of it and more tiny lines only find rarer faults
TINY = 2
CELLS = {"line": LINE, "crowded": CROWDED, "uneven": UNEVEN, "odd": ODD, "three": THREE}


def file_cell() -> Cell:
    """Two hoists over a row of tanks where only the order of places counts."""
    return read_cell(Path(__file__).with_name("two_hoists.json"))


@pytest.fixture(scope="module", params=[*CELLS, "hoists"])
def found(request: pytest.FixtureRequest) -> tuple[Cell, Round, Woven, list[str]]:
    """A cell, its best cycle, and the cycle as events and arcs."""
    cell = file_cell() if request.param == "hoists" else cell_of(CELLS[request.param])
    cycle = best(cell, longest=400, work=WORK)
    ids = events(steady(cell))
    return cell, cycle, woven(cycle.asked, cycle.timed, ids), ids


def graph(cycle: Round, motions: Woven, ids: list[str]) -> tuple[list[Lag], list[int], list[str]]:
    """All arcs between numbers, the times of all events, and their names."""
    at = {event.id: event.at_steps for event in motions.events}
    names = [*ids, *at]
    arcs = [(b, a, lag, laps + motions.laps[a] - motions.laps[b]) for b, a, lag, laps in cycle.asked.arcs]
    return [*arcs, *numbered(motions.arcs, names)], [*motions.at_steps, *at.values()], names


def legs(cell: Cell, motions: Woven, times: dict[str, int], period: int) -> dict[str, list[Leg] | str]:
    """The motions of each attendant, read from the events alone."""
    paths: dict[str, list[Leg] | str] = {}
    places = {event.id: event.place or "" for event in motions.events}
    for who, attendant in cell.attendants.items():
        ends = {tuple(name.split()[:2]): name for name in places}
        departs = [name for number, name in ends.items() if number[0].startswith(f"{who}:") and number[1] == "depart"]
        path = []
        for start in departs:
            end = ends[start.split()[0], "arrive"]
            takes = next(arc.lag_steps for arc in motions.arcs if (arc.before, arc.after) == (start, end))
            assert (times[start] + takes - times[end]) % period == 0
            path.append(Leg(start=places[start], goal=places[end], depart=times[start], arrive=times[start] + takes))
        parked = next((place for name, place in places.items() if name.startswith(f"{who}:")), attendant.home or "")
        paths[who] = path or parked
    return paths


def test_every_arc_holds_and_the_graph_has_the_period(found: tuple[Cell, Round, Woven, list[str]]) -> None:
    """The times obey all arcs, and the least period of the event graph is the period that was found."""
    _, cycle, motions, ids = found
    arcs, at, names = graph(cycle, motions, ids)
    period = cycle.timed.period_steps

    assert [arc for arc in arcs if at[arc[1]] < at[arc[0]] + arc[2] - arc[3] * period] == []
    assert all(0 <= each < period for each in at)
    assert least_period(len(names), arcs).value == period
    assert cycle.least_steps <= period


def test_the_distance_is_kept(found: tuple[Cell, Round, Woven, list[str]]) -> None:
    """At every end of every motion neighbours are as far apart as is asked; between these nothing can be nearer."""
    cell, cycle, motions, ids = found
    _, at, names = graph(cycle, motions, ids)
    paths = legs(cell, motions, dict(zip(names, at, strict=True)), cycle.timed.period_steps)
    least = least_distance_m(cycle.asked.rail, paths, cycle.timed.period_steps)

    assert least is not None
    assert least >= 0


def test_the_arcs_alone_keep_the_distance(found: tuple[Cell, Round, Woven, list[str]]) -> None:
    """With any delays that the arcs allow, and any longer period, the distance is kept as well."""
    cell, cycle, motions, ids = found
    arcs, _, names = graph(cycle, motions, ids)
    random, tried = Random(3), 0
    for _ in range(40):
        period = cycle.timed.period_steps + random.randint(0, 9)
        delays = [(len(names), node, random.randint(0, 2 * period), 0) for node in range(len(names))]
        times, circuit = longest_times(len(names) + 1, [*arcs, *delays], Fraction(period))
        if circuit:
            continue
        tried += 1
        paths = legs(cell, motions, dict(zip(names, times, strict=False)), period)
        least = least_distance_m(cycle.asked.rail, paths, period)
        assert least is not None
        assert least >= 0
    assert tried > 5


@pytest.mark.parametrize("seed", range(TINY))
def test_nothing_is_shorter_than_what_is_found(seed: int) -> None:
    """On tiny lines the period is the least of all that there are, odd travel tables included."""
    random = Random(seed)
    keep = random.choice([1, 2])
    at_m = [random.randint(0, 3) for _ in range(3)]
    at_m += [min(at_m) - keep, max(at_m) + keep]
    ways = [[0 if a == b else random.randint(1, 3) for b in range(5)] for a in range(5)]
    times = [random.randint(1, 4)]
    tanks = Tanks(at_m=at_m[:3], times_s=times, park_m=at_m[3:], keep_m=keep, empty_s=ways)
    tiny = Tiny(
        at_m=[Fraction(each) for each in at_m], ways_s=ways, times_s=times, hold_s=1, keep_m=Fraction(keep)
    )  # fmt: skip

    cycle = best(cell_of(tanks), longest=60, work=WORK)

    assert cycle.timed.period_steps == least_period_s(tiny)
    assert cycle.least_steps <= cycle.timed.period_steps


@pytest.mark.parametrize("tanks", [LINE, UNEVEN], ids=["line", "uneven"])
def test_two_arms_are_never_worse_than_one(tanks: Tanks) -> None:
    """With room to park beyond both ends, two free arms do at least as well as one, or as one for infeed only and the
    other for outfeed only."""
    names = [f"s{index}" for index in range(len(tanks.at_m))]
    both, one, split = (
        best(cell_of(Tanks(**{**fields(tanks), "only": only})), longest=400, work=WORK).timed.period_steps
        for only in (None, {"arm2": ()}, {"arm1": tuple(names[:2]), "arm2": tuple(names[2:])})
    )

    assert both <= one
    assert both <= split


def fields(tanks: Tanks) -> dict[str, object]:
    """The numbers of a cell, to change some."""
    return {name: getattr(tanks, name) for name in Tanks.__dataclass_fields__}


def test_two_arms_over_six_stations_are_near_the_bound() -> None:
    """On a grid of a millisecond, with even acceleration and time windows: within 3 % of what is proven."""
    at_m = (0.6, 7.5, 6.6, 3.9, 2.4, 5.1, 1.8, 9.0, -1.4, 11.0)
    ways = [[0 if a == b else round(1000 * (abs(a - b) / 1.2 + 1.5)) for b in at_m] for a in at_m]
    tanks = Tanks(
        at_m=at_m[:8], times_s=(23000, 41000, 17000, 30000, 35000, 28000), park_m=at_m[8:], keep_m=2.0, hold_s=4000,
        longest_s=(None, 61000, None, 50000, None, None), empty_s=ways,
    )  # fmt: skip

    cycle = best(cell_of(tanks), longest=200000, work=SIX_WORK)

    assert cycle.timed.period_steps <= 1.03 * cycle.least_steps


def test_hoists_that_keep_their_order_only_are_no_slower() -> None:
    """Two hoists over a row of tanks do better than one could at best."""
    cell = file_cell()
    view = steady(cell)
    mover = view.movers["left"]
    loaded = sum(mover.travel_steps(f"s{i}", f"s{i + 1}", loaded=True) or 0 for i in range(5))

    assert best(cell, longest=400, work=WORK).timed.period_steps < loaded
