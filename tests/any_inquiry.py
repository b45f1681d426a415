"""Inquiries made at random inside what the format allows: a number chooses every figure and word, extremes too."""

import json
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from random import Random
from typing import Any

HOUR_S, DAY_S = 3600.0, 86400.0
MONEY = {"USD": 1.0, "EUR": 0.92, "JPY": 150.0, "HUF": 360.0, "CHF": 0.88}
CLAMPINGS = {
    "mill": ("hand_vise", "powered_vise", "nest"),
    "lathe": ("hand_chuck", "powered_chuck"),
    "moulding": ("mould",),
    "press": ("nest",),
    "other": ("nest", "hand_vise"),
}
CONDITIONS = ("sawn", "cast", "forged", "machined", "moulded", "blank")
FREED = ("none", "finishing", "programming", "setups", "vacancy", "overtime", "temporary")

SIDES = ("inside", "outside")
Table = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Dice:
    """Chance with the words that the makers below use."""

    random: Random

    def log(self, low: float, high: float) -> float:
        """A number between two ends, as often in each decade, and now and then an end itself."""
        if self.maybe(0.1):
            return self.random.choice((low, high))
        return float(f"{math.exp(self.random.uniform(math.log(low), math.log(high))):.3g}")

    def flat(self, low: float, high: float) -> float:
        """A number between two ends, and now and then an end itself."""
        return self.random.choice((low, high)) if self.maybe(0.1) else round(self.random.uniform(low, high), 3)

    def one(self, options: Sequence[Any]) -> Any:
        """One of several."""
        return self.random.choice(options)

    def maybe(self, share: float = 0.5) -> bool:
        """True so often."""
        return self.random.random() < share

    def ranged(self, value: float, unit: str, *, least: float = 0.0, most: float = math.inf) -> str:
        """A quantity as text, half of the time with a range around it."""
        text = f"{digits(value)} {unit}"
        if self.maybe() or value <= 0.0:
            return text
        low, high = value * self.flat(0.5, 1.0), min(most, value * self.flat(1.0, 2.0))
        return f"{text} ({digits(max(low, least))} {unit} to {digits(high)} {unit})"

    def some(self, table: Table) -> Table:
        """About half of the entries."""
        return {key: value for key, value in table.items() if self.maybe()}


def digits(number: float) -> str:
    """A number to twelve significant digits, without an exponent: the format takes none."""
    return f"{Decimal(f'{number:.12g}'):f}"


def any_inquiry(number: int) -> Table:
    """The inquiry with this number, as a table that `text_of` writes."""
    dice = Dice(random=Random(number))
    count = dice.one((1, 1, 1, 2, 3))
    machines = [machine(dice, index, alone=count == 1) for index in range(count)]
    shifts, hours = shifts_of(dice)
    parts = [part(dice, index, machines) for index in range(dice.one((1, 1, 1, 2, 4)))]
    shipped = fitted(dice, parts, machines, hours)
    currency = dice.one(tuple(MONEY))
    wishes = wishes_of(dice, shifts, currency)
    ordered(dice, parts, shipped, currency)
    return {
        "format": "millhand-inquiry/1",
        "name": f"Anything, number {number}",
        "people": people(dice, currency, sum(each["count"] for each in machines)),
        "shifts": shifts,
        "machines": machines,
        "parts": parts,
        "today": today(dice, shipped, parts),
        "wishes": wishes,
        "money": money(dice),
    }


def text_of(inquiry: Table) -> str:
    """The file of an inquiry: JSON is YAML."""
    return json.dumps(inquiry, indent=1, ensure_ascii=False) + "\n"


