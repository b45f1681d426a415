"""Random small valid cells for property tests and soak runs, each feature to be had or left out.

A cell is built in its file form and read like a file, so the checker has passed every one of them.
"""

from hypothesis import strategies as st

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from tests import cells_more as more
from tests.cells_draws import Data, Draw, duty, seconds, span

# What a cell may have besides a supply, machines, a sink and one attendant with a move table.
PLAIN = frozenset(
    {"spans", "faults", "wear", "refill", "calendar", "gauge", "zone", "track", "helper", "parts", "lots", "calls"}
    | {"miss", "store", "windows", "queues", "self", "swap", "leads", "origins", "limits"}
)
FEATURES = PLAIN | more.MORE
# Machine tending as most inquiries have it, and what is left where hardly anything can go wrong.
TENDING = FEATURES - frozenset(
    {"parts", "lots", "windows", "store", "queues", "self", "slots", "gate", "uses", "changeovers", "rails", "cycle"}
    | {"batch", "self_in", "short_stays"}
)
FEW = TENDING - {"wear", "zone", "hours", "arm_troubles", "stops", "calls", "attended", "again", "priorities", "team"}


def cells(features: frozenset[str] = FEATURES) -> st.SearchStrategy[Cell]:
    """Small valid cells that have at most these features."""
    return cell_forms(features).map(cell_from)


@st.composite
def cell_forms(draw: Draw, features: frozenset[str] = FEATURES) -> Data:
    """The file form of one small valid cell."""
    rich = draw(st.sampled_from([2, 4, 6]))  # of ten features: most at once, or few that are left alone
    chosen = frozenset(name for name in sorted(features) if draw(st.integers(0, 9)) < rich)
    if "rails" in chosen:
        chosen = (chosen | {"helper"}) - {"track"}
    machines = [f"m{i}" for i in range(1, draw(st.integers(1, 4)) + 1)]
    cell: Data = {"format": "millhand-cell/1", "name": draw(st.sampled_from(["small cell", "Zelle 1, früh"]))}
    cell["grid_s"] = draw(st.sampled_from([0.001, 0.1, 1]))
    cell["goal"] = "makespan" if "lots" in chosen else "rate"
    cell["duties"] = {}
    stations(draw, cell, machines, chosen)
    more.more_stations(draw, cell, machines, chosen)
    attendants(draw, cell, chosen)
    moves(draw, cell, chosen)
    handling(draw, cell, machines, chosen)
    routes(draw, cell, machines, chosen)
    troubles(draw, cell, machines, chosen)
    extras(draw, cell, machines, chosen)
    on_top(draw, cell, machines, chosen)
    return cell


