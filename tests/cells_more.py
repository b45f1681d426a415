"""Features of random cells that only the compiled simulation knows, put on top of a plain cell."""

import math
from typing import Any

from hypothesis import strategies as st

from tests.cells_draws import Data, Draw, duty, mean_s, seconds, span

# What the plain twin of the simulation was never taught.
MORE = frozenset(
    {"slots", "gate", "uses", "changeovers", "rails", "team", "cycle", "priorities", "batch", "attended", "hours"}
    | {"stops", "arm_troubles", "outfeed", "tight", "zeros", "again", "self_in", "short_stays"}
)


def more_stations(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """Slots, batches, attended and self-feeding machines; a gate; limits of outfeed and store."""
    for name in machines:
        station = cell["stations"][name]
        if "slots" in chosen:
            station["capacity"] = draw(st.integers(1, 3))
        if "batch" in chosen:
            station["batch"] = draw(st.integers(1, 3))
        if "attended" in chosen and "queues" not in chosen:
            station["attended"] = draw(st.booleans())
        if "self_in" in chosen and "swap" not in chosen:
            station["self_in"] = draw(st.booleans())
    if "outfeed" in chosen:
        cell["stations"]["done"]["capacity"] = draw(st.integers(0 if "tight" in chosen else 1, 30))
    if "tight" in chosen and "between" in cell["stations"]:
        cell["stations"]["between"]["capacity"] = draw(st.integers(0, 2))


def has_gate(chosen: frozenset[str]) -> bool:
    """A gate takes the place of a supply without limit and of a sink without limit."""
    return "gate" in chosen and not chosen & {"refill", "limits", "outfeed"}


def with_gate(draw: Draw, cell: Data) -> None:
    """Supply and sink become one gate."""
    stations = cell["stations"]
    stations["raw"] = {"kind": "gate", "place": "p0", "capacity": 1, "turnaround_s": seconds(draw, 0, 200)}
    del stations["done"]
    supply, _, rest = cell["handling"]
    supply["place"] = rest["place"]
    rest["at"] = [name for name in rest["at"] if name != "done"]
    if not rest["at"]:
        cell["handling"].remove(rest)
    for part in cell["parts"].values():
        part["route"][-1] = {"at": ["raw"]}


def second_attendant(draw: Draw, cell: Data, chosen: frozenset[str]) -> None:
    """A second one like the first, on the same rail or free of each other; perhaps only one of them puts parts out."""
    first = cell["attendants"]["first"]
    cell["attendants"] = {"first": first, "second": {**first}, **cell["attendants"]}
    if "rails" in chosen:
        on_one_rail(draw, cell, chosen)
    for row in cell["handling"]:
        row["who"] = ["first", "second"]
    if draw(st.booleans()) and not has_gate(chosen):
        names = list(cell["stations"])
        first["put_to"] = [name for name in names if name != "done"]
        cell["attendants"]["second"] |= {"put_to": ["done"], "take_from": [n for n in names if n != "raw"]}


def on_one_rail(draw: Draw, cell: Data, chosen: frozenset[str]) -> None:
    """The places of the stations in a row 1.5 m apart, with places to move aside to at both ends or without."""
    rail = [name for name in cell["places"] if name != "desk"]
    if draw(st.booleans()):
        rail = ["aside1", *rail, "aside2"]
    cell["places"] = {name: {"track_m": i * 1.5} for i, name in enumerate(rail)} | {"desk": {}}
    axis = {"places": rail, "speed_m_s": draw(st.sampled_from([0.3, 1.5])), "accel_m_s2": 2, "settle_s": 0.3}
    cell["moves"]["full"] = {"axis": axis}
    if "slow" in cell["moves"]:
        cell["moves"]["slow"] = {"axis": axis | {"speed_m_s": 0.2}}
    places = list(cell["places"])
    cell["moves"]["walk"] = {"places": places, "empty_s": [[0.0 if a == b else 20.0 for b in places] for a in places]}
    cell["attendants"]["first"]["home"], cell["attendants"]["second"]["home"] = rail[0], rail[-1]
    rule = draw(st.sampled_from(["apart", "apart", "order"]))
    keep_m = draw(st.sampled_from([0.0, 0.5, 1.5, 2.0]))
    cell["tracks"] = {"floor": {"attendants": ["first", "second"], "keep_m": keep_m, "rule": rule}}


def more_routes(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """A machine passed a second time, short stays, families, pieces used up."""
    for part in cell["parts"].values():
        work = [step for step in part["route"] if set(step["at"]) <= set(machines)]
        if "again" in chosen and draw(st.integers(0, 2)) == 0:  # rarely: without room beside, such lines lock up
            part["route"].insert(-1, {"at": [draw(st.sampled_from(machines))], "time_s": span(draw, chosen, 5, 300)})
        if "short_stays" in chosen:
            for step in work:
                step["stay_max_s"] = math.ceil(mean_s(step["time_s"])) + draw(st.sampled_from([0, 5, 60]))
        if "uses" in chosen:
            kept = ["inserts", *(["raw"] if "refill" in chosen else [])]
            work[0]["uses"] = {draw(st.sampled_from(kept)): draw(st.integers(1, 3))}
    if "uses" in chosen:
        inserts(draw, cell, chosen)
    if "changeovers" in chosen:
        families(draw, cell, machines, chosen)


def inserts(draw: Draw, cell: Data, chosen: frozenset[str]) -> None:
    """A supply of pieces that loads use up, refilled by a duty or by nobody."""
    room = draw(st.integers(3, 40))
    cell["stations"]["inserts"] = {"kind": "supply", "place": "p0", "capacity": room, "start": room}
    if draw(st.booleans()):
        cell["stations"]["inserts"]["refill"] = "more"
        trigger = {"kind": "level", "at": ["inserts"], "below": draw(st.integers(1, 3))}
        cell["duties"]["more"] = duty(draw, cell, chosen, trigger, restores={"inserts": "full"}, place="p0")


def families(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """Two families, and changeovers between them at some machines, one way or both."""
    steps = [s for part in cell["parts"].values() for s in part["route"] if set(s["at"]) <= set(machines)]
    for step in steps:
        step["family"] = draw(st.sampled_from(["large", "small"]))
    if {step["family"] for step in steps} != {"large", "small"}:
        return
    cell["duties"]["set_up"] = duty(draw, cell, chosen, {"kind": "changeover"}, holds="station")
    there = machines[: draw(st.integers(1, len(machines)))]
    ways = draw(st.sampled_from([["large"], ["small"], ["large", "small"]]))
    other = {"large": "small", "small": "large"}
    cell["changeovers"] = [{"at": there, "from": one, "to": other[one], "duty": "set_up"} for one in ways]


def more_troubles(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """Stops that stop others, and whatever can go wrong with who loads."""
    if "stops" in chosen:
        every = {"dist": "exponential", "mean_s": draw(st.integers(2000, 20000))}
        stops = draw(st.sampled_from([["all"], ["first"], [machines[-1], "raw"], ["done"]]))
        if "done" not in cell["stations"]:
            stops = ["all"]
        crash: Data = {"id": "crash", "on": draw(st.sampled_from(["busy", "clock"])), "every": every}
        crash |= {"self_s": span(draw, chosen, 5, 900), "stops": [name for name in stops if name != machines[0]]}
        station = cell["stations"][machines[0]]
        station["faults"] = [*station.get("faults", []), crash]
    if "arm_troubles" in chosen:
        arm_troubles(draw, cell, chosen)


def arm_troubles(draw: Draw, cell: Data, chosen: frozenset[str]) -> None:
    """Faults and wear of the first attendant by clock, load and busy time."""
    cell["duties"]["rescue"] = duty(draw, cell, chosen, {"kind": "fault"}, holds="station")
    cell["duties"]["pads"] = duty(draw, cell, chosen, {"kind": "wear"}, holds="station")
    on = draw(st.sampled_from(["busy", "clock", "load"]))
    every = {"dist": "geometric", "mean_s": 60} if on == "load" else {"dist": "exponential", "mean_s": 4000}
    ends: Data = {"duty": "rescue"} if draw(st.booleans()) else {"self_s": span(draw, chosen, 5, 300)}
    stops = draw(st.sampled_from([[], ["all"], ["raw"]]))
    unit = draw(st.sampled_from(["loads", "busy_s"]))
    limit = draw(st.integers(20, 60)) * (1 if unit == "loads" else 50)
    wear = {"id": "pads", "unit": unit, "limit": limit, "spares": draw(st.integers(0, 1)), "duty": "pads"}
    cell["attendants"]["first"] |= {"faults": [{"id": "jam", "on": on, "every": every, "stops": stops, **ends}]}
    cell["attendants"]["first"]["wear"] = [wear]


def hours(draw: Draw, cell: Data, machines: list[str]) -> None:
    """Short days of machines and people, whatever becomes of what is under way when they end; machines warm up."""
    for name in ("shift", "week"):
        edges = sorted(draw(st.lists(st.integers(0, 60), min_size=4, max_size=4, unique=True)))
        on = [[edges[0] * 60, edges[1] * 60], [edges[2] * 60, edges[3] * 60]]
        at_end = draw(st.sampled_from(["finish_element", "finish_duty", "finish_load", "drop"]))
        cell.setdefault("calendars", {})[name] = {"period_s": 3600, "on": on, "at_end": at_end}
    for name in machines:
        if draw(st.booleans()):
            cell["stations"][name]["calendar"] = draw(st.sampled_from(["shift", "week"]))
        if draw(st.booleans()):
            cell["stations"][name]["warm_up"] = {"after_s": seconds(draw, 0, 300), "takes_s": seconds(draw, 0, 100)}
    for attendant in cell["attendants"].values():
        if draw(st.booleans()):
            attendant["calendar"] = draw(st.sampled_from(["shift", "week"]))


def more_duties(draw: Draw, cell: Data, machines: list[str], chosen: frozenset[str]) -> None:
    """Several duties of several priorities by several triggers; somebody empties the outfeed, or nobody does."""
    if "outfeed" in chosen and draw(st.booleans()):
        trigger = {"kind": "clock", "every": draw(st.integers(600, 4000))}
        cell["duties"]["empty"] = duty(draw, cell, chosen, trigger, restores={"done": "empty"}, place="p0")
        cell["stations"]["done"]["refill"] = "empty"
    for number in range(draw(st.integers(1, 3)) if "priorities" in chosen else 0):
        counted = {"kind": "parts", "at": machines[: draw(st.integers(1, 4))], "every": draw(st.integers(1, 9))}
        at_s = sorted(draw(st.lists(st.integers(0, 20000), min_size=1, max_size=3, unique=True)))
        triggers = [counted, {"kind": "clock", "at_s": at_s}, {"kind": "clock", "every": span(draw, chosen, 500, 5000)}]
        arm = any(each["kind"] == "arm" for each in cell["attendants"].values())
        more: Data = {"holds": draw(st.sampled_from(["nothing", "station", *(["arm"] if arm else [])]))}
        more |= {"needs_hands": draw(st.integers(0, 1)), "interruptible": draw(st.booleans())}
        if draw(st.booleans()):
            more["place"] = "desk" if "rails" not in chosen or "helper" in cell["attendants"] else "p0"
        found = duty(draw, cell, chosen, draw(st.sampled_from(triggers)), **more)
        if draw(st.booleans()):
            found["also"] = draw(st.sampled_from(triggers))
        cell["duties"][f"job{number}"] = found


def zeros(draw: Draw, cell: Data) -> None:
    """Times of one kind or another are nothing."""
    if draw(st.booleans()):
        for row in cell["handling"]:
            for visit in (row[kind] for kind in ("pick", "place", "swap") if kind in row):
                visit["hold_s"] = 0
    if draw(st.booleans()):
        for table in (table for table in cell["moves"].values() if "empty_s" in table):
            table["empty_s"] = [[0 for _ in line] for line in table["empty_s"]]
            table.pop("loaded_s", None)
    if draw(st.booleans()):
        steps = [step for part in cell["parts"].values() for step in part["route"] if "time_s" in step]
        draw(st.sampled_from(steps))["time_s"] = 0
    for each in cell["duties"].values():
        if draw(st.booleans()):
            each["takes"] = 0


def rules(draw: Draw, cell: Data, chosen: frozenset[str]) -> None:
    """The order of the best schedule for who loads, with something to fall back on or without."""
    for name in ("first", "second"):
        if name in cell["attendants"] and "cycle" in chosen:
            fallback: Any = draw(st.sampled_from([None, "nearest", "longest_waiting"]))
            cell["dispatch"][name] = {"rule": "cycle"} | ({"fallback": fallback} if fallback else {})
