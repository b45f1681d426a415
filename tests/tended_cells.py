"""Random cells in which the first attendant alone tends a row of like machines, each made from its number alone.

Times lie close together and are often nothing, troubles are frequent: what is seldom in a shop comes every hour here.
"""

from random import Random
from typing import Any

from tests.cells_draws import Data


def tended_form(number: int) -> Data:
    """The file form of the cell of this number; a few are not valid, or are tended by more than one."""
    chance = Random(number)
    machines = [f"m{at}" for at in range(1, chance.choice([1, 2, 2, 3, 3, 4]) + 1)]
    arm = chance.random() < 0.75
    cell: Data = {"format": "millhand-cell/1", "name": f"a row, {number}", "goal": "rate"}
    cell |= {"grid_s": chance.choice([0.001, 1])}
    outfeed = "rack" if chance.random() < 0.5 else "out"
    cell["places"] = {place: {} for place in dict.fromkeys(["rack", *machines, outfeed, "front"])}
    cell["calendars"] = {"day": {"period_s": 7200, "on": _hours(chance), "at_end": _at_end(chance)}}
    cell["attendants"] = _attendants(chance, arm)
    cell["moves"] = _moves(chance, arm, [*dict.fromkeys(["rack", *machines, outfeed])], cell["attendants"])
    cell["stations"] = _stations(chance, machines, outfeed)
    cell["handling"] = _handling(chance, machines, cell)
    cell["parts"] = {"part": {"route": _route(chance, machines, cell["stations"])}}
    cell["duties"] = _duties(chance, machines, cell)
    cell["dispatch"] = {"first": {"rule": chance.choice(["first_to_finish", "first_to_finish", "longest_waiting"])}}
    _slow_while_somebody_is_there(chance, cell)
    used = {owner.get("calendar") for kind in ("stations", "attendants") for owner in cell[kind].values()}
    if "open" in used:
        cell["calendars"]["open"] = {"period_s": 10000, "on": [[1000, 9000]], "at_end": _at_end(chance, "finish_load")}
    return cell


def _hours(chance: Random) -> list[list[int]]:
    """When people are there, in two hours."""
    return chance.choice([[[0, 7200]], [[0, 3600]], [[0, 1800], [2400, 5000]]])


def _at_end(chance: Random, *others: str) -> str:
    """What the end of the hours does."""
    return chance.choice([*(others or ("finish_element", "finish_duty", "finish_load")), "drop"])


def _span(chance: Random, mean_s: float) -> Any:
    """A time, or now and then a distribution of it."""
    if mean_s == 0 or chance.random() < 0.75:
        return mean_s
    spread: list[Data] = [{"dist": "exponential"}, {"dist": "lognormal", "cv": 0.4}]
    return chance.choice(spread) | {"mean_s": mean_s}


def _attendants(chance: Random, arm: bool) -> Data:
    """The one that tends and, always beside an arm, somebody for the duties."""
    first: Data = {"kind": "arm" if arm else "operator", "hands": chance.choice([1, 2, 2]), "home": "rack"}
    first |= {"moves": "ways", "turn_s": chance.choice([0, 1.5])} if arm else {"moves": "ways", "calendar": "day"}
    if arm and chance.random() < 0.15:
        every = {"dist": "exponential", "mean_s": 9000}
        first["faults"] = [{"id": "arm_stop", "on": "clock", "every": every, "duty": "clear"}]
    helper = {"kind": "operator", "home": "front", "moves": "stands", "calendar": "day"}
    return {"first": first} | ({"helper": helper} if arm or chance.random() < 0.3 else {})


def _moves(chance: Random, arm: bool, places: list[str], attendants: Data) -> Data:
    """Ways of a few seconds, or none at all."""
    least = chance.choice([0, 2, 3])
    whole = [*places] if arm else [*places, "front"]
    times = [[0 if a == b or not least else least + chance.randint(0, 3) for b in whole] for a in whole]
    found: Data = {"ways": {"places": whole, "empty_s": times, "loaded_s": None}}
    return found | ({"stands": {"places": ["front"], "empty_s": [[0]]}} if "helper" in attendants else {})


def _stations(chance: Random, machines: list[str], outfeed: str) -> Data:
    """Supply, machines that are all alike, perhaps a gauge, outfeed."""
    raw: Data = {"kind": "supply", "place": "rack", "capacity": None}
    if chance.random() < 0.6:
        size = chance.choice([6, 8, 30])
        raw |= {"capacity": size, "start": size, "refill": "refill"}
    machine: Data = {"kind": "process"}
    faults = [_fault(chance)] if chance.random() < 0.6 else []
    if chance.random() < 0.25:
        pause = {"id": "pause", "on": "busy", "every": {"dist": "exponential", "mean_s": 5000}, "self_s": 200}
        faults.append(pause | chance.choice([{}, {"stops": [chance.choice(["raw", "done", "first", machines[-1]])]}]))
    machine |= {"faults": faults} if faults else {}
    if chance.random() < 0.4:
        unit, limit = chance.choice(["loads", "busy_s"]), chance.choice([5, 40])
        machine["wear"] = [
            {"id": "tool", "unit": unit, "limit": limit, "spares": chance.choice([0, 1]), "duty": "tools"}
        ]
    machine |= {"calendar": "open"} if chance.random() < 0.3 else {}
    machine |= {"warm_up": {"after_s": 600, "takes_s": 100}} if chance.random() < 0.15 else {}
    gauge = {"kind": "process", "place": "rack", "attended": chance.random() < 0.7}
    out: Data = {"kind": "sink", "place": outfeed, "capacity": None}
    out |= {"capacity": chance.choice([4, 20]), "refill": "refill"} if chance.random() < 0.25 else {}
    found = {"raw": raw} | {name: {**machine, "place": name} for name in machines}
    return found | ({"gauge": gauge} if chance.random() < 0.4 else {}) | {"done": out}


