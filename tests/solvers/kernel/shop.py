"""Small cells in their file form, for tests of the simulation; each test changes what it is about."""

from typing import Any

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.codes import ATTENDANT_STATES, COUNTS, PROCESS, STATION_STATES, STORE
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import Finished, finished_run

Form = dict[str, Any]


def arm_cell(machines: int = 1, *, way_s: float = 4.0, time_s: float = 100.0, hands: int = 1) -> Form:
    """An arm, alike machines in parallel, endless raw parts: pick and place 5 s each, every way the same."""
    names = [f"m{number + 1}" for number in range(machines)]
    places = ["in", *names, "out"]
    row: Form = {"who": ["arm"], "at": names, "pick": {"hold_s": 5}, "place": {"hold_s": 5}}
    if hands > 1:
        row["swap"] = {"hold_s": 10}
    return {
        "format": "millhand-cell/1",
        "name": "an arm and its machines",
        "places": {place: {} for place in places},
        "stations": {"raw": {"kind": "supply", "place": "in", "capacity": None}}
        | {name: {"kind": "process", "place": name} for name in names}
        | {"done": {"kind": "sink", "place": "out", "capacity": None}},
        "attendants": {"arm": {"kind": "arm", "hands": hands, "home": "in", "moves": "ways"}},
        "moves": {"ways": {"places": places, "empty_s": [[0 if a == b else way_s for b in places] for a in places]}},
        "handling": [
            {"who": ["arm"], "at": ["raw"], "pick": {"hold_s": 5}},
            {"who": ["arm"], "at": ["done"], "place": {"hold_s": 5}},
            row,
        ],
        "parts": {"part": {"route": [{"at": ["raw"]}, {"at": names, "time_s": time_s}, {"at": ["done"]}]}},
        "duties": {},
        "dispatch": {"arm": {"rule": "first_to_finish"}},
    }


def with_person(form: Form, *, on: list[list[float]] | None = None, **duties: Form) -> Form:
    """The same cell with a person who stands at a place of his own and answers these duties."""
    form["places"]["desk"] = {}
    form["attendants"]["person"] = {"kind": "operator", "home": "desk", "moves": "stays"}
    form["moves"]["stays"] = {"places": ["desk"], "empty_s": [[0]]}
    if on is not None:
        form["calendars"] = form.get("calendars", {}) | {"day": {"period_s": 86400, "on": on}}
        form["attendants"]["person"]["calendar"] = "day"
    for name, duty in duties.items():
        form["duties"][name] = {"who": ["person"], "place": "desk"} | duty
    return form


def alone_row(machines: int, *, fault_mean_s: float, repair: Any, repairers: int = 1) -> Form:
    """Machines that feed themselves and run until they fail, and people who repair them."""
    names = [f"m{number + 1}" for number in range(machines)]
    people = [f"person{number + 1}" for number in range(repairers)]
    stop = {"id": "stop", "on": "busy", "every": {"dist": "exponential", "mean_s": fault_mean_s}, "duty": "clear"}
    return {
        "format": "millhand-cell/1",
        "name": "machines that feed themselves",
        "stations": {"raw": {"kind": "supply", "capacity": None}}
        | {name: {"kind": "process", "self_in": True, "self_out": True, "faults": [stop]} for name in names}
        | {"done": {"kind": "sink", "capacity": None}},
        "attendants": {name: {"kind": "operator"} for name in people},
        "parts": {"part": {"route": [{"at": ["raw"]}, {"at": names, "time_s": 86400}, {"at": ["done"]}]}},
        "duties": {"clear": {"trigger": {"kind": "fault"}, "who": people, "takes": repair, "holds": "station"}},
    }


def run_of(form: Form, hours: float, *, replication: int = 0, logging: bool = True) -> Finished:
    """One replication of the cell with seed 1."""
    cell = cell_from(form)
    horizon = round(hours * 3600 / cell.grid_s)
    return finished_run(compiled(cell), horizon, seed=1, replication=replication, logging=logging)


def counts_of(run: Finished) -> dict[str, int]:
    """Counts by name."""
    return dict(zip(COUNTS, run.k.counts.tolist(), strict=True))


def station_s(run: Finished, name: str) -> dict[str, float]:
    """Seconds of a station in each state that occurred."""
    times = run.k.s_time[run.c.station_names.index(name)].tolist()
    return {state: time * run.c.grid_s for state, time in zip(STATION_STATES, times, strict=True) if time}


def attendant_s(run: Finished, name: str) -> dict[str, float]:
    """Seconds of an attendant in each state that occurred."""
    times = run.k.a_time[run.c.attendant_names.index(name)].tolist()
    return {state: time * run.c.grid_s for state, time in zip(ATTENDANT_STATES, times, strict=True) if time}


def times_s(run: Finished, what: str, where: str | None = None) -> list[float]:
    """When something happened."""
    lines = log_of(run)
    return [float(line["t_s"]) for line in lines if line["what"] == what and where in (None, line["where"])]


def in_cell(run: Finished) -> int:
    """Parts in hands, machines and stores."""
    inside = zip(run.c.stations.kind, run.k.s_inside.tolist(), run.k.s_stock.tolist(), strict=False)
    held = sum(parts if kind == PROCESS else stock if kind == STORE else 0 for kind, parts, stock in inside)
    return int(held + run.k.a_holds.sum())


def books_of(run: Finished) -> list[list[int]]:
    """Steps in each state, one list a station and one an attendant."""
    stations, attendants = run.c.size.stations, run.c.size.attendants
    return [*run.k.s_time[:stations].tolist(), *run.k.a_time[:attendants].tolist()]