def on_top(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """What changes a cell that is there already."""
    if more.has_gate(chosen):
        more.with_gate(draw, cell)
    if chosen & {"rails", "team"}:
        more.second_attendant(draw, cell, chosen)
    more.more_routes(draw, cell, machines, chosen)
    more.more_troubles(draw, cell, machines, chosen)
    more.more_duties(draw, cell, machines, chosen)
    if "hours" in chosen:
        more.hours(draw, cell, machines)
    if "zeros" in chosen:
        more.zeros(draw, cell)
    more.rules(draw, cell, chosen)


def stations(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """Supply, machines, perhaps a store and a gauge, sink; each at a place of its own or sharing one."""
    size = draw(st.integers(8, 40)) if "limits" in chosen or "refill" in chosen else None
    found: Data = {"raw": {"kind": "supply", "place": "p0", "capacity": size}}
    if size is not None:
        found["raw"]["start"] = draw(st.integers(1, size))
    for i, name in enumerate(machines):
        found[name] = {"kind": "process", "place": f"p{i + 1}"}
        if "queues" in chosen:
            found[name] |= {"in_queue": draw(st.sampled_from([0, 2, None])), "out_queue": draw(st.integers(0, 1))}
        if "self" in chosen and "swap" not in chosen and draw(st.booleans()):
            found[name]["self_out"] = True
    if len(machines) > 1 and draw(st.booleans()):
        found[machines[-1]] = {**found[machines[-1]], "like": machines[0]}
    if "store" in chosen:
        found["between"] = {"kind": "store", "place": "p0", "capacity": draw(st.sampled_from([1, 4, None]))}
    if "gauge" in chosen:
        found["check"] = {"kind": "process", "place": "p0", "attended": draw(st.booleans())}
    found["done"] = {"kind": "sink", "place": draw(st.sampled_from(["p0", "p1"])), "capacity": None}
    cell["stations"] = found
    cell["places"] = {f"p{i}": {} for i in range(len(machines) + 1)} | {"desk": {}}


def attendants(draw: Draw, cell: Data, chosen: frozenset[str]) -> None:
    """One arm or operator that loads, and perhaps a helper who does the duties only."""
    kind = draw(st.sampled_from(["arm", "operator"]))
    hands = 2 if "swap" in chosen else draw(st.integers(1, 2))
    first: Data = {"kind": kind, "hands": hands, "home": "p0", "moves": "full"}
    if hands == 2:
        first["turn_s"] = seconds(draw, 0, 2)
    if kind == "operator":
        first["pace"] = draw(st.sampled_from([0.9, 1, 1.25]))
    cell["attendants"] = {"first": first}
    if "helper" in chosen:
        cell["attendants"]["helper"] = {"kind": "operator", "home": "desk", "moves": "walk"}
    if "calendar" in chosen:
        at_end = draw(st.sampled_from(["finish_element", "finish_duty", "finish_load", "drop"]))
        cell["calendars"] = {"day": {"period_s": 86400, "on": [[21600, 32400], [33300, 50400]], "at_end": at_end}}
        cell["attendants"][draw(st.sampled_from(sorted(cell["attendants"])))]["calendar"] = "day"


def moves(draw: Draw, cell: Data, chosen: frozenset[str]) -> None:
    """A square of travel times, or an axis along a track; perhaps a slow table; perhaps loaded moves of their own."""
    places = list(cell["places"])
    square = [[0.0 if a == b else seconds(draw, 1, 9) for b in places] for a in places]
    full: Data = {"places": places, "empty_s": square}
    if "track" in chosen:
        for i, name in enumerate(places):
            cell["places"][name] = {"track_m": i * 1.5}
        full = {"axis": {"places": places, "speed_m_s": 1.5, "accel_m_s2": 2, "settle_s": 0.3}}
        cell["tracks"] = {"floor": {"attendants": ["first"], "keep_m": 0.5}}
    elif draw(st.booleans()):
        full["loaded_s"] = [[None if s is None else s + 1 for s in row] for row in square]
    walk = [[0.0 if a == b else 20.0 for b in places] for a in places]
    cell["moves"] = {"full": full, "walk": {"places": places, "empty_s": walk}}
    if "zone" in chosen:
        slow = [[2 * s for s in row] for row in square]
        cell["moves"]["slow"] = {"places": places, "empty_s": slow}
        cell["attendants"]["first"]["moves"] = {"full": "full", "slow": "slow"}


def visit(draw: Draw, chosen: frozenset[str]) -> Data:
    """One pick, place or swap."""
    found: Data = {"hold_s": span(draw, chosen, 1, 30)}
    if "leads" in chosen:
        found |= {"lead_s": seconds(draw, 0, 4), "tail_s": span(draw, chosen, 0, 5)}
        found["lead_on"] = draw(st.sampled_from(["arrival", "finish"]))
    return found


def handling(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """A row for the supply, one for the machines, one for everything else."""
    others = [name for name in cell["stations"] if name not in (*machines, "raw")]
    supply: Data = {"who": ["first"], "at": ["raw"], "pick": visit(draw, chosen)}
    if "miss" in chosen:
        supply["miss"] = {"p": 0.01, "retries": draw(st.sampled_from([2, None])), "retry_s": 3}
    row: Data = {"who": ["first"], "at": machines, "pick": visit(draw, chosen), "place": visit(draw, chosen)}
    if "swap" in chosen:
        row["swap"] = visit(draw, chosen)
    rest: Data = {"who": ["first"], "at": others, "pick": visit(draw, chosen), "place": visit(draw, chosen)}
    cell["handling"] = [supply, row, rest]


def route(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> list[Data]:
    """From the supply over some machines to the sink: alternatives, or one after the other."""
    work: list[Data] = []
    groups = [machines] if draw(st.booleans()) else [[name] for name in machines]
    for group in groups:
        step: Data = {"at": group, "time_s": span(draw, chosen, 5, 300), "good": draw(st.sampled_from([1, 0.97]))}
        if len(group) > 1 and draw(st.booleans()):
            step["time_s"] = {name: span(draw, chosen, 5, 300) for name in group}
        if "windows" in chosen:
            step["stay_max_s"] = 900
        work.append(step)
    if "store" in chosen:
        work.insert(draw(st.integers(0, len(work))), {"at": ["between"]})
    if "gauge" in chosen:
        bad = draw(st.sampled_from(["scrap_this", "scrap_since_last"]))
        work.append({"at": ["check"], "time_s": 12, "every": draw(st.integers(1, 9)), "on_bad": bad})
    return [{"at": ["raw"]}, *work, {"at": ["done"]}]


def routes(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """One or two parts, by share or by lot."""
    names = ["plate", "shaft"] if "parts" in chosen else ["plate"]
    cell["parts"] = {name: {"route": route(draw, cell, machines, chosen)} for name in names}
    for name in names:
        if "lots" in chosen:
            cell["parts"][name]["lot"] = {"size": draw(st.integers(1, 9)), "count": draw(st.integers(1, 2))}
        elif len(names) > 1:
            cell["parts"][name]["share"] = 0.25 if name == "plate" else 0.75


def troubles(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """Faults ended by a duty or by themselves, and wear."""
    for name in (name for name in machines if "like" not in cell["stations"][name]):
        station = cell["stations"][name]
        if "faults" in chosen:
            cell["duties"]["clear"] = duty(draw, cell, chosen, {"kind": "fault"}, holds="station")
            on = draw(st.sampled_from(["busy", "clock"]))
            every = {"dist": "exponential", "mean_s": draw(st.integers(3000, 90000))}
            station["faults"] = [
                {"id": "stop", "on": on, "every": every, "duty": "clear", "keeps_part": draw(st.booleans())},
                {"id": "alarm", "on": "load", "p": 0.02, "self_s": span(draw, chosen, 5, 60)},
            ]
        if "wear" in chosen:
            cell["duties"]["tools"] = duty(draw, cell, chosen, {"kind": "wear"}, holds="station")
            unit = draw(st.sampled_from(["loads", "busy_s"]))
            limit = draw(st.integers(20, 60)) * (1 if unit == "loads" else 100)
            station["wear"] = [{"id": "tool", "unit": unit, "limit": limit, "duty": "tools"}]
            station["wear"][0]["spares"] = draw(st.integers(0, 2))


def extras(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """Refills, calls by count and by clock, a zone, dispatch, origins."""
    if "refill" in chosen:
        cell["stations"]["raw"]["refill"] = "refill"
        trigger = {"kind": "level", "at": ["raw"], "below": draw(st.integers(1, 4))}
        cell["duties"]["refill"] = duty(draw, cell, chosen, trigger, restores={"raw": "full"}, place="p0")
    if "calls" in chosen:
        trigger = {"kind": "parts", "at": machines, "every": draw(st.integers(1, 9))}
        cell["duties"]["deburr"] = duty(draw, cell, chosen, trigger, place="desk")
        clock = {"kind": "clock", "every": span(draw, chosen, 3000, 5000)}
        cell["duties"]["away"] = duty(draw, cell, chosen, clock, interruptible=True)
    if "zone" in chosen and cell["duties"] and "helper" in chosen:
        how = draw(st.sampled_from(["slow", "stop"]))
        cell["zones"] = {"front": {"from": [sorted(cell["duties"])[0]], "slows": {"first": how}}}
    rule = draw(st.sampled_from(["longest_waiting", "nearest", "first_to_finish", "order"]))
    cell["dispatch"] = {"first": {"rule": rule}}
    if rule == "order":
        cell["dispatch"]["first"]["order"] = machines
    if "origins" in chosen:
        cell["origins"] = {
            "/handling/1/place/hold_s": {"fact": "loading", "factor": 0.5},
            "/parts/plate/route/0/every": {"fact": "count"},
            "/attendants/first/turn_s": {"fact": "turn"},
        }