def _fault(chance: Random) -> Data:
    """A stop that somebody clears."""
    every = {"dist": "exponential", "mean_s": chance.choice([300, 3000])}
    return {"id": "stop", "on": "busy", "every": every, "duty": "clear", "keeps_part": chance.random() < 0.7}


def _handling(chance: Random, machines: list[str], cell: Data) -> list[Data]:
    """At the supply, the machines, the outfeed and the gauge."""
    hold, hands = chance.choice([0, 1, 3, 9]), cell["attendants"]["first"]["hands"]
    visit = {"lead_s": chance.choice([0, 0, 2]), "lead_on": chance.choice(["arrival", "finish"])}
    visit |= {"hold_s": _span(chance, hold), "tail_s": chance.choice([0, 0, 4])}
    at_machines: Data = {"who": ["first"], "at": machines, "place": visit}
    if hands == 1 or chance.random() < 0.5:
        at_machines["pick"] = visit
    if hands == 2:
        at_machines["swap"] = {**visit, "hold_s": _span(chance, 2 * hold)}
    at_supply: Data = {"who": ["first"], "at": ["raw"], "pick": {"hold_s": _span(chance, hold)}}
    if chance.random() < 0.5:
        retries = chance.choice([0, 2, None]) if "helper" in cell["attendants"] else None
        at_supply["miss"] = {"p": chance.choice([0.02, 0.3]), "retries": retries, "retry_s": 3}
        at_supply["miss"] |= {} if retries is None else {"duty": "clear"}
    put = {"hold_s": _span(chance, hold), "lead_s": chance.choice([0, 0, 1])}
    lines = [at_supply, at_machines, {"who": ["first"], "at": ["done"], "place": put}]
    if "gauge" in cell["stations"]:
        at_gauge = {"hold_s": chance.choice([0, hold])}
        lines.append({"who": ["first"], "at": ["gauge"], "pick": at_gauge, "place": at_gauge})
    return lines


def _route(chance: Random, machines: list[str], stations: Data) -> list[Data]:
    """From the supply over the machines, and over the gauge for each n-th part, into the outfeed."""
    time_s = _span(chance, chance.choice([10, 40, 100, 120]))
    steps: list[Data] = [{"at": ["raw"]}, {"at": machines, "time_s": time_s, "good": chance.choice([1, 0.97, 0.7])}]
    if "gauge" in stations:
        on_bad = chance.choice(["scrap_this", "scrap_since_last"])
        steps.append({"at": ["gauge"], "time_s": 12, "every": chance.choice([2, 3, 7]), "on_bad": on_bad})
    return [*steps, {"at": ["done"]}]


def _duties(chance: Random, machines: list[str], cell: Data) -> Data:
    """Clearing stops, changing tools, refilling, perhaps a look at each n-th part."""
    who = ["helper"] if "helper" in cell["attendants"] else ["first"]
    base: Data = {"who": who, "place": "front"}
    stations, found = cell["stations"], {}
    troubled = [*stations.values(), *cell["attendants"].values()]
    if any("faults" in each for each in troubled) or "duty" in cell["handling"][0].get("miss", {}):
        found["clear"] = base | {"trigger": {"kind": "fault"}, "takes": _span(chance, 200), "holds": "station"}
    if any("wear" in each for each in troubled):
        found["tools"] = base | {"trigger": {"kind": "wear"}, "priority": 2, "takes": 100, "holds": "station"}
    full = {"raw": "full"} if stations["raw"]["capacity"] else {}
    empty = {"done": "empty"} if stations["done"]["capacity"] else {}
    if full or empty:
        below = {"kind": "level", "at": ["raw"], "below": chance.choice([1, 2, 5])}
        refill = base | {"trigger": below if full else {"kind": "clock", "every": 900}, "priority": 3}
        refill |= {"takes": _span(chance, 150), "restores": full | empty, "response_s": chance.choice([0, 60])}
        found["refill"] = refill | ({"also": {"kind": "clock", "every": 1200}} if full and empty else {})
    if chance.random() < 0.2:
        trigger = {"kind": "parts", "at": machines, "every": chance.choice([1, 4])}
        found["look"] = base | {"trigger": trigger, "priority": 4, "takes": 20}
    return found


def _slow_while_somebody_is_there(chance: Random, cell: Data) -> None:
    """An arm that goes slowly, or stands, while somebody is at a duty."""
    if cell["attendants"]["first"]["kind"] != "arm" or not cell["duties"] or chance.random() > 0.25:
        return
    times = cell["moves"]["ways"]["empty_s"]
    cell["moves"]["slowly"] = cell["moves"]["ways"] | {"empty_s": [[2 * time for time in row] for row in times]}
    cell["attendants"]["first"]["moves"] = {"full": "ways", "slow": "slowly"}
    slows = {"first": chance.choice(["slow", "stop"])}
    cell["zones"] = {"near": {"from": [next(iter(cell["duties"]))], "slows": slows}}