def machine(dice: Dice, index: int, *, alone: bool) -> Table:
    """One group of machines alike; a mould stands in no line."""
    kind = dice.one(("mill", "mill", "lathe", "press", "other", "moulding" if alone else "mill"))
    stops = {
        "short_every": dice.ranged(dice.log(0.5, 200.0), "h"),
        "short_takes": dice.ranged(dice.log(1.0, 29.0), "min"),
        "long_every": dice.ranged(dice.log(100.0, 5000.0), "h"),
        "long_takes": dice.ranged(dice.log(0.5, 80.0), "h"),
    }
    rest = {
        "clamping": dice.one(CLAMPINGS[kind]),
        "door": dice.one(("hand", "powered", "none", "unknown")),
        "control": dice.one(("free_outputs", "fieldbus", "none", "unknown")),
        "age": f"{dice.flat(0.0, 40.0):g} years",
        "extra": dice.one(("none", "none", "none", "bar_feeder", "pallet_changer")),
        "probe": dice.one(("yes", "no")),
        "tool_check": dice.one(("yes", "no")),
        "warranty": dice.one(("yes", "no")),
        "load_height": dice.ranged(dice.flat(0.3, 2.2), "m"),
        "load_depth": dice.ranged(dice.flat(0.0, 1.5), "m"),
        "spacing": dice.ranged(dice.log(0.8, 20.0), "m"),
        "chip_limit": dice.ranged(dice.log(1.0, 100000.0), "parts", least=1.0),
        "stops": dice.some(stops),
    }
    return {"name": f"machine_{index}", "kind": kind, "count": dice.one((1, 1, 2, 3, 4, 6))} | dice.some(rest)


def part(dice: Dice, index: int, machines: Sequence[Table]) -> Table:
    """One part with the machines that it visits."""
    shape = dice.one(("prismatic", "round", "flat", "other"))
    measures = sorted((dice.log(2.0, 1500.0) for _ in range(2 if shape == "round" else 3)), reverse=True)
    mass = dice.log(0.001, 200.0)
    lot = int(dice.log(1.0, 20000.0))
    rest = {
        "condition": dice.one(CONDITIONS),
        "finished_mass": dice.ranged(mass * dice.flat(0.1, 1.0), "kg", most=mass),
        "raw_tolerance": dice.ranged(dice.log(0.01, 8.0), "mm"),
        "film": dice.one(("dry", "oily", "hot")),
        "arrives": dice.one(("ordered", "pallet", "loose")),
        "leaves": dice.one(("ordered", "box")),
        "delicate": dice.one(("yes", "no")),
        "families": dice.one((1, 2, 5, 60, 1000)),
    }
    several = min(lot, dice.one((1, 1, 1, 2, 4, 16)))
    visited = machines if dice.maybe(0.7) or index == 0 else machines[:1]
    return {
        "name": f"part_{index}",
        "shape": shape,
        "raw": " x ".join(f"{each:g}" for each in measures) + " mm",
        "raw_mass": dice.ranged(mass, "kg"),
        "lot_size": lot,
        "operations": [operation(dice, number, each, several) for number, each in enumerate(visited)],
    } | dice.some(rest)


def operation(dice: Dice, number: int, machine_: Table, several: int) -> Table:
    """What one machine does with so many parts a cycle."""
    rest = {
        "time_is": dice.one(("cycle", "cycle", "unknown")),
        "good": f"{dice.flat(50.0, 100.0):g} %",
        "gauge_every": int(dice.log(1.0, 1000.0)),
        "tool_life": dice.ranged(dice.log(1.0, 100000.0), "parts", least=1.0),
    }
    vises = "vise" in machine_.get("clamping", "")
    return {
        "name": f"step_{number}",
        "machine": machine_["name"],
        "time": dice.ranged(dice.log(5.0, 3 * HOUR_S), "s"),
        "parts_per_cycle": several,
    } | dice.some(rest | ({"sides": dice.one(("one", "two_vises"))} if vises else {}))


def shifts_of(dice: Dice) -> tuple[Any, float]:
    """Shifts of one pattern or another, and the seconds of a mean manned shift."""
    plain: tuple[tuple[Any, float], ...] = (
        ("1 x 8 h", 8.0), ("2 x 8 h", 8.0), ("3 x 8 h", 8.0), ("1 x 12 h", 12.0), ("2 x 12 h", 12.0), ("1 x 1 h", 1.0),
        ("1 x 24 h", 24.0),
    )  # fmt: skip
    if dice.maybe(0.4):
        words, length_h = dice.one(plain)
        return words, length_h * HOUR_S
    shifts: list[Table] = dice.one((by_day, over_midnight, overlapping, weekend, unmanned))(dice)
    manned = [each for each in shifts if each.get("manned") != "no"]
    return shifts, sum(hours_of(each) for each in manned) / len(manned) * HOUR_S


