"""Machines that an operation names together: any of them does it, so they are one where the work is shared out.

What is read off the machine itself, door, control, clamping, where it stands, stays that of each; where one figure has
to do for all of them it is the more demanding one.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import fields, replace
from typing import Any

from millhand.formulas import REGISTER
from millhand.intake.inquiry_groups import Spot
from millhand.intake.inquiry_opened import Opened, child
from millhand.intake.yaml_tree import Listing, Node, Scalar, Table
from millhand.model.fact import Fact
from millhand.model.machine import Inside, Machine, MachinePlace, Stops

OR = "_or_"
COUNT = "count_of_all"
# Words from the more to the less demanding; of others the first counts.
HARDER = {
    "door": ("hand", "powered", "none"),
    "control": ("none", "free_outputs", "fieldbus"),
    "clamping": ("hand_vise", "hand_chuck", "powered_vise", "powered_chuck"),
    "probe": ("no", "yes"), "tool_check": ("no", "yes"), "warranty": ("yes", "no"),
    "fluid": ("neat_oil", "water", "none"), "fire_settled": ("no", "yes"), "from_above": ("no", "yes"),
}  # fmt: skip
LEAST = frozenset(
    ["chip_limit_parts", "door_width_m", "door_height_m", "catch_m", "short_every_s", "long_every_s"]
)  # where less asks for more; of all other numbers the largest does
ALIKE = {"kind": "the same kind", "extra": "the same feeder, or none"}  # without which no work is shared


def pool_name(named: Iterable[Scalar], known: Collection[str]) -> str:
    """What the machines of these names are called together, in the order of the known ones; one alone as it is."""
    names, order = [each.text for each in named], list(known)
    return OR.join(sorted(names, key=lambda name: order.index(name) if name in order else len(order)))


def names_at(table: Table | None) -> tuple[Scalar, ...]:
    """The names of machines that an operation's table holds, each once."""
    node = child(table, "machine")
    items: Iterable[Node] = node.items if isinstance(node, Listing) else (node,) if node is not None else ()
    return tuple({each.text: each for each in items if isinstance(each, Scalar)}.values())


def pooled(machines: tuple[Machine, ...], top: Spot, opened: Opened) -> tuple[Machine, ...]:
    """The machines, those that operations name together as one, at the place of the first of them."""
    known = {each.name: each for each in machines}
    found: dict[str, tuple[str, ...]] = {each.name: (each.name,) for each in machines}
    shared: dict[str, tuple[str, ...]] = {}
    for named in named_in(top.table):
        names = tuple(name for name in known if name in {each.text for each in named})
        if len(names) < len(named):
            continue  # said where the operation is read
        for each in named:
            other = shared.setdefault(each.text, names)
            if other != names:
                write = f"the machines of each operation the same or others: {' and '.join(other)} share their work"
                opened.bad(each.where, pool_name(named, known), write, "shared_otherwise")
                return machines
        if len(names) > 1 and not alike([known[name] for name in names], named[-1].where, opened):
            return machines
    for names in shared.values():
        found |= dict.fromkeys(names, names)
    return tuple(
        known[names[0]] if len(names) == 1 else as_one([known[name] for name in names])
        for names in dict.fromkeys(found[each.name] for each in machines)
    )


def named_in(table: Table | None) -> Iterator[tuple[Scalar, ...]]:
    """The machines of every operation of the file, in its order."""
    for part in tables_at(table, "parts"):
        for operation in tables_at(part, "operations"):
            yield names_at(operation)


def tables_at(table: Table | None, key: str) -> Iterator[Table]:
    """The tables of a list."""
    node = child(table, key)
    items: Iterable[Node] = node.items if isinstance(node, Listing) else ()
    return (each for each in items if isinstance(each, Table))


def alike(machines: Sequence[Machine], where: str, opened: Opened) -> bool:
    """Whether they are so much alike that any of them can do the work; where not, it is noted."""
    for name, same in ALIKE.items():
        words = {getattr(each, name).value for each in machines if getattr(each, name) is not None}
        if len(words) > 1:
            read = f"{' and '.join(each.name for each in machines)}, which differ in {name}"
            opened.bad(where, read, f"machines with {same}, or an operation for each of them", "shared_unlike")
            return False
    return True


def as_one(machines: Sequence[Machine]) -> Machine:
    """All of them as one."""
    first = machines[0]
    name = OR.join(each.name for each in machines)
    own = {each.name: harder(each.name, [getattr(one, each.name) for one in machines]) for each in fields(Machine)
           if each.name not in ("name", "count", "inside", "stops", "shared")}  # fmt: skip
    inside = {each.name: harder(each.name, [getattr(one.inside, each.name) for one in machines])
              for each in fields(Inside)}  # fmt: skip
    stops = {each.name: harder(each.name, [getattr(one.stops, each.name) for one in machines])
             for each in fields(Stops)}  # fmt: skip
    return replace(
        first, name=name, **own, inside=Inside(**inside), stops=Stops(**stops), shared=tuple(machines),
        count=counted(f"machines.{name}.count", [each.count for each in machines]),
    )  # fmt: skip


def counted(fact_id: str, counts: Sequence[Fact]) -> Fact:
    """How many there are together; None while one of them cannot be read."""
    if any(each is None for each in counts):
        return counts[0]
    formula = REGISTER[COUNT]
    return Fact(
        id=fact_id, value=formula.function([each.value for each in counts]), unit="1", basis="computed",
        source=formula.source, formula=COUNT, inputs=tuple(("counts[]", each.id) for each in counts),
    )  # fmt: skip


def harder(name: str, told: Sequence[Any]) -> Any:
    """The more demanding of what the machines have."""
    known = [each for each in told if each is not None]
    if not known:
        return None
    if isinstance(known[0], Fact):
        pick: Callable[..., Any] = min if name in LEAST else max
        return pick(known, key=lambda each: each.value)
    order = HARDER.get(name, ())
    return min(known, key=lambda each: order.index(each.value) if each.value in order else len(order))


def in_pools(places: tuple[MachinePlace, ...], machines: tuple[Machine, ...]) -> tuple[MachinePlace, ...]:
    """Where machines stand; those that share their work are counted on through all of them."""
    found = {each.name: (each.name, 0) for each in machines}
    for each in machines:
        before = 0
        for one in each.shared:
            found[one.name] = (each.name, before)
            before += round(one.count.value) if one.count is not None else 0
    return tuple(
        replace(each, machine=found[each.machine][0], number=found[each.machine][1] + each.number)
        if each.machine in found else each for each in places
    )  # fmt: skip