def by_day(dice: Dice) -> list[Table]:
    """One long shift with or without breaks."""
    breaks = dice.one(([], [{"from": "09:00", "length": "15 min", "paid": "yes"}], "45 min"))
    days = dice.one((0.5, 3, 5, 6, 7))
    return [{"name": "day", "from": "06:00", "length": "12 h", "days_per_week": days, "breaks": breaks}]


def over_midnight(dice: Dice) -> list[Table]:
    """A late one, and one that ends on the next day, with other heads."""
    night = {"name": "night", "from": "22:30", "to": "06:30", "premium": "night", "operators": dice.one((0, 0.5, 1))}
    late = {"name": "late", "from": "14:30", "to": "22:30", "premium": "late"}
    return [late, night] if dice.maybe(0.7) else [night | {"operators": 1}]


def overlapping(dice: Dice) -> list[Table]:
    """Two crews at once for some hours."""
    return [
        {"name": "early", "from": "05:00", "length": f"{dice.one((7, 9, 11))} h", "days_per_week": 5},
        {"name": "middle", "from": "10:00", "length": f"{dice.one((6, 10))} h", "days_per_week": dice.one((2, 5, 6))},
    ]


def weekend(dice: Dice) -> list[Table]:
    """A weekend shift beside the usual week."""
    two = {"name": "weekend", "from": "07:00", "length": "12 h", "days_per_week": 2, "premium": "weekend"}
    week = {"name": "week", "from": "06:00", "to": "14:00", "days_per_week": 5}
    return [week, two] if dice.maybe(0.7) else [two]


def unmanned(dice: Dice) -> list[Table]:
    """A shift in which nobody is there."""
    alone = {"name": "ghost", "from": "14:00", "length": f"{dice.one((1, 8, 10))} h", "manned": "no"}
    return [{"name": "day", "from": "06:00", "to": "14:00"}, alone]


def hours_of(shift: Table) -> float:
    """The length of a shift less its breaks."""
    if "length" in shift:
        span = float(shift["length"].split()[0])
    else:
        ends = [int(shift[key][:2]) + int(shift[key][3:]) / 60 for key in ("from", "to")]
        span = (ends[1] - ends[0]) % 24.0
    return span - 1.0


def fitted(dice: Dice, parts: Sequence[Table], machines: Sequence[Table], shift_s: float) -> float:
    """Parts a shift that the busiest machine group can have made, whatever the mix; at times next to nothing."""
    worst = 0.0
    for group in machines:
        times = [
            float(op["time"].split()[0]) / op["parts_per_cycle"]
            for each in parts
            for op in each["operations"]
            if op["machine"] == group["name"]
        ]
        worst = max(worst, max(times, default=0.0) / group["count"])
    busy: float = dice.one((0.05, 0.5, 0.7, 0.9))
    return max(0.02, shift_s * 0.85 / worst * busy)


def ordered(dice: Dice, parts: Sequence[Table], shipped: float, currency: str) -> None:
    """Orders below and above what is made, and lots not above the orders."""
    for each in parts:
        wanted = shipped * 250.0 * dice.log(0.6, 30.0) * dice.one((1, 2, 3))  # up to three shifts a day
        each["orders_per_y"] = max(1, round(wanted / len(parts)), each["lot_size"])
        if dice.maybe(0.4):
            amount = dice.log(0.001, 500.0) * MONEY[currency]
            each["contribution_per_part"] = f"{digits(amount)} {currency}"


def people(dice: Dice, currency: str, machines: int) -> Table:
    """Who tends the machines, and what that costs."""
    rate = MONEY[currency]
    given = (
        {"operators": dice.ranged(dice.flat(0.1, 2.0 * machines), "operators")}
        if dice.maybe(0.4)
        else {"machines_per_operator": dice.flat(0.5, machines + 2.0)}
    )
    rest = {
        "on_cost": f"{dice.flat(0.0, 90.0):g} %",
        "on_cost_per": dice.one(("paid", "worked")),
        "premium_night": f"{dice.flat(0.0, 100.0):g} %",
        "allowance": f"{dice.flat(0.0, 40.0):g} %",
        "absence": f"{dice.flat(0.0, 40.0):g} %",
        "freed_use": dice.one(FREED),
        "share_usable": f"{dice.flat(0.0, 100.0):g} %",
    }
    wage = {"wage": dice.ranged(dice.one((0.0, 2.0, 24.0, 24.0, 90.0)) * rate, f"{currency}/h")}
    return given | wage | dice.some(rest)


def today(dice: Dice, shipped: float, parts: Sequence[Table]) -> Table:
    """What is made now; with the usual elements, own ones, or only some inside the cycle."""
    inside = [{"name": "deburr", "time": dice.ranged(dice.log(1.0, 900.0), "s"), "side": "inside", "place": "bench"}]
    outside = [
        {"name": "load", "time": dice.ranged(dice.log(0.5, 300.0), "s"), "side": "outside"},
        {"name": "gauge", "time": "20 s", "side": "outside", "every_n": dice.one((1, 7, 1000))},
    ]
    rest = {"walk": dice.ranged(dice.flat(0.0, 60.0), "s"), "setup": dice.ranged(dice.log(0.1, 600.0), "min")}
    elements: Table = dice.one(({}, {}, {"elements": inside}, {"elements": [*outside, *inside]}, {"elements": outside}))
    return {"parts_per_shift": float(f"{shipped:.4g}")} | dice.some(rest) | elements


def wishes_of(dice: Dice, shifts: Any, currency: str) -> Table:
    """Hours alone as the day allows them, a hurdle, a budget and a floor."""
    hours = 24.0 - sum(float(length) * int(count) for count, length in pairs_of(shifts))
    rest = {
        "hurdle": f"{dice.one((1, 6, 24, 120))} months",
        "budget": f"{digits(dice.log(1e3, 1e7) * MONEY[currency])} {currency}",
        "floor": f"{dice.log(0.5, 200.0):g} m2",
        "height": f"{dice.flat(1.8, 6.0):g} m",
        "people_pass": dice.one(("yes", "no")),
        "must_move": dice.one(("yes", "no")),
        "integrator": dice.one(("turnkey", "own")),
    }
    return {"unattended": f"{max(0.0, hours) * dice.one((0.0, 0.0, 0.3, 1.0)):.4g} h"} | dice.some(rest)


def pairs_of(shifts: Any) -> Iterator[tuple[str, str]]:
    """Count and length [h] of shifts that follow each other, longer than they are where they overlap."""
    if isinstance(shifts, str):
        count, _, length, _ = shifts.split()
        yield count, length
        return
    for each in shifts:
        yield "1", str(hours_of(each) + 1.0)


def money(dice: Dice) -> Table:
    """How the shop counts, one year to twenty, rates of nothing included."""
    return dice.some(
        {
            "rate": f"{dice.one((0.0, 0.0, 8.0, 35.0)):g} %",
            "horizon": f"{dice.one((1, 2, 8, 20))} years",
            "wage_growth": f"{dice.one((0.0, 3.0, 15.0)):g} %",
            "escalation": f"{dice.one((0.0, 4.0)):g} %",
            "tax": f"{dice.one((0.0, 30.0)):g} %",
        }
    )


def of_another_kind(inquiry: Table, number: int) -> Table:
    """The same with what may be told of machines that are no mills; of one machine, since a line is fed singly."""
    dice, first = Dice(random=Random(f"kinds {number}")), inquiry["parts"][0]["operations"][0]
    dressing = {"every": f"{int(dice.log(1.0, 1000.0))} parts", "takes": dice.ranged(dice.log(1.0, 600.0), "s")}
    alone = {"cycles_per_visit": int(dice.log(1.0, 500.0))}
    waits = {"take_out_within": dice.ranged(dice.log(1.0, 3600.0), "s")}
    told = dice.one((alone, waits, {})) | dice.some(
        {"dressing": dressing, "hands_bound": f"{dice.flat(0.0, 100.0):g} %"}
    )
    element = {
        "name": "by_the_part",
        "time": "5 s",
        "side": dice.one(("inside", "outside")),
        "every_parts": dice.one((1, 20)),
    }
    parts = [each | {"operations": each["operations"][:1]} for each in inquiry["parts"][:1]]
    parts[0]["operations"] = [first | told]
    today_ = inquiry["today"] | {"elements": [*inquiry["today"].get("elements", []), element]}
    machines = [each for each in inquiry["machines"] if each["name"] == first["machine"]]
    people_ = inquiry["people"] | {"machines_per_operator": sum(each["count"] for each in machines)}
    return inquiry | {"parts": parts, "today": today_, "machines": machines, "people": people_}
